//! Faults planted in the landmarks of a side's plates: each is found and named, and nothing else is.

use std::collections::BTreeMap;

use dietell::align::{MarkFault, MarkFaults, check_marks};
use dietell::geometry::{PicturePoint, PictureVector, SidePoint};
use dietell::reference::{Landmark, LandmarkName};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::relief::Camera;
use super::views::{landmarks, measures, pinhole, place};

type Marks = BTreeMap<LandmarkName, PicturePoint>;

/// Plates as a good studio makes them: nearly upright and square, clicks of 1.5 px at 40 px/mm.
fn plates(set: &[Landmark], count: usize, seed: u64) -> Vec<Marks> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    (0..count)
        .map(|_| {
            let view = pinhole(
                40.0,
                rng.random_range(0.0..6.0),
                rng.random_range(0.0..360.0),
                rng.random_range(-12.0..12.0),
                rng.random_range(200.0..400.0),
            );
            place(set, &view, 1.5, &mut rng)
        })
        .collect()
}

fn check(set: &[Landmark], plates: &[Marks]) -> MarkFaults {
    check_marks(set, &measures(), &plates.iter().collect::<Vec<_>>())
}

/// The faults of one plate, where neither the set nor any other plate has any.
fn only(faults: &MarkFaults, plate: usize) -> &[MarkFault] {
    assert!(faults.misplaced.is_empty(), "{faults:?}");
    for (index, found) in faults.on_plates.iter().enumerate() {
        assert!(index == plate || found.is_empty(), "plate {index}: {found:?}");
    }
    &faults.on_plates[plate]
}

#[test]
fn sound_plates_have_no_faults() {
    for count in [2, 3, 4, 6, 10] {
        let set = landmarks(count);
        for seed in 0..20 {
            for number in [1, 3] {
                let found = check(&set, &plates(&set, number, seed));
                assert!(found.misplaced.is_empty(), "{count} {seed}: {found:?}");
                assert!(
                    found.on_plates.iter().all(Vec::is_empty),
                    "{count} {seed}: {found:?}"
                );
            }
        }
    }
}

/// Tilted as a phone is held, with relief in perspective: what makes no plate is still no fault.
#[test]
fn a_tilted_view_of_relief_is_no_fault() {
    let set = landmarks(10);
    let mut rng = ChaCha8Rng::seed_from_u64(12);
    for _ in 0..40 {
        let camera = Camera::some(rng.random_range(0.0..18.0), &mut rng);
        let marks: Marks = set
            .iter()
            .map(|l| {
                (
                    l.name.clone(),
                    camera.see(l.place_mm, rng.random_range(0.1..0.35)),
                )
            })
            .collect();
        let found = check(&set, &[marks]);
        assert_eq!(found.on_plates, [vec![]]);
    }
}

#[test]
fn swapped_axes_are_named_with_plate_and_landmark() {
    for count in [3, 4, 5, 6, 10] {
        let set = landmarks(count);
        for seed in 0..20 {
            let mut all = plates(&set, 3, seed);
            // Off the picture's diagonal, where swapping moves a point.
            let name = &set[seed as usize % count].name;
            let mark = all[1].get_mut(name).unwrap();
            if (mark.x - mark.y).abs() < 150.0 {
                continue;
            }
            *mark = PicturePoint::new(mark.y, mark.x);
            let found = check(&set, &all);
            assert_eq!(
                only(&found, 1),
                [MarkFault::SwappedAxes(name.clone())],
                "{count} {seed}"
            );
        }
    }
}

#[test]
fn a_landmark_at_the_wrong_point_and_two_exchanged_are_named() {
    for count in [5, 6, 10] {
        let set = landmarks(count);
        for seed in 0..10 {
            let mut all = plates(&set, 2, seed);
            let name = &set[seed as usize % count].name;
            *all[0].get_mut(name).unwrap() += PictureVector::new(-70.0, 45.0);
            let found = check(&set, &all);
            let [MarkFault::Off { name: named, off_px }] = only(&found, 0) else {
                panic!("{count} {seed}: {found:?}");
            };
            assert_eq!(named, name);
            assert!((off_px - 83.0).abs() < 25.0, "{off_px}");
        }
    }
    let set = landmarks(6);
    let mut all = plates(&set, 2, 3);
    let (a, b) = (all[1][&set[0].name], all[1][&set[3].name]);
    all[1].insert(set[0].name.clone(), b);
    all[1].insert(set[3].name.clone(), a);
    let exchanged = MarkFault::Exchanged(set[0].name.clone(), set[3].name.clone());
    assert_eq!(only(&check(&set, &all), 1), [exchanged]);
}

#[test]
fn mirrored_inverted_and_foreign_plates_are_told() {
    let set = landmarks(6);
    let changed = |change: &dyn Fn(PicturePoint) -> PicturePoint| {
        let mut all = plates(&set, 4, 9);
        all[2].values_mut().for_each(|mark| *mark = change(*mark));
        check(&set, &all)
    };
    let mirrored = [MarkFault::Mirrored];
    assert_eq!(
        only(&changed(&|p| PicturePoint::new(3000.0 - p.x, p.y)), 2),
        mirrored
    );
    assert_eq!(
        only(&changed(&|p| PicturePoint::new(p.x, 2200.0 - p.y)), 2),
        mirrored
    );
    assert_eq!(only(&changed(&|p| PicturePoint::new(p.y, p.x)), 2), mirrored);
    let inverted = changed(&|p| PicturePoint::new(3000.0 - p.x, 2200.0 - p.y));
    assert_eq!(only(&inverted, 2), [MarkFault::UpsideDown]);
    // The marks of another design under this one's names.
    let mut all = plates(&set, 4, 9);
    let elsewhere = [
        (3.0, 9.0),
        (-8.0, -5.0),
        (-2.0, 4.0),
        (9.0, 2.0),
        (5.0, -9.0),
        (-7.0, 7.0),
    ];
    for (landmark, (x, y)) in set.iter().zip(elsewhere) {
        all[0].insert(
            landmark.name.clone(),
            PicturePoint::new(1500.0 + 40.0 * x, 1100.0 + 40.0 * y),
        );
    }
    assert_eq!(only(&check(&set, &all), 0), [MarkFault::NoView]);
}

#[test]
fn a_landmark_that_the_set_has_wrong_is_named_once_and_on_no_plate() {
    let truth = landmarks(8);
    let all = plates(&truth, 3, 21);
    let mut set = truth.clone();
    set[4].place_mm.x += 0.6;
    let found = check(&set, &all);
    assert!(found.on_plates.iter().all(Vec::is_empty), "{found:?}");
    let [wrong] = &found.misplaced[..] else {
        panic!("{found:?}");
    };
    assert_eq!(wrong.name, set[4].name);
    assert!((wrong.off_mm.x + 0.6).abs() < 0.15 && wrong.off_mm.y.abs() < 0.15 && !wrong.swapped);

    let mut set = truth.clone();
    let place = set[1].place_mm;
    set[1].place_mm = SidePoint::new(place.y, place.x);
    let found = check(&set, &all);
    assert!(
        found.misplaced.len() == 1 && found.misplaced[0].swapped,
        "{found:?}"
    );
    assert_eq!(found.misplaced[0].name, set[1].name);
}
