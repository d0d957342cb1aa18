//! What is drawn over a crop: the zone's corners, the scale bar, the disc of uncertainty and the linked pointer.

use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Stroke, Vec2};

use super::zoom::zone_corners;
use crate::crop::CropFrame;
use crate::geometry::SidePoint;
use crate::pipeline::scale_bar_mm;
use crate::reference::Zone;

/// A crop on the screen.
#[derive(Debug, Clone, Copy)]
pub struct CropOnScreen {
    /// Where, in points.
    pub rect: Rect,
    /// What it shows, in physical pixels.
    pub frame: CropFrame,
    /// Physical pixels a point.
    pub px_per_point: f32,
}

impl CropOnScreen {
    /// Where a place on the side lies on the screen.
    #[must_use]
    pub fn at(&self, place: SidePoint) -> Pos2 {
        let p = self.frame.point_in_crop(place);
        // A crop's first pixel centre is (0, 0); the screen's is half a pixel in.
        #[expect(clippy::cast_possible_truncation, reason = "screen coordinates are f32")]
        let (x, y) = ((p.x + 0.5) as f32, (p.y + 0.5) as f32);
        self.rect.min + Vec2::new(x, y) / self.px_per_point
    }

    /// Which place on the side lies at a point of the screen.
    #[must_use]
    pub fn place(&self, at: Pos2) -> SidePoint {
        self.frame.point_on_side(self.crop_point(at))
    }

    /// A point of the screen in the crop's pixels.
    #[must_use]
    pub fn crop_point(&self, at: Pos2) -> crate::geometry::CropPoint {
        let d = (at - self.rect.min) * self.px_per_point;
        crate::geometry::CropPoint::new(f64::from(d.x) - 0.5, f64::from(d.y) - 0.5)
    }

    /// A length on the side, in points.
    #[must_use]
    pub fn points(&self, mm: f64) -> f32 {
        #[expect(clippy::cast_possible_truncation, reason = "screen coordinates are f32")]
        let px = (mm * self.frame.px_per_mm) as f32;
        px / self.px_per_point
    }
}

const LIGHT: Color32 = Color32::from_rgb(255, 255, 255);
const SHADE: Color32 = Color32::from_rgba_premultiplied(0, 0, 0, 150);
/// The pointer's colour: seen on silver, copper and gold alike.
const POINTER: Color32 = Color32::from_rgb(255, 214, 64);

/// A light line on a dark one, to be seen on any metal.
fn line(painter: &Painter, points: [Pos2; 2], width: f32, color: Color32) {
    painter.line_segment(points, Stroke::new(width + 2.0, SHADE));
    painter.line_segment(points, Stroke::new(width, color));
}

/// The zone as corner marks, which leave its inside and edges free to look at.
pub fn zone_marks(painter: &Painter, crop: &CropOnScreen, zone: &Zone) {
    let corners = zone_corners(zone);
    for (i, corner) in corners.iter().enumerate() {
        let here = crop.at(*corner);
        for neighbour in [corners[(i + 1) % 4], corners[(i + 3) % 4]] {
            let whole = crop.at(neighbour) - here;
            let arm = whole.normalized() * (whole.length() * 0.12).min(14.0);
            line(painter, [here, here + arm], 1.0, LIGHT);
        }
    }
}

/// A bar of a round length in mm at the bottom left of the crop, with the disc of uncertainty beside it to scale.
pub fn scale_and_uncertainty(painter: &Painter, crop: &CropOnScreen, radius95_mm: Option<f64>) {
    const INSET: f32 = 10.0;
    let wide_mm = f64::from(crop.rect.width() * crop.px_per_point) / crop.frame.px_per_mm;
    let Some(bar_mm) = scale_bar_mm(wide_mm * 0.35) else {
        return;
    };
    let left = Pos2::new(crop.rect.left() + INSET, crop.rect.bottom() - INSET);
    let right = left + Vec2::new(crop.points(bar_mm), 0.0);
    line(painter, [left, right], 2.0, LIGHT);
    for end in [left, right] {
        line(painter, [end - Vec2::new(0.0, 6.0), end], 1.5, LIGHT);
    }
    label(
        painter,
        (left + (right - left) / 2.0) - Vec2::new(0.0, 4.0),
        Align2::CENTER_BOTTOM,
        &length_words(bar_mm),
    );
    if let Some(radius) = radius95_mm {
        let shown = crop.points(radius).max(1.0);
        // A disc too large for the corner says so by filling it.
        let shown = shown.min(crop.rect.width() * 0.25);
        let text = crate::app::widgets::paint::within_words(radius, 3);
        let centre = Pos2::new(
            crop.rect.right() - INSET - shown.max(8.0),
            crop.rect.bottom() - INSET - shown.max(8.0),
        );
        disc(painter, centre, shown, LIGHT);
        label(
            painter,
            centre - Vec2::new(shown.max(8.0) + 4.0, 0.0),
            Align2::RIGHT_CENTER,
            &text,
        );
    }
}

fn disc(painter: &Painter, centre: Pos2, radius: f32, color: Color32) {
    painter.circle_filled(centre, radius, Color32::from_rgba_unmultiplied(255, 255, 255, 36));
    painter.circle_stroke(centre, radius, Stroke::new(3.0, SHADE));
    painter.circle_stroke(centre, radius, Stroke::new(1.2, color));
}

/// The place under the pointer, in every cell: a cross that leaves its middle free, in the disc of uncertainty.
pub fn linked_pointer(painter: &Painter, crop: &CropOnScreen, place: SidePoint, radius95_mm: Option<f64>) {
    let c = crop.at(place);
    if !crop.rect.contains(c) {
        return;
    }
    let radius = radius95_mm.map_or(0.0, |mm| crop.points(mm));
    let gap = radius.max(4.0);
    for arm in [Vec2::X, Vec2::Y, -Vec2::X, -Vec2::Y] {
        line(painter, [c + arm * gap, c + arm * (gap + 9.0)], 1.0, POINTER);
    }
    if radius > 1.5 {
        painter.circle_stroke(c, radius, Stroke::new(3.0, SHADE));
        painter.circle_stroke(c, radius, Stroke::new(1.0, POINTER));
    }
}

/// Small text on a dark ground.
pub fn label(painter: &Painter, at: Pos2, align: Align2, text: &str) {
    let galley = painter.layout_no_wrap(text.to_owned(), FontId::proportional(11.0), LIGHT);
    let rect = align.anchor_size(at, galley.size());
    painter.rect_filled(rect.expand2(Vec2::new(4.0, 1.0)), 3.0, SHADE);
    painter.galley(rect.min, galley, LIGHT);
}

/// A length as the trade would say it: "0.5 mm", "2 mm".
#[must_use]
pub fn length_words(mm: f64) -> String {
    if mm >= 1.0 {
        format!("{mm:.0} mm")
    } else if mm >= 0.1 {
        format!("{mm:.1} mm")
    } else {
        format!("{mm:.2} mm")
    }
}
