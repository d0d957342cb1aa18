//! Zones land where the program says, as often as it says.

use std::collections::BTreeMap;

use dietell::geometry::{PictureFromSide, PicturePoint};
use dietell::pipeline::align_photo;
use dietell::reference::{LandmarkName, ReferenceSet, Side};
use dietell::specimen::SidePhoto;
use mint::{CameraOptions, Framing, demo_set};
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Normal};

/// The hand's deviation a coordinate, in px.
pub const HAND_PX: f64 = 1.5;
/// The greatest tilt, in degrees.
const GREATEST_TILT_DEG: f64 = 25.0;

/// A camera held anyhow: any turn, tilts up to 25 degrees in any direction, near or far, 12 to 60 px/mm.
pub fn any_camera(random: &mut impl Rng) -> CameraOptions {
    CameraOptions {
        size_px: (2400, 2400),
        framing: Framing::PxPerMm(random.random_range(12.0..60.0)),
        offset_px: (random.random_range(-80.0..80.0), random.random_range(-80.0..80.0)),
        distance_mm: random.random_range(150.0..500.0),
        tilt_deg: random.random_range(0.0..GREATEST_TILT_DEG),
        tilt_direction_deg: random.random_range(0.0..360.0),
        turn_deg: random.random_range(-180.0..180.0),
        ..CameraOptions::default()
    }
}

/// All landmarks of a side, or as many as asked for, placed with the shaky hand.
pub fn placed(
    set: &ReferenceSet,
    side: Side,
    truth: &PictureFromSide,
    count: Option<usize>,
    random: &mut impl Rng,
) -> BTreeMap<LandmarkName, PicturePoint> {
    let hand = Normal::new(0.0, HAND_PX).unwrap();
    let all = &set.side(side).landmarks;
    let chosen: Vec<_> = all.choose_multiple(random, count.unwrap_or(all.len())).collect();
    chosen
        .into_iter()
        .map(|landmark| {
            let p = truth.point_in_picture(landmark.place_mm);
            (
                landmark.name.clone(),
                PicturePoint::new(p.x + hand.sample(random), p.y + hand.sample(random)),
            )
        })
        .collect()
}

pub fn photo(landmarks: BTreeMap<LandmarkName, PicturePoint>) -> SidePhoto {
    SidePhoto {
        file: "photo.jpg".into(),
        original_name: String::new(),
        sha256: String::new(),
        width_px: 2400,
        height_px: 2400,
        landmarks,
        held_model: None,
        rim: None,
        fine_shifts: BTreeMap::new(),
    }
}

/// How often zones lie within their predicted 95 % radius, by zone, over so many photos a side.
fn coverage(photos: usize, count: Option<usize>, seed: u64) -> BTreeMap<(Side, String), usize> {
    let set = demo_set();
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut within: BTreeMap<(Side, String), usize> = BTreeMap::new();
    for side in Side::BOTH {
        for _ in 0..photos {
            let truth = any_camera(&mut random).truth().unwrap();
            let photo = photo(placed(&set, side, &truth, count, &mut random));
            let alignment = align_photo(&set, side, &photo).unwrap();
            for zone in &set.side(side).zones {
                let there = alignment.picture_from_side.point_in_picture(zone.centre_mm);
                // The place on the side that is truly shown where the zone is drawn.
                let off_mm = (truth.point_on_side(there) - zone.centre_mm).length();
                let held = off_mm <= alignment.uncertainty_at(zone.centre_mm).radius95_mm;
                *within.entry((side, zone.id.to_string())).or_default() += usize::from(held);
            }
        }
    }
    within
}

/// Photos a side. The photos are independent, the zones of one are not: the bound is for one zone over the photos.
const PHOTOS: usize = 400;

/// A share of 95 % seen over [`PHOTOS`] trials has a deviation of (0.95 x 0.05 / 400)^0.5 = 1.09 %; four of them are
/// passed by chance once in some 15,000 zones. Below that the prediction is too bold. Above, up to all, it is cautious,
/// which the pooled rate bounds.
const FEWEST_WITHIN: usize = 362;

fn assert_coverage(count: Option<usize>, seed: u64, pooled_at_most: f64) {
    let within = coverage(PHOTOS, count, seed);
    assert_eq!(within.len(), 16);
    let pooled = within.values().sum::<usize>() as f64 / (within.len() * PHOTOS) as f64;
    println!(
        "{count:?} landmarks: {:.2} % of zones within the predicted 95 %; {within:?}",
        100.0 * pooled
    );
    assert!(within.values().all(|&held| held >= FEWEST_WITHIN), "{within:?}");
    assert!((0.93..=pooled_at_most).contains(&pooled), "{pooled}");
}

#[test]
fn zones_lie_within_the_predicted_uncertainty_by_all_landmarks() {
    assert_coverage(None, 25, 0.98);
}

#[test]
fn zones_lie_within_the_predicted_uncertainty_by_six_landmarks() {
    assert_coverage(Some(6), 26, 0.99);
}

#[test]
fn zones_lie_within_the_predicted_uncertainty_by_four_landmarks() {
    assert_coverage(Some(4), 27, 0.995);
}

#[test]
fn the_check_notices_a_program_that_promises_too_much() {
    // The same count with radii of six tenths: 1 - 0.05^0.36 = 66 % expected.
    let set = demo_set();
    let mut random = ChaCha8Rng::seed_from_u64(28);
    let zone = &set.obverse.zones[0];
    let mut within = 0;
    for _ in 0..PHOTOS {
        let truth = any_camera(&mut random).truth().unwrap();
        let photo = photo(placed(&set, Side::Obverse, &truth, None, &mut random));
        let alignment = align_photo(&set, Side::Obverse, &photo).unwrap();
        let there = alignment.picture_from_side.point_in_picture(zone.centre_mm);
        let off_mm = (truth.point_on_side(there) - zone.centre_mm).length();
        within += usize::from(off_mm <= 0.6 * alignment.uncertainty_at(zone.centre_mm).radius95_mm);
    }
    assert!(within < FEWEST_WITHIN, "{within}");
}
