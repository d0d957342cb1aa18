//! Snap, proposals and fine shift against minted truth.

use std::collections::BTreeMap;

use dietell::align::{SnapRefused, fine_shift, propose_rest, snap};
use dietell::crop::{CropFrame, cut};
use dietell::geometry::{Correspondence, Model, PictureFromSide, PictureVector, SidePoint, fit};
use dietell::photo::Picture;
use dietell::reference::Side;
use mint::{
    Backdrop, CameraOptions, Framing, Light, LightKind, Shot, StrikeOptions, dies, landmarks, photograph,
    plate, strike_design,
};
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use super::trials::DIAMETER_MM;

/// Beyond this a snap went to a wrong place, in px at 40 px/mm.
const WRONG_PX: f64 = 3.0;

/// A coin at 40 px/mm, lit from a direction, tilted up to 12 degrees.
fn shot(seed: u64, side: Side, wear: f64, light_deg: f64) -> Shot {
    let mut r = ChaCha8Rng::seed_from_u64(seed);
    let designs = dies(side);
    let die = designs.choose(&mut r).unwrap();
    let strike = StrikeOptions {
        wear,
        marks: 0.9 * wear,
        toning: r.random_range(0.1..0.6),
        dirt: (0.1 + wear).min(0.9),
        weak_strike: 0.0,
        seed,
    };
    let camera = CameraOptions {
        size_px: (1200, 1200),
        framing: Framing::PxPerMm(40.0),
        distance_mm: r.random_range(150.0..350.0),
        tilt_deg: r.random_range(0.0..12.0),
        tilt_direction_deg: r.random_range(0.0..360.0),
        turn_deg: r.random_range(-40.0..40.0),
        light: Light {
            direction_deg: light_deg + r.random_range(-10.0..10.0),
            elevation_deg: r.random_range(40.0..60.0),
            kind: *[LightKind::Window, LightKind::Studio].choose(&mut r).unwrap(),
        },
        backdrop: Backdrop::Wood,
        defocus_px: r.random_range(0.5..1.3),
        noise: r.random_range(0.05..0.25),
        vignetting: 0.2,
        seed,
        ..CameraOptions::default()
    };
    photograph(&strike_design(die, &strike), &camera).unwrap()
}

/// A similarity through two places, as after two landmarks: what a snap knows of a tilted photo at first.
fn known_at_first(truth: &PictureFromSide) -> PictureFromSide {
    let points = [-10.0, 10.0].map(|x| {
        let on_side = SidePoint::new(x, 0.0);
        Correspondence {
            on_side,
            in_picture: truth.point_in_picture(on_side),
        }
    });
    fit(Model::Similarity, &points).unwrap().picture_from_side
}

/// One click and what came of it, in px.
#[derive(Debug, Clone, Copy)]
struct Click {
    error: f64,
    /// Where the snap was not refused, its error and its predicted deviation each way.
    after: Option<(f64, f64)>,
}

/// The share of a normal error of two coordinates within this many deviations each way is 95 %: the root of -2 ln 0.05.
const DISC_95: f64 = 2.448;

/// Every landmark clicked with a hand's error, `off_px` further right, and snapped.
fn snaps(shot: &Shot, plate: &(Picture, PictureFromSide), seed: u64, off_px: f64) -> Vec<Click> {
    let photo = Picture::new(shot.pixels.clone());
    let known = known_at_first(&shot.truth);
    let mut r = ChaCha8Rng::seed_from_u64(seed);
    landmarks(shot.side())
        .iter()
        .map(|l| {
            let truth = shot.truth.point_in_picture(l.place_mm);
            let mut rough = || 4.0 * r.sample::<f64, _>(StandardNormal);
            let click = truth + PictureVector::new(rough() + off_px, rough());
            let after = snap(&photo, &known, &plate.0, &plate.1, l.place_mm, click, 0.5)
                .ok()
                .map(|s| ((s.to - truth).length(), s.deviation_px));
            let error = (click - truth).length();
            Click { error, after }
        })
        .collect()
}

fn quantile(values: &mut [f64], q: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    values
        .get(((values.len().max(1) - 1) as f64 * q) as usize)
        .copied()
        .unwrap_or(f64::NAN)
}

/// One coin, lit about as its plate: many of its landmarks snap and none goes wrong; others follow from three; a known
/// shift of a crop is found again.
#[test]
fn a_minted_coin_snaps_to_its_plate() {
    let side = Side::Obverse;
    let shot = shot(31, side, 0.12, -40.0);
    let reference = plate(side, &dies(side)[0].id, 1300).unwrap();
    let plate = (Picture::new(reference.pixels), reference.truth);

    let found = snaps(&shot, &plate, 3, 0.0);
    let mut after: Vec<f64> = found.iter().filter_map(|f| Some(f.after?.0)).collect();
    let mut before: Vec<f64> = found.iter().map(|f| f.error).collect();
    assert!(after.len() * 4 >= found.len() * 3, "{found:?}");
    assert!(after.iter().all(|e| *e < WRONG_PX), "{found:?}");
    assert!(
        quantile(&mut after, 0.5) < 0.5 && quantile(&mut before, 0.5) > 3.0,
        "{found:?}"
    );

    // What it says of its own precision holds about as often as it should.
    let held = |f: &&Click| {
        f.after
            .is_some_and(|(error, deviation)| error < DISC_95 * deviation)
    };
    assert!(
        found.iter().filter(held).count() * 4 >= after.len() * 3,
        "{found:?}"
    );
    // Clicked 2 mm off, where the reach does not go, a landmark stays.
    let far = snaps(&shot, &plate, 3, 80.0);
    assert!(far.iter().all(|f| f.after.is_none()), "{far:?}");

    // The rest from three.
    let set = landmarks(side);
    let photo = Picture::new(shot.pixels.clone());
    let mut placed: BTreeMap<_, _> = shot.landmarks();
    let keep: Vec<_> = [0, 3, 12].iter().map(|i| set[*i].name.clone()).collect();
    placed.retain(|name, _| keep.contains(name));
    let proposals = propose_rest(&photo, &plate.0, &plate.1, &set, &placed, None, DIAMETER_MM).unwrap();
    assert_eq!(proposals.len(), set.len() - 3);
    let truth = shot.landmarks();
    let good = proposals
        .iter()
        .filter_map(|p| p.outcome.ok().map(|s| (s.to - truth[&p.name]).length()))
        .collect::<Vec<_>>();
    assert!(good.len() * 4 >= proposals.len() * 3, "{proposals:?}");
    assert!(good.iter().all(|e| *e < WRONG_PX), "{good:?}");

    // A crop moved by a known shift.
    let frame = CropFrame {
        centre: set[3].place_mm,
        px_per_mm: 40.0,
        rotation_deg: 0.0,
        width_px: 180,
        height_px: 180,
    };
    let shift = nalgebra::Matrix3::new(1.0, 0.0, 0.06, 0.0, 1.0, -0.04, 0.0, 0.0, 1.0);
    let wrong = PictureFromSide::new(shot.truth.matrix() * shift.try_inverse().unwrap()).unwrap();
    let coin = cut(&photo, &wrong, &frame).pixels;
    let die = cut(&plate.0, &plate.1, &frame).pixels;
    let found = fine_shift(&coin, &die, 6.0).unwrap();
    // The photo was read too far left by 0.06 mm: its content lies 2.4 px right of the plate's.
    assert!((found.shift_px.x - 2.4).abs() < 0.6, "{found:?}");
    assert!((found.shift_px.y + 1.6).abs() < 0.6, "{found:?}");
    assert!(found.score > found.score_unshifted);
    assert_eq!(fine_shift(&coin, &die, 1.0), Err(SnapRefused::TooFar));
    // Elsewhere on the plate nothing is alike.
    let elsewhere = CropFrame {
        centre: SidePoint::new(-3.0, 2.0),
        ..frame
    };
    assert!(fine_shift(&coin, &cut(&plate.0, &plate.1, &elsewhere).pixels, 6.0).is_err());
}

/// Full run: `cargo test --release --test alignment snap_table -- --ignored --nocapture`
#[test]
#[ignore = "minutes; prints a table"]
fn snap_table() {
    let mut groups: BTreeMap<String, Vec<Click>> = BTreeMap::new();
    let mut plates: BTreeMap<String, (Picture, PictureFromSide)> = BTreeMap::new();
    let mut seed = 60_000;
    for _ in 0..5 {
        for wear in [0.0, 0.15, 0.35, 0.6, 0.85] {
            for light_deg in [-40.0, 50.0, 140.0, 230.0] {
                seed += 1;
                let side = Side::BOTH[(seed % 2) as usize];
                let shot = shot(seed, side, wear, light_deg);
                let designs = dies(side);
                let id = &designs[(seed / 2) as usize % designs.len()].id;
                let plate = plates.entry(id.to_string()).or_insert_with(|| {
                    let shot = plate(side, id, 1500).unwrap();
                    (Picture::new(shot.pixels), shot.truth)
                });
                let found = snaps(&shot, plate, seed, 0.0);
                for key in [
                    format!("wear {wear}"),
                    format!("wear {wear} light {light_deg}"),
                    format!("light from {light_deg} degrees"),
                    "all".to_owned(),
                ] {
                    groups.entry(key).or_default().extend(&found);
                }
            }
        }
    }
    println!("px at 40 px/mm; the plates are lit from about -40 degrees; wrong is beyond {WRONG_PX} px");
    for (key, found) in groups {
        let mut before: Vec<f64> = found.iter().map(|f| f.error).collect();
        let mut after: Vec<f64> = found.iter().filter_map(|f| Some(f.after?.0)).collect();
        let accepted = found.iter().filter_map(|f| f.after);
        let held = accepted
            .filter(|(error, deviation)| *error < DISC_95 * deviation)
            .count();
        let wrong = after.iter().filter(|e| **e > WRONG_PX).count();
        println!(
            "{key:26} {:4} clicks: before median {:.2} 95 % {:.2}; accepted {:.2}; after median {:.3} 95 % {:.2}; held by the 95 % disc {:.2}; wrong {wrong}",
            found.len(),
            quantile(&mut before, 0.5),
            quantile(&mut before, 0.95),
            after.len() as f64 / found.len() as f64,
            quantile(&mut after, 0.5),
            quantile(&mut after, 0.95),
            held as f64 / after.len() as f64,
        );
    }
}
