//! Verdicts by pixels alone: for each feature the state whose plate looks most like the coin. No eye helps, so this
//! shows that coin and plates are cut to the same place, scale and turn, and that the plates show the dies.

use std::collections::BTreeMap;

use dietell::crop::{Crop, cut};
use dietell::evidence::{Prior, standing};
use dietell::photo::Picture;
use dietell::pipeline::{align_photo, align_plate, state_views, zone_frame, zone_uncertainty};
use dietell::reference::{DieId, Plate, ReferenceSet, Side};
use dietell::specimen::{Ruling, Verdict};
use mint::{CameraOptions, Framing, StrikeOptions, demo_set, photograph, plate, strike};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::zones::{photo, placed};

/// The scale of the crops compared, in px/mm.
const PX_PER_MM: f64 = 16.0;
/// The plates' width and height in px: smaller than those of the program, to be quick.
const PLATE_PX: u32 = 640;

/// A plate taken anew at the tests' size, with its landmarks.
fn small_plate(side: Side, die: &DieId) -> (Plate, Picture) {
    let shot = plate(side, die, PLATE_PX).unwrap();
    let listed = Plate {
        file: "plate.png".into(),
        landmarks: shot.landmarks(),
        source: String::new(),
        rights: String::new(),
    };
    (listed, Picture::new(shot.pixels))
}

/// The direction of the brightness's change at each pixel, doubled so that light from the other side gives the same,
/// as long as the change is strong.
fn directions(crop: &Crop) -> Vec<(f64, f64)> {
    let (width, height) = crop.pixels.dimensions();
    let grey = |x: u32, y: u32| f64::from(crop.pixels.get_pixel(x, y).0[1]);
    let mut all = vec![(0.0, 0.0); (width * height) as usize];
    for y in 1..height - 1 {
        for x in 1..width - 1 {
            let (dx, dy) = (grey(x + 1, y) - grey(x - 1, y), grey(x, y + 1) - grey(x, y - 1));
            let strength = dx.hypot(dy);
            if strength > 0.0 {
                let doubled = (dx * dx - dy * dy, 2.0 * dx * dy);
                all[(y * width + x) as usize] = (doubled.0 / strength, doubled.1 / strength);
            }
        }
    }
    all
}

/// The likeness of two fields of directions, at best over shifts of up to so many px.
fn likeness(a: &[(f64, f64)], b: &[(f64, f64)], width: usize, most: isize) -> f64 {
    let height = a.len() / width;
    let mut best = f64::NEG_INFINITY;
    for sy in -most..=most {
        for sx in -most..=most {
            let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
            for y in most..height as isize - most {
                for x in most..width as isize - most {
                    let p = a[(y * width as isize + x) as usize];
                    let q = b[((y + sy) * width as isize + x + sx) as usize];
                    ab += p.0 * q.0 + p.1 * q.1;
                    aa += p.0 * p.0 + p.1 * p.1;
                    bb += q.0 * q.0 + q.1 * q.1;
                }
            }
            best = best.max(ab / (aa * bb).sqrt().max(f64::MIN_POSITIVE));
        }
    }
    best
}

/// How a coin of that die is taken by phone, unworn: tilted up to 15 degrees, turned anyhow.
fn camera(random: &mut impl Rng) -> CameraOptions {
    CameraOptions {
        size_px: (760, 760),
        framing: Framing::Fill(0.88),
        distance_mm: 220.0,
        tilt_deg: random.random_range(0.0..15.0),
        tilt_direction_deg: random.random_range(0.0..360.0),
        turn_deg: random.random_range(-180.0..180.0),
        defocus_px: 0.6,
        noise: 0.1,
        seed: random.random(),
        ..CameraOptions::default()
    }
}

/// For each feature of the side the state that the pixels choose and the true one, by place.
fn choices(
    set: &ReferenceSet,
    side: Side,
    die: &DieId,
    plates: &BTreeMap<(Side, DieId), (Plate, Picture)>,
    random: &mut ChaCha8Rng,
) -> Vec<(Verdict, bool)> {
    let coin = strike(side, die, &StrikeOptions::as_struck(random.random())).unwrap();
    let shot = photograph(&coin, &camera(random)).unwrap();
    let record = photo(placed(set, side, &shot.truth, None, random));
    let picture = Picture::new(shot.pixels.clone());
    let aligned = align_photo(set, side, &record).unwrap();
    let reference = set.side(side);
    let mut chosen = Vec::new();
    for feature in &reference.features {
        let zone = reference.zone(&feature.zone).unwrap();
        let frame = zone_frame(zone, PX_PER_MM, 0.0);
        let seen = directions(&cut(&picture, &aligned.picture_from_side, &frame));
        let mut likenesses = Vec::new();
        for view in state_views(reference, feature) {
            let (die, _) = view.plate.unwrap();
            let (listed, picture) = &plates[&(side, die)];
            let plate = align_plate(set, side, listed).unwrap();
            let crop = directions(&cut(picture, &plate.picture_from_side, &frame));
            let within_mm = zone_uncertainty(&aligned, Some(&plate), zone).radius95_mm;
            let most = (within_mm * PX_PER_MM).ceil().min(6.0) as isize;
            likenesses.push((likeness(&seen, &crop, frame.width_px as usize, most), view.state));
        }
        let best = likenesses
            .into_iter()
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap()
            .1;
        let right = shot.die.states.get(&feature.id) == Some(&best);
        let verdict = Verdict {
            side,
            feature: feature.id.clone(),
            state: best,
            ruling: Ruling::Agrees,
            note: String::new(),
            seen: None,
        };
        chosen.push((verdict, right));
    }
    chosen
}

#[test]
fn the_pixels_alone_find_most_states_and_the_true_pairing() {
    let set = demo_set();
    let plates: BTreeMap<(Side, DieId), (Plate, Picture)> = Side::BOTH
        .into_iter()
        .flat_map(|side| set.side(side).dies.iter().map(move |die| (side, die.id.clone())))
        .map(|key| (key.clone(), small_plate(key.0, &key.1)))
        .collect();
    let mut random = ChaCha8Rng::seed_from_u64(7);
    let (mut right, mut all, mut found) = (0, 0, 0);
    let mut wrong: BTreeMap<String, usize> = BTreeMap::new();
    for (index, pairing) in set.pairings.iter().enumerate() {
        let mut verdicts = Vec::new();
        for (side, die) in [
            (Side::Obverse, &pairing.obverse),
            (Side::Reverse, &pairing.reverse),
        ] {
            for (verdict, is_right) in choices(&set, side, die, &plates, &mut random) {
                all += 1;
                right += usize::from(is_right);
                if !is_right {
                    *wrong
                        .entry(format!("{} {}", side.word(), verdict.feature))
                        .or_default() += 1;
                }
                verdicts.push(verdict);
            }
        }
        let standing = standing(&set, &BTreeMap::new(), None, &verdicts, Prior::Equal);
        let likeliest = standing
            .pairings
            .iter()
            .max_by(|a, b| a.probability.total_cmp(&b.probability))
            .unwrap();
        found += usize::from(likeliest.index == index);
    }
    println!(
        "{right} of {all} states right, {found} of {} pairings likeliest; wrong: {wrong:?}",
        set.pairings.len()
    );
    // Measured so far: 75 to 84 % of the states, 7 of the 8 pairings; guessing finds half of the states. 90 right
    // guesses of 128 have a chance below 1 in 100,000.
    assert!(right >= 90, "{right} of {all}: {wrong:?}");
    assert!(found >= 6, "{found}");
}
