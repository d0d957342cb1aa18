//! Monte Carlo: error at the zones against the bound, coverage of the 95 % regions, and the rule that chooses the
//! model, on square and on tilted views.

use std::collections::BTreeMap;

use dietell::align::align;
use dietell::geometry::{Correspondence, Model, PictureFromSide, PicturePoint, SidePoint, fit};
use dietell::reference::{Landmark, LandmarkName};
use nalgebra::Matrix3;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{ChiSquared, Distribution, StandardNormal};

pub const DIAMETER_MM: f64 = 28.0;

/// A pinhole camera whose axis meets the side's origin at `distance_mm`, tilted by `tilt_deg` about an axis in the
/// side's plane at `axis_deg`, then turned on screen.
pub fn pinhole(
    px_per_mm: f64,
    tilt_deg: f64,
    axis_deg: f64,
    turn_deg: f64,
    distance_mm: f64,
) -> PictureFromSide {
    let z = |deg: f64| {
        let (s, c) = deg.to_radians().sin_cos();
        Matrix3::new(c, -s, 0.0, s, c, 0.0, 0.0, 0.0, 1.0)
    };
    let (s, c) = tilt_deg.to_radians().sin_cos();
    let about_x = Matrix3::new(1.0, 0.0, 0.0, 0.0, c, -s, 0.0, s, c);
    let turned = z(turn_deg) * z(axis_deg) * about_x * z(-axis_deg);
    let focal = px_per_mm * distance_mm;
    let camera = Matrix3::new(focal, 0.0, 1500.0, 0.0, focal, 1100.0, 0.0, 0.0, 1.0);
    let mut pose = turned;
    pose.set_column(2, &nalgebra::Vector3::new(0.0, 0.0, distance_mm));
    PictureFromSide::new(camera * pose).unwrap()
}

/// Landmarks well about the coin: the first ones of an order in which a user would place them.
pub fn landmarks(count: usize) -> Vec<Landmark> {
    let polar = [
        (11.0, 20.0),
        (11.5, 200.0),
        (10.5, 110.0),
        (12.0, 290.0),
        (0.8, 40.0),
        (11.0, 65.0),
        (12.0, 155.0),
        (10.0, 245.0),
        (11.5, 335.0),
    ];
    polar[..count]
        .iter()
        .enumerate()
        .map(|(i, (r, deg))| Landmark {
            name: LandmarkName(format!("landmark {i}")),
            place_mm: SidePoint::new(r * f64::to_radians(*deg).cos(), r * f64::to_radians(*deg).sin()),
            hint: String::new(),
        })
        .collect()
}

/// Zones between and beyond the landmarks.
pub fn zones() -> Vec<SidePoint> {
    [
        (0.0, 0.0),
        (6.0, 80.0),
        (6.0, 230.0),
        (10.0, 0.0),
        (12.0, 140.0),
        (12.5, 260.0),
    ]
    .iter()
    .map(|(r, deg)| SidePoint::new(r * f64::to_radians(*deg).cos(), r * f64::to_radians(*deg).sin()))
    .collect()
}

pub fn place(
    landmarks: &[Landmark],
    truth: &PictureFromSide,
    noise_px: f64,
    rng: &mut ChaCha8Rng,
) -> BTreeMap<LandmarkName, PicturePoint> {
    landmarks
        .iter()
        .map(|l| {
            let q = truth.point_in_picture(l.place_mm);
            let mut off = || noise_px * rng.sample::<f64, _>(StandardNormal);
            (l.name.clone(), PicturePoint::new(q.x + off(), q.y + off()))
        })
        .collect()
}

/// A view at random, tilted by exactly `tilt_deg`.
fn view(tilt_deg: f64, rng: &mut ChaCha8Rng) -> PictureFromSide {
    pinhole(
        40.0,
        tilt_deg,
        rng.random_range(0.0..360.0),
        rng.random_range(0.0..360.0),
        rng.random_range(120.0..350.0),
    )
}

/// Share of zones inside the 95 % disc, and root mean square error in mm.
struct Outcome {
    covered: f64,
    rms_mm: f64,
    median_radius_mm: f64,
    chosen: [f64; 3],
}

fn run(
    trials: usize,
    count: usize,
    hold: Option<Model>,
    mut truth: impl FnMut(&mut ChaCha8Rng) -> (PictureFromSide, f64),
) -> Outcome {
    let mut rng = ChaCha8Rng::seed_from_u64(77);
    let (landmarks, zones) = (landmarks(count), zones());
    let (mut covered, mut squares, mut total) = (0.0, 0.0, 0.0);
    let mut chosen = [0.0; 3];
    let mut radii = Vec::new();
    for _ in 0..trials {
        let (truth, noise_px) = truth(&mut rng);
        let placed = place(&landmarks, &truth, noise_px, &mut rng);
        let found = align(&landmarks, &placed, None, hold, DIAMETER_MM, &zones).unwrap();
        chosen[found.model as usize] += 1.0 / trials as f64;
        for zone in &zones {
            let off = found
                .picture_from_side
                .point_on_side(truth.point_in_picture(*zone))
                - *zone;
            let radius = found.uncertainty_at(*zone).radius95_mm;
            radii.push(radius);
            covered += f64::from(off.length() <= radius);
            squares += off.square_length();
            total += 1.0;
        }
    }
    radii.sort_by(f64::total_cmp);
    Outcome {
        covered: covered / total,
        rms_mm: (squares / total).sqrt(),
        median_radius_mm: radii[radii.len() / 2],
        chosen,
    }
}

/// The noise of hand placing as the alignment expects it to vary from user to user (see `src/align/noise.rs`).
fn noise_of_some_hand(rng: &mut ChaCha8Rng) -> f64 {
    let freedom = 8.0;
    1.36 * f64::sqrt(freedom / ChiSquared::new(freedom).unwrap().sample(rng))
}

/// As many as the environment asks for.
pub fn trials<N: std::str::FromStr>(default: N) -> N {
    std::env::var("TRIALS")
        .ok()
        .and_then(|t| t.parse().ok())
        .unwrap_or(default)
}

/// Full run: `TRIALS=10000 cargo test --test alignment coverage_table -- --ignored --nocapture`
#[test]
#[ignore = "minutes; prints a table"]
fn coverage_table() {
    let trials = trials(10_000);
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

/// Full run: `TRIALS=10000 cargo test --release --test alignment bound_table -- --ignored --nocapture`
#[test]
#[ignore = "minutes; prints a table"]
fn bound_table() {
    let trials = trials(10_000);
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

/// The Cramer-Rao bound on the root mean square error at the zones for a square view and a noise of 1.5 px at
/// 40 px/mm: for Gaussian noise the fit's own covariance at the truth.
fn bound_mm(model: Model, count: usize) -> f64 {
    let exact: Vec<_> = landmarks(count)
        .iter()
        .map(|l| Correspondence {
            on_side: l.place_mm,
            in_picture: PicturePoint::new(40.0 * l.place_mm.x, 40.0 * l.place_mm.y),
        })
        .collect();
    let exact = fit(model, &exact).unwrap();
    let mean: f64 = zones()
        .iter()
        .map(|z| exact.unit_covariance_at(*z).trace())
        .sum::<f64>()
        / zones().len() as f64;
    1.5 / 40.0 * mean.sqrt()
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
    let placed = landmarks
        .iter()
        .zip(points)
        .map(|(l, c)| (l.name.clone(), c.in_picture))
        .collect();
    align(&landmarks, &placed, None, None, DIAMETER_MM, &zones())
        .unwrap()
        .picture_from_side
}

#[test]
#[ignore = "minutes; prints a table"]
fn rules_of_choice_table() {
    let trials = trials(2_000);
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
                fixed.iter().copied().fold(f64::INFINITY, f64::min),
            );
        }
    }
}

/// A short form of the tables above, for every run.
#[test]
fn discs_hold_the_truth_about_nineteen_times_in_twenty() {
    for count in [3, 4, 6] {
        let o = run(150, count, None, |rng| {
            let tilt = rng.random_range(0.0..25.0);
            (view(tilt, rng), noise_of_some_hand(rng))
        });
        // 900 zones, in clumps of six: about 1.5 % of Monte Carlo error.
        assert!((0.91..0.99).contains(&o.covered), "{count}: {}", o.covered);
    }
    // Square views, the model held: error against the bound, which is the fit's own covariance.
    for model in Model::ALL {
        let o = run(150, 6, Some(model), |rng| (view(0.0, rng), 1.5));
        let bound = bound_mm(model, 6);
        assert!(
            (o.rms_mm / bound - 1.0).abs() < 0.12,
            "{model:?} {} {bound}",
            o.rms_mm
        );
    }
}
