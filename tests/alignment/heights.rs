//! Learnt heights against SciPy's least squares, and against the truth that was simulated.

use std::collections::BTreeMap;

use dietell::align::{Sighting, adjust_heights, learn_heights};
use dietell::geometry::{PicturePoint, SidePoint, SideVector};
use dietell::reference::{Height, Landmark, LandmarkName};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;
use serde_json::Value;

use super::relief::Camera;
use super::views::{landmarks, measures};

fn numbers(value: &Value) -> Vec<f64> {
    value
        .as_array()
        .unwrap()
        .iter()
        .map(|v| v.as_f64().unwrap())
        .collect()
}

/// Reference: scipy.optimize.least_squares, every homography and every height free and derivatives numeric; made by
/// `tests/scripts/reference_heights.py`.
#[test]
fn heights_and_their_deviations_match_scipy() {
    let file: Value = serde_json::from_str(include_str!("../data/fits/heights.json")).unwrap();
    let number = |name: &str| file[name].as_f64().unwrap();
    let points: Vec<SidePoint> = file["points"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| SidePoint::new(numbers(p)[0], numbers(p)[1]))
        .collect();
    let pictures: Vec<Sighting> = file["pictures"]
        .as_array()
        .unwrap()
        .iter()
        .map(|picture| {
            let tilt = numbers(&picture["tilt"]);
            let marks = picture["marks"].as_array().unwrap().iter().map(numbers);
            Sighting {
                tilt: SideVector::new(tilt[0], tilt[1]),
                inverse_distance: picture["inverse_distance"].as_f64().unwrap(),
                noise_px: number("noise_px"),
                marks: marks
                    .map(|m| (m[0] as usize, PicturePoint::new(m[1], m[2])))
                    .collect(),
            }
        })
        .collect();
    let expected = Height {
        mm: number("mean"),
        deviation_mm: number("deviation"),
    };
    let found = adjust_heights(&points, &vec![expected; points.len()], &pictures).unwrap();
    let deviations = numbers(&file["deviations"]);
    for (index, mm) in numbers(&file["heights"]).into_iter().enumerate() {
        let ours = found.height(index).unwrap();
        assert!((ours.mm - mm).abs() < 1e-6, "{index}: {} {mm}", ours.mm);
        // SciPy's derivatives are numeric, and ours leave out how a height changes the homography's own.
        let ratio = ours.deviation_mm / deviations[index];
        assert!(
            (ratio - 1.0).abs() < 0.02,
            "{index}: {} {}",
            ours.deviation_mm,
            deviations[index]
        );
    }
}

/// From marks alone, cameras unknown: with each picture the heights come nearer to the truth, and they are off by what
/// they state.
#[test]
fn a_set_learns_heights_from_pictures_at_different_tilts() {
    let set = landmarks(10);
    let mut rng = ChaCha8Rng::seed_from_u64(77);
    let mut errors = |pictures: usize, trials: usize| {
        let (mut squares, mut stated, mut relative, mut total) = (0.0, 0.0, 0.0, 0.0);
        for _ in 0..trials {
            let truth: Vec<f64> = set.iter().map(|_| rng.random_range(0.1..0.35)).collect();
            let marks: Vec<BTreeMap<LandmarkName, PicturePoint>> = (0..pictures)
                .map(|_| {
                    let camera = Camera::some(rng.random_range(4.0..25.0), &mut rng);
                    let mark = |(l, h): (&Landmark, &f64)| {
                        let seen = camera.see(l.place_mm, *h);
                        let mut off = || 1.5 * rng.sample::<f64, _>(StandardNormal);
                        (l.name.clone(), PicturePoint::new(seen.x + off(), seen.y + off()))
                    };
                    set.iter().zip(&truth).map(mark).collect()
                })
                .collect();
            let found = learn_heights(&set, &measures(), &marks.iter().collect::<Vec<_>>()).unwrap();
            let off: Vec<f64> = found
                .iter()
                .zip(&truth)
                .map(|(height, truth)| height.mm - truth)
                .collect();
            squares += off.iter().map(|off| off * off).sum::<f64>();
            stated += found
                .iter()
                .map(|height| height.deviation_mm.powi(2))
                .sum::<f64>();
            relative += off_a_plane(&set, &off).iter().map(|off| off * off).sum::<f64>();
            total += off.len() as f64;
        }
        let [off, stated, relative] = [squares, stated, relative].map(|sum| f64::sqrt(sum / total));
        println!(
            "{pictures:2} pictures: off by {off:.4} mm, {relative:.4} to one another; stated {stated:.4} mm"
        );
        (off, stated, relative)
    };
    let (none, five, twenty) = (0.0722, errors(5, 40), errors(20, 20));
    assert!(
        five.0 < 0.9 * none && twenty.0 < 0.95 * five.0,
        "{five:?} {twenty:?}"
    );
    // To one another, which is what a fit needs, they are known better than as such.
    assert!(
        five.2 < 0.7 * none && twenty.2 < 0.75 * five.2,
        "{five:?} {twenty:?}"
    );
    for (off, stated, _) in [five, twenty] {
        assert!((0.75..1.25).contains(&(off / stated)), "{off} {stated}");
    }
}

/// What is left of the errors without the plane that fits them best: a height common to all landmarks, or growing along
/// a line, shows in no picture.
fn off_a_plane(set: &[Landmark], off: &[f64]) -> Vec<f64> {
    let rows = nalgebra::DMatrix::from_fn(off.len(), 3, |i, j| {
        [1.0, set[i].place_mm.x, set[i].place_mm.y][j]
    });
    let off = nalgebra::DVector::from_row_slice(off);
    let plane = (rows.transpose() * &rows).try_inverse().unwrap() * rows.transpose() * &off;
    (off - rows * plane).iter().copied().collect()
}
