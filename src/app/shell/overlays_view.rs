//! Settings, keys, the specimen's title and questions, over whatever screen is in view.

use egui::{Id, Key, Modal, RichText, Ui};

use super::commands;
use super::overlay::Overlay;
use super::window::Window;
use crate::app::model::action::Action;
use crate::app::model::question::{Ask, Purpose};
use crate::app::widgets::theme::{self, palette};
use crate::files::log;
use crate::specimen::{Edit, TextField, Theme};

/// The sizes offered for text and controls.
const SIZES: [f32; 6] = [0.85, 1.0, 1.15, 1.3, 1.5, 2.0];

/// Draws what lies over the screen.
pub fn overlays_ui(ui: &mut Ui, window: &mut Window, actions: &mut Vec<Action>) {
    if matches!(window.overlay, Overlay::None) {
        return;
    }
    let mut open = true;
    let modal = Modal::new(Id::unique("overlay")).show(ui.ctx(), |ui| {
        ui.set_max_width(560.0);
        ui.spacing_mut().item_spacing.y = 6.0;
        // Taken out so that its parts and the window's can be changed side by side.
        let mut overlay = std::mem::take(&mut window.overlay);
        match &mut overlay {
            Overlay::None => {}
            Overlay::Settings => settings_ui(ui, window, actions, &mut open),
            Overlay::Keys => keys_ui(ui, &mut open),
            Overlay::Rename(title) => rename_ui(ui, title, actions, &mut open),
            Overlay::Notes(notes) => notes_ui(ui, notes, &mut open),
            Overlay::Log(text) => log_ui(ui, text, &mut open),
            Overlay::Confirm(confirm) => {
                ui.set_width(420.0);
                ui.label(&confirm.question);
                ui.add_space(8.0);
                ui.horizontal(|ui| {
                    if ui.button(confirm.yes).clicked() {
                        actions.push(std::mem::replace(&mut confirm.then, Action::Nothing));
                        open = false;
                    }
                    if ui.button("Keep things as they are").clicked() {
                        open = false;
                    }
                });
            }
        }
        window.overlay = overlay;
    });
    if modal.should_close() || !open {
        window.overlay = Overlay::None;
    }
}

fn settings_ui(ui: &mut Ui, window: &mut Window, actions: &mut Vec<Action>, open: &mut bool) {
    ui.set_width(420.0);
    ui.heading("Settings");
    let before = window.settings.clone();
    ui.label(theme::strong("Light and dark"));
    ui.horizontal(|ui| {
        for (choice, words) in [
            (Theme::System, "As the system"),
            (Theme::Light, "Light"),
            (Theme::Dark, "Dark"),
        ] {
            ui.radio_value(&mut window.settings.theme, choice, words);
        }
    });
    ui.label(theme::strong("Size of text and controls"));
    ui.horizontal(|ui| {
        for size in SIZES {
            let here = (window.settings.zoom - size).abs() < 0.01;
            if ui
                .selectable_label(here, format!("{:.0} %", size * 100.0))
                .clicked()
            {
                window.settings.zoom = size;
            }
        }
    });
    ui.label(theme::strong("Cabinet"));
    ui.label(window.cabinet_folder().display().to_string());
    ui.horizontal(|ui| {
        if ui.button("Choose another folder\u{2026}").clicked() {
            actions.push(Action::Ask(Ask::CabinetFolder, String::new(), Purpose::Cabinet));
        }
    });
    if window.settings != before {
        actions.push(Action::KeepSettings);
    }
    ui.add_space(8.0);
    if ui.button("Close").clicked() {
        *open = false;
    }
}

fn keys_ui(ui: &mut Ui, open: &mut bool) {
    let p = palette(ui);
    ui.set_width(520.0);
    ui.heading("Keys");
    let height = (ui.ctx().content_rect().height() - 200.0).max(160.0);
    egui::ScrollArea::vertical().max_height(height).show(ui, |ui| {
        for help in commands::help() {
            ui.add_space(4.0);
            ui.label(theme::strong(help.heading));
            egui::Grid::new(help.heading)
                .num_columns(2)
                .spacing([24.0, 4.0])
                .min_col_width(170.0)
                .show(ui, |ui| {
                    for (input, words) in help.lines {
                        ui.label(RichText::new(input).color(p.quiet));
                        ui.label(words);
                        ui.end_row();
                    }
                });
        }
    });
    ui.add_space(8.0);
    if ui.button("Close").clicked() {
        *open = false;
    }
}

fn notes_ui(ui: &mut Ui, notes: &[String], open: &mut bool) {
    ui.set_width(520.0);
    ui.heading("What has changed");
    let height = (ui.ctx().content_rect().height() - 240.0).max(160.0);
    egui::ScrollArea::vertical().max_height(height).show(ui, |ui| {
        for note in notes {
            ui.horizontal_top(|ui| {
                ui.label("\u{2022}");
                ui.add(egui::Label::new(note).wrap());
            });
        }
    });
    ui.add_space(8.0);
    if ui.button("Close").clicked() {
        *open = false;
    }
}

fn log_ui(ui: &mut Ui, text: &str, open: &mut bool) {
    ui.set_width(520.0);
    ui.heading("Log");
    match log::file() {
        Some(file) => ui.label(format!(
            "What went wrong without stopping anything, from {}.",
            file.display()
        )),
        None => ui.label("No log is kept in this session."),
    };
    let height = (ui.ctx().content_rect().height() - 280.0).max(160.0);
    egui::ScrollArea::both()
        .max_height(height)
        .stick_to_bottom(true)
        .show(ui, |ui| {
            ui.add(egui::Label::new(RichText::new(text).monospace()).extend())
        });
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        let copy = ui.button("Copy for a report");
        if copy.on_hover_text("Without your name and home folder").clicked() {
            ui.ctx().copy_text(text.to_owned());
        }
        if ui.button("Close").clicked() {
            *open = false;
        }
    });
}

fn rename_ui(ui: &mut Ui, title: &mut String, actions: &mut Vec<Action>, open: &mut bool) {
    ui.set_width(360.0);
    let label = ui.label("Title");
    let field = ui
        .add(egui::TextEdit::singleline(title).desired_width(f32::INFINITY))
        .labelled_by(label.id);
    if ui.memory(|m| m.focused()).is_none() {
        field.request_focus();
    }
    let given = title.trim().to_owned();
    let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    ui.horizontal(|ui| {
        let rename = ui.add_enabled(!given.is_empty(), egui::Button::new("Rename"));
        if (rename.clicked() || entered) && !given.is_empty() {
            actions.push(Action::edit(Edit::Text(TextField::Title, given)));
            *open = false;
        }
        if ui.button("Cancel").clicked() {
            *open = false;
        }
    });
}
