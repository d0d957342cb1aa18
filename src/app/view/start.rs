//! The start screen: what the tool does, what to begin with, and the cabinet.

use crate::app::action::Action;
use crate::app::window::Window;

/// Draws the start screen.
pub fn start_ui(ui: &mut egui::Ui, window: &Window, actions: &mut Vec<Action>) {
    egui::CentralPanel::default_margins().show(ui, |ui| {
        ui.heading("Dietell");
        ui.label("Tell coin dies apart from photographs.");
        if ui.button("Open the demo coin").clicked() {
            actions.push(Action::OpenDemo);
        }
        if ui.button("New specimen").clicked() {
            actions.push(Action::NewSpecimen);
        }
        if ui.button("Open specimen\u{2026}").clicked() {
            actions.push(Action::OpenSpecimen(None));
        }
        for entry in &window.cabinet {
            if ui.button(&entry.title).clicked() {
                actions.push(Action::OpenSpecimen(Some(entry.folder.clone())));
            }
        }
    });
}
