//! The bar at the window's top: the specimen, the four steps, the side in view, undo and the menu.

use egui::{Button, Layout, RichText, Ui};

use super::overlay::Overlay;
use super::window::{Screen, Window};
use crate::app::model::action::Action;
use crate::app::model::bench::{Bench, Step, title};
use crate::app::widgets::theme::{self, Palette, palette};
use crate::reference::Side;

/// Draws the bar.
pub fn top_bar_ui(ui: &mut Ui, window: &mut Window, actions: &mut Vec<Action>) {
    let p = palette(ui);
    let frame = egui::Frame::new()
        .fill(p.raised)
        .inner_margin(egui::Margin::symmetric(8, 6));
    egui::Panel::top("top bar").frame(frame).show(ui, |ui| {
        ui.horizontal(|ui| {
            match (&window.screen, &window.bench) {
                (Screen::Bench, Some(bench)) => bench_bar_ui(ui, &p, window.is_unsaved(), bench, actions),
                _ => {
                    ui.label(theme::strong("Dietell").size(15.0));
                    if let Some(bench) = &window.bench {
                        ui.add_space(8.0);
                        let back = format!("Back to {}", bench.record().title);
                        if ui.button(back).clicked() {
                            actions.push(Action::GoToStep(bench.step));
                        }
                    }
                }
            }
            ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
                menu_ui(ui, window, actions);
                if let (Screen::Bench, Some(bench)) = (&window.screen, &window.bench) {
                    undo_ui(ui, bench, actions);
                }
            });
        });
    });
}

fn bench_bar_ui(ui: &mut Ui, p: &Palette, unsaved: bool, bench: &Bench, actions: &mut Vec<Action>) {
    if ui
        .button("\u{2190} Cabinet")
        .on_hover_text("All specimens")
        .clicked()
    {
        actions.push(Action::GoToStart);
    }
    ui.add_space(4.0);
    let room = (ui.available_width() - 700.0).clamp(90.0, 320.0);
    ui.allocate_ui_with_layout(
        egui::vec2(room, 24.0),
        Layout::left_to_right(egui::Align::Center),
        |ui| {
            let record = bench.record();
            ui.add(egui::Label::new(theme::strong(&record.title)).truncate())
                .on_hover_text(format!("{}\n{}", record.title, record.set.title));
        },
    );
    let (words, hint) = if unsaved {
        ("unsaved", "Saved by itself in a moment; Ctrl+S saves now")
    } else {
        ("saved", "All changes are on the disk")
    };
    // As wide for either word: the steps must not move when a change is saved.
    ui.allocate_ui_with_layout(
        egui::vec2(46.0, 24.0),
        Layout::left_to_right(egui::Align::Center),
        |ui| {
            ui.set_min_width(46.0);
            ui.label(RichText::new(words).small().color(p.quiet))
                .on_hover_text(hint);
        },
    );
    ui.separator();
    for (number, step) in (1..).zip(Step::ALL) {
        let here = bench.step == step;
        let button = Button::selectable(here, step.words()).min_size(egui::vec2(72.0, 24.0));
        if ui.add(button).on_hover_text(format!("Ctrl+{number}")).clicked() {
            actions.push(Action::GoToStep(step));
        }
    }
    ui.separator();
    if matches!(bench.step, Step::Align | Step::Compare) {
        for side in Side::BOTH {
            if ui
                .selectable_label(bench.side == side, title(side))
                .on_hover_text("Ctrl+D shows the other side")
                .clicked()
            {
                actions.push(Action::ShowSide(side));
            }
        }
    }
}

fn undo_ui(ui: &mut Ui, bench: &Bench, actions: &mut Vec<Action>) {
    let history = &bench.history;
    for (name, words, key, action) in [
        ("Redo", history.redo_words(), "Ctrl+Shift+Z", Action::Redo),
        ("Undo", history.undo_words(), "Ctrl+Z", Action::Undo),
    ] {
        let button = ui.add_enabled(words.is_some(), Button::new(name));
        let button = match words {
            Some(words) => button.on_hover_text(format!("{name} {words} ({key})")),
            None => button.on_disabled_hover_text(format!("Nothing to {}", name.to_lowercase())),
        };
        if button.clicked() {
            actions.push(action);
        }
    }
}

fn menu_ui(ui: &mut Ui, window: &mut Window, actions: &mut Vec<Action>) {
    ui.menu_button("Menu", |ui| {
        ui.set_min_width(240.0);
        let item =
            |ui: &mut Ui, words: String, key: &str| ui.add(Button::new(words).shortcut_text(key)).clicked();
        if item(ui, "New specimen".to_owned(), "Ctrl+N") {
            actions.push(Action::NewSpecimen);
        }
        if item(ui, "Open specimen\u{2026}".to_owned(), "Ctrl+O") {
            actions.push(Action::OpenSpecimen(None));
        }
        if !window.settings.recent_specimens.is_empty() {
            ui.menu_button("Open recent", |ui| {
                for folder in &window.settings.recent_specimens {
                    let name = folder.file_name().map_or_else(
                        || folder.display().to_string(),
                        |n| n.to_string_lossy().into_owned(),
                    );
                    if ui
                        .button(name)
                        .on_hover_text(folder.display().to_string())
                        .clicked()
                    {
                        actions.push(Action::OpenSpecimen(Some(folder.clone())));
                    }
                }
            });
        }
        if let (Screen::Bench, Some(bench)) = (&window.screen, &window.bench) {
            ui.separator();
            if item(ui, "Save now".to_owned(), "Ctrl+S") {
                actions.push(Action::Save);
            }
            if item(ui, "Rename the specimen\u{2026}".to_owned(), "") {
                window.overlay = Overlay::Rename(bench.record().title.clone());
            }
            for side in Side::BOTH {
                let chosen = bench.record().photo(side).is_some();
                let what = if chosen { "Replace" } else { "Choose" };
                if item(ui, format!("{what} the {} photo\u{2026}", side.word()), "") {
                    actions.push(Action::ChoosePhoto(side, None));
                }
            }
            if let Some(words) = bench.history.undo_words()
                && item(ui, format!("Undo {words}"), "Ctrl+Z")
            {
                actions.push(Action::Undo);
            }
            if let Some(words) = bench.history.redo_words()
                && item(ui, format!("Redo {words}"), "Ctrl+Shift+Z")
            {
                actions.push(Action::Redo);
            }
        }
        ui.separator();
        if item(ui, "Reference sets\u{2026}".to_owned(), "") {
            actions.push(Action::GoToWorkshop);
        }
        if item(ui, "Settings\u{2026}".to_owned(), "") {
            window.overlay = Overlay::Settings;
        }
        if item(ui, "Keys".to_owned(), "F1") {
            window.overlay = Overlay::Keys;
        }
    });
}
