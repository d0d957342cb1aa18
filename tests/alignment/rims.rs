//! The rim finder against minted truth.

use dietell::align::{RimNotFound, find_rim};
use dietell::photo::Picture;
use image::{Rgb, RgbImage};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;

use super::numbers::greatest;
use super::rim_photos::{errors, photo};
use super::views::true_rim;

#[test]
fn rims_of_minted_photos_are_found() {
    let found: Vec<_> = (0..8)
        .into_par_iter()
        .map(|i| {
            let (picture, truth, label) = photo(9000 + i, (640, 480));
            (errors(&picture, &truth), label)
        })
        .collect();
    let near = found
        .iter()
        .filter(|(e, _)| matches!(e, Ok((off, growth)) if *off < 0.006 && growth.abs() < 0.006))
        .count();
    assert!(near >= 7, "{found:?}");
}

#[test]
fn a_drawn_disc_is_measured_to_two_thousandths_of_its_radius() {
    // Nine samples a px make its edge smooth; half of it is cut off by no edge, its centre is between px.
    let disc = RgbImage::from_fn(700, 500, |x, y| {
        let mut inside = 0.0;
        for k in 0..9 {
            let (sx, sy) = (f64::from(k % 3) - 1.0, f64::from(k / 3) - 1.0);
            let (dx, dy) = (f64::from(x) + sx / 3.0 - 320.3, f64::from(y) + sy / 3.0 - 255.8);
            inside += f64::from(u8::from((dx / 190.0).hypot(dy / 176.0) < 1.0)) / 9.0;
        }
        Rgb([(60.0 + 120.0 * inside) as u8; 3])
    });
    let found = find_rim(&Picture::new(disc)).unwrap();
    assert!((found.rim.centre.x - 320.3).abs() < 0.2, "{found:?}");
    assert!((found.rim.centre.y - 255.8).abs() < 0.2, "{found:?}");
    assert!((found.rim.long_px / 190.0 - 1.0).abs() < 0.002, "{found:?}");
    assert!((found.rim.short_px / 176.0 - 1.0).abs() < 0.002, "{found:?}");
    assert!(found.support > 0.95);
}

#[test]
fn a_picture_without_a_coin_has_no_rim() {
    let mut rng = ChaCha8Rng::seed_from_u64(1);
    let noise = RgbImage::from_fn(400, 300, |_, _| Rgb([rng.random_range(80..180); 3]));
    assert!(find_rim(&Picture::new(noise)).is_err());
    let board = RgbImage::from_fn(400, 300, |x, y| {
        Rgb([if (x / 40 + y / 40) % 2 == 0 { 60 } else { 190 }; 3])
    });
    assert!(find_rim(&Picture::new(board)).is_err());
    assert!(find_rim(&Picture::new(RgbImage::new(400, 300))).is_err());
    assert_eq!(
        find_rim(&Picture::new(RgbImage::new(20, 20))),
        Err(RimNotFound::TooSmall)
    );
}

/// Pieces of photos that show no coin: what lies beside one.
#[test]
fn beside_a_coin_there_is_no_rim() {
    let mut looked_at = 0;
    for i in 0..12 {
        let (picture, truth, label) = photo(9100 + i, (640, 480));
        let rim = true_rim(&truth);
        let (left, right) = (
            rim.centre.x - 1.03 * rim.long_px,
            rim.centre.x + 1.03 * rim.long_px,
        );
        let (from, to) = if left > 640.0 - right {
            (0.0, left)
        } else {
            (right, 640.0)
        };
        // Among other things there are other coins.
        if to - from < 150.0 || label.starts_with("Cluttered") {
            continue;
        }
        looked_at += 1;
        let level = &picture.levels()[0];
        let beside = image::imageops::crop_imm(level, from as u32, 0, (to - from) as u32, 480).to_image();
        let found = find_rim(&Picture::new(beside));
        assert!(found.is_err(), "{label}: {found:?}");
    }
    assert!(looked_at >= 3, "{looked_at}");
}

/// The coins of the photograph in tests/data/pictures, each with its surroundings, against the ellipses that
/// scikit-image's segmentation gives (tests/scripts/real_coins_rims.py): about 25 px in radius, worn, none of them
/// quite round, so that a px is 4 % of the radius and the two methods themselves differ by about that.
#[test]
fn rims_of_real_coins_are_found() {
    const AGREE: f64 = 0.06;
    let data = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data");
    let photo = image::open(data.join("pictures/coins.png")).unwrap().to_rgb8();
    let table = std::fs::read_to_string(data.join("real_coins_rims.csv")).unwrap();
    let coins: Vec<Vec<f64>> = table
        .lines()
        .skip(1)
        .map(|line| line.split(',').map(|v| v.parse().unwrap()).collect())
        .collect();
    // Half the cut's side as a share of the radius, so that neighbours reach into it, and how many are large enough.
    for (margin, least) in [(1.15, 15), (1.25, 23), (1.5, 23)] {
        let errors: Vec<Result<f64, RimNotFound>> = coins
            .par_iter()
            .map(|v| {
                let radius = (v[2] * v[3]).sqrt();
                let half = margin * v[2].max(v[3]);
                let (left, top) = ((v[0] - half).max(0.0), (v[1] - half).max(0.0));
                let (right, bottom) = (
                    (v[0] + half).min(f64::from(photo.width() - 1)),
                    (v[1] + half).min(f64::from(photo.height() - 1)),
                );
                let (x, y) = (left as u32, top as u32);
                let cut = image::imageops::crop_imm(&photo, x, y, right as u32 - x, bottom as u32 - y);
                let rim = find_rim(&Picture::new(cut.to_image()))?.rim;
                let (dx, dy) = (
                    rim.centre.x + f64::from(x) - v[0],
                    rim.centre.y + f64::from(y) - v[1],
                );
                let growth = (rim.long_px * rim.short_px).sqrt() / radius - 1.0;
                Ok(greatest([dx.hypot(dy) / radius, growth.abs()]))
            })
            .collect();
        let agree = errors.iter().filter(|e| matches!(e, Ok(e) if *e < AGREE)).count();
        let refused = errors.iter().filter(|e| e.is_err()).count();
        let wrong = coins.len() - agree - refused;
        println!(
            "margin {margin}: of {} real coins {agree} agree within 6 % of the radius, {wrong} do not, {refused} are refused",
            coins.len()
        );
        assert!(agree >= least && wrong == 0, "margin {margin}: {errors:?}");
    }
}
