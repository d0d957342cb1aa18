//! Marks that are readable on bright and on dark metal: each line has a dark edge.

use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Stroke, Vec2, vec2};

/// The dark edge of marks.
const HALO: Color32 = Color32::from_black_alpha(170);

/// A line from point to point, closed or not.
pub fn outline(painter: &Painter, points: &[Pos2], width: f32, colour: Color32) {
    let closed = |stroke: Stroke| egui::Shape::closed_line(points.to_vec(), stroke);
    painter.add(closed(Stroke::new(width + 2.0, HALO)));
    painter.add(closed(Stroke::new(width, colour)));
}

/// A straight line.
pub fn line(painter: &Painter, from: Pos2, to: Pos2, width: f32, colour: Color32) {
    painter.line_segment([from, to], Stroke::new(width + 2.0, HALO));
    painter.line_segment([from, to], Stroke::new(width, colour));
}

/// A ring.
pub fn ring(painter: &Painter, centre: Pos2, radius: f32, width: f32, colour: Color32) {
    painter.circle_stroke(centre, radius, Stroke::new(width + 2.0, HALO));
    painter.circle_stroke(centre, radius, Stroke::new(width, colour));
}

/// A cross whose middle is left free, so that the point itself is seen.
pub fn open_cross(painter: &Painter, centre: Pos2, inner: f32, outer: f32, colour: Color32) {
    for direction in [Vec2::RIGHT, Vec2::LEFT, Vec2::UP, Vec2::DOWN] {
        line(
            painter,
            centre + direction * inner,
            centre + direction * outer,
            1.5,
            colour,
        );
    }
}

/// A short text on a dark chip; returns the chip's place.
pub fn chip(painter: &Painter, at: Pos2, align: Align2, text: &str, colour: Color32) -> Rect {
    let galley = painter.layout_no_wrap(text.to_owned(), FontId::proportional(11.5), colour);
    let rect = align.anchor_size(at, galley.size() + vec2(8.0, 2.0));
    painter.rect_filled(rect, 3.0, Color32::from_black_alpha(190));
    painter.galley(rect.min + vec2(4.0, 1.0), galley, colour);
    rect
}

/// How far a place may be off, in mm to some decimal places. Beyond a coin's size the number says nothing more.
pub fn within_words(radius_mm: f64, places: usize) -> String {
    const BEYOND_MM: f64 = 10.0;
    if radius_mm < BEYOND_MM {
        format!("\u{b1} {radius_mm:.places$} mm")
    } else {
        format!("\u{b1} over {BEYOND_MM:.0} mm")
    }
}
