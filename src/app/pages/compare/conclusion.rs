//! The strip under the crops: what the user concludes of the side, and what must be known beside it.

use egui::{Align, Button, Label, Layout, RichText, Ui};

use super::ComparePage;
use super::controls::note_ui;
use super::scene::SpotSubject;
use crate::app::model::action::Action;
use crate::app::pages::Page;
use crate::app::widgets::marks::{Mark, down};
use crate::evidence::{PairCaution, pair_cautions};
use crate::specimen::{Comparison, ComparisonEdit, Conclusion};

/// Draws it.
pub fn conclusion_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, of: &SpotSubject) {
    let comparison = of.comparison.as_ref();
    let now = comparison.and_then(|c| c.conclusion);
    ui.horizontal_wrapped(|ui| {
        // As high with the note's field as without: the crops must not move under the hand.
        ui.set_min_height(ui.spacing().interact_size.y + 6.0);
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.weak(format!("You conclude, of the {}:", of.side.word()));
        for conclusion in Conclusion::ALL {
            let chosen = now == Some(conclusion);
            let response = ui
                .add(Button::selectable(chosen, conclusion.words()))
                .accessible_name(format!("Conclude: {}", conclusion.words()));
            if response.clicked() {
                let next = (!chosen).then_some(conclusion);
                page.push(Action::edit(of.edit(ComparisonEdit::Conclude(next))));
            }
        }
        if now.is_none() {
            return;
        }
        let note = comparison.map_or("", |c| c.note.as_str());
        let width = (ui.available_size_before_wrap().x - 12.0).max(120.0);
        let name = "Note on the conclusion".to_owned();
        if let Some(note) = note_ui(ui, note, "why", name, width) {
            page.push(Action::Edit {
                edit: of.edit(ComparisonEdit::ConclusionNote(note)),
                gesture: Some(state.gesture_of(1)),
            });
        }
    });
    cautions_ui(ui, comparison);
}

/// What must be known beside the conclusion: all of it where the window is high enough.
fn cautions_ui(ui: &mut Ui, comparison: Option<&Comparison>) {
    let cautions = comparison.map(pair_cautions).unwrap_or_default();
    let low = ui.ctx().content_rect().height() < ROOM_FOR_ALL;
    match cautions.as_slice() {
        [] => {
            ui.weak(
                "The program shows and records; whether one die struck both is your opinion, and no authentication.",
            );
        }
        [first, rest @ ..] if low && !rest.is_empty() => {
            ui.horizontal(|ui| first_caution_ui(ui, first, &cautions));
        }
        all => {
            for caution in all {
                ui.horizontal(|ui| caution_ui(ui, caution, Label::wrap));
            }
        }
    }
}

/// One caution, and all of them behind a button.
fn first_caution_ui(ui: &mut Ui, first: &PairCaution, cautions: &[PairCaution]) {
    let all: Vec<String> = cautions.iter().map(ToString::to_string).collect();
    let (all, more) = (all.join("\n"), all.len() - 1);
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        let menu = ui.menu_button((format!("{more} more"), down()), |ui| {
            ui.set_max_width(460.0);
            ui.with_layout(Layout::top_down(Align::LEFT), |ui| {
                for caution in cautions {
                    ui.horizontal(|ui| caution_ui(ui, caution, Label::wrap));
                }
            });
        });
        menu.response
            .on_hover_text(&all)
            .accessible_name(format!("{more} more to know: {all}"));
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            caution_ui(ui, first, Label::truncate);
        });
    });
}

/// A window lower than this shows one caution, the others behind a button: the crops are what is looked at. In points.
const ROOM_FOR_ALL: f32 = 760.0;

/// What every conclusion of one die carries is calm; what does not go together asks for a look.
fn caution_ui(ui: &mut Ui, caution: &PairCaution, fit: impl FnOnce(Label) -> Label) {
    let text = RichText::new(caution.to_string());
    if *caution == PairCaution::AgreementIsNoProof {
        ui.add(fit(Label::new(text.weak())));
    } else {
        Mark::Attention.show(ui);
        ui.add(fit(Label::new(text.color(Mark::Attention.color(ui)))));
    }
}
