//! The workshop's door: begin a set, or open one.

use std::path::{Path, PathBuf};

use egui::{Button, CentralPanel, Frame, Key, RichText, TextEdit, Ui};

use super::edits::{Edits, WorkshopAction};
use crate::app::model::question::Ask;
use crate::reference::SetSource;
use crate::specimen::Settings;

/// Draws the choice of a set; new ones are made in the folder `sets`.
pub fn sets_ui(ui: &mut Ui, settings: &Settings, sets: &Path) -> Vec<WorkshopAction> {
    let mut edits = Edits::default();
    let frame = Frame::central_panel(ui.style()).inner_margin(24);
    CentralPanel::no_frame().frame(frame).show(ui, |ui| {
        ui.heading("Reference sets");
        ui.scope(|ui| {
            ui.set_max_width(640.0);
            ui.label(
                "A reference set holds one coinage: pictures of each die, the spots where dies differ, and which dies \
                 were used together. Make one from your own pictures, or open one that another collector gave you.",
            );
        });
        ui.add_space(16.0);
        begin_ui(ui, &mut edits);
        ui.weak(format!("It is kept in {}.", sets.display()));
        ui.add_space(16.0);
        open_ui(ui, &mut edits);
        // The built-in set opens as a copy, for which there is a button above.
        let recent = settings.recent_sets.iter();
        let recent: Vec<_> = recent.filter(|place| place.as_os_str() != SetSource::DEMO_WORD).collect();
        if !recent.is_empty() {
            ui.add_space(16.0);
            ui.strong("Lately used");
            for place in recent {
                let name = place.file_name().unwrap_or(place.as_os_str()).to_string_lossy();
                ui.horizontal(|ui| {
                    if ui.link(name.into_owned()).clicked() {
                        edits.ask(WorkshopAction::Open(place.clone()));
                    }
                    ui.label(RichText::new(place.display().to_string()).small().weak());
                });
            }
        }
        ui.add_space(24.0);
        if ui.button("Back to the cabinet").clicked() {
            edits.ask(WorkshopAction::Leave);
        }
    });
    edits.into_actions()
}

/// The title of a new set, and the button that begins it.
fn begin_ui(ui: &mut Ui, edits: &mut Edits) {
    let title_id = ui.scope_id().with("title of the new set");
    let mut title: String = ui.data(|d| d.get_temp(title_id)).unwrap_or_default();
    ui.strong("Begin a set");
    ui.horizontal(|ui| {
        let label = ui.label("Title");
        let field = TextEdit::singleline(&mut title).desired_width(320.0);
        let field = ui.add(field).labelled_by(label.id);
        let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
        let named = !title.trim().is_empty();
        let button = ui.add_enabled(named, Button::new("Begin"));
        let clicked = button
            .on_disabled_hover_text("Give the set a title first.")
            .clicked();
        if named && (clicked || entered) {
            edits.ask(WorkshopAction::New(title.trim().to_owned()));
            title.clear();
        }
    });
    ui.data_mut(|d| d.insert_temp(title_id, title));
}

/// The ways to open a set.
fn open_ui(ui: &mut Ui, edits: &mut Edits) {
    ui.strong("Open a set");
    ui.horizontal(|ui| {
        if ui.button("Open a folder…").clicked() {
            edits.ask(WorkshopAction::AskSet(Ask::SetFolder));
        }
        if ui.button("Open a packed set…").clicked() {
            edits.ask(WorkshopAction::AskSet(Ask::PackedSet));
        }
        let copy = ui.button("Copy the demo set");
        let copy = copy.on_hover_text("A finished set to look at and to try things on");
        if copy.clicked() {
            edits.ask(WorkshopAction::Open(PathBuf::from(SetSource::DEMO_WORD)));
        }
    });
    ui.weak("A packed set is unpacked into a folder of its own; the file stays as it is. Dropping one here does the same.");
}
