//! What is drawn over the plate: rim, landmarks, zones with the handles of the selected one.

use egui::{Align2, Color32, Painter, Rect, Ui, vec2};

use super::plate::Subject;
use super::state::{DesignState, Drag, Tool};
use crate::app::widgets::camera::Sight;
use crate::app::widgets::picture_marks::{self as marks, MarkKind};
use crate::app::widgets::theme::Palette;
use crate::app::widgets::{paint, rim};
use crate::geometry::{PictureFromSide, SidePoint};
use crate::pipeline::ZoneGrip;
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
    for (number, landmark) in (1..).zip(&part.landmarks) {
        let Some(point) = subject.plate().landmarks.get(&landmark.name) else {
            continue;
        };
        let kind = if design.landmark.as_ref() == Some(&landmark.name) {
            MarkKind::Selected
        } else {
            MarkKind::Quiet
        };
        let at = sight.position(*point);
        marks::landmark(&painter, p, at, number, kind);
        if proposed.contains(&landmark.name) {
            let foot = at + vec2(8.0, 6.0);
            paint::chip(&painter, foot, Align2::LEFT_TOP, "?", p.warn_on_picture);
        }
    }
    if let (Some(Drag::NewZone(corner)), Some(pointer)) = (&design.drag, ui.input(|i| i.pointer.hover_pos()))
    {
        let new = Rect::from_two_pos(sight.position(*corner), pointer);
        let corners = [
            new.left_top(),
            new.right_top(),
            new.right_bottom(),
            new.left_bottom(),
        ];
        paint::outline(&painter, &corners, 1.5, Color32::WHITE);
    }
}

fn zone_ui(
    painter: &Painter,
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
    let mut words = zone.shown_title().to_owned();
    let top = corners.into_iter().min_by(|a, b| a.y.total_cmp(&b.y));
    let mut foot = top.unwrap_or(corners[0]);
    if selected {
        words += &format!(": {:.2} × {:.2} mm", zone.size_mm.0, zone.size_mm.1);
        foot.y -= HANDLE;
        for grip in ZoneGrip::OUTLINE {
            let square = Rect::from_center_size(at(grip), vec2(HANDLE, HANDLE));
            painter.rect_filled(square.expand(1.0), 1.0, Color32::from_black_alpha(170));
            painter.rect_filled(square, 1.0, Color32::WHITE);
        }
    }
    paint::chip(painter, foot, Align2::LEFT_BOTTOM, &words, colour);
}

/// The rim with its handles, and a line from the centre to where the design's top is.
fn rim_ui(
    painter: &Painter,
    p: &Palette,
    set: &ReferenceSet,
    design: &DesignState,
    subject: &Subject<'_>,
    sight: &Sight,
) {
    let drawn = subject.rim(design);
    rim::paint_rim(painter, p, sight, &drawn.rim);
    let Ok(frame) = drawn.frame(set) else { return };
    let top = SidePoint::new(0.0, -set.measures.diameter_mm / 2.0);
    let top = sight.position(frame.point_in_picture(top));
    paint::line(painter, sight.position(drawn.rim.centre), top, 1.0, p.on_picture);
    paint::chip(painter, top, Align2::CENTER_BOTTOM, "up", p.on_picture);
}
