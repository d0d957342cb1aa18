//! A measurement of the record as a value with its uncertainty, and against what the set states.

use crate::align::Alignment;
use crate::crop::{MeasureNoise, Measured, angle, distance, height};
use crate::geometry::SidePoint;
use crate::reference::{SideReference, StatedMeasure};
use crate::specimen::{MeasureKind, Measurement};

/// The value of a measurement on an aligned photo, in mm or degrees; none where it has too few points.
///
/// Its uncertainty is that of placing the points by hand at the photo's own scale, and that of the alignment's scale.
#[must_use]
pub fn measured(reference: &SideReference, alignment: &Alignment, of: &Measurement) -> Option<Measured> {
    measured_points(reference, alignment, of.kind, &of.points_mm)
}

/// As [`measured`], from points in side mm.
#[must_use]
pub fn measured_points(
    reference: &SideReference,
    alignment: &Alignment,
    kind: MeasureKind,
    points_mm: &[SidePoint],
) -> Option<Measured> {
    let first = *points_mm.first()?;
    let px_per_mm = alignment.picture_from_side.px_per_mm(first);
    let noise = MeasureNoise::by_hand(px_per_mm, scale_share(reference, alignment, px_per_mm));
    match (kind, points_mm) {
        (MeasureKind::Distance, [a, b, ..]) => Some(distance(*a, *b, &noise)),
        (MeasureKind::Height, [a, b, ..]) => Some(height(*a, *b, &noise)),
        (MeasureKind::Angle, [a, corner, b, ..]) => angle(*a, *corner, *b, &noise),
        _ => None,
    }
}

/// The standard deviation of the alignment's scale as a share: that of a similarity fitted by least squares, the
/// landmarks' noise over the root of the sum of their squared distances from their centre. It follows from the linear
/// normal equations, in which scale and turn are uncorrelated with the shift about the centre.
fn scale_share(reference: &SideReference, alignment: &Alignment, px_per_mm: f64) -> f64 {
    let places: Vec<_> = alignment
        .landmarks
        .iter()
        .filter_map(|placed| reference.landmark(&placed.name))
        .map(|landmark| landmark.place_mm.to_vector())
        .collect();
    if places.len() < 2 {
        return 0.0;
    }
    let centre = places.iter().fold(euclid::Vector2D::zero(), |sum, p| sum + *p) / places.len() as f64;
    let spread: f64 = places.iter().map(|p| (*p - centre).square_length()).sum();
    if spread > 0.0 {
        alignment.noise_px / px_per_mm / spread.sqrt()
    } else {
        0.0
    }
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
