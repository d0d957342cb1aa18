//! Landmarks clicked by a rough hand on minted coins, and snapped. For the tests and for the tables
//! (`tests/benches/tables.rs`).

use dietell::align::snap;
use dietell::geometry::{Correspondence, Model, PictureFromSide, PictureVector, SidePoint, fit};
use dietell::photo::Picture;
use dietell::reference::Side;
use mint::{
    Backdrop, CameraOptions, Framing, Light, LightKind, Shot, StrikeOptions, dies, landmarks, photograph,
    strike_design,
};
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

/// Beyond this a snap went to a wrong place, in px at 40 px/mm.
pub const WRONG_PX: f64 = 3.0;

/// A coin at 40 px/mm, lit from a direction, tilted up to 12 degrees.
pub fn shot(seed: u64, side: Side, wear: f64, light_deg: f64) -> Shot {
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
pub struct Click {
    /// How far off the click was.
    pub error: f64,
    /// Where the snap was not refused, its error and its predicted deviation each way.
    pub after: Option<(f64, f64)>,
}

/// The share of a normal error of two coordinates within this many deviations each way is 95 %: the root of -2 ln 0.05.
pub const DISC_95: f64 = 2.448;

/// Every landmark clicked with a hand's error, `off_px` further right, and snapped.
pub fn snaps(shot: &Shot, plate: &(Picture, PictureFromSide), seed: u64, off_px: f64) -> Vec<Click> {
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

/// The quantile `q` of some values; NaN of none.
pub fn quantile(values: &mut [f64], q: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    values
        .get(((values.len().max(1) - 1) as f64 * q) as usize)
        .copied()
        .unwrap_or(f64::NAN)
}
