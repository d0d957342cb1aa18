//! A measurement of the record as a value with its uncertainty, and against what the set states.

use crate::align::Alignment;
use crate::crop::{MeasureNoise, Measured, angle, distance, height};
use crate::geometry::SidePoint;
use crate::reference::StatedMeasure;
use crate::specimen::{MeasureKind, Measurement};

/// The value of a measurement on an aligned photo, in mm or degrees; none where it has too few points.
///
/// Its uncertainty is that of placing the points by hand at the photo's own scale, and that of the alignment's scale.
#[must_use]
pub fn measured(diameter_mm: f64, alignment: &Alignment, of: &Measurement) -> Option<Measured> {
    measured_points(diameter_mm, alignment, of.kind, &of.points_mm)
}

/// As [`measured`], from points in side mm.
#[must_use]
pub fn measured_points(
    diameter_mm: f64,
    alignment: &Alignment,
    kind: MeasureKind,
    points_mm: &[SidePoint],
) -> Option<Measured> {
    let first = *points_mm.first()?;
    let px_per_mm = alignment.picture_from_side.px_per_mm(first);
    let noise = MeasureNoise::by_hand(px_per_mm, scale_share(alignment, diameter_mm));
    match (kind, points_mm) {
        (MeasureKind::Distance, [a, b, ..]) => Some(distance(*a, *b, &noise)),
        (MeasureKind::Height, [a, b, ..]) => Some(height(*a, *b, &noise)),
        (MeasureKind::Angle, [a, corner, b, ..]) => angle(*a, *corner, *b, &noise),
        _ => None,
    }
}

/// The standard deviation of the alignment's scale, as a share. Under a similarity the variance of a place grows with
/// the square of its distance r from the middle, by r^2 s^2 along and across, s being both the scale's share and the
/// turn in radians; so s^2 is the growth of the covariance's trace out to the rim over 2 r^2. Models that can also
/// shear or tilt grow faster, and get a larger share.
fn scale_share(alignment: &Alignment, diameter_mm: f64) -> f64 {
    let trace = |x: f64, y: f64| {
        alignment
            .uncertainty_at(SidePoint::new(x, y))
            .covariance_mm2
            .trace()
    };
    let r = diameter_mm / 2.0;
    let rim = (trace(r, 0.0) + trace(-r, 0.0) + trace(0.0, r) + trace(0.0, -r)) / 4.0;
    let growth = (rim - trace(0.0, 0.0)).max(0.0);
    (growth / 2.0).sqrt() / r
}

/// Beyond this many standard deviations a measured value does not fit a stated one: two-sided 95 % is 1.96; the round
/// number is common practice, no source.
pub const FITS_WITHIN_SIGMAS: f64 = 2.0;

/// How far a measured value lies from a stated one of its kind, in standard deviations; none where the statement is of
/// another kind. A stated tolerance counts as 95 %.
#[must_use]
pub fn sigmas_from_stated(kind: MeasureKind, value: &Measured, stated: &StatedMeasure) -> Option<f64> {
    let (of_kind, at, tolerance) = match stated {
        StatedMeasure::DistanceMm { value, tolerance, .. } => {
            (kind != MeasureKind::Angle, *value, *tolerance)
        }
        StatedMeasure::AngleDeg { value, tolerance, .. } => (kind == MeasureKind::Angle, *value, *tolerance),
    };
    of_kind.then(|| value.deviation_from(at, tolerance / 1.96))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_statement_of_another_kind_is_not_compared() {
        let value = Measured {
            value: 1.2,
            sigma: 0.03,
        };
        let stated = StatedMeasure::DistanceMm {
            what: String::new(),
            value: 1.0,
            tolerance: 0.0784,
        };
        // The sigmas 0.03 and 0.04 make 0.05 together; 0.2 is four of them.
        let sigmas = sigmas_from_stated(MeasureKind::Distance, &value, &stated).unwrap();
        assert!((sigmas - 4.0).abs() < 1e-9);
        assert_eq!(sigmas_from_stated(MeasureKind::Angle, &value, &stated), None);
    }
}
