//! Cameras, landmarks and zones to try alignments with, and trials of them: error at the zones and coverage of the 95 %
//! discs. For the tests and for the tables (`tests/benches/tables.rs`).
#![allow(dead_code, reason = "tests and tables each use a part")]

use std::collections::BTreeMap;

use dietell::align::{Marked, Rim, align};
use dietell::geometry::{Correspondence, Model, PictureFromSide, PicturePoint, SidePoint, fit};
use dietell::reference::{Landmark, LandmarkName, Measures};
use nalgebra::Matrix3;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{ChiSquared, Distribution, StandardNormal};

pub const DIAMETER_MM: f64 = 28.0;

/// Of a coinage of that diameter of whose relief nothing is said.
pub fn measures() -> Measures {
    Measures {
        diameter_mm: DIAMETER_MM,
        relief_mm: None,
        weight_g: None,
        weight_tolerance_g: None,
        die_axis_deg: None,
    }
}

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
        (6.0, 150.0),
    ];
    polar[..count]
        .iter()
        .enumerate()
        .map(|(i, (r, deg))| Landmark {
            name: LandmarkName(format!("landmark {i}")),
            place_mm: SidePoint::new(r * f64::to_radians(*deg).cos(), r * f64::to_radians(*deg).sin()),
            height: None,
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
pub fn view(tilt_deg: f64, rng: &mut ChaCha8Rng) -> PictureFromSide {
    pinhole(
        40.0,
        tilt_deg,
        rng.random_range(0.0..360.0),
        rng.random_range(0.0..360.0),
        rng.random_range(120.0..350.0),
    )
}

/// Share of zones inside the 95 % disc, and root mean square error in mm.
pub struct Outcome {
    pub covered: f64,
    pub rms_mm: f64,
    pub median_radius_mm: f64,
    /// How often each model was chosen.
    pub chosen: [f64; 3],
}

/// Aligns so many views with `count` landmarks; `truth` gives a view and the hand's noise in px.
pub fn run(
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
        let marked = Marked {
            hold,
            ..Marked::from(&placed)
        };
        let found = align(&landmarks, &measures(), marked, &zones).unwrap();
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
pub fn noise_of_some_hand(rng: &mut ChaCha8Rng) -> f64 {
    let freedom = 8.0;
    1.36 * f64::sqrt(freedom / ChiSquared::new(freedom).unwrap().sample(rng))
}

/// The Cramer-Rao bound on the root mean square error at the zones for a square view and a noise of 1.5 px at
/// 40 px/mm: for Gaussian noise the fit's own covariance at the truth.
pub fn bound_mm(model: Model, count: usize) -> f64 {
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

/// The rim that a pinhole view shows: the image of the nominal circle, by a conic through the transform.
pub fn true_rim(view: &PictureFromSide) -> Rim {
    let radius = DIAMETER_MM / 2.0;
    let circle = nalgebra::Matrix3::from_diagonal(&nalgebra::Vector3::new(1.0, 1.0, -radius * radius));
    let inverse = view.side_from_picture();
    let conic = inverse.transpose() * circle * inverse;
    let shape = nalgebra::Matrix2::new(conic[(0, 0)], conic[(0, 1)], conic[(1, 0)], conic[(1, 1)]);
    let linear = nalgebra::Vector2::new(conic[(0, 2)], conic[(1, 2)]);
    let centre = -(shape.try_inverse().unwrap() * linear);
    let level = -(conic[(2, 2)] + linear.dot(&centre));
    let eigen = nalgebra::SymmetricEigen::new(shape / level);
    let (long, short) = if eigen.eigenvalues[0] < eigen.eigenvalues[1] {
        (0, 1)
    } else {
        (1, 0)
    };
    let axis = eigen.eigenvectors.column(long);
    Rim {
        centre: PicturePoint::new(centre.x, centre.y),
        long_px: eigen.eigenvalues[long].sqrt().recip(),
        short_px: eigen.eigenvalues[short].sqrt().recip(),
        turn_deg: axis[1].atan2(axis[0]).to_degrees(),
        by_hand: false,
    }
}
