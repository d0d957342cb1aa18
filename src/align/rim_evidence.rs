//! The rim as an observation of the transform: its image of the nominal circle.

use nalgebra::{Matrix2, SMatrix, SVector, SymmetricEigen, Vector2};

use super::Rim;
use crate::geometry::{MOST_PARAMETERS, PictureFromSide, Tangent};

/// How far a strike lies off the flan's centre, a coordinate, as a share of the radius. The design's frame is the
/// nominal rim, and coins are struck a little off centre. Common practice, no source.
const CENTRE_SD: f64 = 0.018;
/// How far a flan's diameter, and the rim found on it, departs from the nominal one, as a share. As above.
const SIZE_SD: f64 = 0.008;
/// How far a flan departs from round, by either stretch. As above.
const SHAPE_SD: f64 = 0.005;

/// Shift x, shift y, growth, stretch along x against y, stretch along the diagonals of the rim against the circle,
/// seen from a similar start; in coin radii.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RimEvidence {
    seen: SVector<f64, 5>,
}

impl RimEvidence {
    /// The rim as seen from `base`, a similarity, for a coin of this radius.
    pub(super) fn new(rim: &Rim, base: &PictureFromSide, radius_mm: f64) -> Option<Self> {
        let centre = base.point_on_side(rim.centre);
        let side_by_picture = base.jacobian(centre).try_inverse()? / radius_mm;
        let (sin, cos) = rim.turn_deg.to_radians().sin_cos();
        let long = side_by_picture * Vector2::new(cos, sin) * rim.long_px;
        let short = side_by_picture * Vector2::new(-sin, cos) * rim.short_px;
        // The ellipse is the circle under the symmetric root of this.
        let square = long * long.transpose() + short * short.transpose();
        let eigen = SymmetricEigen::new(square);
        let root: Matrix2<f64> = eigen.eigenvectors
            * Matrix2::from_diagonal(&eigen.eigenvalues.map(|v| v.max(0.0).sqrt()))
            * eigen.eigenvectors.transpose();
        let seen = SVector::<f64, 5>::new(
            centre.x / radius_mm,
            centre.y / radius_mm,
            (root[(0, 0)] + root[(1, 1)]) / 2.0 - 1.0,
            (root[(0, 0)] - root[(1, 1)]) / 2.0,
            root[(0, 1)],
        );
        seen.iter().all(|v| v.is_finite()).then_some(Self { seen })
    }

    /// Adds its part to the normal equations and returns its squared misfit.
    ///
    /// To first order, perspective moves a circle's every point along its radius by the first harmonic, as a shift
    /// against it does.
    pub(super) fn add_to(
        &self,
        at: &Tangent,
        normal: &mut SMatrix<f64, MOST_PARAMETERS, MOST_PARAMETERS>,
        pull: &mut Tangent,
    ) -> f64 {
        let (off, rows) = self.off(at);
        let mut misfit = 0.0;
        for (i, sd) in Self::deviations().iter().enumerate() {
            let weight = 1.0 / (sd * sd);
            let row = rows.row(i);
            *normal += row.transpose() * row * weight;
            *pull += row.transpose() * (off[i] * weight);
            misfit += off[i] * off[i] * weight;
        }
        misfit
    }

    fn off(&self, at: &Tangent) -> (SVector<f64, 5>, SMatrix<f64, 5, MOST_PARAMETERS>) {
        #[rustfmt::skip]
        let rows = SMatrix::<f64, 5, MOST_PARAMETERS>::from_row_slice(&[
            1.0, 0.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0,
            0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, -1.0,
            0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0,
            0.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0,
            0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0,
        ]);
        (self.seen - rows * at, rows)
    }

    /// The squared misfit against parameters of this covariance, over the five numbers.
    pub(super) fn disagreement(
        &self,
        at: &Tangent,
        covariance: &SMatrix<f64, MOST_PARAMETERS, MOST_PARAMETERS>,
    ) -> f64 {
        let (off, rows) = self.off(at);
        let mut expected = rows * covariance * rows.transpose();
        for (i, sd) in Self::deviations().iter().enumerate() {
            expected[(i, i)] += sd * sd;
        }
        expected
            .try_inverse()
            .map_or(0.0, |inverse| (off.transpose() * inverse * off)[0])
    }

    fn deviations() -> [f64; 5] {
        [CENTRE_SD, CENTRE_SD, SIZE_SD, SHAPE_SD, SHAPE_SD]
    }
}
