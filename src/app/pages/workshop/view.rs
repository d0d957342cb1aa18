//! The workshop's frame: sections at the left, the section in view in the middle.

use std::path::Path;

use egui::{CentralPanel, Panel, ScrollArea, Ui};

use super::edits::{Edits, WorkshopAction};
use super::state::{Section, Workshop};
use crate::app::pages::workshop::{checks, coinage, design, dies, features, pairings, sets, share};
use crate::app::widgets::canvas::Canvases;
use crate::specimen::Settings;

/// Draws the workshop: the set in it, or the choice of one. New sets are made in the folder `sets`.
pub fn screen_ui(
    ui: &mut Ui,
    workshop: Option<&mut Workshop>,
    canvases: &mut Canvases,
    settings: &Settings,
    sets: &Path,
) -> Vec<WorkshopAction> {
    match workshop {
        Some(workshop) => workshop_ui(ui, workshop, canvases),
        None => sets::sets_ui(ui, settings, sets),
    }
}

fn workshop_ui(ui: &mut Ui, workshop: &mut Workshop, canvases: &mut Canvases) -> Vec<WorkshopAction> {
    let mut edits = Edits::default();
    Panel::top("workshop bar").show(ui, |ui| bar_ui(ui, workshop, &mut edits));
    Panel::left("workshop sections")
        .resizable(false)
        .exact_size(180.0)
        .show(ui, |ui| {
            ui.add_space(8.0);
            for section in Section::ALL {
                let count = count_of(workshop, section);
                let words = match (section, &workshop.findings) {
                    (Section::Checks, Some(findings)) if !findings.is_empty() => {
                        format!("Checks ({})", checks::summary(findings))
                    }
                    _ => count.map_or_else(|| section.words(), |n| format!("{} ({n})", section.words())),
                };
                if ui.selectable_label(workshop.section == section, words).clicked() {
                    edits.ask(WorkshopAction::GoTo(section));
                }
            }
        });
    if let Some(pending) = &mut workshop.merge {
        share::merge_ui(ui, pending, &mut edits);
    }
    if let Section::Design(side) = workshop.section {
        design::design_ui(ui, workshop, canvases, side, &mut edits);
        return edits.into_actions();
    }
    CentralPanel::default_margins().show(ui, |ui| {
        let set = &workshop.history.now().set;
        ScrollArea::vertical()
            .id_salt(workshop.section.words())
            .auto_shrink(false)
            .show(ui, |ui| match workshop.section {
                Section::Coinage => coinage::coinage_ui(ui, set, &mut edits),
                Section::Design(_) => {}
                Section::Features(side) => {
                    features::features_ui(ui, set, side, &mut workshop.goal, &mut edits)
                }
                Section::Dies(side) => {
                    let chosen = &mut workshop.die[side];
                    dies::dies_ui(ui, set, side, chosen, &mut workshop.goal, &mut edits);
                }
                Section::Pairings => pairings::pairings_ui(ui, set, &mut workshop.pairing, &mut edits),
                Section::Checks => {
                    checks::checks_ui(
                        ui,
                        workshop.findings.as_deref(),
                        workshop.findings_shown,
                        &mut edits,
                    );
                    if let Some(found) = &workshop.usefulness {
                        checks::usefulness_ui(ui, set, found);
                    }
                }
            });
    });
    edits.into_actions()
}

fn bar_ui(ui: &mut Ui, workshop: &Workshop, edits: &mut Edits) {
    ui.horizontal(|ui| {
        if ui
            .button("Start")
            .on_hover_text("Back to the start screen")
            .clicked()
        {
            edits.ask(WorkshopAction::Close);
        }
        ui.separator();
        let title = &workshop.set().title;
        ui.strong(if title.is_empty() {
            "Set without a title"
        } else {
            title
        });
        ui.weak(if workshop.is_unsaved() {
            "not saved yet"
        } else {
            "saved"
        });
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui
                .button("Merge…")
                .on_hover_text("Take in what another copy of this set changed")
                .clicked()
            {
                edits.ask(WorkshopAction::Merge(None));
            }
            if ui
                .button("Pack to one file…")
                .on_hover_text("One file to hand to another collector")
                .clicked()
            {
                edits.ask(WorkshopAction::Pack);
            }
            if ui.button("Save").clicked() {
                edits.ask(WorkshopAction::Save);
            }
            let redo = workshop.history.redo_words();
            let hover = redo.map_or_else(|| "Nothing to do again".to_owned(), |w| format!("Do {w} again"));
            if ui
                .add_enabled(redo.is_some(), egui::Button::new("Redo"))
                .on_hover_text(hover)
                .clicked()
            {
                edits.ask(WorkshopAction::Redo);
            }
            let undo = workshop.history.undo_words();
            let hover = undo.map_or_else(|| "Nothing to undo".to_owned(), |w| format!("Undo {w}"));
            if ui
                .add_enabled(undo.is_some(), egui::Button::new("Undo"))
                .on_hover_text(hover)
                .clicked()
            {
                edits.ask(WorkshopAction::Undo);
            }
        });
    });
}

fn count_of(workshop: &Workshop, section: Section) -> Option<usize> {
    let set = workshop.set();
    match section {
        Section::Coinage | Section::Checks => None,
        Section::Design(side) => Some(set.side(side).landmarks.len()),
        Section::Features(side) => Some(set.side(side).features.len()),
        Section::Dies(side) => Some(set.side(side).dies.len()),
        Section::Pairings => Some(set.pairings.len()),
    }
}
