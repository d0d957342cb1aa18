//! The plate under pan and zoom: what is drawn on it, and what the hand does there.

use std::sync::Arc;

use egui::{Panel, Ui};

use super::hand::Hand;
use super::state::{DesignState, PlateRim};
use super::{draw, tools};
use crate::app::model::bench::PlateKey;
use crate::app::pages::workshop::edits::Edits;
use crate::app::widgets::canvas::Canvases;
use crate::app::widgets::pane::{self, FitTo};
use crate::app::widgets::theme::palette;
use crate::photo::Picture;
use crate::reference::{Die, Plate, ReferenceSet, Side};

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
    pub fn key(&self) -> PlateKey {
        (self.side, self.die.id.clone(), self.number)
    }

    /// The rim drawn on it, or a guess before one is drawn.
    pub fn rim(&self, design: &DesignState) -> PlateRim {
        design.rim(&self.plate().file, self.picture.width(), self.picture.height())
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
    ui.painter()
        .rect_filled(ui.available_rect_before_wrap(), 0.0, p.well);
    let response = pane::pane(ui, plate_id(), &format!("Plate of die {}", subject.die.id));
    pane::keep_arrows(ui, plate_id());
    let mut view = design
        .views
        .get(&subject.plate().file)
        .copied()
        .unwrap_or_default();
    let sight = view.sight(ui, response.rect, FitTo::whole(subject.picture));
    let mut hand = Hand {
        set,
        subject,
        sight: &sight,
        frame: frame.as_ref(),
        design,
        edits,
    };
    hand.keys(ui);
    let primary = hand.follow(ui, &response);
    let sight = view.navigate(ui, &response, sight, primary);
    design.views.insert(subject.plate().file.clone(), view);
    design.sight = Some(sight);
    // One canvas for whichever plate is in view: each holds its picture.
    canvases.show_picture(ui, "workshop/plate", subject.picture, &sight);
    draw::marks_ui(ui, &p, set, design, subject, &sight, frame.as_ref());
    pane::outline_focus(ui, &response);
}
