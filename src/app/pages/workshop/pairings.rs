//! The pairings of dies known to have been used together.

use std::collections::BTreeMap;

use egui::{ComboBox, ScrollArea, Ui};

use super::edits::Edits;
use super::fields::{NumberForm, heading, optional_number, remove_button, text};
use crate::reference::{DieId, FactQuestion, Pairing, Place, ReferenceSet, Side};

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
        edits.step("the new pairing", move |set| {
            set.pairings.push(Pairing {
                catalogue: String::new(),
                obverse,
                reverse,
                facts: BTreeMap::new(),
                rarity: None,
                estimated_known: None,
                note: String::new(),
            });
        });
    }
    ui.add_space(8.0);
    ScrollArea::vertical()
        .max_height(ROW_HEIGHT * 10.0)
        .auto_shrink([false, true])
        .show_rows(ui, ROW_HEIGHT, set.pairings.len(), |ui, rows| {
            for i in rows {
                let Some(pairing) = set.pairings.get(i) else {
                    continue;
                };
                let rarity = pairing.rarity.as_ref().map_or("rarity not given", |r| r.as_str());
                let words = format!(
                    "{}   {} with {}   {rarity}",
                    number_words(pairing),
                    pairing.obverse,
                    pairing.reverse
                );
                if ui.selectable_label(*chosen == Some(i), words).clicked() {
                    *chosen = Some(i);
                }
            }
        });
    ui.add_space(8.0);
    if let Some((i, pairing)) = chosen.and_then(|i| Some((i, set.pairings.get(i)?))) {
        ui.push_id(i, |ui| pairing_ui(ui, set, i, pairing, chosen, edits));
    } else if !set.pairings.is_empty() {
        ui.weak("Choose a pairing to change it.");
    }
}

fn number_words(pairing: &Pairing) -> &str {
    if pairing.catalogue.is_empty() {
        "no number"
    } else {
        &pairing.catalogue
    }
}

fn pairing_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    i: usize,
    pairing: &Pairing,
    chosen: &mut Option<usize>,
    edits: &mut Edits,
) {
    ui.group(|ui| {
        text(
            ui,
            edits,
            "Catalogue number",
            &pairing.catalogue,
            move |set, v| {
                if let Some(pairing) = set.pairings.get_mut(i) {
                    pairing.catalogue = v;
                }
            },
        );
        ui.horizontal(|ui| {
            for side in Side::BOTH {
                die_choice(ui, set, side, i, pairing, edits);
            }
            rarity_choice(ui, set, i, pairing, edits);
        });
        for fact in &set.facts {
            fact_choices(ui, i, pairing, fact, edits);
        }
        let count = NumberForm {
            unit: " coins",
            range: 0.0..=10_000_000.0,
            step: 1.0,
            decimals: 0,
        };
        optional_number(
            ui,
            edits,
            "Estimated number in existence",
            pairing.estimated_known,
            100.0,
            &count,
            move |set, v| {
                if let Some(pairing) = set.pairings.get_mut(i) {
                    pairing.estimated_known = v;
                }
            },
        );
        text(ui, edits, "Note", &pairing.note, move |set, v| {
            if let Some(pairing) = set.pairings.get_mut(i) {
                pairing.note = v;
            }
        });
        let place = Place::Pairing(i, pairing.catalogue.clone());
        if remove_button(ui, edits, set, "Remove this pairing", &place) {
            *chosen = None;
        }
    });
}

fn die_choice(ui: &mut Ui, set: &ReferenceSet, side: Side, i: usize, pairing: &Pairing, edits: &mut Edits) {
    let current: &DieId = match side {
        Side::Obverse => &pairing.obverse,
        Side::Reverse => &pairing.reverse,
    };
    let label = ui.label(format!("{} die", super::state::capital(side)));
    ComboBox::from_id_salt(("die", side))
        .selected_text(current.as_str())
        .show_ui(ui, |ui| {
            for die in &set.side(side).dies {
                if ui.selectable_label(&die.id == current, die.id.as_str()).clicked() {
                    let id = die.id.clone();
                    edits.step("the change of the die", move |set| {
                        if let Some(pairing) = set.pairings.get_mut(i) {
                            match side {
                                Side::Obverse => pairing.obverse = id,
                                Side::Reverse => pairing.reverse = id,
                            }
                        }
                    });
                }
            }
        })
        .response
        .labelled_by(label.id);
}

fn rarity_choice(ui: &mut Ui, set: &ReferenceSet, i: usize, pairing: &Pairing, edits: &mut Edits) {
    let label = ui.label("Rarity");
    ComboBox::from_id_salt("rarity")
        .selected_text(pairing.rarity.as_ref().map_or("not given", |r| r.as_str()))
        .show_ui(ui, |ui| {
            let bands = set
                .rarity_bands
                .iter()
                .map(|band| (Some(&band.id), format!("{}: {}", band.id, band.meaning)));
            for (id, words) in std::iter::once((None, "not given".to_owned())).chain(bands) {
                if ui
                    .selectable_label(pairing.rarity.as_ref() == id, words)
                    .clicked()
                {
                    let id = id.cloned();
                    edits.step("the change of the rarity", move |set| {
                        if let Some(pairing) = set.pairings.get_mut(i) {
                            pairing.rarity = id;
                        }
                    });
                }
            }
        })
        .response
        .labelled_by(label.id);
}

fn fact_choices(ui: &mut Ui, i: usize, pairing: &Pairing, fact: &FactQuestion, edits: &mut Edits) {
    ui.horizontal_wrapped(|ui| {
        ui.label(if fact.question.is_empty() {
            fact.id.as_str()
        } else {
            &fact.question
        });
        let known = pairing.facts.get(&fact.id);
        for choice in &fact.choices {
            let mut on = known.is_some_and(|values| values.contains(&choice.value));
            let words = if choice.words.is_empty() {
                &choice.value
            } else {
                &choice.words
            };
            if ui.checkbox(&mut on, words).changed() {
                let (id, value) = (fact.id.clone(), choice.value.clone());
                edits.step("the facts of the pairing", move |set| {
                    let Some(pairing) = set.pairings.get_mut(i) else {
                        return;
                    };
                    let values = pairing.facts.entry(id.clone()).or_default();
                    values.retain(|v| *v != value);
                    if on {
                        values.push(value);
                    }
                    if values.is_empty() {
                        pairing.facts.remove(&id);
                    }
                });
            }
        }
        if known.is_none() {
            ui.weak("any (none ticked)");
        }
    });
}
