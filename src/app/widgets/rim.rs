//! The rim on a picture: the ellipse with handles by which a wrong one is dragged to the coin's edge.

use egui::{Painter, Pos2};

use super::camera::Sight;
use super::paint;
use super::picture_marks::nearest;
use super::theme::Palette;
use crate::align::Rim;
use crate::geometry::{PicturePoint, PictureVector};

/// What of the rim is dragged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Handle {
    /// The centre: moves all of it.
    Centre,
    /// An end of the longer axis: its length and turn.
    Long,
    /// An end of the shorter axis: its length.
    Short,
    /// The ring itself, anywhere: its size, its shape kept.
    Ring,
}

/// A handle being dragged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RimDrag {
    /// Which.
    pub handle: Handle,
    /// The gesture's number, so that the drag is one step of undo.
    pub gesture: u64,
    /// The rim as it was.
    pub before: Rim,
    /// Where the pointer was, in picture px.
    pub from: PicturePoint,
}

/// The directions of the longer and the shorter axis.
fn axes(rim: &Rim) -> (PictureVector, PictureVector) {
    let (sin, cos) = rim.turn_deg.to_radians().sin_cos();
    (PictureVector::new(cos, sin), PictureVector::new(-sin, cos))
}

fn handles(rim: &Rim) -> [(Handle, PicturePoint); 5] {
    let (long, short) = axes(rim);
    [
        (Handle::Centre, rim.centre),
        (Handle::Long, rim.centre + long * rim.long_px),
        (Handle::Long, rim.centre - long * rim.long_px),
        (Handle::Short, rim.centre + short * rim.short_px),
        (Handle::Short, rim.centre - short * rim.short_px),
    ]
}

/// Draws the rim with its handles.
pub fn paint_rim(painter: &Painter, p: &Palette, sight: &Sight, rim: &Rim) {
    const CORNERS: u16 = 96;
    let (long, short) = axes(rim);
    let points: Vec<Pos2> = (0..CORNERS)
        .map(|i| {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / f64::from(CORNERS)).sin_cos();
            sight.position(rim.centre + long * (rim.long_px * cos) + short * (rim.short_px * sin))
        })
        .collect();
    paint::outline(painter, &points, 1.5, p.on_picture);
    for (handle, point) in handles(rim) {
        let at = sight.position(point);
        if handle == Handle::Centre {
            paint::open_cross(painter, at, 2.0, 9.0, p.on_picture);
        } else {
            painter.circle_filled(at, 6.0, egui::Color32::from_black_alpha(170));
            painter.circle_filled(at, 4.5, p.on_picture);
        }
    }
}

/// Where a point lies against the ring: 1 on it, less within; its size counts, not its shape.
fn share(rim: &Rim, point: PicturePoint) -> f64 {
    let (long, short) = axes(rim);
    let from_centre = point - rim.centre;
    (from_centre.dot(long) / rim.long_px).hypot(from_centre.dot(short) / rim.short_px)
}

/// What a press at a position takes hold of: a handle, else the ring itself.
pub fn handle_under(rim: &Rim, sight: &Sight, position: Pos2) -> Option<Handle> {
    /// How near the pointer must come to the ring, in points.
    const REACH: f64 = 6.0;
    let handles = handles(rim);
    let handle = nearest(sight, position, handles.iter().map(|(h, q)| (h, q)));
    if let Some((handle, _)) = handle {
        return Some(*handle);
    }
    let off_px = (share(rim, sight.picture_point(position)) - 1.0).abs() * rim.short_px;
    (off_px * sight.points_per_px() <= REACH).then_some(Handle::Ring)
}

/// The rim after its handle was dragged to a point.
#[must_use]
pub fn dragged(drag: &RimDrag, to: PicturePoint) -> Rim {
    /// No smaller, in px: a rim of no size has no axes.
    const LEAST_PX: f64 = 8.0;
    let mut rim = drag.before;
    rim.by_hand = true;
    let from_centre = to - rim.centre;
    match drag.handle {
        Handle::Centre => rim.centre += to - drag.from,
        Handle::Long => {
            // Both ends grow alike; a nearly round rim keeps its shape, so that one pull sizes it.
            let ratio = rim.short_px / rim.long_px.max(LEAST_PX);
            rim.long_px = from_centre.length().max(LEAST_PX);
            rim.short_px = rim.long_px * ratio;
            let turn = from_centre.y.atan2(from_centre.x).to_degrees();
            // The other end points the opposite way; an ellipse has no front.
            rim.turn_deg = turn.rem_euclid(180.0);
        }
        Handle::Short => {
            let (_, short) = axes(&rim);
            rim.short_px = from_centre.dot(short).abs().max(LEAST_PX);
        }
        Handle::Ring => {
            let least = LEAST_PX / rim.short_px.max(LEAST_PX);
            let factor = share(&rim, to).max(least);
            rim.long_px *= factor;
            rim.short_px *= factor;
        }
    }
    if rim.short_px > rim.long_px {
        std::mem::swap(&mut rim.short_px, &mut rim.long_px);
        rim.turn_deg = (rim.turn_deg + 90.0).rem_euclid(180.0);
    }
    rim
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drag(handle: Handle) -> RimDrag {
        RimDrag {
            handle,
            gesture: 1,
            before: Rim {
                centre: PicturePoint::new(100.0, 100.0),
                long_px: 50.0,
                short_px: 40.0,
                turn_deg: 0.0,
                by_hand: false,
            },
            from: PicturePoint::new(100.0, 100.0),
        }
    }

    fn moved_from() -> PicturePoint {
        drag(Handle::Centre).before.centre
    }

    #[test]
    fn handles_do_what_they_say() {
        let moved = dragged(&drag(Handle::Centre), PicturePoint::new(110.0, 95.0));
        assert_eq!(moved.centre, PicturePoint::new(110.0, 95.0));
        assert!(moved.by_hand);
        let longer = dragged(&drag(Handle::Long), PicturePoint::new(100.0, 200.0));
        assert!((longer.long_px - 100.0).abs() < 1e-9 && (longer.short_px - 80.0).abs() < 1e-9);
        assert!((longer.turn_deg - 90.0).abs() < 1e-9);
        // Pulled anywhere the ring goes through the pointer and keeps its shape.
        let to = PicturePoint::new(130.0, 140.0);
        let larger = dragged(&drag(Handle::Ring), to);
        assert!((share(&larger, to) - 1.0).abs() < 1e-9);
        assert!((larger.short_px / larger.long_px - 0.8).abs() < 1e-9 && larger.centre == moved_from());
        // The shorter axis pulled past the longer one becomes the longer.
        let swapped = dragged(&drag(Handle::Short), PicturePoint::new(103.0, 160.0));
        assert!((swapped.long_px - 60.0).abs() < 1e-9 && (swapped.short_px - 50.0).abs() < 1e-9);
        assert!((swapped.turn_deg - 90.0).abs() < 1e-9);
    }
}
