//! The planar transform from a side's frame to a picture.

use nalgebra::{Matrix2, Matrix3, Vector3};
use serde::{Deserialize, Serialize};

use super::{PicturePoint, SidePoint};

/// The family of transforms that a fit may choose from, smallest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Model {
    /// Turn, scale and shift: 4 parameters, two landmarks or more. True for a camera held square to the coin.
    Similarity,
    /// Any linear map and a shift: 6 parameters, three landmarks or more. True for a tilted, distant camera.
    Affine,
    /// A plane in perspective: 8 parameters, four landmarks or more. True for a tilted camera at any distance.
    Homography,
}

impl Model {
    /// All models, smallest first.
    pub const ALL: [Model; 3] = [Model::Similarity, Model::Affine, Model::Homography];

    /// The number of free parameters.
    #[must_use]
    pub fn parameters(self) -> usize {
        match self {
            Model::Similarity => 4,
            Model::Affine => 6,
            Model::Homography => 8,
        }
    }

    /// The fewest landmarks that fix the model.
    #[must_use]
    pub fn fewest_landmarks(self) -> usize {
        self.parameters() / 2
    }
}

/// Why a transform is unusable.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TransformError {
    /// The matrix has no inverse, or a number in it is not finite.
    #[error("the transform is degenerate: it has no inverse")]
    Degenerate,
}

/// Maps side mm to upright picture px: a 3 x 3 matrix on homogeneous columns (x, y, 1), scaled so that its last
/// element is 1 where that is possible.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PictureFromSide {
    matrix: Matrix3<f64>,
    inverse: Matrix3<f64>,
}

impl PictureFromSide {
    /// Wraps a matrix.
    ///
    /// # Errors
    /// [`TransformError::Degenerate`] where it has no inverse or is not finite.
    pub fn new(matrix: Matrix3<f64>) -> Result<Self, TransformError> {
        if matrix.iter().any(|v| !v.is_finite()) {
            return Err(TransformError::Degenerate);
        }
        let last = matrix[(2, 2)];
        let matrix = if last.abs() > f64::EPSILON {
            matrix / last
        } else {
            matrix
        };
        let inverse = matrix.try_inverse().ok_or(TransformError::Degenerate)?;
        Ok(Self { matrix, inverse })
    }

    /// A similarity: `px_per_mm` scale, rotated clockwise on screen by `rotation_deg`, the side's origin at `origin`.
    ///
    /// # Errors
    /// [`TransformError::Degenerate`] for a scale of zero or a number that is not finite.
    pub fn similarity(
        px_per_mm: f64,
        rotation_deg: f64,
        origin: PicturePoint,
    ) -> Result<Self, TransformError> {
        let (sin, cos) = rotation_deg.to_radians().sin_cos();
        let (a, b) = (px_per_mm * cos, px_per_mm * sin);
        Self::new(Matrix3::new(a, -b, origin.x, b, a, origin.y, 0.0, 0.0, 1.0))
    }

    /// The matrix, row by row, from side mm to picture px.
    #[must_use]
    pub fn matrix(&self) -> &Matrix3<f64> {
        &self.matrix
    }

    /// The matrix from picture px to side mm.
    #[must_use]
    pub fn side_from_picture(&self) -> &Matrix3<f64> {
        &self.inverse
    }

    /// Where a position on the side lies in the picture.
    #[must_use]
    pub fn point_in_picture(&self, position: SidePoint) -> PicturePoint {
        let v = self.matrix * Vector3::new(position.x, position.y, 1.0);
        PicturePoint::new(v.x / v.z, v.y / v.z)
    }

    /// Which position on the side a picture point shows.
    #[must_use]
    pub fn point_on_side(&self, point: PicturePoint) -> SidePoint {
        let v = self.inverse * Vector3::new(point.x, point.y, 1.0);
        SidePoint::new(v.x / v.z, v.y / v.z)
    }

    /// The derivative of the picture point by the side point, at a position: px per mm, 2 x 2.
    #[must_use]
    pub fn jacobian(&self, position: SidePoint) -> Matrix2<f64> {
        let m = &self.matrix;
        let v = m * Vector3::new(position.x, position.y, 1.0);
        let (u, w) = (v.x / v.z, v.y / v.z);
        Matrix2::new(
            (m[(0, 0)] - u * m[(2, 0)]) / v.z,
            (m[(0, 1)] - u * m[(2, 1)]) / v.z,
            (m[(1, 0)] - w * m[(2, 0)]) / v.z,
            (m[(1, 1)] - w * m[(2, 1)]) / v.z,
        )
    }

    /// The local scale at a position in px/mm: the square root of the area scale.
    #[must_use]
    pub fn px_per_mm(&self, position: SidePoint) -> f64 {
        self.jacobian(position).determinant().abs().sqrt()
    }

    /// How far the side's x axis is rotated on the picture at a position, clockwise on screen, in degrees.
    #[must_use]
    pub fn rotation_deg(&self, position: SidePoint) -> f64 {
        let j = self.jacobian(position);
        // The rotation of the nearest similarity (Frobenius norm), so that shear does not favour one axis.
        (j[(1, 0)] - j[(0, 1)]).atan2(j[(0, 0)] + j[(1, 1)]).to_degrees()
    }
}
