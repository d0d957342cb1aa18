//! The linked view of all cells: how far zoomed and panned from the zone as a whole. Knows no egui.

use crate::crop::CropFrame;
use crate::geometry::{CropPoint, SidePoint, SideVector};
use crate::pipeline;
use crate::reference::Zone;

/// How the zone is shown in every cell at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ZoneView {
    /// The shown centre from the zone's centre, in side mm.
    pub offset_mm: SideVector,
    /// The scale against that at which the zone with its margin fills the cell.
    pub zoom: f64,
}

impl Default for ZoneView {
    fn default() -> Self {
        Self {
            offset_mm: SideVector::zero(),
            zoom: 1.0,
        }
    }
}

/// The share of the zone's size shown around it on each side at zoom 1: enough to see where on the coin one is.
pub const MARGIN: f64 = 0.15;

impl ZoneView {
    /// The least and greatest zoom: a fifth shows most of the coin, sixteen times shows single pixels.
    pub const ZOOMS: (f64, f64) = (0.2, 16.0);

    /// What a cell of `cell_px` physical pixels shows: every cell of that size the same.
    #[must_use]
    pub fn frame(&self, zone: &Zone, cell_px: [u32; 2]) -> CropFrame {
        let px_per_mm = fitting_px_per_mm(zone, cell_px) * self.zoom;
        CropFrame {
            centre: zone.centre_mm + self.offset_mm,
            width_px: cell_px[0].max(1),
            height_px: cell_px[1].max(1),
            ..pipeline::zone_frame(zone, px_per_mm, MARGIN)
        }
    }

    /// Zooms by a factor about a point of the cell: the place under it stays under it.
    #[must_use]
    pub fn zoomed(&self, zone: &Zone, cell_px: [u32; 2], factor: f64, about: CropPoint) -> Self {
        let zoom = (self.zoom * factor).clamp(Self::ZOOMS.0, Self::ZOOMS.1);
        let place = self.frame(zone, cell_px).point_on_side(about);
        let mut next = Self { zoom, ..*self };
        let drift = next.frame(zone, cell_px).point_on_side(about) - place;
        next.offset_mm -= drift;
        next
    }

    /// Moves what is shown by physical pixels, as a hand drags a picture.
    #[must_use]
    pub fn dragged(&self, zone: &Zone, cell_px: [u32; 2], dx_px: f64, dy_px: f64) -> Self {
        let k = 1.0 / self.frame(zone, cell_px).px_per_mm;
        Self {
            offset_mm: self.offset_mm - SideVector::new(dx_px * k, dy_px * k),
            ..*self
        }
    }

    /// Zooms by a factor about the middle of what is shown.
    #[must_use]
    pub fn closer(&self, factor: f64) -> Self {
        Self {
            zoom: (self.zoom * factor).clamp(Self::ZOOMS.0, Self::ZOOMS.1),
            ..*self
        }
    }

    /// Moves on by shares of what a frame shows, right and down.
    #[must_use]
    pub fn moved_on(&self, frame: &CropFrame, right: f64, down: f64) -> Self {
        let mm = |px: u32, share: f64| f64::from(px) / frame.px_per_mm * share;
        let by = SideVector::new(mm(frame.width_px, right), mm(frame.height_px, down));
        Self {
            offset_mm: self.offset_mm + by,
            ..*self
        }
    }

    /// Whether it shows just the zone as it first came up.
    #[must_use]
    pub fn is_whole_zone(&self) -> bool {
        *self == Self::default()
    }
}

/// The px/mm at which the zone with its margin fills the cell.
fn fitting_px_per_mm(zone: &Zone, cell_px: [u32; 2]) -> f64 {
    let (width_mm, height_mm) = zone.size_mm;
    let share = 1.0 + 2.0 * MARGIN;
    let fit = |px: u32, mm: f64| f64::from(px.max(1)) / (mm.max(1e-3) * share);
    fit(cell_px[0], width_mm).min(fit(cell_px[1], height_mm))
}

/// The corners of the zone, from the top left clockwise on the upright side.
#[must_use]
pub fn zone_corners(zone: &Zone) -> [SidePoint; 4] {
    let (w, h) = (zone.size_mm.0 / 2.0, zone.size_mm.1 / 2.0);
    let c = zone.centre_mm;
    [(-w, -h), (w, -h), (w, h), (-w, h)].map(|(x, y)| SidePoint::new(c.x + x, c.y + y))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn zone() -> Zone {
        Zone {
            id: "z".into(),
            title: String::new(),
            centre_mm: SidePoint::new(3.0, -4.0),
            size_mm: (2.0, 1.0),
            height: None,
            telling_detail_mm: 0.1,
        }
    }

    #[test]
    fn the_whole_zone_fits_with_its_margin() {
        let frame = ZoneView::default().frame(&zone(), [260, 400]);
        assert!((frame.px_per_mm - 100.0).abs() < 1e-9);
        let corner = frame.point_in_crop(zone_corners(&zone())[0]);
        assert!((corner.x - (129.5 - 100.0)).abs() < 1e-9);
        assert!((corner.y - (199.5 - 50.0)).abs() < 1e-9);
    }

    #[test]
    fn zoom_keeps_the_place_under_the_pointer() {
        let (zone, cell) = (zone(), [300, 200]);
        let pointer = CropPoint::new(40.0, 170.0);
        let view = ZoneView::default().dragged(&zone, cell, 12.0, -7.0);
        let before = view.frame(&zone, cell).point_on_side(pointer);
        for factor in [1.7, 0.4, 100.0, 1e-4] {
            let zoomed = view.zoomed(&zone, cell, factor, pointer);
            let after = zoomed.frame(&zone, cell).point_on_side(pointer);
            assert!((after - before).length() < 1e-9);
            assert!((ZoneView::ZOOMS.0..=ZoneView::ZOOMS.1).contains(&zoomed.zoom));
        }
    }

    #[test]
    fn keys_zoom_about_the_middle_and_move_by_shares_of_the_view() {
        let (zone, cell) = (zone(), [300, 200]);
        let view = ZoneView::default();
        let frame = view.frame(&zone, cell);
        let closer = view.closer(2.0).frame(&zone, cell);
        assert_eq!(closer.centre, frame.centre);
        assert!((closer.px_per_mm - 2.0 * frame.px_per_mm).abs() < 1e-9);
        let moved = view.moved_on(&frame, 0.5, -0.25).frame(&zone, cell);
        let before = moved.point_in_crop(frame.centre);
        let middle = frame.point_in_crop(frame.centre);
        assert!((before.x - (middle.x - 150.0)).abs() < 1e-9);
        assert!((before.y - (middle.y + 50.0)).abs() < 1e-9);
    }

    #[test]
    fn a_drag_moves_the_picture_with_the_hand() {
        let (zone, cell) = (zone(), [300, 200]);
        let view = ZoneView::default();
        let place = view
            .frame(&zone, cell)
            .point_on_side(CropPoint::new(100.0, 100.0));
        let moved = view
            .dragged(&zone, cell, 25.0, -10.0)
            .frame(&zone, cell)
            .point_in_crop(place);
        assert!((moved.x - 125.0).abs() < 1e-9 && (moved.y - 90.0).abs() < 1e-9);
    }
}
