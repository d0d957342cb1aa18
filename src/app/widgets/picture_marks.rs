//! Marks on a picture: landmarks, zones and how far they may be off.

use egui::{Align2, Color32, Painter, Pos2};

use crate::app::widgets::camera::Sight;
use crate::app::widgets::paint;
use crate::app::widgets::theme::Palette;
use crate::geometry::{PictureFromSide, PicturePoint, SidePoint, SideVector};
use crate::reference::Zone;

/// How a landmark is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkKind {
    /// One of many.
    Quiet,
    /// The selected one.
    Selected,
    /// One that disagrees with the rest.
    Disagrees,
    /// The selected one, where it disagrees with the rest.
    SelectedDisagrees,
}

/// A landmark's mark: a ring and a cross, both open at the point itself.
pub fn landmark(painter: &Painter, p: &Palette, at: Pos2, number: usize, kind: MarkKind) {
    let (colour, radius) = match kind {
        MarkKind::Quiet => (Color32::WHITE, 6.0),
        MarkKind::Selected => (p.on_picture, 10.0),
        MarkKind::Disagrees => (p.warn_on_picture, 9.0),
        MarkKind::SelectedDisagrees => (p.warn_on_picture, 11.0),
    };
    paint::ring(painter, at, radius, 1.5, colour);
    paint::open_cross(painter, at, 3.0, radius + 3.0, colour);
    let text = match kind {
        MarkKind::Disagrees | MarkKind::SelectedDisagrees => format!("{number} !"),
        _ => number.to_string(),
    };
    let foot = at + egui::vec2(radius + 3.0, -radius - 1.0);
    paint::chip(painter, foot, Align2::LEFT_BOTTOM, &text, colour);
}

/// How a landmark was snapped: from where it was clicked, by how many px.
pub fn snapped(painter: &Painter, p: &Palette, from: Pos2, to: Pos2, moved_px: f64) {
    /// Nearer than this on the screen the way between the two is no line, in points.
    const LEAST: f32 = 4.0;
    let colour = p.on_picture;
    if from.distance(to) >= LEAST {
        for (width, colour) in [(3.0, Color32::from_black_alpha(150)), (1.2, colour)] {
            painter.line_segment([from, to], egui::Stroke::new(width, colour));
        }
        paint::ring(painter, from, 3.0, 1.0, colour);
    }
    let foot = to + egui::vec2(13.0, 13.0);
    let words = format!("moved {moved_px:.2} px");
    paint::chip(painter, foot, Align2::LEFT_TOP, &words, colour);
}

/// The zone's outline on the photo, its title where it is given, and the disc that holds its place with 95 %.
pub fn zone(
    painter: &Painter,
    p: &Palette,
    sight: &Sight,
    transform: &PictureFromSide,
    zone: &Zone,
    radius95_mm: f64,
    title: Option<&str>,
) {
    let (w, h) = (zone.size_mm.0 / 2.0, zone.size_mm.1 / 2.0);
    let corner = |x: f64, y: f64| {
        let place = zone.centre_mm + SideVector::new(x * w, y * h);
        sight.position(transform.point_in_picture(place))
    };
    let corners = [
        corner(-1.0, -1.0),
        corner(1.0, -1.0),
        corner(1.0, 1.0),
        corner(-1.0, 1.0),
    ];
    if corners.iter().any(|c| !c.x.is_finite() || !c.y.is_finite()) {
        return;
    }
    paint::outline(painter, &corners, 1.0, p.on_picture);
    let scale = transform.px_per_mm(zone.centre_mm) * sight.points_per_px();
    let centre = sight.position(transform.point_in_picture(zone.centre_mm));
    #[expect(clippy::cast_possible_truncation, reason = "screen coordinates are f32")]
    let radius = (radius95_mm * scale) as f32;
    let half_width = (corners[1] - corners[0]).length() / 2.0;
    // Smaller than this it is no disc but a blot on the metal; one far larger than its zone is drawn as a line alone, or
    // the discs of several zones would hide the coin.
    if radius > 2.0 {
        if radius < 2.0 * half_width {
            painter.circle_filled(centre, radius, p.on_picture.gamma_multiply(0.18));
        }
        painter.circle_stroke(
            centre,
            radius,
            egui::Stroke::new(1.0, p.on_picture.gamma_multiply(0.8)),
        );
    }
    if let Some(title) = title {
        let top = corners
            .iter()
            .copied()
            .min_by(|a, b| a.y.total_cmp(&b.y))
            .unwrap_or(centre);
        let left = corners.iter().map(|c| c.x).fold(f32::INFINITY, f32::min);
        let right = corners.iter().map(|c| c.x).fold(f32::NEG_INFINITY, f32::max);
        let at = Pos2::new((left + right) / 2.0, top.y - 3.0);
        paint::chip(painter, at, Align2::CENTER_BOTTOM, title, p.on_picture);
    }
}

/// Whether a position on the side lies in the zone.
#[must_use]
pub fn in_zone(place: SidePoint, zone: &Zone) -> bool {
    let d = place - zone.centre_mm;
    d.x.abs() <= zone.size_mm.0 / 2.0 && d.y.abs() <= zone.size_mm.1 / 2.0
}

/// The landmark nearest to a screen position, within reach.
#[must_use]
pub fn nearest<'a, T>(
    sight: &Sight,
    position: Pos2,
    points: impl Iterator<Item = (&'a T, &'a PicturePoint)>,
) -> Option<(&'a T, PicturePoint)> {
    /// How near the pointer must come to a mark, in points.
    const REACH: f32 = 12.0;
    points
        .map(|(name, point)| (name, *point, sight.position(*point).distance(position)))
        .filter(|(_, _, distance)| *distance <= REACH)
        .min_by(|a, b| a.2.total_cmp(&b.2))
        .map(|(name, point, _)| (name, point))
}
