//! The bar at the window's top: the specimen, the four steps, the side in view, undo and the menu.

use std::path::PathBuf;

use egui::{Button, Layout, RichText, Ui};

use super::commands::{MENU, WindowCommand, key_of};
use super::window::{Screen, Window};
use crate::app::model::action::Action;
use crate::app::model::bench::{Bench, Step};
use crate::app::widgets::theme::{self, Palette, palette};
use crate::reference::Side;

/// Draws the bar; returns the commands that were asked for.
pub fn top_bar_ui(ui: &mut Ui, window: &Window, actions: &mut Vec<Action>) -> Vec<WindowCommand> {
    let mut asked = Vec::new();
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
                menu_ui(ui, window, actions, &mut asked);
                if let (Screen::Bench, Some(_)) = (&window.screen, &window.bench) {
                    undo_ui(ui, window, &mut asked);
                }
            });
        });
    });
    asked
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
        let key = key_of(WindowCommand::Save);
        ("unsaved", format!("Saved by itself in a moment; {key} saves now"))
    } else {
        ("saved", "All changes are on the disk".to_owned())
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
    for step in Step::ALL {
        let here = bench.step == step;
        let button = Button::selectable(here, step.words()).min_size(egui::vec2(72.0, 24.0));
        let key = key_of(WindowCommand::Step(step));
        if ui.add(button).on_hover_text(key).clicked() {
            actions.push(Action::GoToStep(step));
        }
    }
    ui.separator();
    if matches!(bench.step, Step::Align | Step::Compare) {
        for side in Side::BOTH {
            if ui
                .selectable_label(bench.side == side, side.title())
                .on_hover_text(format!(
                    "{} shows the other side",
                    key_of(WindowCommand::OtherSide)
                ))
                .clicked()
            {
                actions.push(Action::ShowSide(side));
            }
        }
    }
}

fn undo_ui(ui: &mut Ui, window: &Window, asked: &mut Vec<WindowCommand>) {
    for (name, command) in [("Redo", WindowCommand::Redo), ("Undo", WindowCommand::Undo)] {
        let label = window.label(command);
        let button = ui.add_enabled(label.is_some(), Button::new(name));
        let button = match label {
            Some(label) => button.on_hover_text(format!("{label} ({})", key_of(command))),
            None => button.on_disabled_hover_text(format!("Nothing to {}", name.to_lowercase())),
        };
        if button.clicked() {
            asked.push(command);
        }
    }
}

fn menu_ui(ui: &mut Ui, window: &Window, actions: &mut Vec<Action>, asked: &mut Vec<WindowCommand>) {
    ui.menu_button("Menu", |ui| {
        ui.set_min_width(240.0);
        for (number, group) in MENU.iter().enumerate() {
            let items: Vec<_> = group
                .iter()
                .filter_map(|command| Some((*command, window.label(*command)?)))
                .collect();
            if number > 0 && !items.is_empty() {
                ui.separator();
            }
            for (command, label) in items {
                let key = key_of(command);
                let button = Button::new(label);
                // An empty one would still be a part of the button's accessible name.
                let button = if key.is_empty() {
                    button
                } else {
                    button.shortcut_text(key)
                };
                if ui.add(button).clicked() {
                    asked.push(command);
                }
            }
            if number == 0 && !window.settings.recent_specimens.is_empty() {
                recent_ui(ui, &window.settings.recent_specimens, actions);
            }
        }
    });
}

fn recent_ui(ui: &mut Ui, recent: &[PathBuf], actions: &mut Vec<Action>) {
    ui.menu_button("Open recent", |ui| {
        for folder in recent {
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
