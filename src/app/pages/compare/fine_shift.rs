//! The fine shift of the zone in view: offered on request, bounded, always shown while in use, one step of undo.

use egui::{Label, RichText, Ui};

use super::scene::{InView, Subject};
use crate::app::model::action::Action;
use crate::app::model::comparing::{CompareResult, Offer};
use crate::app::model::done::Done;
use crate::app::widgets::marks::Mark;
use crate::geometry::SideVector;
use crate::pipeline::offer_fine_shift;
use crate::problem::Problem;
use crate::specimen::Spot;

/// Draws the button that asks for a fine shift of your coin against the picture in focus; dead where one is missing. A
/// whole side is no spot to shift.
pub fn button_ui(ui: &mut Ui, row: &mut InView<'_, '_>) {
    let (on, whole) = match &row.scene.subject {
        Subject::Feature(_) => ("plate in focus", false),
        Subject::Spot(of) => ("other coin", of.spot == Spot::WholeSide),
    };
    let both = row.scene.pair(row.focused()).filter(|_| !whole);
    // A child of the row itself, and never broken within: on a narrow window it then goes to the next line whole.
    let button = egui::Button::new("Fine shift").wrap_mode(egui::TextWrapMode::Extend);
    let response = ui.add_enabled(both.is_some(), button).on_hover_text(format!(
        "Looks for a small shift of this zone, within the alignment\u{2019}s uncertainty, that lays your coin on the \
         {on}. It is only offered: nothing moves until you use it."
    ));
    if let (true, Some((coin, other))) = (response.clicked(), both) {
        let (coin, other) = (coin.clone(), other.clone());
        let (side, zone) = (row.scene.side, row.scene.zone.clone());
        // What was found for another alignment or another coin is not offered.
        let bench = &row.page.bench;
        let ticket = match row.scene.subject {
            Subject::Feature(_) => Some(&bench.ticket),
            Subject::Spot(_) => bench.other.ticket(),
        };
        let ticket = ticket.map(|ticket| ticket.at_revision(bench.history.revision()));
        row.page.actions.extend(ticket.map(|ticket| {
            Action::quick("compare/fine shift", ticket, move || {
                let [coin, other] = [&coin, &other].map(|seen| (&*seen.picture, &*seen.alignment));
                let found = offer_fine_shift(coin, other, &zone).map_err(Problem::from);
                Done::Compared(CompareResult::Shift(Offer { side, zone, found }))
            })
        }));
    }
}

/// Draws what is offered and what is in use.
pub fn shift_ui(ui: &mut Ui, row: &mut InView<'_, '_>) {
    if let Some(shift) = row.scene.fine_shift {
        ui.horizontal_wrapped(|ui| {
            Mark::Attention.show(ui);
            let words = format!("Fine shift in use here: {}.", shift_words(shift.shift_mm));
            ui.label(RichText::new(words).color(Mark::Attention.color(ui)));
            if ui.button("Remove the fine shift").clicked() {
                row.edit(row.scene.shifting(None));
            }
        });
    }
    let here = |offer: &Offer| offer.side == row.scene.side && offer.zone == row.scene.zone;
    let Some(offer) = row.state.offer.clone().filter(here) else {
        return;
    };
    let mut done = false;
    ui.horizontal_wrapped(|ui| match &offer.found {
        Ok(found) => {
            ui.add(Label::new(format!(
                "Fine shift found: {}; alike {:.0} % with it, {:.0} % without.",
                shift_words(found.shift.shift_mm),
                found.likeness * 100.0,
                found.likeness_before.max(0.0) * 100.0
            )))
            .on_hover_text(format!(
                "The alignment\u{2019}s uncertainty leaves \u{b1} {:.3} mm for it.",
                found.bound_mm
            ));
            let used = ui.button("Use it").clicked();
            if used {
                row.edit(row.scene.shifting(Some(found.shift)));
            }
            done = used | ui.button("Leave it").clicked();
        }
        Err(problem) => {
            ui.add(Label::new(problem.to_string()).wrap());
            done = ui.button("Close").clicked();
        }
    });
    if done {
        row.state.offer = None;
    }
}

/// A shift in words: "0.031 mm right, 0.010 mm up".
fn shift_words(shift: SideVector) -> String {
    let part = |mm: f64, plus: &str, minus: &str| {
        format!("{:.3} mm {}", mm.abs(), if mm < 0.0 { minus } else { plus })
    };
    format!(
        "{}, {}",
        part(shift.x, "right", "left"),
        part(shift.y, "down", "up")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shift_is_told_by_direction() {
        assert_eq!(
            shift_words(SideVector::new(0.031, -0.01)),
            "0.031 mm right, 0.010 mm up"
        );
    }
}
