//! The marks of verdicts, dies and pairings: a shape for each, so that no meaning hangs on colour alone.

use egui::{Atom, Color32, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, Vec2};

use super::theme::palette;
use crate::evidence::Outcome;
use crate::specimen::{Found, Ruling};

/// A mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Agrees, or still in: a filled disc with a tick.
    Yes,
    /// Differs, or out: a cross.
    No,
    /// Cannot tell: a diamond with a bar.
    CannotTell,
    /// Nothing said yet: a small ring.
    Blank,
    /// Something to look at: a triangle.
    Attention,
    /// Leads, or tells most: a star of four points.
    Best,
}

impl Mark {
    /// The mark of a ruling.
    #[must_use]
    pub fn of_ruling(ruling: Ruling) -> Self {
        match ruling {
            Ruling::Agrees => Self::Yes,
            Ruling::Differs => Self::No,
            Ruling::CannotTell(_) => Self::CannotTell,
        }
    }

    /// The mark of what was found at a spot.
    #[must_use]
    pub fn of_found(found: Option<Found>) -> Self {
        match found {
            None => Self::Blank,
            Some(Found::Same) => Self::Yes,
            Some(Found::Differs(_)) => Self::No,
            Some(Found::CannotTell(_)) => Self::CannotTell,
        }
    }

    /// The mark of an outcome.
    #[must_use]
    pub fn of_outcome(outcome: &Outcome) -> Self {
        match outcome {
            Outcome::Settled { .. } => Self::Yes,
            Outcome::Leaning { .. } => Self::Best,
            Outcome::Open => Self::Blank,
            Outcome::Contradicted { .. } | Outcome::Unlisted { .. } => Self::Attention,
            Outcome::BeyondTelling { .. } => Self::CannotTell,
        }
    }

    /// Its colour on the window's ground.
    #[must_use]
    pub fn color(self, ui: &Ui) -> Color32 {
        let palette = palette(ui);
        match self {
            Self::Yes => palette.good,
            Self::No => palette.bad,
            Self::CannotTell | Self::Blank => palette.quiet,
            Self::Attention => palette.warn,
            Self::Best => palette.accent,
        }
    }

    /// Paints it into a square.
    pub fn paint(self, painter: &Painter, rect: Rect, color: Color32, ground: Color32) {
        let c = rect.center();
        let r = rect.width().min(rect.height()) / 2.0;
        let at = |x: f32, y: f32| Pos2::new(c.x + x * r, c.y + y * r);
        match self {
            Self::Yes => {
                painter.circle_filled(c, r * 0.92, color);
                let tick = vec![at(-0.42, 0.02), at(-0.1, 0.36), at(0.46, -0.32)];
                painter.line(tick, Stroke::new((r * 0.26).max(1.3), ground));
            }
            Self::No => {
                let stroke = Stroke::new((r * 0.32).max(1.6), color);
                painter.line_segment([at(-0.68, -0.68), at(0.68, 0.68)], stroke);
                painter.line_segment([at(-0.68, 0.68), at(0.68, -0.68)], stroke);
            }
            Self::CannotTell => {
                let corners = vec![at(0.0, -0.95), at(0.95, 0.0), at(0.0, 0.95), at(-0.95, 0.0)];
                let stroke = Stroke::new((r * 0.22).max(1.2), color);
                painter.add(Shape::closed_line(corners, stroke));
                painter.line_segment([at(-0.34, 0.0), at(0.34, 0.0)], stroke);
            }
            Self::Blank => {
                painter.circle_stroke(c, r * 0.5, Stroke::new(1.2, color));
            }
            Self::Attention => {
                let corners = vec![at(0.0, -0.85), at(0.95, 0.78), at(-0.95, 0.78)];
                painter.add(Shape::convex_polygon(corners, color, Stroke::NONE));
                let stroke = Stroke::new((r * 0.22).max(1.2), ground);
                painter.line_segment([at(0.0, -0.28), at(0.0, 0.26)], stroke);
                painter.line_segment([at(0.0, 0.46), at(0.0, 0.62)], stroke);
            }
            Self::Best => {
                let points = (0..8u8)
                    .map(|n| {
                        let reach = if n % 2 == 0 { 0.98 } else { 0.36 };
                        let angle = f32::from(n) * std::f32::consts::FRAC_PI_4;
                        at(reach * angle.sin(), -reach * angle.cos())
                    })
                    .collect();
                painter.add(Shape::Path(egui::epaint::PathShape {
                    points,
                    closed: true,
                    fill: color,
                    stroke: egui::epaint::PathStroke::NONE,
                }));
            }
        }
    }

    /// It as a part of a button, in its own colour.
    #[must_use]
    pub fn atom<'a>(self, ui: &Ui) -> Atom<'a> {
        let color = self.color(ui);
        let ground = palette(ui).panel;
        Atom::paint(Vec2::splat(ICON), move |ui, args| {
            self.paint(ui.painter(), args.rect, color, ground);
        })
    }

    /// It beside other widgets. It has no name of its own: a word stands next to it.
    pub fn show(self, ui: &mut Ui) {
        let (rect, _) = ui.allocate_exact_size(Vec2::splat(ICON), Sense::hover());
        self.paint(ui.painter(), rect, self.color(ui), palette(ui).panel);
    }
}

/// The marks' size in points.
pub const ICON: f32 = 13.0;

/// A small triangle that says that a button opens a list.
#[must_use]
pub fn down<'a>() -> Atom<'a> {
    Atom::paint(Vec2::new(8.0, 8.0), |ui, args| {
        let c = args.rect.center();
        let corners = [(-3.5, -1.5), (3.5, -1.5), (0.0, 2.5)].map(|(x, y)| c + Vec2::new(x, y));
        ui.painter().add(Shape::convex_polygon(
            corners.to_vec(),
            args.fallback_text_color,
            Stroke::NONE,
        ));
    })
}
