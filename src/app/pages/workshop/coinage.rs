//! What the set covers: title, measures, the facts to ask, rarity bands, price slope, cautions.

use egui::Ui;

use super::edits::Edits;
use super::fields::{
    NumberForm, fresh_name, heading, long_text, name, number, number_bare, optional_number, remove_button,
    small_label, text, text_of_part,
};
use crate::reference::{
    FactChoice, FactId, FactQuestion, Place, PriceSlope, RarityBand, RarityId, ReferenceSet,
};

/// The section "Coinage".
pub fn coinage_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    heading(
        ui,
        "Coinage",
        "What the set covers, and the measures that everything else is drawn to.",
    );
    text(ui, edits, "Title", &set.title, |set, v| set.title = v);
    long_text(
        ui,
        edits,
        "About: what it covers, who made it",
        &set.about,
        |set, v| set.about = v,
    );
    ui.add_space(8.0);
    measures_ui(ui, set, edits);
    ui.add_space(16.0);
    facts_ui(ui, set, edits);
    ui.add_space(16.0);
    rarity_ui(ui, set, edits);
    ui.add_space(16.0);
    slope_ui(ui, set, edits);
    ui.add_space(16.0);
    cautions_ui(ui, set, edits);
}

fn measures_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    ui.strong("Measures");
    let m = &set.measures;
    number(
        ui,
        edits,
        "Diameter",
        m.diameter_mm,
        &NumberForm::mm(1.0..=200.0),
        |set, v| {
            set.measures.diameter_mm = v;
        },
    );
    let grams = NumberForm {
        unit: " g",
        range: 0.01..=1000.0,
        step: 0.01,
        decimals: 2,
    };
    optional_number(ui, edits, "Weight", m.weight_g, 5.0, &grams, |set, v| {
        set.measures.weight_g = v
    });
    optional_number(
        ui,
        edits,
        "Weight may differ by",
        m.weight_tolerance_g,
        0.2,
        &grams,
        |set, v| {
            set.measures.weight_tolerance_g = v;
        },
    );
    let degrees = NumberForm {
        unit: "°",
        range: 0.0..=359.0,
        step: 1.0,
        decimals: 0,
    };
    optional_number(
        ui,
        edits,
        "Die axis",
        m.die_axis_deg,
        180.0,
        &degrees,
        |set, v| {
            set.measures.die_axis_deg = v;
        },
    );
}

fn facts_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    ui.strong("Facts to ask");
    ui.weak("Read off the coin before the dies are compared: date, mint mark and the like.");
    for (i, fact) in set.facts.iter().enumerate() {
        ui.push_id(("fact", i), |ui| {
            ui.group(|ui| {
                text_of_part(
                    ui,
                    edits,
                    "Question",
                    fact.id.as_str(),
                    &fact.question,
                    move |set, v| {
                        if let Some(fact) = set.facts.get_mut(i) {
                            fact.question = v;
                        }
                    },
                );
                small_label(
                    ui,
                    "Answers: the value that pairings refer to, and what the user reads",
                );
                for (j, choice) in fact.choices.iter().enumerate() {
                    let which = format!("answer {} to {}", j + 1, fact.id);
                    ui.push_id(j, |ui| choice_ui(ui, edits, (i, j), &which, choice));
                }
                ui.horizontal(|ui| {
                    let add = ui.button("Add an answer");
                    if add
                        .accessible_name(format!("Add an answer to {}", fact.id))
                        .clicked()
                    {
                        edits.step("the new answer", move |set| {
                            if let Some(fact) = set.facts.get_mut(i) {
                                let value =
                                    fresh_name("answer ", fact.choices.iter().map(|c| c.value.as_str()));
                                fact.choices.push(FactChoice {
                                    value,
                                    words: String::new(),
                                });
                            }
                        });
                    }
                    remove_button(
                        ui,
                        edits,
                        set,
                        "Remove this question",
                        &Place::Fact(fact.id.clone()),
                    );
                });
            });
        });
    }
    ui.horizontal(|ui| {
        for (label, id, question) in [
            ("Ask for the date", "date", "Which date does the coin bear?"),
            (
                "Ask for the mint mark",
                "mint mark",
                "Which mint mark does it bear?",
            ),
        ] {
            if !set.facts.iter().any(|f| f.id.as_str() == id) && ui.button(label).clicked() {
                add_fact(edits, id.to_owned(), question.to_owned());
            }
        }
        if ui.button("Ask for something else").clicked() {
            let id = fresh_name("fact ", set.facts.iter().map(|f| f.id.as_str()));
            add_fact(edits, id, String::new());
        }
    });
}

fn add_fact(edits: &mut Edits, id: String, question: String) {
    edits.step("the new question", move |set| {
        set.facts.push(FactQuestion {
            id: FactId(id),
            question,
            choices: Vec::new(),
        });
    });
}

fn choice_ui(
    ui: &mut Ui,
    edits: &mut Edits,
    (fact, index): (usize, usize),
    which: &str,
    choice: &FactChoice,
) {
    ui.columns(2, |columns| {
        text_of_part(
            &mut columns[0],
            edits,
            "Value",
            which,
            &choice.value,
            move |set, v| {
                let Some(fact) = set.facts.get_mut(fact) else {
                    return;
                };
                let id = fact.id.clone();
                let Some(choice) = fact.choices.get_mut(index) else {
                    return;
                };
                let old = std::mem::replace(&mut choice.value, v.clone());
                // Pairings refer to the answer by its value, so they follow.
                for known in set.pairings.iter_mut().filter_map(|p| p.facts.get_mut(&id)) {
                    for value in known.iter_mut().filter(|value| **value == old) {
                        value.clone_from(&v);
                    }
                }
            },
        );
        text_of_part(
            &mut columns[1],
            edits,
            "Words, where the value alone does not say it",
            which,
            &choice.words,
            move |set, v| {
                if let Some(choice) = set.facts.get_mut(fact).and_then(|f| f.choices.get_mut(index)) {
                    choice.words = v;
                }
            },
        );
    });
}

fn rarity_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    ui.strong("Rarity bands");
    ui.weak("Your own names for how rare a pairing is, with what each means.");
    for (i, band) in set.rarity_bands.iter().enumerate() {
        ui.push_id(("band", i), |ui| {
            ui.horizontal(|ui| {
                ui.set_max_width(ui.available_width());
                let place = Place::RarityBand(band.id.clone());
                name(ui, edits, set, "Name", &place, band.id.as_str());
                let mut meaning = band.meaning.clone();
                let label = ui.label("means");
                let width = (ui.available_width() - 90.0).max(120.0);
                let response = ui
                    .add(egui::TextEdit::singleline(&mut meaning).desired_width(width))
                    .labelled_by(label.id)
                    .accessible_name(format!("What band {} means", band.id));
                if response.changed() {
                    edits.continued("the change of a rarity meaning", response.id, move |set| {
                        if let Some(band) = set.rarity_bands.get_mut(i) {
                            band.meaning = meaning;
                        }
                    });
                }
                remove_button(ui, edits, set, "Remove", &place);
            });
        });
    }
    if ui.button("Add a rarity band").clicked() {
        edits.step("the new rarity band", |set| {
            let id = fresh_name("band ", set.rarity_bands.iter().map(|b| b.id.as_str()));
            set.rarity_bands.push(RarityBand {
                id: RarityId(id),
                meaning: String::new(),
                at_least: None,
                at_most: None,
            });
        });
    }
}

fn slope_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    ui.strong("Usual price slope by grade");
    ui.weak("How many times the price of the lowest grade each better grade usually brings. Optional.");
    let Some(slope) = &set.price_slope else {
        if ui.button("Add a price slope").clicked() {
            edits.step("the new price slope", |set| {
                set.price_slope = Some(PriceSlope {
                    source: String::new(),
                    steps: Vec::new(),
                });
            });
        }
        return;
    };
    text(
        ui,
        edits,
        "Where the slope comes from",
        &slope.source,
        |set, v| {
            if let Some(slope) = &mut set.price_slope {
                slope.source = v;
            }
        },
    );
    let times = NumberForm {
        unit: " times",
        range: 0.01..=100_000.0,
        step: 0.05,
        decimals: 2,
    };
    for (i, (grade, factor)) in slope.steps.iter().enumerate() {
        ui.push_id(("slope", i), |ui| {
            ui.horizontal(|ui| {
                let label = ui.label("Grade");
                let mut words = grade.clone();
                let response = ui
                    .add(egui::TextEdit::singleline(&mut words).desired_width(160.0))
                    .labelled_by(label.id)
                    .accessible_name(format!("Grade {}", i + 1));
                if response.changed() {
                    edits.continued("the change of a grade", response.id, move |set| {
                        if let Some(step) = set.price_slope.as_mut().and_then(|s| s.steps.get_mut(i)) {
                            step.0 = words;
                        }
                    });
                }
                ui.label("brings");
                let named = format!("What grade {} brings", i + 1);
                number_bare(ui, edits, &named, *factor, &times, move |set, v| {
                    if let Some(step) = set.price_slope.as_mut().and_then(|s| s.steps.get_mut(i)) {
                        step.1 = v;
                    }
                });
            });
        });
    }
    ui.horizontal(|ui| {
        if ui.button("Add a grade").clicked() {
            edits.step("the new grade", |set| {
                if let Some(slope) = &mut set.price_slope {
                    let next = slope.steps.last().map_or(1.0, |(_, factor)| factor * 2.0);
                    slope.steps.push((String::new(), next));
                }
            });
        }
        if ui.button("Remove the price slope").clicked() {
            edits.step("removing the price slope", |set| set.price_slope = None);
        }
    });
}

fn cautions_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    ui.strong("Cautions");
    ui.weak("What a user must know before trusting the set. They stand on every sheet.");
    for (i, caution) in set.cautions.iter().enumerate() {
        ui.push_id(("caution", i), |ui| {
            text(
                ui,
                edits,
                &format!("Caution {}", i + 1),
                caution,
                move |set, v| {
                    if let Some(caution) = set.cautions.get_mut(i) {
                        *caution = v;
                    }
                },
            );
        });
    }
    ui.horizontal(|ui| {
        if ui.button("Add a caution").clicked() {
            edits.step("the new caution", |set| set.cautions.push(String::new()));
        }
        if !set.cautions.is_empty() && ui.button("Remove the last caution").clicked() {
            edits.step("removing a caution", |set| {
                set.cautions.pop();
            });
        }
    });
}
