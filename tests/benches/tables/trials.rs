//! Error of the fits against the bound, coverage of the 95 % discs, and the rule that chooses the model.

use std::collections::BTreeMap;

use dietell::align::{Marked, align};
use dietell::geometry::{Correspondence, Model, PictureFromSide, fit};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::numbers::least;
use super::views::{bound_mm, landmarks, measures, noise_of_some_hand, place, run, view, zones};

/// Coverage of the 95 % discs by number of landmarks, tilt and hand.
pub fn coverage(trials: usize) {
    println!(
        "coverage of the 95 % discs / RMS error mm / median radius mm / share S A H; {trials} trials x 6 zones"
    );
    for count in [2, 3, 4, 5, 6, 9] {
        for (label, tilt) in [
            ("square", Some(0.0)),
            ("5", Some(5.0)),
            ("10", Some(10.0)),
            ("17", Some(17.0)),
            ("25", Some(25.0)),
            ("0..25", None),
        ] {
            for noise in [Some(1.5), None] {
                let o = run(trials, count, None, |rng| {
                    let tilt = tilt.unwrap_or_else(|| rng.random_range(0.0..25.0));
                    (view(tilt, rng), noise.unwrap_or_else(|| noise_of_some_hand(rng)))
                });
                println!(
                    "n={count} tilt={label:7} noise={:9} {:.3} {:.4} {:.4}  {:.2} {:.2} {:.2}",
                    noise.map_or("hands".into(), |n| format!("{n} px")),
                    o.covered,
                    o.rms_mm,
                    o.median_radius_mm,
                    o.chosen[0],
                    o.chosen[1],
                    o.chosen[2]
                );
            }
        }
    }
}

/// Error of the fits against the Cramer-Rao bound.
pub fn bound(trials: usize) {
    println!(
        "RMS error at the zones against the Cramer-Rao bound, model held, noise 1.5 px; {trials} trials"
    );
    for model in Model::ALL {
        for count in [4, 5, 6, 9] {
            let o = run(trials, count, Some(model), |rng| (view(0.0, rng), 1.5));
            let bound = bound_mm(model, count);
            println!(
                "{model:?} n={count} RMS {:.4} mm bound {bound:.4} mm ratio {:.3}",
                o.rms_mm,
                o.rms_mm / bound
            );
        }
    }
    println!("coverage, model chosen, tilt 0 to 25 degrees, hands that differ");
    for count in [2, 3, 4, 5, 6, 9] {
        let o = run(trials, count, None, |rng| {
            let tilt = rng.random_range(0.0..25.0);
            (view(tilt, rng), noise_of_some_hand(rng))
        });
        println!(
            "n={count} covered {:.4} RMS {:.4} mm median radius {:.4} mm",
            o.covered, o.rms_mm, o.median_radius_mm
        );
    }
}

/// How a rule of choice fares: root mean square error at the zones in mm.
fn rule_rms(
    trials: usize,
    count: usize,
    tilt: f64,
    rule: impl Fn(&[Correspondence], &PictureFromSide) -> PictureFromSide,
) -> f64 {
    let mut rng = ChaCha8Rng::seed_from_u64(78);
    let (landmarks, zones) = (landmarks(count), zones());
    let (mut squares, mut total) = (0.0, 0.0);
    for _ in 0..trials {
        let truth = view(tilt, &mut rng);
        let placed = place(&landmarks, &truth, 1.5, &mut rng);
        let points: Vec<_> = landmarks
            .iter()
            .map(|l| Correspondence {
                on_side: l.place_mm,
                in_picture: placed[&l.name],
            })
            .collect();
        let found = rule(&points, &truth);
        for zone in &zones {
            let off = found.point_on_side(truth.point_in_picture(*zone)) - *zone;
            squares += off.square_length();
            total += 1.0;
        }
    }
    f64::sqrt(squares / total)
}

/// AICc with the noise pooled with its prior: n log s^2 + 2k + 2k(k+1)/(m-k-1), m coordinates.
fn by_aicc(points: &[Correspondence]) -> PictureFromSide {
    let m = 2.0 * points.len() as f64;
    Model::ALL
        .iter()
        .filter_map(|model| fit(*model, points).ok())
        .map(|f| {
            let k = f.model.parameters() as f64;
            let pooled = (8.0 * 1.36_f64.powi(2) + f.squared_error_px2()) / (8.0 + m);
            let m8 = m + 8.0;
            let score = m8 * pooled.ln() + 2.0 * k + 2.0 * k * (k + 1.0) / (m8 - k - 1.0);
            (score, f)
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap()
        .1
        .picture_from_side
}

/// The least mean squared leave-one-out error.
fn by_leave_one_out(points: &[Correspondence]) -> PictureFromSide {
    Model::ALL
        .iter()
        .filter_map(|model| {
            let found = fit(*model, points).ok()?;
            let mut sum = 0.0;
            for i in 0..points.len() {
                let others: Vec<_> = (0..points.len()).filter(|k| *k != i).map(|k| points[k]).collect();
                let f = fit(*model, &others).ok()?;
                sum += (points[i].in_picture - f.picture_from_side.point_in_picture(points[i].on_side))
                    .square_length();
            }
            Some((sum, found))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, f)| f.picture_from_side)
        .unwrap_or_else(|| fit(Model::Similarity, points).unwrap().picture_from_side)
}

fn by_align(points: &[Correspondence]) -> PictureFromSide {
    let landmarks = landmarks(points.len());
    let placed: BTreeMap<_, _> = landmarks
        .iter()
        .zip(points)
        .map(|(l, c)| (l.name.clone(), c.in_picture))
        .collect();
    align(&landmarks, &measures(), Marked::from(&placed), &zones())
        .unwrap()
        .picture_from_side
}

/// The rule that chooses the model against others.
pub fn rules_of_choice(trials: usize) {
    println!("RMS error at the zones in mm, noise 1.5 px at 40 px/mm, {trials} trials");
    println!(
        "n tilt | similarity affine homography | AICc leave-one-out expected-error | the best model known"
    );
    for count in [3, 4, 5, 6, 9] {
        for tilt in [0.0, 3.0, 8.0, 15.0, 25.0] {
            let of = |model: Model| {
                if count < model.fewest_landmarks() {
                    return f64::NAN;
                }
                rule_rms(trials, count, tilt, |p, _| {
                    fit(model, p).unwrap().picture_from_side
                })
            };
            let fixed = Model::ALL.map(of);
            println!(
                "{count} {tilt:4} | {:.4} {:.4} {:.4} | {:.4} {:.4} {:.4} | {:.4}",
                fixed[0],
                fixed[1],
                fixed[2],
                rule_rms(trials, count, tilt, |p, _| by_aicc(p)),
                rule_rms(trials, count, tilt, |p, _| by_leave_one_out(p)),
                rule_rms(trials, count, tilt, |p, _| by_align(p)),
                least(fixed.iter().copied().filter(|rms| !rms.is_nan())),
            );
        }
    }
}
