//! The pairings of dies known to have been used together.

use egui::{ComboBox, ScrollArea, Ui};

use super::edits::Edits;
use super::fields::{NumberForm, heading};
use crate::reference::{DieId, FactQuestion, Pairing, Place, ReferenceSet, Side, edit};

/// Height of a row of the list, in points; all alike, so that only those in view are laid out.
const ROW_HEIGHT: f32 = 28.0;

/// The section "Pairings". `chosen` is the pairing whose particulars are in view.
pub fn pairings_ui(ui: &mut Ui, set: &ReferenceSet, chosen: &mut Option<usize>, edits: &mut Edits) {
    heading(
        ui,
        "Pairings",
        "Which obverse die is known with which reverse die, and what is known of each pairing.",
    );
    let (Some(obverse), Some(reverse)) = (set.obverse.dies.first(), set.reverse.dies.first()) else {
        ui.label("A pairing needs a die on each side: add the dies first.");
        return;
    };
    if ui.button("Add a pairing").clicked() {
        *chosen = Some(set.pairings.len());
        let (obverse, reverse) = (obverse.id.clone(), reverse.id.clone());
        edits.step("the new pairing", |set| edit::add_pairing(set, obverse, reverse));
    }
    ui.add_space(8.0);
    ScrollArea::vertical()
        .max_height(ROW_HEIGHT * 10.0)
        .auto_shrink([false, true])
        .show_rows(ui, ROW_HEIGHT, set.pairings.len(), |ui, rows| {
            for (i, pairing) in set.pairings.iter().enumerate().take(rows.end).skip(rows.start) {
                if ui
                    .selectable_label(*chosen == Some(i), row_words(pairing))
                    .clicked()
                {
                    *chosen = Some(i);
                }
            }
        });
    ui.add_space(8.0);
    if let Some((i, pairing)) = chosen.and_then(|i| Some((i, set.pairings.get(i)?))) {
        ui.push_id(i, |ui| {
            ui.group(|ui| pairing_ui(ui, set, i, pairing, chosen, edits));
        });
    } else if !set.pairings.is_empty() {
        ui.weak("Choose a pairing to change it.");
    }
}

fn row_words(pairing: &Pairing) -> String {
    let number = match pairing.catalogue.as_str() {
        "" => "no number",
        number => number,
    };
    let rarity = pairing
        .rarity
        .as_ref()
        .map_or("rarity not given", |rarity| rarity.as_str());
    format!(
        "{number}   {} with {}   {rarity}",
        pairing.obverse, pairing.reverse
    )
}

fn pairing_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    i: usize,
    pairing: &Pairing,
    chosen: &mut Option<usize>,
    edits: &mut Edits,
) {
    edits.text(ui, "Catalogue number", &pairing.catalogue, move |set| {
        Some(&mut set.pairings.get_mut(i)?.catalogue)
    });
    ui.horizontal(|ui| {
        for side in Side::BOTH {
            die_choice(ui, set, side, i, pairing, edits);
        }
        rarity_choice(ui, set, i, pairing, edits);
    });
    for fact in &set.facts {
        ui.horizontal_wrapped(|ui| fact_choices(ui, i, pairing, fact, edits));
    }
    let (label, known) = ("Estimated number in existence", pairing.estimated_known);
    let count = NumberForm::new(" coins", 0.0..=10_000_000.0, 1.0, 0);
    edits.optional_number(ui, label, known, 100.0, &count, move |set| {
        Some(&mut set.pairings.get_mut(i)?.estimated_known)
    });
    edits.text(ui, "Note", &pairing.note, move |set| {
        Some(&mut set.pairings.get_mut(i)?.note)
    });
    let place = Place::Pairing(i, pairing.catalogue.clone());
    if edits.remove_button(ui, set, "Remove this pairing", &place) {
        *chosen = None;
    }
}

/// A list from which one value of the pairing is chosen. Each entry is a value with its words.
fn choice<T: PartialEq + 'static>(
    ui: &mut Ui,
    label: &str,
    (current, words): (&T, &str),
    entries: impl Iterator<Item = (T, String)>,
    change: impl FnOnce(T),
) {
    let name = ui.label(label);
    let list = ComboBox::from_id_salt(label).selected_text(words);
    let shown = list.show_ui(ui, |ui| {
        let mut chosen = None;
        for (value, words) in entries {
            if ui.selectable_label(value == *current, words).clicked() {
                chosen = Some(value);
            }
        }
        chosen
    });
    shown.response.labelled_by(name.id);
    if let Some(value) = shown.inner.flatten() {
        change(value);
    }
}

fn die_choice(ui: &mut Ui, set: &ReferenceSet, side: Side, i: usize, pairing: &Pairing, edits: &mut Edits) {
    let current = pairing.die(side);
    let label = format!("{} die", side.title());
    let dies = set.side(side).dies.iter();
    let entries = dies.map(|die| (die.id.clone(), die.id.to_string()));
    choice(ui, &label, (current, current.as_str()), entries, |id: DieId| {
        edits.step("the change of the die", move |set| {
            if let Some(pairing) = set.pairings.get_mut(i) {
                *pairing.die_mut(side) = id;
            }
        });
    });
}

fn rarity_choice(ui: &mut Ui, set: &ReferenceSet, i: usize, pairing: &Pairing, edits: &mut Edits) {
    let words = pairing
        .rarity
        .as_ref()
        .map_or("not given", |rarity| rarity.as_str());
    let bands = set.rarity_bands.iter();
    let bands = bands.map(|band| (Some(band.id.clone()), format!("{}: {}", band.id, band.meaning)));
    let entries = std::iter::once((None, "not given".to_owned())).chain(bands);
    choice(ui, "Rarity", (&pairing.rarity, words), entries, |rarity| {
        edits.step("the change of the rarity", move |set| {
            if let Some(pairing) = set.pairings.get_mut(i) {
                pairing.rarity = rarity;
            }
        });
    });
}

fn fact_choices(ui: &mut Ui, i: usize, pairing: &Pairing, fact: &FactQuestion, edits: &mut Edits) {
    ui.label(match fact.question.as_str() {
        "" => fact.id.as_str(),
        question => question,
    });
    let known = pairing.facts.get(&fact.id);
    for choice in &fact.choices {
        let mut is_known = known.is_some_and(|values| values.contains(&choice.value));
        let words = if choice.words.is_empty() {
            &choice.value
        } else {
            &choice.words
        };
        if ui.checkbox(&mut is_known, words).changed() {
            let (id, value) = (fact.id.clone(), choice.value.clone());
            edits.step("the facts of the pairing", move |set| {
                edit::set_fact(set, i, &id, value, is_known);
            });
        }
    }
    if known.is_none() {
        ui.weak("any (none ticked)");
    }
}
