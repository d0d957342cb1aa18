//! A side's design, drawn on its plates: the rim and which way is up, the landmarks, the zones.

mod actions;
mod draw;
mod hand;
mod keys;
mod lists;
mod plate;
mod propose;
mod state;
mod tools;

use egui::{CentralPanel, Panel, ScrollArea, Ui};

pub use keys::help;
pub use propose::LookForRest;
pub use state::{DesignState, PlateRim, PlateRims};

use super::edits::{Edits, WorkshopAction};
use super::state::Workshop;
use crate::app::model::picture_slot::PictureSlot;
use crate::app::widgets::canvas::Canvases;
use crate::reference::{ReferenceSet, Side};

/// The section "Design" of a side.
pub fn design_ui(
    ui: &mut Ui,
    workshop: &mut Workshop,
    canvases: &mut Canvases,
    side: Side,
    edits: &mut Edits,
) {
    Panel::left(format!("design lists {}", side.word()))
        .resizable(true)
        .default_size(340.0)
        .show(ui, |ui| {
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                ui.add_space(6.0);
                lists::lists_ui(ui, workshop, side, edits);
            });
        });
    CentralPanel::no_frame().show(ui, |ui| {
        let set = &workshop.history.now().set;
        let design = &mut workshop.design[side];
        let Some((die, number)) = design.plate_in(set.side(side)) else {
            no_plate_ui(ui, set, side, edits);
            return;
        };
        let plate = &die.plates[number];
        match workshop.plates.get(&plate.file).slot {
            PictureSlot::Ready(picture) => {
                plate::plate_ui(
                    ui,
                    set,
                    design,
                    canvases,
                    &plate::Subject {
                        side,
                        die,
                        number,
                        picture: &picture,
                    },
                    edits,
                );
            }
            PictureSlot::Failed(problem) => {
                ui.centered_and_justified(|ui| ui.label(problem.to_string()));
            }
            PictureSlot::Empty | PictureSlot::Loading(_) => {
                ui.centered_and_justified(|ui| ui.label("Reading the plate…"));
            }
        }
    });
}

fn no_plate_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, edits: &mut Edits) {
    ui.vertical_centered(|ui| {
        ui.add_space(ui.available_height() / 3.0);
        ui.set_max_width(560.0);
        ui.heading("No plate to draw on yet");
        ui.label(
            "Add a die and a picture of it, seen square from the front. On this first plate you mark the rim, \
             the landmarks and the zones; further plates take them over. Pictures of several dies may be dropped here \
             together: each begins a die of its own.",
        );
        ui.add_space(8.0);
        match set.side(side).dies.first() {
            Some(die) => {
                if ui.button(format!("Add a plate of die {}…", die.id)).clicked() {
                    edits.ask(WorkshopAction::AddPlate(side, die.id.clone(), None));
                }
            }
            None => {
                if ui.button("Add the first die").clicked() {
                    super::dies::add_die(set, side, edits);
                }
            }
        }
    });
}
