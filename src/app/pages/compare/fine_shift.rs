//! The fine shift of the zone in view: offered on request, bounded, always shown while in use, one step of undo.

use std::sync::Arc;

use egui::{Label, RichText, Ui};

use super::marks::Mark;
use super::scene::{Coin, Scene};
use crate::app::model::action::Action;
use crate::app::model::bench::PictureSlot;
use crate::app::model::message::Message;
use crate::app::model::page::Page;
use crate::app::pages::compare::{Beside, ComparePage};
use crate::flow::{OfferedShift, offer_fine_shift};
use crate::geometry::SideVector;
use crate::reference::{Side, Zone};
use crate::specimen::FineShift;

/// What was found for a zone.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    side: Side,
    zone: Zone,
    found: Result<OfferedShift, String>,
}

/// An aligned picture.
pub(super) type Aligned = (Arc<crate::photo::Picture>, Arc<crate::align::Alignment>);

/// Draws the button that asks for a fine shift of your coin against the plate of the state in focus.
pub fn button_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &Scene) {
    ask_ui(
        ui,
        page,
        both(state, scene),
        scene.side,
        &scene.zone,
        state.beside,
    );
}

/// Draws the button that asks for a fine shift of the first picture against the second; dead where one is missing.
pub(super) fn ask_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    both: Option<(Aligned, Aligned)>,
    side: Side,
    zone: &Zone,
    beside: Beside,
) {
    // A child of the row itself, and never broken within: on a narrow window it then goes to the next line whole.
    let button = egui::Button::new("Fine shift").wrap_mode(egui::TextWrapMode::Extend);
    let on = match beside {
        Beside::Plates => "plate in focus",
        Beside::OtherCoin => "other coin",
    };
    let response = ui.add_enabled(both.is_some(), button).on_hover_text(format!(
        "Looks for a small shift of this zone, within the alignment\u{2019}s uncertainty, that lays your coin on the \
         {on}. It is only offered: nothing moves until you use it."
    ));
    if let (true, Some((coin, other))) = (response.clicked(), both) {
        let zone = zone.clone();
        page.actions.push(Action::Quick(
            "compare/fine shift".to_owned(),
            Box::new(move || {
                let found = offer_fine_shift((&coin.0, &coin.1), (&other.0, &other.1), &zone)
                    .map_err(|error| error.to_string());
                Message::Then(Box::new(move |window| {
                    window.pages.compare.offer = Some(Offer { side, zone, found });
                }))
            }),
        ));
    }
}

fn both(state: &ComparePage, scene: &Scene) -> Option<(Aligned, Aligned)> {
    let Coin::Ready {
        picture, alignment, ..
    } = &scene.coin
    else {
        return None;
    };
    let plate = scene.focused(state.focus)?.plate.as_ref()?;
    let PictureSlot::Ready(of_plate) = &plate.slot else {
        return None;
    };
    let aligned = Arc::clone(plate.alignment.as_ref()?);
    Some((
        (Arc::clone(picture), Arc::clone(alignment)),
        (Arc::clone(of_plate), aligned),
    ))
}

/// Draws what is offered and what is in use against the plates.
pub fn shift_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage, scene: &Scene) {
    let in_use = page
        .bench
        .record()
        .photo(scene.side)
        .and_then(|photo| photo.fine_shifts.get(&scene.zone.id))
        .copied();
    if let Some(shift) = offered_ui(ui, state, scene.side, &scene.zone, in_use) {
        page.actions.push(setting(scene, shift));
    }
}

/// Draws what is offered and what is in use; returns what the user wants in use from now on, where that changes.
pub(super) fn offered_ui(
    ui: &mut Ui,
    state: &mut ComparePage,
    side: Side,
    zone: &Zone,
    in_use: Option<FineShift>,
) -> Option<Option<FineShift>> {
    let mut wanted = None;
    if let Some(shift) = in_use {
        ui.horizontal_wrapped(|ui| {
            Mark::Attention.show(ui);
            let words = format!("Fine shift in use here: {}.", shift_words(shift.shift_mm));
            ui.label(RichText::new(words).color(Mark::Attention.color(ui)));
            if ui.button("Remove the fine shift").clicked() {
                wanted = Some(None);
            }
        });
    }
    let here = |o: &Offer| o.side == side && o.zone == *zone;
    let Some(offer) = state.offer.clone().filter(here) else {
        return wanted;
    };
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
            if ui.button("Use it").clicked() {
                wanted = Some(Some(found.shift));
                state.offer = None;
            }
            if ui.button("Leave it").clicked() {
                state.offer = None;
            }
        }
        Err(sentence) => {
            ui.add(Label::new(sentence).wrap());
            if ui.button("Close").clicked() {
                state.offer = None;
            }
        }
    });
    wanted
}

fn setting(scene: &Scene, shift: Option<FineShift>) -> Action {
    let (side, zone) = (scene.side, scene.zone.id.clone());
    Action::change("the fine shift", move |record| {
        if let Some(photo) = record.photo_mut(side) {
            match shift {
                Some(shift) => photo.fine_shifts.insert(zone, shift),
                None => photo.fine_shifts.remove(&zone),
            };
        }
    })
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
