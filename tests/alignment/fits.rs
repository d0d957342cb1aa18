//! Fits against independent libraries and against published error formulas.

use dietell::geometry::{
    Correspondence, FitError, Model, PictureFromSide, PicturePoint, PictureVector, SidePoint, fit,
};
use nalgebra::Matrix3;
use proptest::prelude::*;
use rand::SeedableRng;
use rand_distr::{Distribution, Normal};
use serde_json::Value;

fn pairs(value: &Value) -> Vec<(f64, f64)> {
    let number = |v: &Value| v.as_f64().unwrap();
    value
        .as_array()
        .unwrap()
        .iter()
        .map(|p| (number(&p[0]), number(&p[1])))
        .collect()
}

fn correspondences(on_side: &[(f64, f64)], in_picture: &[(f64, f64)]) -> Vec<Correspondence> {
    on_side
        .iter()
        .zip(in_picture)
        .map(|(p, q)| Correspondence {
            on_side: SidePoint::new(p.0, p.1),
            in_picture: PicturePoint::new(q.0, q.1),
        })
        .collect()
}

/// Reference: scikit-image (similarity), NumPy and OpenCV (affine), OpenCV refined by SciPy (homography); made by
/// `tests/scripts/reference_fits.py`.
#[test]
fn fits_match_independent_libraries_to_a_millionth_of_a_pixel() {
    let file: Value = serde_json::from_str(include_str!("../data/fits/reference.json")).unwrap();
    let mut compared = 0;
    for case in file["cases"].as_array().unwrap() {
        let points = correspondences(&pairs(&case["on_side"]), &pairs(&case["in_picture"]));
        let probe = pairs(&case["probe"]);
        for model in Model::ALL {
            let Some(expected) = case["fits"].get(format!("{model:?}")) else {
                continue;
            };
            let ours = fit(model, &points).unwrap();
            for (p, q) in probe.iter().zip(pairs(&expected["probe_in_picture"])) {
                let got = ours.picture_from_side.point_in_picture(SidePoint::new(p.0, p.1));
                let off = (got.x - q.0).hypot(got.y - q.1);
                assert!(off < 1e-6, "{model:?}: {off} px");
                compared += 1;
            }
        }
    }
    assert!(compared > 200, "{compared}");
}

#[test]
fn layouts_that_fix_nothing_are_refused() {
    let line: Vec<_> = (0..6).map(|i| (f64::from(i), 2.0 * f64::from(i))).collect();
    let seen: Vec<_> = line
        .iter()
        .map(|p| (40.0 * p.0 + 9.0, 40.0 * p.1 - 3.0))
        .collect();
    let points = correspondences(&line, &seen);
    assert!(fit(Model::Similarity, &points).is_ok());
    assert_eq!(fit(Model::Affine, &points), Err(FitError::Degenerate));
    assert_eq!(fit(Model::Homography, &points), Err(FitError::Degenerate));
    // All marked at one pixel; all one landmark.
    let one: Vec<_> = line.iter().map(|_| (7.0, 7.0)).collect();
    for model in Model::ALL {
        assert_eq!(
            fit(model, &correspondences(&line, &one)),
            Err(FitError::Degenerate)
        );
        assert_eq!(
            fit(model, &correspondences(&one, &seen)),
            Err(FitError::Degenerate)
        );
    }
    // Three of four on a line fix an affine map and no homography.
    let three = [(0.0, 0.0), (1.0, 1.0), (2.0, 2.0), (0.0, 5.0)];
    let points = correspondences(&three, &three);
    assert!(fit(Model::Affine, &points).is_ok());
    assert_eq!(fit(Model::Homography, &points), Err(FitError::Degenerate));
    assert_eq!(
        fit(Model::Homography, &points[..3]),
        Err(FitError::TooFew {
            model: Model::Homography,
            needed: 4,
            given: 3
        })
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, rng_seed: proptest::test_runner::RngSeed::Fixed(5), ..Default::default() })]

    /// Points seen through a known transform give it back, for every model that holds it.
    #[test]
    fn exact_points_give_the_transform_back(
        scale in 5.0..200.0f64, turn in -180.0..180.0f64, x in -100.0..4000.0f64, y in -100.0..4000.0f64,
        stretch in -0.08..0.08f64, shear in -0.08..0.08f64, px in -0.003..0.003f64, py in -0.003..0.003f64,
        wobble in prop::collection::vec((5.0..14.0f64, -0.3..0.3f64), 4..9),
    ) {
        let similar = PictureFromSide::similarity(scale, turn, PicturePoint::new(x, y)).unwrap();
        let change = |a: f64, b: f64, p: f64, q: f64| Matrix3::new(1.0 + a, b, 0.0, b, 1.0 - a, 0.0, p, q, 1.0);
        let n = wobble.len();
        let places: Vec<_> = wobble.iter().enumerate().map(|(i, (r, w))| {
            let angle = std::f64::consts::TAU * i as f64 / n as f64 + w;
            SidePoint::new(r * angle.cos(), r * angle.sin())
        }).collect();
        for (model, m) in [
            (Model::Similarity, Matrix3::identity()),
            (Model::Affine, change(stretch, shear, 0.0, 0.0)),
            (Model::Homography, change(stretch, shear, px, py)),
        ] {
            let truth = PictureFromSide::new(similar.matrix() * m).unwrap();
            let points: Vec<_> = places.iter()
                .map(|p| Correspondence { on_side: *p, in_picture: truth.point_in_picture(*p) }).collect();
            let found = fit(model, &points).unwrap();
            for p in &places {
                let off = found.picture_from_side.point_in_picture(*p) - truth.point_in_picture(*p);
                prop_assert!(off.length() < 1e-7, "{model:?} {}", off.length());
                let back = found.picture_from_side.point_on_side(truth.point_in_picture(*p));
                prop_assert!((back - *p).length() < 1e-8);
            }
        }
    }
}

/// Five landmarks at 13 mm and one central.
fn five_and_one() -> Vec<SidePoint> {
    let mut places: Vec<_> = (0..5)
        .map(|i| {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / 5.0).sin_cos();
            SidePoint::new(13.0 * cos, 13.0 * sin)
        })
        .collect();
    places.push(SidePoint::zero());
    places
}

const PX_PER_MM: f64 = 40.0;
const NOISE_MM: f64 = 0.08;

fn noisy(
    places: &[SidePoint],
    truth: &PictureFromSide,
    rng: &mut rand_chacha::ChaCha8Rng,
) -> Vec<Correspondence> {
    let normal = Normal::new(0.0, NOISE_MM * PX_PER_MM).unwrap();
    places
        .iter()
        .map(|p| {
            let q = truth.point_in_picture(*p);
            Correspondence {
                on_side: *p,
                in_picture: PicturePoint::new(q.x + normal.sample(rng), q.y + normal.sample(rng)),
            }
        })
        .collect()
}

/// Rotation and shift alone at the known scale: the rigid case of the registration literature.
fn fit_rigid(points: &[Correspondence]) -> PictureFromSide {
    let free = fit(Model::Similarity, points).unwrap();
    let centre = free.frame.centre;
    // The centroids match at the optimum, and the best rotation is that of the free similarity.
    let rotation_deg = free.picture_from_side.rotation_deg(centre);
    let rotated = PictureFromSide::similarity(PX_PER_MM, rotation_deg, PicturePoint::zero()).unwrap();
    let sum = points
        .iter()
        .fold(PictureVector::zero(), |sum, c| sum + c.in_picture.to_vector());
    let shift = (sum / points.len() as f64).to_point() - rotated.point_in_picture(centre);
    PictureFromSide::similarity(PX_PER_MM, rotation_deg, PicturePoint::zero() + shift).unwrap()
}

/// Root mean square target registration error of a rigid fit: Fitzpatrick, West & Maurer, IEEE Trans. Med. Imaging
/// 17(5), 1998, 694-702, taken to the plane, where there is one axis of turn: with noise s a coordinate it is
/// 2 s^2 / N + s^2 d^2 / (sum of the landmarks' squared distances from their centroid), d from the centroid.
fn rigid_formula_mm(places: &[SidePoint], target: SidePoint) -> f64 {
    let n = places.len() as f64;
    let centre = places
        .iter()
        .fold(SidePoint::zero(), |a, p| a + p.to_vector() / n);
    let squares: f64 = places.iter().map(|p| (*p - centre).square_length()).sum();
    (NOISE_MM.powi(2) * (2.0 / n + (target - centre).square_length() / squares)).sqrt()
}

/// Known values (root mean square error in mm at 0, 7 and 14 mm by 40,000 trials with NumPy, `tests/scripts/fit_errors.py`),
/// and the Cramer-Rao bound, which for Gaussian noise is what the fit's own covariance states.
#[test]
fn errors_match_known_values_and_the_bound() {
    let places = five_and_one();
    let truth = PictureFromSide::similarity(PX_PER_MM, 33.0, PicturePoint::new(1500.0, 1000.0)).unwrap();
    let targets = [0.0, 7.0, 14.0].map(|r| {
        (0..10)
            .map(|i| {
                let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / 10.0).sin_cos();
                SidePoint::new(r * cos, r * sin)
            })
            .collect::<Vec<_>>()
    });
    let known = [
        (Some(Model::Similarity), [0.0461, 0.0536, 0.0714]),
        (Some(Model::Affine), [0.0461, 0.0601, 0.0897]),
        (Some(Model::Homography), [0.0607, 0.0668, 0.1059]),
        (None, [0.0461, 0.0500, 0.0601]),
    ];
    let trials = 4000;
    for (model, expected_mm) in known {
        let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(11);
        let mut squares = [0.0; 3];
        let mut count = [0.0; 3];
        for _ in 0..trials {
            let points = noisy(&places, &truth, &mut rng);
            let found = match model {
                Some(model) => fit(model, &points).unwrap().picture_from_side,
                None => fit_rigid(&points),
            };
            for (k, ring) in targets.iter().enumerate() {
                for t in ring {
                    let off = found.point_in_picture(*t) - truth.point_in_picture(*t);
                    squares[k] += off.square_length() / PX_PER_MM.powi(2);
                    count[k] += 1.0;
                }
            }
        }
        let exact: Vec<_> = places
            .iter()
            .map(|p| Correspondence {
                on_side: *p,
                in_picture: truth.point_in_picture(*p),
            })
            .collect();
        for k in 0..3 {
            let rms: f64 = (squares[k] / count[k]).sqrt();
            let bound = match model {
                Some(model) => {
                    let exact = fit(model, &exact).unwrap();
                    let mean = targets[k]
                        .iter()
                        .map(|t| exact.unit_covariance_at(*t).trace())
                        .sum::<f64>()
                        / 10.0;
                    NOISE_MM * mean.sqrt()
                }
                None => rigid_formula_mm(&places, targets[k][0]),
            };
            // The Monte Carlo error of 4,000 trials is about 1 %.
            assert!((rms / expected_mm[k] - 1.0).abs() < 0.025, "{model:?} {k}: {rms}");
            assert!((rms / bound - 1.0).abs() < 0.04, "{model:?} {k}: {rms} {bound}");
            // At the bound itself: the formulas give the known values to their last digit but one.
            assert!(
                (bound / expected_mm[k] - 1.0).abs() < 0.02,
                "{model:?} {k}: {bound}"
            );
        }
    }
}
