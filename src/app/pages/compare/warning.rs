//! What stands against trusting a crop, on one line: the crops are the product, and every line of words takes from them.
//! The whole of it opens on a click or a key, and shows on hovering.

use crate::app::widgets::marks::{Mark, down};
use egui::{Label, RichText, Ui};

/// A warning, short and in full.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Warning {
    /// What is wrong.
    pub short: String,
    /// The same with what follows from it and what to do.
    pub full: String,
}

impl Warning {
    /// One that is short enough to be said whole.
    #[must_use]
    pub fn of(words: String) -> Self {
        Self {
            short: words.clone(),
            full: words,
        }
    }

    /// The short words at their own width, the rest on hovering.
    pub fn short_ui(&self, ui: &mut Ui) {
        Mark::Attention.show(ui);
        let words = RichText::new(&self.short).color(Mark::Attention.color(ui));
        ui.add(Label::new(words)).on_hover_text(&self.full);
    }

    /// As much as the rest of the line holds, and the whole of it behind a button where that is cut.
    pub fn line_ui(&self, ui: &mut Ui) {
        let color = Mark::Attention.color(ui);
        let fits = |ui: &Ui, words: &str| {
            let font = egui::TextStyle::Body.resolve(ui.style());
            let galley = ui.painter().layout_no_wrap(words.to_owned(), font, color);
            galley.size().x <= ui.available_width() - ROOM_FOR_THE_MARK
        };
        if fits(ui, &self.full) {
            Mark::Attention.show(ui);
            ui.add(Label::new(RichText::new(&self.full).color(color)));
            return;
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let menu = ui.menu_button(("More", down()), |ui| {
                ui.set_max_width(420.0);
                // A menu stretches its lines to both edges, which tears sentences apart.
                ui.with_layout(egui::Layout::top_down(egui::Align::LEFT), |ui| {
                    ui.add(Label::new(&self.full).wrap());
                });
            });
            menu.response
                .on_hover_text(&self.full)
                .accessible_name(format!("More: {}", self.short));
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                Mark::Attention.show(ui);
                let words = RichText::new(&self.short).color(color);
                ui.add(Label::new(words).truncate()).on_hover_text(&self.full);
            });
        });
    }
}

/// The mark before the words with its gap, in points.
const ROOM_FOR_THE_MARK: f32 = 28.0;
