//! How height displaces a point in a picture, as far as the transform shows from where the camera looked.
//!
//! From a camera at height z over the plane, its foot at c, the point p at height h is seen where the plane's point
//! p + h / (z - h) (p - c) is; heights are small beside the distance, so that z - h is taken as z. With the foot at
//! z tan(tilt) from the centre that is h (p / z - tan(tilt) u), u the unit vector towards the foot.
//!
//! The tilt shrinks the picture of the plane along u by cos(tilt), which tells u but for its sign: seen from u or from
//! -u a plane far away looks the same. Near by, its nearer part is larger, and that perspective tells the sign.

use nalgebra::{Matrix2, SMatrix, Vector2};

use super::view::{InverseDistance, STRETCH};
use crate::geometry::{MOST_PARAMETERS, Tangent};

/// How far the coin may lie off the lens's axis, in radians each way: a coin off the picture's middle. By so much the
/// perspective departs from the tilt's, and the stretch by a quarter of the square. Common practice, no source.
const OFF_AXIS: f64 = 0.05;
/// A stretch beyond this is no view of a coin but a wrong landmark: that of 60 degrees is a third.
const MOST_STRETCH: f64 = 0.33;

/// The displacement of raised points as seen from one direction; all in coin radii.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Parallax {
    /// The tangent of the tilt, towards the camera's foot.
    pub(super) tilt: Vector2<f64>,
    /// The covariance of that.
    tilt_covariance: Matrix2<f64>,
    pub(super) inverse_distance: InverseDistance,
}

impl Parallax {
    /// Seen from straight above and far away: heights displace nothing.
    pub(super) const NONE: Self = Self {
        tilt: Vector2::new(0.0, 0.0),
        tilt_covariance: Matrix2::new(0.0, 0.0, 0.0, 0.0),
        inverse_distance: InverseDistance {
            mean: 0.0,
            deviation: 0.0,
        },
    };

    /// By how much a point is displaced for each unit of height.
    pub(super) fn a_unit(&self, p: Vector2<f64>) -> Vector2<f64> {
        p * self.inverse_distance.mean - self.tilt
    }

    /// The covariance of the displacement of a point whose height is known as this mean and deviation.
    pub(super) fn covariance(&self, p: Vector2<f64>, height: f64, deviation: f64) -> Matrix2<f64> {
        let variance = deviation * deviation;
        let a_unit = self.a_unit(p);
        let spread = p * self.inverse_distance.deviation;
        a_unit * a_unit.transpose() * variance
            + (self.tilt_covariance + spread * spread.transpose()) * (variance + height * height)
    }

    /// The perspective that goes with the tilt: its expectation and covariance.
    pub(super) fn perspective(&self) -> (Vector2<f64>, Matrix2<f64>) {
        // Towards the foot the plane is nearer by sin t: -sin t / distance, with the inverse distance from the foot.
        let cos_square = 1.0 / (1.0 + self.tilt.norm_squared());
        let mean = self.inverse_distance.mean;
        let off = self.tilt * (self.inverse_distance.deviation * cos_square);
        let unaimed = Matrix2::identity() * (OFF_AXIS * OFF_AXIS);
        let covariance = off * off.transpose() + (self.tilt_covariance + unaimed) * (mean * mean);
        (self.tilt * (-mean * cos_square), covariance)
    }

    /// The two directions from which the camera may have looked, by the parameters of a transform and their covariance.
    pub(super) fn seen_in(
        at: &Tangent,
        covariance: &SMatrix<f64, MOST_PARAMETERS, MOST_PARAMETERS>,
        inverse_distance: InverseDistance,
    ) -> [Self; 2] {
        // The plane shrinks to cos t along u: a stretch of (1 - cos t) / (1 + cos t) = tan(t/2)^2 across u.
        let stretch = at.fixed_rows::<2>(STRETCH) / (1.0 + at[2]);
        let fitted = (covariance.fixed_view::<2, 2>(STRETCH, STRETCH).trace() / 2.0).sqrt();
        let deviation = fitted.hypot(OFF_AXIS * OFF_AXIS / 2.0);
        let length = stretch.norm().min(MOST_STRETCH);
        let (sin, cos) = ((-stretch.y).atan2(-stretch.x) / 2.0).sin_cos();
        let tilt = Vector2::new(cos, sin) * (2.0 * length.sqrt() / (1.0 - length));
        // The tilt is twice the root of the stretch, whose error s becomes s / root. Where no stretch shows, tilts of
        // any direction and size being as likely, the stretch is half-normal with a mean of 0.8 s, four times which
        // falls on two coordinates.
        let square = deviation * deviation / length.hypot(deviation / 1.6);
        let tilt_covariance = Matrix2::identity() * square;
        [tilt, -tilt].map(|tilt| Self {
            tilt,
            tilt_covariance,
            inverse_distance,
        })
    }
}
