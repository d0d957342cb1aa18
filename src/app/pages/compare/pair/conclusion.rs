//! The strip under the crops: what the user concludes of the side, and what must be known beside it.

use egui::{Align, Button, Label, Layout, RichText, TextEdit, Ui};

use super::scene::PairScene;
use crate::app::model::action::Action;
use crate::app::model::page::Page;
use crate::app::pages::compare::ComparePage;
use crate::app::pages::compare::marks::{Mark, down};
use crate::evidence::{PairCaution, pair_cautions};
use crate::specimen::{Comparison, Conclusion};

/// Draws it.
pub fn conclusion_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &PairScene) {
    let now = scene.comparison.as_ref().and_then(|c| c.conclusion);
    ui.horizontal_wrapped(|ui| {
        // As high with the note's field as without: the crops must not move under the hand.
        ui.set_min_height(ui.spacing().interact_size.y + 6.0);
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.weak(format!("You conclude, of the {}:", scene.side.word()));
        for conclusion in Conclusion::ALL {
            let chosen = now == Some(conclusion);
            let response = ui
                .add(Button::selectable(chosen, conclusion.words()))
                .accessible_name(format!("Conclude: {}", conclusion.words()));
            if response.clicked() {
                let next = (!chosen).then_some(conclusion);
                page.actions
                    .push(changing(scene, "the conclusion", None, move |c| {
                        c.conclusion = next
                    }));
            }
        }
        if now.is_some() {
            note_ui(ui, page, state, scene);
        }
    });
    let cautions = scene.comparison.as_ref().map(pair_cautions).unwrap_or_default();
    if cautions.is_empty() {
        ui.weak(
            "The program shows and records; whether one die struck both is your opinion, and no authentication.",
        );
    }
    let low = ui.ctx().content_rect().height() < ROOM_FOR_ALL;
    match cautions.as_slice() {
        [first, rest @ ..] if low && !rest.is_empty() => {
            ui.horizontal(|ui| {
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    let all: Vec<String> = cautions.iter().map(ToString::to_string).collect();
                    let all = all.join("\n");
                    let menu = ui.menu_button((format!("{} more", rest.len()), down()), |ui| {
                        ui.set_max_width(460.0);
                        ui.with_layout(Layout::top_down(Align::LEFT), |ui| {
                            for caution in &cautions {
                                ui.horizontal(|ui| caution_ui(ui, caution, Label::wrap));
                            }
                        });
                    });
                    menu.response
                        .on_hover_text(&all)
                        .accessible_name(format!("{} more to know: {all}", rest.len()));
                    ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                        caution_ui(ui, first, Label::truncate);
                    });
                });
            });
        }
        all => {
            for caution in all {
                ui.horizontal(|ui| caution_ui(ui, caution, Label::wrap));
            }
        }
    }
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

fn note_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &PairScene) {
    let mut note = scene
        .comparison
        .as_ref()
        .map_or_else(String::new, |c| c.note.clone());
    let edit = TextEdit::singleline(&mut note)
        .hint_text("why")
        .char_limit(2000)
        .desired_width((ui.available_size_before_wrap().x - 12.0).max(120.0))
        .id_salt("conclusion note");
    if ui.add(edit).accessible_name("Note on the conclusion").changed() {
        let gesture = Some(state.pair.gesture * 4 + 2);
        page.actions
            .push(changing(scene, "the note", gesture, move |c| c.note = note));
    }
}

fn changing(
    scene: &PairScene,
    words: &str,
    gesture: Option<u64>,
    change: impl FnOnce(&mut Comparison) + 'static,
) -> Action {
    let (side, named) = (scene.side, scene.named.clone());
    Action::Change {
        words: words.to_owned(),
        gesture,
        change: Box::new(move |record| record.compare_with(side, &named, change)),
    }
}
