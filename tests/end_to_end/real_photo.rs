//! A photograph of real coins: scikit-image's coins.png, 384 x 303 px, open data of a museum in the package's own copy.
//! The set is made by hand for one coin of it and knows nothing of it but its edges; its mm are ours, 2 px each.

use std::fs;
use std::path::PathBuf;

use super::verbs::{done, report};

/// The left and right edge of the last coin of the first row, halfway between coin and ground on the row y = 44.
const TABLE: &str = "obverse,north,304.5,44\nobverse,south,364,44\n";

/// Down on the side is right on the photo, so that the crop must turn the coin by a quarter.
const SET: &str = r#"(
  format: 1, id: "edges", edition: 1, title: "One coin by its edges", measures: (diameter_mm: 29.75),
  obverse: (
    landmarks: [(name: "north", place_mm: (0.0, -14.875)), (name: "south", place_mm: (0.0, 14.875))],
    zones: [(id: "whole", title: "All of it", centre_mm: (0.0, 0.0), size_mm: (34.0, 34.0), telling_detail_mm: 1.0)],
    features: [(id: "all", question: "What is there?", zone: "whole", reliability: 0.9,
                states: [(id: "coin", words: "a coin"), (id: "none", words: "none")])],
  ),
  reverse: (),
)"#;

#[test]
fn a_photo_of_real_coins_is_aligned_by_two_landmarks_and_cropped_true_to_scale() {
    let data = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data");
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
    fs::create_dir(path("set")).unwrap();
    fs::write(path("set/set.ron"), SET).unwrap();
    fs::write(path("table.csv"), TABLE).unwrap();
    let photo = data.join("pictures/coins.png").to_string_lossy().into_owned();
    let (coin, set, table, crops) = (path("coin"), path("set"), path("table.csv"), path("crops"));
    done(&[
        "new",
        &coin,
        "--set",
        &set,
        "--obverse",
        &photo,
        "--landmarks",
        &table,
    ]);

    let aligned = report(&["align", &coin]);
    let alignment = &aligned["sides"][0]["alignment"];
    assert_eq!(alignment["model"], "similarity");
    let expected = [[0.0, 2.0, 334.25], [-2.0, 0.0, 44.0], [0.0, 0.0, 1.0]];
    for (row, expected) in expected.iter().enumerate() {
        for (column, expected) in expected.iter().enumerate() {
            let ours = alignment["photo_from_side"][row][column].as_f64().unwrap();
            assert!((ours - expected).abs() < 1e-6, "{row}, {column}: {ours}");
        }
    }
    // Two landmarks leave no check on one another, and the program must not pretend to more than it has.
    let uncertainty = alignment["zones"][0]["uncertainty_mm"].as_f64().unwrap();
    assert!((0.2..5.0).contains(&uncertainty), "{uncertainty}");

    report(&["crops", &coin, "--out", &crops, "--px-per-mm", "6"]);
    let ours = image::open(path("crops/obverse_all_coin.png"))
        .unwrap()
        .to_luma8();
    let reference = image::open(data.join("real_coin_crop_opencv.png"))
        .unwrap()
        .to_luma8();
    assert_eq!(ours.dimensions(), reference.dimensions());
    // The kernels differ (OpenCV's cubic has a = -0.75), so the pictures are close and not the same; half a px of
    // the photo, 1.5 px of the crop, is far outside of that.
    let mean = |shift: u32| {
        let pairs = reference.enumerate_pixels().filter(|(x, ..)| *x >= shift);
        let off: Vec<f64> = pairs
            .map(|(x, y, pixel)| (f64::from(pixel[0]) - f64::from(ours.get_pixel(x - shift, y)[0])).abs())
            .collect();
        off.iter().sum::<f64>() / off.len() as f64
    };
    println!(
        "mean difference from OpenCV's crop: {:.2} levels, {:.2} shifted by 2 px",
        mean(0),
        mean(2)
    );
    assert!(mean(0) < 2.0 && mean(2) > 5.0, "{} {}", mean(0), mean(2));

    // The coin's upper and lower edge, read on the photo's column x = 334 at y = 15.5 and 71.5, which is 14.25 mm to
    // the right and 13.75 mm to the left on the side. The coin is brighter than the ground by 100 levels and more.
    let row: Vec<f64> = (0..204).map(|x| f64::from(ours.get_pixel(x, 101)[0])).collect();
    let place_mm = |x: usize| (x as f64 + 0.5 - 101.5) / 6.0;
    let steepest = |range: std::ops::Range<usize>| {
        range
            .max_by(|&a, &b| {
                (row[a + 1] - row[a])
                    .abs()
                    .total_cmp(&(row[b + 1] - row[b]).abs())
            })
            .unwrap()
    };
    let (left, right) = (place_mm(steepest(5..40)), place_mm(steepest(165..199)));
    assert!(
        (left + 13.75).abs() < 0.25 && (right - 14.25).abs() < 0.25,
        "{left} {right}"
    );
}
