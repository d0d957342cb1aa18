//! The controls that verdicts on states and findings at spots share.

use crate::app::widgets::marks::{Mark, down};
use egui::{Button, InnerResponse, RichText, Role, Stroke, TextEdit, Ui, Vec2, WidgetInfo};

/// A button that gives a verdict, or takes it back where it is given.
pub struct VerdictButton<'a> {
    /// The verdict's mark.
    pub mark: Mark,
    /// What it says.
    pub shown: &'a str,
    /// What a screen reader is told.
    pub name: &'a str,
    /// Whether it is the verdict given.
    pub chosen: bool,
    /// Its height in points.
    pub height: f32,
}

impl VerdictButton<'_> {
    /// Draws it; whether it was clicked.
    pub fn ui(&self, ui: &mut Ui, hover: String) -> bool {
        let color = self.mark.color(ui);
        let text = if self.chosen {
            RichText::new(self.shown).strong().color(color)
        } else {
            RichText::new(self.shown)
        };
        let mut button = Button::new((self.mark.atom(ui), text)).min_size(Vec2::new(0.0, self.height));
        if self.chosen {
            button = button
                .fill(color.gamma_multiply(0.16))
                .stroke(Stroke::new(1.0, color));
        }
        let response = ui.add(button);
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, self.chosen, self.name));
        response.on_hover_text(hover).clicked()
    }
}

/// Draws a menu of kinds or reasons, each with its words and what it means; returns the one that was chosen.
pub fn menu_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    label: String,
    now: T,
    offered: impl IntoIterator<Item = (T, &'static str, &'static str)>,
) -> InnerResponse<Option<T>> {
    let mut chosen = None;
    let menu = ui.menu_button((label, down()), |ui| {
        for (one, words, explanation) in offered {
            let response = ui.add(Button::selectable(one == now, words));
            let response = if explanation.is_empty() {
                response
            } else {
                response.on_hover_text(explanation)
            };
            if response.clicked() {
                chosen = Some(one);
                ui.close();
            }
        }
    });
    InnerResponse::new(chosen, menu.response)
}

/// A field for a note, `width` points wide; returns the note where it was changed.
pub fn note_ui(ui: &mut Ui, note: &str, hint: &str, name: String, width: f32) -> Option<String> {
    let mut note = note.to_owned();
    let edit = TextEdit::singleline(&mut note)
        .hint_text(hint)
        .char_limit(2000)
        .desired_width(width)
        .id_salt(&name);
    ui.add(edit).accessible_name(name).changed().then_some(note)
}

/// Whether both are the same word, whatever their kind or reason.
pub fn same_word<T>(a: &T, b: &T) -> bool {
    std::mem::discriminant(a) == std::mem::discriminant(b)
}
