//! Small changes of a planar transform, in parameters that are alike in size and nested from model to model.

use nalgebra::{Matrix2, Matrix3, SMatrix, SVector};

use super::{Model, PictureFromSide, SidePoint, TransformError};

/// The most parameters that a model has.
pub const MOST_PARAMETERS: usize = 8;

/// A change of a transform: shift x, shift y, growth, rotation (the similarity's four), stretch along x against y,
/// stretch along the diagonals (the affine's further two), perspective x, perspective y (the homography's). All are
/// relative to the frame's scale, so that each is without unit and alike in size.
pub type Tangent = SVector<f64, MOST_PARAMETERS>;

/// The derivative of a picture point in px by the parameters of [`Tangent`].
pub type TangentJacobian = SMatrix<f64, 2, MOST_PARAMETERS>;

/// Where the parameters of a change are measured from: `centre` is the point that growth, rotation, stretch and
/// perspective leave in place, `scale_mm` the length at which each moves a point by its own value times that length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TangentFrame {
    /// In side mm.
    pub centre: SidePoint,
    /// In mm, above zero.
    pub scale_mm: f64,
}

impl TangentFrame {
    /// The derivative of the picture point at `position` by the eight parameters, at no change.
    #[must_use]
    pub fn jacobian(&self, transform: &PictureFromSide, position: SidePoint) -> TangentJacobian {
        let (x, y) = self.relative(position);
        #[rustfmt::skip]
        let on_side = TangentJacobian::from_row_slice(&[
            1.0, 0.0, x, -y, x,  y, -x * x, -x * y,
            0.0, 1.0, y,  x, -y, x, -x * y, -y * y,
        ]);
        let picture_by_side: Matrix2<f64> = transform.jacobian(position) * self.scale_mm;
        picture_by_side * on_side
    }

    /// The transform after the change: the side is changed first, then mapped as before.
    ///
    /// # Errors
    /// [`TransformError::Degenerate`] where the change leaves no inverse.
    pub fn changed(
        &self,
        transform: &PictureFromSide,
        by: &Tangent,
    ) -> Result<PictureFromSide, TransformError> {
        PictureFromSide::new(transform.matrix() * self.side_change(by))
    }

    /// The change as a matrix from side mm to side mm.
    #[must_use]
    pub fn side_change(&self, by: &Tangent) -> Matrix3<f64> {
        let [tx, ty, growth, rotation, straight, diagonal, px, py] = (*by).into();
        #[rustfmt::skip]
        let change = Matrix3::new(
            1.0 + growth + straight, -rotation + diagonal, tx,
            rotation + diagonal, 1.0 + growth - straight, ty,
            px, py, 1.0,
        );
        let k = 1.0 / self.scale_mm;
        #[rustfmt::skip]
        let into = Matrix3::new(
            k, 0.0, -k * self.centre.x,
            0.0, k, -k * self.centre.y,
            0.0, 0.0, 1.0,
        );
        #[rustfmt::skip]
        let back = Matrix3::new(
            self.scale_mm, 0.0, self.centre.x,
            0.0, self.scale_mm, self.centre.y,
            0.0, 0.0, 1.0,
        );
        back * change * into
    }

    /// A position in the frame's own units.
    #[must_use]
    pub fn relative(&self, position: SidePoint) -> (f64, f64) {
        (
            (position.x - self.centre.x) / self.scale_mm,
            (position.y - self.centre.y) / self.scale_mm,
        )
    }
}

/// Which of the eight parameters a model is free in: its first ones.
#[must_use]
pub fn free_parameters(model: Model) -> std::ops::Range<usize> {
    0..model.parameters()
}
