//! Making a set's design on its first plate, before any landmark fixes the side frame.

use nalgebra::{Matrix2, Matrix3, Rotation2};

use crate::align::Rim;
use crate::geometry::{PictureFromSide, PicturePoint, SidePoint, SideVector, TransformError};
use crate::reference::Zone;

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

/// The shortest side that a zone can be given, in mm; less holds no detail of a die. Common practice, no source.
pub const SMALLEST_ZONE_MM: f64 = 0.2;

/// The part of a zone that is held: the whole, or an edge or corner of its outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ZoneGrip {
    /// -1 the left edge, 1 the right one, 0 neither.
    pub across: i8,
    /// -1 the upper edge, 1 the lower one, 0 neither.
    pub down: i8,
}

impl ZoneGrip {
    /// All of it: pulling moves the zone.
    pub const WHOLE: ZoneGrip = ZoneGrip { across: 0, down: 0 };
    /// The corners and the edges' middles: pulling resizes the zone.
    pub const OUTLINE: [ZoneGrip; 8] = {
        const fn grip(across: i8, down: i8) -> ZoneGrip {
            ZoneGrip { across, down }
        }
        [
            grip(-1, -1),
            grip(1, -1),
            grip(1, 1),
            grip(-1, 1),
            grip(0, -1),
            grip(1, 0),
            grip(0, 1),
            grip(-1, 0),
        ]
    };

    /// Where the grip lies on a zone.
    #[must_use]
    pub fn place(self, zone: &Zone) -> SidePoint {
        let (w, h) = zone.size_mm;
        zone.centre_mm + SideVector::new(f64::from(self.across) * w, f64::from(self.down) * h) / 2.0
    }

    /// The zone's centre and size after the grip is pulled by `by` mm: the whole moves, an edge or a corner goes along
    /// and what lies opposite stays. No side becomes shorter than [`SMALLEST_ZONE_MM`].
    #[must_use]
    pub fn pulled(self, zone: &Zone, by: SideVector) -> (SidePoint, (f64, f64)) {
        if self == Self::WHOLE {
            let centre = zone.centre_mm + by;
            return (SidePoint::new(kept(centre.x), kept(centre.y)), zone.size_mm);
        }
        let pull = |grip: i8, middle: f64, length: f64, by: f64| {
            if grip == 0 {
                return (middle, length);
            }
            let way = f64::from(grip);
            let opposite = middle - way * length / 2.0;
            let length = kept(length + way * by).max(SMALLEST_ZONE_MM);
            (kept(opposite + way * length / 2.0), length)
        };
        let (x, w) = pull(self.across, zone.centre_mm.x, zone.size_mm.0, by.x);
        let (y, h) = pull(self.down, zone.centre_mm.y, zone.size_mm.1, by.y);
        (SidePoint::new(x, y), (w, h))
    }
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

    fn zone() -> Zone {
        Zone {
            id: "stop".into(),
            title: String::new(),
            centre_mm: SidePoint::new(3.0, -2.0),
            size_mm: (4.0, 2.0),
            height: None,
            telling_detail_mm: 0.2,
        }
    }

    #[test]
    fn the_edge_opposite_to_a_pulled_grip_stays() {
        for grip in ZoneGrip::OUTLINE {
            let (centre, size) = grip.pulled(&zone(), SideVector::new(0.5, -0.25));
            let after = Zone {
                centre_mm: centre,
                size_mm: size,
                ..zone()
            };
            let opposite = ZoneGrip {
                across: -grip.across,
                down: -grip.down,
            };
            let stayed = opposite.place(&after) - opposite.place(&zone());
            assert!(stayed.length() < 1e-9, "{grip:?} moved {stayed:?}");
            let went = grip.place(&after) - grip.place(&zone());
            let along = SideVector::new(
                0.5 * f64::from(grip.across.abs()),
                -0.25 * f64::from(grip.down.abs()),
            );
            assert!((went - along).length() < 1e-9, "{grip:?} went {went:?}");
        }
    }

    #[test]
    fn a_zone_moves_whole_and_never_shrinks_to_nothing() {
        let (centre, size) = ZoneGrip::WHOLE.pulled(&zone(), SideVector::new(-1.0, 2.0));
        assert_eq!((centre, size), (SidePoint::new(2.0, 0.0), (4.0, 2.0)));
        let right = ZoneGrip { across: 1, down: 0 };
        let (centre, size) = right.pulled(&zone(), SideVector::new(-9.0, 0.0));
        assert_eq!(size, (SMALLEST_ZONE_MM, 2.0));
        assert!(
            (centre.x - SMALLEST_ZONE_MM / 2.0 - 1.0).abs() < 1e-9,
            "the left edge stays"
        );
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
