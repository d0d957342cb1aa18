//! The plate under pan and zoom: what is drawn on it, and what the hand does there.

use std::sync::Arc;

use egui::{Panel, Role, Sense, Ui, WidgetInfo};

use super::state::DesignState;
use crate::app::pages::workshop::design::{draw, hand, keys, tools};
use crate::app::pages::workshop::edits::Edits;
use crate::app::widgets::canvas::{Canvases, Shown, Treatment};
use crate::app::widgets::pane::FitTo;
use crate::app::widgets::theme::palette;
use crate::photo::Picture;
use crate::reference::{Die, DieId, Plate, ReferenceSet, Side};

/// The plate that is drawn on.
pub struct Subject<'a> {
    /// Its side.
    pub side: Side,
    /// Its die.
    pub die: &'a Die,
    /// Its number among the die's plates, from 0.
    pub number: usize,
    /// Its picture.
    pub picture: &'a Arc<Picture>,
}

impl Subject<'_> {
    /// The plate itself.
    pub fn plate(&self) -> &Plate {
        &self.die.plates[self.number]
    }

    /// Where it stands in the set.
    pub fn key(&self) -> (DieId, usize) {
        (self.die.id.clone(), self.number)
    }
}

/// The id of the plate's pane, which takes the keys while it has the focus.
pub fn plate_id() -> egui::Id {
    egui::Id::unique("workshop/plate")
}

/// Draws the tools and the plate.
pub fn plate_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    design: &mut DesignState,
    canvases: &mut Canvases,
    subject: &Subject<'_>,
    edits: &mut Edits,
) {
    let frame = design.frame(set, subject.side, subject.plate());
    Panel::top("design tools").show(ui, |ui| {
        tools::tools_ui(ui, set, design, subject, frame.as_ref(), edits);
    });
    let p = palette(ui);
    let rect = ui.available_rect_before_wrap();
    ui.advance_cursor_after_rect(rect);
    ui.painter().rect_filled(rect, 0.0, p.well);
    let response = ui.interact(rect, plate_id(), Sense::click_and_drag());
    response
        .widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Plate of die {}", subject.die.id)));
    if response.clicked() || response.drag_started() {
        response.request_focus();
    }
    let picture = subject.picture;
    let view = design.views.entry(subject.plate().file.clone()).or_default();
    let sight = view.sight(ui, rect, FitTo::whole(picture));
    let hand = hand::Hand {
        set,
        subject,
        sight: &sight,
        frame: frame.as_ref(),
    };
    keys::keys(ui, &hand, design, edits);
    let primary = hand.follow(ui, design, &response, edits);
    let view = design.views.entry(subject.plate().file.clone()).or_default();
    let sight = view.navigate(ui, &response, sight, primary);
    design.sight = Some(sight);
    canvases.show(
        ui,
        rect,
        // One canvas for whichever plate is in view: each holds its picture.
        "workshop/plate",
        Shown {
            picture: Arc::clone(picture),
            picture_from_canvas: sight.picture_from_canvas(),
            size_px: sight.size_px(),
            treatment: Treatment::default(),
        },
    );
    draw::marks_ui(ui, &p, set, design, subject, &sight, frame.as_ref());
    if response.has_focus() {
        let stroke = egui::Stroke::new(1.0, p.accent);
        ui.painter()
            .rect_stroke(rect, 0.0, stroke, egui::StrokeKind::Inside);
    }
}
