//! What is drawn over the plate: rim, landmarks, zones with the handles of the selected one.

use egui::{Align2, Color32, Pos2, Rect, Ui, vec2};

use super::plate::Subject;
use super::state::{DesignState, Drag, Tool};
use crate::app::pages::align::marks::{self, MarkKind};
use crate::app::widgets::camera::Sight;
use crate::app::widgets::paint;
use crate::app::widgets::theme::Palette;
use crate::flow::{self, ZoneGrip};
use crate::geometry::{PictureFromSide, SidePoint};
use crate::reference::{ReferenceSet, Zone};

/// The side of a handle's square, in points.
const HANDLE: f32 = 7.0;

/// Draws the marks.
pub fn marks_ui(
    ui: &Ui,
    p: &Palette,
    set: &ReferenceSet,
    design: &DesignState,
    subject: &Subject<'_>,
    sight: &Sight,
    frame: Option<&PictureFromSide>,
) {
    let painter = ui.painter_at(sight.rect);
    let part = set.side(subject.side);
    if let Some(frame) = frame {
        for zone in &part.zones {
            zone_ui(&painter, p, design, zone, sight, frame);
        }
    }
    if design.tool == Tool::Rim {
        rim_ui(&painter, p, set, design, subject, sight);
    }
    let proposed = design.proposed_on(subject.plate());
    for (i, landmark) in part.landmarks.iter().enumerate() {
        if let Some(point) = subject.plate().landmarks.get(&landmark.name) {
            let kind = if design.landmark.as_ref() == Some(&landmark.name) {
                MarkKind::Selected
            } else {
                MarkKind::Quiet
            };
            let at = sight.position(*point);
            marks::landmark(&painter, p, at, i + 1, kind);
            if proposed.contains(&landmark.name) {
                let foot = at + vec2(8.0, 6.0);
                paint::chip(&painter, foot, Align2::LEFT_TOP, "?", p.warn_on_picture);
            }
        }
    }
    if let (Some(Drag::NewZone(corner)), Some(pointer)) = (&design.drag, ui.input(|i| i.pointer.hover_pos()))
    {
        let rect = Rect::from_two_pos(sight.position(*corner), pointer);
        let corners = [
            rect.left_top(),
            rect.right_top(),
            rect.right_bottom(),
            rect.left_bottom(),
        ];
        paint::outline(&painter, &corners, 1.5, Color32::WHITE);
    }
}

fn zone_ui(
    painter: &egui::Painter,
    p: &Palette,
    design: &DesignState,
    zone: &Zone,
    sight: &Sight,
    frame: &PictureFromSide,
) {
    let at = |grip: ZoneGrip| sight.position(frame.point_in_picture(grip.place(zone)));
    let [a, b, c, d, ..] = ZoneGrip::OUTLINE;
    let corners = [at(a), at(b), at(c), at(d)];
    let selected = design.tool == Tool::Zones && design.zone.as_ref() == Some(&zone.id);
    let (width, colour) = if selected {
        (2.0, Color32::WHITE)
    } else {
        (1.0, p.on_picture)
    };
    paint::outline(painter, &corners, width, colour);
    if design.tool != Tool::Zones {
        return;
    }
    let name = zone.shown_title();
    let words = if selected {
        format!("{name}: {:.2} × {:.2} mm", zone.size_mm.0, zone.size_mm.1)
    } else {
        name.to_owned()
    };
    let top = corners
        .iter()
        .fold(corners[0], |a, b| if b.y < a.y { *b } else { a });
    let foot = top - vec2(0.0, if selected { HANDLE } else { 0.0 });
    paint::chip(painter, foot, Align2::LEFT_BOTTOM, &words, colour);
    if selected {
        for grip in ZoneGrip::OUTLINE {
            let square = Rect::from_center_size(at(grip), vec2(HANDLE, HANDLE));
            painter.rect_filled(square.expand(1.0), 1.0, Color32::from_black_alpha(170));
            painter.rect_filled(square, 1.0, Color32::WHITE);
        }
    }
}

/// The rim with its centre, and a line from the centre to where the design's top is.
fn rim_ui(
    painter: &egui::Painter,
    p: &Palette,
    set: &ReferenceSet,
    design: &DesignState,
    subject: &Subject<'_>,
    sight: &Sight,
) {
    const SEGMENTS: u32 = 96;
    let draft = design.draft(
        &subject.plate().file,
        subject.picture.width(),
        subject.picture.height(),
    );
    let Ok(frame) = flow::frame_from_rim(&draft.rim, draft.turn_deg, set.measures.diameter_mm) else {
        return;
    };
    let radius = set.measures.diameter_mm / 2.0;
    let at = |place: SidePoint| sight.position(frame.point_in_picture(place));
    let ring: Vec<Pos2> = (0..SEGMENTS)
        .map(|i| {
            let (sin, cos) = (f64::from(i) / f64::from(SEGMENTS) * std::f64::consts::TAU).sin_cos();
            at(SidePoint::new(radius * cos, radius * sin))
        })
        .collect();
    paint::outline(painter, &ring, 1.5, p.on_picture);
    let centre = at(SidePoint::new(0.0, 0.0));
    paint::ring(painter, centre, 6.0, 1.5, p.on_picture);
    let top = at(SidePoint::new(0.0, -radius));
    paint::line(painter, centre, top, 1.0, p.on_picture);
    paint::chip(painter, top, Align2::CENTER_BOTTOM, "up", p.on_picture);
}
