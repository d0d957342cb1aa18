//! The demo mint: the coinage it promises, its truth, its determinism and its files.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

use std::collections::BTreeSet;
use std::io::Cursor;
use std::path::{Path, PathBuf};

use dietell::geometry::SidePoint;
use dietell::reference::{DieId, Feature, Side, Zone, open_set, validate};
use image::{DynamicImage, ImageDecoder, ImageReader, RgbImage};
use mint::{
    Backdrop, CameraOptions, DieDesign, Framing, JpegOptions, Light, LightKind, PLATE_PX, Shot,
    StrikeOptions, demo_coins, demo_set, dies, jpeg_bytes, landmarks, photograph, plate, plate_file, strike,
    strike_design, write_demo_set,
};

#[path = "../../support/numbers.rs"]
mod numbers;

use numbers::greatest;

/// The program's own folder of the demo.
fn reference() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference")
}

fn small() -> CameraOptions {
    CameraOptions {
        size_px: (560, 560),
        framing: Framing::PxPerMm(18.0),
        ..CameraOptions::default()
    }
}

fn shot(die: &DieDesign, camera: &CameraOptions) -> Shot {
    photograph(&strike_design(die, &StrikeOptions::as_struck(3)), camera).unwrap()
}

/// The mean absolute difference of two pictures, in grey levels, over the places of the side that `counts` accepts.
fn difference(a: &Shot, b: &Shot, counts: impl Fn(SidePoint) -> bool) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for (x, y, pixel) in a.pixels.enumerate_pixels() {
        let place = a
            .truth
            .point_on_side(dietell::geometry::PicturePoint::new(f64::from(x), f64::from(y)));
        if counts(place) {
            let other = b.pixels.get_pixel(x, y);
            sum += (0..3)
                .map(|k| f64::from(pixel.0[k].abs_diff(other.0[k])))
                .sum::<f64>()
                / 3.0;
            count += 1.0;
        }
    }
    sum / f64::max(count, 1.0)
}

fn inside(zone: &Zone, place: SidePoint) -> bool {
    let from_centre = place - zone.centre_mm;
    from_centre.x.abs() <= 0.5 * zone.size_mm.0 && from_centre.y.abs() <= 0.5 * zone.size_mm.1
}

#[test]
fn the_coinage_is_as_promised() {
    let set = demo_set();
    assert_eq!(set.pairings.len(), 8);
    for side in Side::BOTH {
        let part = set.side(side);
        assert!(part.dies.len() >= 4, "{side:?}");
        assert!(part.features.len() >= 6, "{side:?}");
        let zones: BTreeSet<_> = part.features.iter().map(|f| &f.zone).collect();
        assert!(zones.len() >= 6, "{side:?}");
        assert!(part.landmarks.len() >= 10, "{side:?}");
        assert!(
            part.zones
                .iter()
                .all(|z| (0.1..=0.4).contains(&z.telling_detail_mm))
        );
        // Every state that the set offers is shown by some die, or a verdict on it would be told by nobody.
        for feature in &part.features {
            for state in &feature.states {
                let shown = part
                    .dies
                    .iter()
                    .any(|d| d.shows.get(&feature.id) == Some(&state.id));
                assert!(shown, "{} of {}", state.id, feature.id);
            }
        }
    }
    let source = open_set(reference().join("demo")).unwrap().source;
    let errors = validate(&set, Some(&source));
    assert!(errors.is_empty(), "{errors:#?}");
}

#[test]
fn dies_of_a_side_differ_and_two_differ_only_subtly() {
    for side in Side::BOTH {
        let dies = dies(side);
        let mut closest = usize::MAX;
        for (i, a) in dies.iter().enumerate() {
            for b in &dies[i + 1..] {
                let differing = a
                    .states
                    .iter()
                    .filter(|(feature, state)| b.states.get(*feature) != Some(state));
                let differing = differing.count();
                assert!(differing > 0, "{} and {} are alike", a.id, b.id);
                closest = closest.min(differing);
            }
        }
        assert_eq!(closest, 1, "{side:?}: two dies differ in one feature only");
    }
}

#[test]
fn landmarks_are_spread_over_the_side() {
    for side in Side::BOTH {
        let places: Vec<_> = landmarks(side).into_iter().map(|l| l.place_mm).collect();
        for quarter in 0..4 {
            let (sx, sy) = ([1.0, -1.0][quarter % 2], [1.0, -1.0][quarter / 2]);
            let there = places
                .iter()
                .filter(|p| p.x * sx >= 0.0 && p.y * sy >= 0.0 && p.to_vector().length() > 3.0);
            assert!(there.count() >= 2, "{side:?}: quarter {sx} {sy}");
        }
    }
}

/// A feature's states must be seen in its zone, and nowhere else: otherwise a set made from the dies would lie.
#[test]
fn states_show_in_their_zone_and_only_there() {
    let set = demo_set();
    for side in Side::BOTH {
        let part = set.side(side);
        let die = &dies(side)[0];
        for feature in &part.features {
            let zone = part.zone(&feature.zone).unwrap();
            let pictures: Vec<Shot> = states(die, feature).iter().map(|d| shot(d, &small())).collect();
            for (i, a) in pictures.iter().enumerate() {
                for b in &pictures[i + 1..] {
                    let within = strongest(a, b, zone);
                    let outside = difference(a, b, |p| !inside(zone, p));
                    // 12 levels is twice the grain of a good phone photo (its deviation is about 6 levels).
                    assert!(
                        within > 12.0,
                        "{} {}: {within:.2} levels",
                        side.word(),
                        feature.id
                    );
                    assert!(
                        outside < 0.15,
                        "{} {}: {outside:.3} levels elsewhere",
                        side.word(),
                        feature.id
                    );
                }
            }
        }
    }
}

fn states(die: &DieDesign, feature: &Feature) -> Vec<DieDesign> {
    feature
        .states
        .iter()
        .map(|s| die.with_state(&feature.id, &s.id))
        .collect()
}

/// The strongest mean difference over any square of twice the telling detail inside the zone, in grey levels.
fn strongest(a: &Shot, b: &Shot, zone: &Zone) -> f64 {
    let step = 2.0 * zone.telling_detail_mm;
    let (across, down) = ((zone.size_mm.0 / step) as i32, (zone.size_mm.1 / step) as i32);
    let mut found = Vec::new();
    for row in 0..down {
        for column in 0..across {
            let left = zone.centre_mm.x - 0.5 * zone.size_mm.0 + f64::from(column) * step;
            let top = zone.centre_mm.y - 0.5 * zone.size_mm.1 + f64::from(row) * step;
            let scale = a.px_per_mm();
            let corner = a.truth.point_in_picture(SidePoint::new(left, top));
            let size = (step * scale).ceil() as u32;
            found.push(mean_difference(
                a,
                b,
                (corner.x.max(0.0) as u32, corner.y.max(0.0) as u32),
                size,
            ));
        }
    }
    greatest(found)
}

fn mean_difference(a: &Shot, b: &Shot, corner: (u32, u32), size: u32) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for y in corner.1..(corner.1 + size).min(a.pixels.height()) {
        for x in corner.0..(corner.0 + size).min(a.pixels.width()) {
            let (p, q) = (a.pixels.get_pixel(x, y), b.pixels.get_pixel(x, y));
            sum += (0..3).map(|k| f64::from(p.0[k].abs_diff(q.0[k]))).sum::<f64>() / 3.0;
            count += 1.0;
        }
    }
    sum / f64::max(count, 1.0)
}

#[test]
fn the_same_options_give_the_same_picture_and_other_seeds_another() {
    let die = DieId::from("R3");
    let camera = CameraOptions {
        noise: 0.2,
        defocus_px: 0.7,
        tilt_deg: 12.0,
        backdrop: Backdrop::Wood,
        ..small()
    };
    let take = |seed: u64, camera: &CameraOptions| {
        photograph(
            &strike(Side::Reverse, &die, &StrikeOptions::circulated(seed)).unwrap(),
            camera,
        )
        .unwrap()
        .pixels
    };
    let first = take(7, &camera);
    assert_eq!(first, take(7, &camera));
    assert_ne!(first, take(8, &camera), "another coin");
    assert_ne!(
        first,
        take(7, &CameraOptions { seed: 2, ..camera }),
        "another sensor noise"
    );
}

/// The picture itself must agree with the transform that it is handed out with: here by its outline, which the
/// camera draws from rays and not from the transform.
#[test]
fn the_rim_lies_where_the_truth_says() {
    for (tilt_deg, tilt_direction_deg, turn_deg) in
        [(0.0, 0.0, 0.0), (15.0, 30.0, 40.0), (28.0, 200.0, -110.0)]
    {
        let camera = CameraOptions {
            size_px: (640, 560),
            framing: Framing::PxPerMm(17.0),
            offset_px: (20.0, -13.0),
            distance_mm: 170.0,
            tilt_deg,
            tilt_direction_deg,
            turn_deg,
            backdrop: Backdrop::Paper,
            ..small()
        };
        let paper = shot(&dies(Side::Obverse)[0], &camera);
        let board = shot(
            &dies(Side::Obverse)[0],
            &CameraOptions {
                backdrop: Backdrop::Cloth,
                ..camera
            },
        );
        // What changes with the backdrop is not coin. The coin's area is compared with the truth's ellipse, widened
        // by the edge that a tilted coin shows.
        let mut wrong = 0;
        for (x, y, pixel) in paper.pixels.enumerate_pixels() {
            let other = board.pixels.get_pixel(x, y);
            let is_backdrop = (0..3).any(|k| pixel.0[k].abs_diff(other.0[k]) > 6);
            let place = paper
                .truth
                .point_on_side(dietell::geometry::PicturePoint::new(f64::from(x), f64::from(y)));
            let r = place.to_vector().length();
            // A pixel and a half on either side of the rim is left to the edge's own samples.
            let band = 1.5 / 17.0;
            let on_edge_wall = r > 14.0 && r < 14.0 + 1.9 * tilt_deg.to_radians().tan() * 1.15 + band;
            if (r < 14.0 - band && is_backdrop) || (r > 14.0 + band && !is_backdrop && !on_edge_wall) {
                wrong += 1;
            }
        }
        assert!(
            wrong < 12,
            "tilt {tilt_deg}: {wrong} px on the wrong side of the rim"
        );
    }
}

/// The scale at the middle is what was asked for, and along the tilt axis only.
#[test]
fn the_scale_is_the_one_asked_for() {
    let camera = CameraOptions {
        framing: Framing::PxPerMm(20.0),
        turn_deg: 33.0,
        ..small()
    };
    let truth = camera.truth().unwrap();
    assert!((truth.px_per_mm(SidePoint::origin()) - 20.0).abs() < 1e-9);
    assert!((truth.rotation_deg(SidePoint::origin()) - 33.0).abs() < 1e-9);
    let tilted = CameraOptions {
        tilt_deg: 30.0,
        ..camera
    }
    .truth()
    .unwrap();
    // The area shrinks by the cosine of the tilt.
    let expected = 20.0 * 30.0_f64.to_radians().cos().sqrt();
    assert!((tilted.px_per_mm(SidePoint::origin()) - expected).abs() < 1e-6);
    // Towards 0 degrees, the right, it leans away: there the scale is smaller.
    let (left, right) = (SidePoint::new(-10.0, 0.0), SidePoint::new(10.0, 0.0));
    let upright = CameraOptions {
        turn_deg: 0.0,
        tilt_deg: 30.0,
        ..camera
    }
    .truth()
    .unwrap();
    assert!(upright.px_per_mm(right) < upright.px_per_mm(left));
}

#[test]
fn light_and_wear_change_the_picture() {
    let die = &dies(Side::Obverse)[1];
    let lit = |direction_deg: f64| {
        let light = Light {
            direction_deg,
            elevation_deg: 45.0,
            kind: LightKind::Window,
        };
        shot(die, &CameraOptions { light, ..small() })
    };
    assert!(difference(&lit(-60.0), &lit(60.0), |p| p.to_vector().length() < 13.0) > 4.0);
    let worn = |wear: f64| {
        photograph(
            &strike_design(
                die,
                &StrikeOptions {
                    wear,
                    ..StrikeOptions::as_struck(3)
                },
            ),
            &small(),
        )
        .unwrap()
    };
    let roughness = |shot: &Shot| {
        let steps = shot.pixels.rows().flat_map(|row| {
            let row: Vec<i32> = row.map(|p| i32::from(p.0[1])).collect();
            row.windows(2).map(|w| (w[1] - w[0]).abs()).collect::<Vec<_>>()
        });
        steps.map(f64::from).sum::<f64>()
    };
    assert!(
        roughness(&worn(0.7)) < 0.9 * roughness(&worn(0.0)),
        "wear takes detail away"
    );
}

#[test]
fn turn_flags_make_the_stored_picture_upright_again() {
    let picture = RgbImage::from_fn(48, 32, |x, y| image::Rgb([(x * 5) as u8, (y * 7) as u8, 90]));
    for turn_flag in 1..=8 {
        let options = JpegOptions {
            quality: 100,
            turn_flag,
            icc_profile: Some(vec![1, 2, 3, 4]),
        };
        let bytes = jpeg_bytes(&picture, &options).unwrap();
        let mut decoder = ImageReader::new(Cursor::new(&bytes))
            .with_guessed_format()
            .unwrap()
            .into_decoder()
            .unwrap();
        let orientation = decoder.orientation().unwrap();
        assert_eq!(orientation.to_exif(), turn_flag);
        assert_eq!(decoder.icc_profile().unwrap(), Some(vec![1, 2, 3, 4]));
        let mut stored = DynamicImage::from_decoder(decoder).unwrap();
        stored.apply_orientation(orientation);
        let upright = stored.to_rgb8();
        assert_eq!(upright.dimensions(), picture.dimensions());
        let apart = upright
            .as_raw()
            .iter()
            .zip(picture.as_raw())
            .map(|(a, b)| u32::from(a.abs_diff(*b)));
        assert!(apart.max().unwrap() <= 12, "flag {turn_flag}");
    }
}

#[test]
fn unknown_dies_and_impossible_cameras_are_refused() {
    let refused = strike(Side::Obverse, &DieId::from("R1"), &StrikeOptions::default()).unwrap_err();
    assert!(refused.to_string().contains("no obverse die R1"), "{refused}");
    let coin = strike(Side::Obverse, &DieId::from("O1"), &StrikeOptions::default()).unwrap();
    for camera in [
        CameraOptions {
            size_px: (0, 10),
            ..small()
        },
        CameraOptions {
            framing: Framing::PxPerMm(0.0),
            ..small()
        },
        CameraOptions {
            distance_mm: f64::NAN,
            ..small()
        },
    ] {
        assert!(photograph(&coin, &camera).is_err());
    }
}

/// The committed files are those that this code makes: the set to the letter, a plate of each side but for what JPEG
/// costs.
#[test]
fn the_committed_demo_is_the_one_that_the_mint_makes() {
    let reference = reference();
    let made = tempfile::tempdir().unwrap();
    write_demo_set(made.path()).unwrap();
    let read = |p: std::path::PathBuf| std::fs::read_to_string(p).unwrap();
    assert_eq!(
        read(made.path().join("demo/set.ron")),
        read(reference.join("demo/set.ron")),
        "run `cargo run --release --bin mint -- demo`"
    );
    let opened = open_set(reference.join("demo")).unwrap();
    assert_eq!(opened.set, demo_set());
    for side in Side::BOTH {
        for die in dies(side) {
            assert!(reference.join("demo").join(plate_file(side, &die.id)).is_file());
        }
    }
    for name in ["circulated-landmarks.csv", "worn-landmarks.csv"] {
        assert_eq!(
            read(made.path().join("demo-coins").join(name)),
            read(reference.join("demo-coins").join(name))
        );
    }
    for coin in demo_coins() {
        assert!(reference.join("demo-coins").join(&coin.file).is_file());
    }
    for (side, die) in [(Side::Obverse, "O3"), (Side::Reverse, "R5")] {
        let die = DieId::from(die);
        let again = plate(side, &die, PLATE_PX).unwrap().pixels;
        let file = reference.join("demo").join(plate_file(side, &die));
        let committed = image::open(file).unwrap().to_rgb8();
        let apart = again
            .as_raw()
            .iter()
            .zip(committed.as_raw())
            .map(|(a, b)| f64::from(a.abs_diff(*b)));
        let mean = apart.sum::<f64>() / again.as_raw().len() as f64;
        // What JPEG of quality 88 costs is about one level.
        assert!(mean < 2.0, "{side:?} {die}: {mean:.2} levels apart");
    }
}
