//! Least-squares fits of a transform to corresponding points, with the covariance of their parameters.

use nalgebra::{DMatrix, Matrix2};

use super::{Model, PictureFromSide, PicturePoint, PictureVector, SidePoint};

/// One landmark: its place on the side and where it was marked in the picture.
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
}

impl Fit {
    /// The covariance of the fitted picture point at a place, in px^2, for landmark noise of 1 px a coordinate.
    #[must_use]
    pub fn unit_covariance_at(&self, _place: SidePoint) -> Matrix2<f64> {
        unimplemented!()
    }
}

/// Fits `model` to the points by least squares on the distances in the picture.
///
/// # Errors
/// [`FitError`] where there are too few points, or they are degenerate for the model.
pub fn fit(model: Model, points: &[Correspondence]) -> Result<Fit, FitError> {
    let _ = (model, points);
    unimplemented!()
}
