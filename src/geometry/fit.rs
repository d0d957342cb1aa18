//! Least-squares fits of a transform to corresponding points, with the covariance of their parameters.

use nalgebra::{DMatrix, DVector, Matrix2, Matrix3};

use super::dlt::direct_linear;
use super::tangent::{Tangent, TangentFrame, TangentJacobian};
use super::{Model, PictureFromSide, PicturePoint, PictureVector, SidePoint};

/// Points whose spread is below this share of their distance from the origin coincide. Far above rounding (1e-16)
/// and far below any layout a hand can place.
const COINCIDENT_SHARE: f64 = 1e-9;
/// Points whose spread across their line is below this share of that along it lie on one line.
const COLLINEAR_SHARE: f64 = 1e-4;
/// The smallest eigenvalue of the normal matrix, in normalised coordinates, as a share of the largest, below which
/// the points do not fix the model. Four landmarks in a rectangle have about 0.1, ten times flatter ones 1e-5.
const NORMAL_MATRIX_SHARE: f64 = 1e-9;
/// The most steps of the refinement. It converges quadratically: about five are used.
const MOST_STEPS: usize = 100;
/// The refinement ends when no point moves by more than this, in px.
const SETTLED_PX: f64 = 1e-11;

/// One landmark: its position on the side and where it was marked in the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correspondence {
    /// In side mm.
    pub on_side: SidePoint,
    /// In picture px.
    pub in_picture: PicturePoint,
}

/// Why no transform could be fitted.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FitError {
    /// Fewer points than the model has parameters for.
    #[error("{model:?} needs {needed} landmarks and {given} are placed")]
    TooFew {
        /// The model asked for.
        model: Model,
        /// Its least number of landmarks.
        needed: usize,
        /// How many there are.
        given: usize,
    },
    /// The points coincide or lie on one line, so that the model is not fixed by them.
    #[error("the landmarks coincide or lie on one line")]
    Degenerate,
}

/// A fitted transform.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The model fitted.
    pub model: Model,
    /// The transform.
    pub picture_from_side: PictureFromSide,
    /// Marked minus fitted, in px, in the order of the input.
    pub residuals_px: Vec<PictureVector>,
    /// (J^T J)^-1 of the model's parameters, for a noise of 1 px a coordinate. Parameters are those of
    /// [`Fit::point_jacobian`].
    pub unit_covariance: DMatrix<f64>,
    /// Where the parameters are measured from.
    pub frame: TangentFrame,
}

impl Fit {
    /// The derivative of the picture point at a position by the model's parameters (the first ones of
    /// [`Tangent`], in [`Fit::frame`]): 2 x [`Model::parameters`], in px.
    #[must_use]
    pub fn point_jacobian(&self, position: SidePoint) -> DMatrix<f64> {
        let all = self.frame.jacobian(&self.picture_from_side, position);
        DMatrix::from_fn(2, self.model.parameters(), |i, j| all[(i, j)])
    }

    /// The covariance of the fitted picture point at a position, in px^2, for landmark noise of 1 px a coordinate.
    #[must_use]
    pub fn unit_covariance_at(&self, position: SidePoint) -> Matrix2<f64> {
        let g = self.point_jacobian(position);
        let c = &g * &self.unit_covariance * g.transpose();
        Matrix2::new(c[(0, 0)], c[(0, 1)], c[(1, 0)], c[(1, 1)])
    }

    /// The sum of the squared residuals, in px^2.
    #[must_use]
    pub fn squared_error_px2(&self) -> f64 {
        self.residuals_px.iter().map(|r| r.square_length()).sum()
    }
}

/// Fits `model` to the points by least squares on the distances in the picture.
///
/// The similarity is in closed form, the affine map linear, the homography starts at the normalised direct linear
/// transform and is refined by damped Gauss-Newton steps (Hartley & Zisserman, Multiple View Geometry, 2nd ed.,
/// sec. 4.4, 4.5 and A6.2).
///
/// # Errors
/// [`FitError`] where there are too few points, or they are degenerate for the model.
pub fn fit(model: Model, points: &[Correspondence]) -> Result<Fit, FitError> {
    if points.len() < model.fewest_landmarks() {
        return Err(FitError::TooFew {
            model,
            needed: model.fewest_landmarks(),
            given: points.len(),
        });
    }
    let frame = frame_of(points)?;
    if model != Model::Similarity && (is_line(on_side(points)) || is_line(in_picture(points))) {
        return Err(FitError::Degenerate);
    }
    let start = match model {
        Model::Similarity | Model::Affine => similarity(points)?,
        Model::Homography => direct_linear(points).ok_or(FitError::Degenerate)?,
    };
    let start = PictureFromSide::new(start).map_err(|_| FitError::Degenerate)?;
    let free: Vec<usize> = super::tangent::free_parameters(model).collect();
    refine(model, &free, start, frame, points)
}

fn on_side(points: &[Correspondence]) -> impl Iterator<Item = (f64, f64)> + Clone {
    points.iter().map(|c| (c.on_side.x, c.on_side.y))
}

fn in_picture(points: &[Correspondence]) -> impl Iterator<Item = (f64, f64)> + Clone {
    points.iter().map(|c| (c.in_picture.x, c.in_picture.y))
}

fn centroid(points: impl Iterator<Item = (f64, f64)>) -> (f64, f64) {
    let (mut n, mut x, mut y) = (0.0, 0.0, 0.0);
    for (px, py) in points {
        n += 1.0;
        x += px;
        y += py;
    }
    (x / n, y / n)
}

/// Centroid and root mean square distance from it.
fn spread(points: impl Iterator<Item = (f64, f64)> + Clone) -> ((f64, f64), f64) {
    let (cx, cy) = centroid(points.clone());
    let n = points.clone().count() as f64;
    let squares: f64 = points.map(|(x, y)| (x - cx).powi(2) + (y - cy).powi(2)).sum();
    ((cx, cy), (squares / n).sqrt())
}

fn frame_of(points: &[Correspondence]) -> Result<TangentFrame, FitError> {
    let ((cx, cy), side_spread) = spread(on_side(points));
    let ((ux, uy), picture_spread) = spread(in_picture(points));
    let parted =
        |spread: f64, x: f64, y: f64| spread.is_finite() && spread > COINCIDENT_SHARE * (1.0 + x.hypot(y));
    if parted(side_spread, cx, cy) && parted(picture_spread, ux, uy) {
        Ok(TangentFrame {
            centre: SidePoint::new(cx, cy),
            scale_mm: side_spread,
        })
    } else {
        Err(FitError::Degenerate)
    }
}

fn is_line(points: impl Iterator<Item = (f64, f64)> + Clone) -> bool {
    let (cx, cy) = centroid(points.clone());
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for (x, y) in points {
        xx += (x - cx).powi(2);
        xy += (x - cx) * (y - cy);
        yy += (y - cy).powi(2);
    }
    let (mean, half) = ((xx + yy) / 2.0, ((xx - yy) / 2.0).hypot(xy));
    (mean - half) < COLLINEAR_SHARE.powi(2) * (mean + half)
}

/// The least-squares similarity in closed form.
fn similarity(points: &[Correspondence]) -> Result<Matrix3<f64>, FitError> {
    let (cx, cy) = centroid(on_side(points));
    let (cu, cv) = centroid(in_picture(points));
    let (mut along, mut across, mut squares) = (0.0, 0.0, 0.0);
    for c in points {
        let (x, y) = (c.on_side.x - cx, c.on_side.y - cy);
        let (u, v) = (c.in_picture.x - cu, c.in_picture.y - cv);
        along += x * u + y * v;
        across += x * v - y * u;
        squares += x * x + y * y;
    }
    let (a, b) = (along / squares, across / squares);
    let scale = a.hypot(b);
    if scale.is_nan() || scale <= 0.0 {
        return Err(FitError::Degenerate);
    }
    Ok(Matrix3::new(
        a,
        -b,
        cu - a * cx + b * cy,
        b,
        a,
        cv - b * cx - a * cy,
        0.0,
        0.0,
        1.0,
    ))
}

fn residuals(transform: &PictureFromSide, points: &[Correspondence]) -> Vec<PictureVector> {
    points
        .iter()
        .map(|c| c.in_picture - transform.point_in_picture(c.on_side))
        .collect()
}

/// Whether all points lie on one side of the horizon: seen from in front.
fn in_front(transform: &PictureFromSide, points: &[Correspondence]) -> bool {
    let m = transform.matrix();
    let depth = |p: SidePoint| m[(2, 0)] * p.x + m[(2, 1)] * p.y + m[(2, 2)];
    points.iter().all(|c| depth(c.on_side) > 0.0) || points.iter().all(|c| depth(c.on_side) < 0.0)
}

/// Damped Gauss-Newton on the free parameters.
fn refine(
    model: Model,
    free: &[usize],
    start: PictureFromSide,
    frame: TangentFrame,
    points: &[Correspondence],
) -> Result<Fit, FitError> {
    let mut transform = start;
    if !in_front(&transform, points) {
        return Err(FitError::Degenerate);
    }
    let mut left = residuals(&transform, points);
    let cost = |r: &[PictureVector]| r.iter().map(|v| v.square_length()).sum::<f64>();
    let mut damping = 0.0;
    for _ in 0..MOST_STEPS {
        let (normal, pull) = normal_equations(free, &transform, &frame, points, &left);
        let mut damped = normal.clone();
        for i in 0..free.len() {
            damped[(i, i)] *= 1.0 + damping;
        }
        let Some(step) = damped.cholesky().map(|c| c.solve(&pull)) else {
            return Err(FitError::Degenerate);
        };
        let mut change = Tangent::zeros();
        for (i, &k) in free.iter().enumerate() {
            change[k] = step[i];
        }
        let next = frame
            .changed(&transform, &change)
            .ok()
            .filter(|t| in_front(t, points))
            .map(|t| (t, residuals(&t, points)))
            // Rounding may raise the cost by a hair at the optimum.
            .filter(|(_, r)| cost(r) <= cost(&left) * (1.0 + 1e-12) + 1e-18);
        if let Some((better, better_left)) = next {
            let moved = left
                .iter()
                .zip(&better_left)
                .map(|(a, b)| (*a - *b).length())
                .fold(0.0, f64::max);
            (transform, left) = (better, better_left);
            damping = if damping > 1e-9 { damping / 10.0 } else { 0.0 };
            if moved < SETTLED_PX {
                break;
            }
        } else if damping > 1e9 {
            break;
        } else {
            damping = (damping * 10.0).max(1e-4);
        }
    }
    let (normal, _) = normal_equations(free, &transform, &frame, points, &left);
    let eigenvalues = normal.symmetric_eigenvalues();
    let share = eigenvalues.min() / eigenvalues.max();
    if share.is_nan() || share <= NORMAL_MATRIX_SHARE {
        return Err(FitError::Degenerate);
    }
    let unit_covariance = normal.try_inverse().ok_or(FitError::Degenerate)?;
    Ok(Fit {
        model,
        picture_from_side: transform,
        residuals_px: left,
        unit_covariance,
        frame,
    })
}

/// J^T J and J^T r over the free parameters.
fn normal_equations(
    free: &[usize],
    transform: &PictureFromSide,
    frame: &TangentFrame,
    points: &[Correspondence],
    left: &[PictureVector],
) -> (DMatrix<f64>, DVector<f64>) {
    let mut normal = DMatrix::zeros(free.len(), free.len());
    let mut pull = DVector::zeros(free.len());
    for (c, r) in points.iter().zip(left) {
        let j: TangentJacobian = frame.jacobian(transform, c.on_side);
        for (a, &ka) in free.iter().enumerate() {
            pull[a] += j[(0, ka)] * r.x + j[(1, ka)] * r.y;
            for (b, &kb) in free.iter().enumerate() {
                normal[(a, b)] += j[(0, ka)] * j[(0, kb)] + j[(1, ka)] * j[(1, kb)];
            }
        }
    }
    (normal, pull)
}
