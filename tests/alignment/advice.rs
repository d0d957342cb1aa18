//! What an alignment says of its landmarks, and alignments by the rim.

use std::collections::BTreeMap;

use dietell::align::{Advice, AlignError, Alignment, Marked, Rim, align};
use dietell::geometry::{Model, PictureFromSide, PicturePoint, SidePoint};
use dietell::reference::{Landmark, LandmarkName};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::numbers::greatest;
use super::views::{landmarks, measures, pinhole, place, true_rim, zones};

fn aligned(
    landmarks: &[Landmark],
    placed: &BTreeMap<LandmarkName, PicturePoint>,
    rim: Option<&Rim>,
) -> Result<Alignment, AlignError> {
    let marked = Marked {
        rim,
        ..Marked::from(placed)
    };
    align(landmarks, &measures(), marked, &zones())
}

fn at(places: &[(f64, f64)]) -> Vec<Landmark> {
    places
        .iter()
        .enumerate()
        .map(|(i, (x, y))| Landmark {
            name: LandmarkName(format!("landmark {i}")),
            place_mm: SidePoint::new(*x, *y),
            height: None,
            hint: String::new(),
        })
        .collect()
}

fn square_on() -> PictureFromSide {
    pinhole(40.0, 0.0, 0.0, 50.0, 250.0)
}

#[test]
fn a_wrong_landmark_is_named_and_right_ones_are_not() {
    let mut rng = ChaCha8Rng::seed_from_u64(3);
    for tilt in [0.0, 12.0, 25.0] {
        // Six on a tilted photo leave too little to tell which is wrong.
        for count in if tilt > 20.0 { [7, 8, 9] } else { [6, 7, 9] } {
            let set = landmarks(count);
            let view = pinhole(40.0, tilt, 30.0, 77.0, 200.0);
            let mut placed = place(&set, &view, 1.3, &mut rng);
            let right = aligned(&set, &placed, None).unwrap();
            assert!(!right.landmarks.iter().any(|l| l.disagrees), "{tilt} {count}");
            let wrong = &set[3].name;
            let mark = placed.get_mut(wrong).unwrap();
            *mark += dietell::geometry::PictureVector::new(30.0, -25.0);
            let found = aligned(&set, &placed, None).unwrap();
            let named: Vec<_> = found
                .landmarks
                .iter()
                .filter(|l| l.disagrees)
                .map(|l| &l.name)
                .collect();
            assert_eq!(named, [wrong], "{tilt} {count}: {:?}", found.advice);
            assert!(matches!(&found.advice[0], Advice::Disagrees { name, .. } if name == wrong));
        }
    }
}

#[test]
fn three_landmarks_that_disagree_are_said_to_without_naming_one() {
    let set = landmarks(3);
    let mut placed = place(&set, &square_on(), 0.0, &mut ChaCha8Rng::seed_from_u64(1));
    placed.get_mut(&set[1].name).unwrap().x += 250.0;
    let found = aligned(&set, &placed, None).unwrap();
    assert!(found.advice.contains(&Advice::Disagreement), "{:?}", found.advice);
    assert!(!found.landmarks.iter().any(|l| l.disagrees));
}

#[test]
fn poor_layouts_get_their_sentence() {
    let mut rng = ChaCha8Rng::seed_from_u64(2);
    let line = at(&[(-12.0, 0.1), (-4.0, -0.1), (5.0, 0.0), (12.0, 0.2)]);
    let found = aligned(&line, &place(&line, &square_on(), 1.0, &mut rng), None).unwrap();
    assert_eq!(found.model, Model::Similarity);
    assert!(
        found.advice.contains(&Advice::NearlyCollinear),
        "{:?}",
        found.advice
    );

    let corner = at(&[(8.0, 8.0), (10.0, 8.0), (8.0, 10.0), (10.0, 10.0)]);
    let found = aligned(&corner, &place(&corner, &square_on(), 1.0, &mut rng), None).unwrap();
    assert!(found.advice.contains(&Advice::Clustered), "{:?}", found.advice);
    // Far from the cluster the place is less certain than in it.
    let far = found.uncertainty_at(SidePoint::new(-10.0, -10.0)).radius95_mm;
    let near = found.uncertainty_at(SidePoint::new(9.0, 9.0)).radius95_mm;
    assert!(far > 3.0 * near, "{far} {near}");

    let same = at(&[(5.0, 5.0), (5.0, 5.0)]);
    assert_eq!(
        aligned(&same, &place(&same, &square_on(), 1.0, &mut rng), None),
        Err(AlignError::Degenerate)
    );
    assert_eq!(
        aligned(
            &landmarks(1),
            &place(&landmarks(1), &square_on(), 1.0, &mut rng),
            None
        ),
        Err(AlignError::TooFew { needed: 2, given: 1 })
    );
    assert_eq!(
        aligned(&landmarks(2), &BTreeMap::new(), None),
        Err(AlignError::TooFew { needed: 2, given: 0 })
    );
}

#[test]
fn a_mirrored_photo_is_said_to_be_one() {
    let set = landmarks(5);
    let mut placed = place(&set, &square_on(), 1.0, &mut ChaCha8Rng::seed_from_u64(2));
    for mark in placed.values_mut() {
        mark.x = 3000.0 - mark.x;
    }
    let found = aligned(&set, &placed, None).unwrap();
    assert_eq!(found.advice.first(), Some(&Advice::Mirrored));
}

#[test]
fn a_held_model_is_kept_or_refused_and_its_bias_shows() {
    let mut rng = ChaCha8Rng::seed_from_u64(4);
    let set = landmarks(6);
    let tilted = pinhole(40.0, 20.0, 10.0, 0.0, 200.0);
    let placed = place(&set, &tilted, 1.0, &mut rng);
    let free = aligned(&set, &placed, None).unwrap();
    assert_eq!(free.model, Model::Homography);
    let hold = |placed, model| {
        let marked = Marked {
            hold: Some(model),
            ..Marked::from(placed)
        };
        align(&set, &measures(), marked, &zones())
    };
    let held = hold(&placed, Model::Similarity).unwrap();
    assert!(held.held);
    assert_eq!(held.model, Model::Similarity);
    for zone in zones() {
        let off = held
            .picture_from_side
            .point_on_side(tilted.point_in_picture(zone))
            - zone;
        assert!(off.length() <= held.uncertainty_at(zone).radius95_mm);
    }
    let three = place(&set[..3], &tilted, 1.0, &mut rng);
    assert_eq!(
        hold(&three, Model::Homography),
        Err(AlignError::TooFew { needed: 4, given: 3 })
    );
}

#[test]
fn the_next_landmark_lies_across_from_those_placed() {
    let set = at(&[(-11.0, 0.0), (-9.0, 3.0), (-10.0, -2.0), (11.0, 1.0)]);
    let placed = place(&set[..2], &square_on(), 1.0, &mut ChaCha8Rng::seed_from_u64(2));
    let found = aligned(&set, &placed, None).unwrap();
    let next = Advice::PlaceNext {
        name: set[3].name.clone(),
    };
    assert!(found.advice.contains(&next), "{:?}", found.advice);
}

#[test]
fn the_rim_and_one_landmark_show_the_zones() {
    let mut rng = ChaCha8Rng::seed_from_u64(9);
    let set = landmarks(1);
    for tilt in [0.0, 10.0, 20.0] {
        let view = pinhole(40.0, tilt, 60.0, 130.0, 220.0);
        let rim = true_rim(&view);
        let placed = place(&set, &view, 1.5, &mut rng);
        let found = aligned(&set, &placed, Some(&rim)).unwrap();
        if tilt > 15.0 {
            assert_eq!(found.model, Model::Affine);
        }
        for zone in zones() {
            let off = found.picture_from_side.point_on_side(view.point_in_picture(zone)) - zone;
            let radius = found.uncertainty_at(zone).radius95_mm;
            assert!(off.length() < 0.9, "{tilt} {zone:?}: {off:?}");
            assert!(off.length() <= radius, "{tilt} {zone:?}: {off:?} {radius}");
        }
    }
    let central = at(&[(0.3, 0.2)]);
    let placed = place(&central, &square_on(), 1.0, &mut rng);
    assert_eq!(
        aligned(&central, &placed, Some(&true_rim(&square_on()))),
        Err(AlignError::NoRotation)
    );
}

#[test]
fn the_rim_tells_the_tilt_that_two_landmarks_cannot_and_a_wrong_one_is_left_out() {
    let mut rng = ChaCha8Rng::seed_from_u64(9);
    let set = landmarks(2);
    let view = pinhole(40.0, 22.0, 60.0, 130.0, 220.0);
    let placed = place(&set, &view, 1.0, &mut rng);
    let worst = |found: &Alignment| {
        greatest(
            zones()
                .iter()
                .map(|z| (found.picture_from_side.point_on_side(view.point_in_picture(*z)) - *z).length()),
        )
    };
    let alone = aligned(&set, &placed, None).unwrap();
    let with = aligned(&set, &placed, Some(&true_rim(&view))).unwrap();
    assert!(
        worst(&with) < 0.6 * worst(&alone),
        "{} {}",
        worst(&with),
        worst(&alone)
    );
    let mut wrong = true_rim(&view);
    wrong.long_px *= 0.6;
    wrong.short_px *= 0.6;
    let without = aligned(&set, &placed, Some(&wrong)).unwrap();
    assert!(without.advice.contains(&Advice::RimDisagrees));
    assert_eq!(without.picture_from_side, alone.picture_from_side);
}
