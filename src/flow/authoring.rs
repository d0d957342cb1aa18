//! Making a set's design on its first plate, before any landmark fixes the side frame.

use nalgebra::{Matrix2, Matrix3, Rotation2};

use crate::align::Rim;
use crate::geometry::{PictureFromSide, PicturePoint, SidePoint, TransformError};
use crate::reference::{LandmarkName, SideReference};

/// Places in the side frame are kept to this, in mm: far finer than any hand places a point.
const PLACE_STEP_MM: f64 = 0.001;

/// The transform that a rim and the direction of "up" give: the nominal circle stretched to the rim's ellipse, as a
/// distant camera sees it, after the design is turned clockwise by `turn_deg`.
///
/// # Errors
/// [`TransformError::Degenerate`] for a rim or diameter of no size.
pub fn frame_from_rim(rim: &Rim, turn_deg: f64, diameter_mm: f64) -> Result<PictureFromSide, TransformError> {
    let radius_mm = diameter_mm / 2.0;
    let axes = Rotation2::new(rim.turn_deg.to_radians());
    let stretch = axes.matrix()
        * Matrix2::new(rim.long_px / radius_mm, 0.0, 0.0, rim.short_px / radius_mm)
        * axes.matrix().transpose();
    let m = stretch * Rotation2::new(turn_deg.to_radians()).matrix();
    PictureFromSide::new(Matrix3::new(
        m[(0, 0)],
        m[(0, 1)],
        rim.centre.x,
        m[(1, 0)],
        m[(1, 1)],
        rim.centre.y,
        0.0,
        0.0,
        1.0,
    ))
}

/// The place on the side that a picture point shows, rounded to what a set keeps.
#[must_use]
pub fn place_at(frame: &PictureFromSide, point: PicturePoint) -> SidePoint {
    let place = frame.point_on_side(point);
    SidePoint::new(kept(place.x), kept(place.y))
}

/// The rectangle of the side frame that spans two picture points: its centre, and its width and height in mm.
#[must_use]
pub fn zone_between(
    frame: &PictureFromSide,
    corner: PicturePoint,
    opposite: PicturePoint,
) -> (SidePoint, (f64, f64)) {
    let (a, b) = (frame.point_on_side(corner), frame.point_on_side(opposite));
    let centre = SidePoint::new(kept((a.x + b.x) / 2.0), kept((a.y + b.y) / 2.0));
    (centre, (kept((a.x - b.x).abs()), kept((a.y - b.y).abs())))
}

/// Where the landmarks that are not yet placed should lie in a picture, in the set's order; those that fall outside
/// the picture are left out.
#[must_use]
pub fn proposed_landmarks(
    side: &SideReference,
    placed: &std::collections::BTreeMap<LandmarkName, PicturePoint>,
    frame: &PictureFromSide,
    width_px: u32,
    height_px: u32,
) -> Vec<(LandmarkName, PicturePoint)> {
    side.landmarks
        .iter()
        .filter(|landmark| !placed.contains_key(&landmark.name))
        .map(|landmark| (landmark.name.clone(), frame.point_in_picture(landmark.place_mm)))
        .filter(|(_, p)| {
            (0.0..=f64::from(width_px) - 1.0).contains(&p.x)
                && (0.0..=f64::from(height_px) - 1.0).contains(&p.y)
        })
        .collect()
}

fn kept(mm: f64) -> f64 {
    (mm / PLACE_STEP_MM).round() * PLACE_STEP_MM
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rim(long_px: f64, short_px: f64, turn_deg: f64) -> Rim {
        Rim {
            centre: PicturePoint::new(500.0, 400.0),
            long_px,
            short_px,
            turn_deg,
            by_hand: false,
        }
    }

    #[test]
    fn a_round_rim_gives_a_similarity() {
        let frame = frame_from_rim(&rim(280.0, 280.0, 77.0), 30.0, 28.0).unwrap();
        let expected = PictureFromSide::similarity(20.0, 30.0, PicturePoint::new(500.0, 400.0)).unwrap();
        assert!((frame.matrix() - expected.matrix()).abs().max() < 1e-9);
    }

    #[test]
    fn the_nominal_circle_lands_on_the_rim() {
        let rim = rim(300.0, 240.0, 25.0);
        let frame = frame_from_rim(&rim, -50.0, 28.0).unwrap();
        for step in 0..36 {
            let angle = f64::from(step) * 10f64.to_radians();
            let p = frame.point_in_picture(SidePoint::new(14.0 * angle.cos(), 14.0 * angle.sin()));
            let (sin, cos) = rim.turn_deg.to_radians().sin_cos();
            let d = p - rim.centre;
            let along = (cos * d.x + sin * d.y) / rim.long_px;
            let across = (-sin * d.x + cos * d.y) / rim.short_px;
            assert!((along.hypot(across) - 1.0).abs() < 1e-9);
        }
        assert!(frame_from_rim(&self::rim(0.0, 0.0, 0.0), 0.0, 28.0).is_err());
    }

    #[test]
    fn a_zone_spans_its_corners_in_any_order() {
        let frame = PictureFromSide::similarity(20.0, 0.0, PicturePoint::new(100.0, 100.0)).unwrap();
        let (centre, size) = zone_between(
            &frame,
            PicturePoint::new(160.0, 80.0),
            PicturePoint::new(120.0, 140.0),
        );
        assert_eq!(centre, SidePoint::new(2.0, 0.5));
        assert_eq!(size, (2.0, 3.0));
    }
}
