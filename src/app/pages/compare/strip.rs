//! The slim strip under the cells: what is left of dies and pairings, and the outcome so far.

use egui::{Align, Label, Layout, RichText, Ui};

use crate::app::model::action::Action;
use crate::app::model::bench::Step;
use crate::app::pages::Page;
use crate::app::widgets::marks::Mark;
use crate::evidence::{DieStanding, Standing};
use crate::reference::Side;

/// The most dies named; of more the count is told.
const MOST_NAMED: usize = 8;

/// Draws it.
pub fn strip_ui(ui: &mut Ui, page: &mut Page<'_>, standing: &Standing) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        ui.weak("Still in");
        for (side, dies) in [
            (Side::Obverse, &standing.obverse),
            (Side::Reverse, &standing.reverse),
        ] {
            ui.separator();
            side_ui(ui, side, dies);
        }
        ui.separator();
        let (left, of) = pairings_left(standing);
        ui.label(format!("{left} of {of} pairings"));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if ui
                .button("Standing \u{203a}")
                .on_hover_text("Every die and pairing with the reasons")
                .clicked()
            {
                page.actions.push(Action::GoToStep(Step::Standing));
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                outcome_ui(ui, page, standing);
            });
        });
    });
}

fn side_ui(ui: &mut Ui, side: Side, dies: &[DieStanding]) {
    let left = dies.iter().filter(|die| die.is_in()).count();
    ui.label(format!("{} {left} of {}", side.word(), dies.len()));
    let wide = ui.available_width() > 700.0;
    if dies.len() > MOST_NAMED || !wide {
        return;
    }
    for die in dies {
        let (mark, text) = if die.is_in() {
            let mark = if die.doubts.is_empty() {
                Mark::Yes
            } else {
                Mark::Attention
            };
            (mark, RichText::new(die.die.as_str()))
        } else {
            (Mark::No, RichText::new(die.die.as_str()).weak().strikethrough())
        };
        ui.add_space(4.0);
        ui.spacing_mut().item_spacing.x = 3.0;
        mark.show(ui);
        ui.label(text);
    }
    ui.spacing_mut().item_spacing.x = 6.0;
}

fn pairings_left(standing: &Standing) -> (usize, usize) {
    let left = standing.pairings.iter().filter(|p| p.is_in()).count();
    (left, standing.pairings.len())
}

fn outcome_ui(ui: &mut Ui, page: &Page<'_>, standing: &Standing) {
    Mark::of_outcome(&standing.outcome).show(ui);
    let text = standing.outcome.headline(&page.bench.set);
    ui.add(Label::new(RichText::new(&text).strong()).truncate())
        .on_hover_text(&text);
}
