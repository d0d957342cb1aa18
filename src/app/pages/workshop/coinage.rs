//! What the set covers: title, measures, the facts to ask, rarity bands, price slope, cautions.

use egui::Ui;

use super::edits::Edits;
use super::fields::{NumberForm, heading, small_label};
use crate::reference::{
    FactChoice, FactQuestion, Place, PriceSlope, RarityBand, ReferenceSet, UnlistedShares, edit,
};

/// The section "Coinage".
pub fn coinage_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    heading(
        ui,
        "Coinage",
        "What the set covers, and the measures that everything else is drawn to.",
    );
    edits.text(ui, "Title", &set.title, |set| Some(&mut set.title));
    let about = "About: what it covers, who made it";
    edits.long_text(ui, about, &set.about, 3, |set| Some(&mut set.about));
    ui.add_space(8.0);
    for part in [
        measures_ui,
        facts_ui,
        unlisted_ui,
        rarity_ui,
        slope_ui,
        cautions_ui,
    ] {
        part(ui, set, edits);
        ui.add_space(16.0);
    }
}

fn measures_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    ui.strong("Measures");
    let m = &set.measures;
    ui.horizontal(|ui| {
        ui.label("Diameter");
        let form = NumberForm::mm(1.0..=200.0);
        edits.number(ui, "Diameter", m.diameter_mm, &form, |set| {
            Some(&mut set.measures.diameter_mm)
        });
    });
    let grams = NumberForm::new(" g", 0.01..=1000.0, 0.01, 2);
    edits.optional_number(ui, "Weight", m.weight_g, 5.0, &grams, |set| {
        Some(&mut set.measures.weight_g)
    });
    let tolerance = m.weight_tolerance_g;
    edits.optional_number(ui, "Weight may differ by", tolerance, 0.2, &grams, |set| {
        Some(&mut set.measures.weight_tolerance_g)
    });
    let degrees = NumberForm::new("°", 0.0..=359.0, 1.0, 0);
    edits.optional_number(ui, "Die axis", m.die_axis_deg, 180.0, &degrees, |set| {
        Some(&mut set.measures.die_axis_deg)
    });
}

fn unlisted_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    ui.strong("What the set does not list");
    ui.weak(
        "Which share of coins is of a pairing or a die that is not listed? The standing keeps them in mind.",
    );
    let form = NumberForm::new("", UnlistedShares::LEAST..=UnlistedShares::GREATEST, 0.01, 4);
    let shares = set.unlisted;
    ui.horizontal(|ui| {
        ui.label("Share with an unlisted pairing");
        edits.number(
            ui,
            "Share with an unlisted pairing",
            shares.pairing,
            &form,
            |set| Some(&mut set.unlisted.pairing),
        );
    });
    ui.horizontal(|ui| {
        ui.label("Share with an unlisted obverse die");
        edits.number(
            ui,
            "Share with an unlisted obverse die",
            shares.obverse_die,
            &form,
            |set| Some(&mut set.unlisted.obverse_die),
        );
    });
    ui.horizontal(|ui| {
        ui.label("Share with an unlisted reverse die");
        edits.number(
            ui,
            "Share with an unlisted reverse die",
            shares.reverse_die,
            &form,
            |set| Some(&mut set.unlisted.reverse_die),
        );
    });
}

fn facts_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    ui.strong("Facts to ask");
    ui.weak("Read off the coin before the dies are compared: date, mint mark and the like.");
    for (i, fact) in set.facts.iter().enumerate() {
        ui.push_id(("fact", i), |ui| {
            ui.group(|ui| fact_ui(ui, set, i, fact, edits));
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
            let asked = set.facts.iter().any(|fact| fact.id.as_str() == id);
            if !asked && ui.button(label).clicked() {
                edits.step("the new question", move |set| {
                    edit::add_fact(set, Some(id), question)
                });
            }
        }
        if ui.button("Ask for something else").clicked() {
            edits.step("the new question", |set| edit::add_fact(set, None, ""));
        }
    });
}

fn fact_ui(ui: &mut Ui, set: &ReferenceSet, i: usize, fact: &FactQuestion, edits: &mut Edits) {
    edits
        .text(ui, "Question", &fact.question, move |set| {
            Some(&mut set.facts.get_mut(i)?.question)
        })
        .accessible_name(format!("Question of {}", fact.id));
    let label = "Answers: the value that pairings refer to, and what the user reads";
    small_label(ui, label);
    for (j, choice) in fact.choices.iter().enumerate() {
        let which = format!("answer {} to {}", j + 1, fact.id);
        ui.push_id(j, |ui| choice_ui(ui, edits, (i, j), &which, choice));
    }
    ui.horizontal(|ui| {
        let add = ui.button("Add an answer");
        let add = add.accessible_name(format!("Add an answer to {}", fact.id));
        if add.clicked() {
            edits.step("the new answer", move |set| {
                set.facts.get_mut(i).map(edit::add_answer);
            });
        }
        let place = Place::Fact(fact.id.clone());
        edits.remove_button(ui, set, "Remove this question", &place);
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
        edits
            .text_to(&mut columns[0], "Value", &choice.value, move |set, value| {
                edit::set_answer(set, fact, index, &value);
            })
            .accessible_name(format!("Value of {which}"));
        let label = "Words, where the value alone does not say it";
        edits
            .text(&mut columns[1], label, &choice.words, move |set| {
                Some(&mut set.facts.get_mut(fact)?.choices.get_mut(index)?.words)
            })
            .accessible_name(format!("{label} of {which}"));
    });
}

fn rarity_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    ui.strong("Rarity bands");
    ui.weak("Your own names for how rare a pairing is, with what each means.");
    for (i, band) in set.rarity_bands.iter().enumerate() {
        ui.push_id(("band", i), |ui| {
            ui.horizontal(|ui| band_ui(ui, set, i, band, edits));
        });
    }
    if ui.button("Add a rarity band").clicked() {
        edits.step("the new rarity band", edit::add_rarity_band);
    }
}

fn band_ui(ui: &mut Ui, set: &ReferenceSet, i: usize, band: &RarityBand, edits: &mut Edits) {
    ui.set_max_width(ui.available_width());
    let place = Place::RarityBand(band.id.clone());
    edits.name(ui, set, "Name", &place, band.id.as_str());
    ui.label("means");
    let width = (ui.available_width() - 90.0).max(120.0);
    let name = format!("What band {} means", band.id);
    edits.line(ui, &name, &band.meaning, width, move |set| {
        Some(&mut set.rarity_bands.get_mut(i)?.meaning)
    });
    edits.remove_button(ui, set, "Remove", &place);
}

fn slope_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    ui.strong("Usual price slope by grade");
    ui.weak("How many times the price of the lowest grade each better grade usually brings. Optional.");
    let Some(slope) = &set.price_slope else {
        if ui.button("Add a price slope").clicked() {
            edits.step("the new price slope", |set| {
                set.price_slope = Some(PriceSlope::default())
            });
        }
        return;
    };
    edits.text(ui, "Where the slope comes from", &slope.source, |set| {
        Some(&mut set.price_slope.as_mut()?.source)
    });
    for (i, (grade, factor)) in slope.steps.iter().enumerate() {
        ui.push_id(("slope", i), |ui| {
            ui.horizontal(|ui| grade_ui(ui, i, grade, *factor, edits));
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

fn grade_ui(ui: &mut Ui, i: usize, grade: &str, factor: f64, edits: &mut Edits) {
    fn step(set: &mut ReferenceSet, i: usize) -> Option<&mut (String, f64)> {
        set.price_slope.as_mut()?.steps.get_mut(i)
    }
    ui.label("Grade");
    let name = format!("Grade {}", i + 1);
    edits.line(ui, &name, grade, 160.0, move |set| Some(&mut step(set, i)?.0));
    ui.label("brings");
    let times = NumberForm::new(" times", 0.01..=100_000.0, 0.05, 2);
    let name = format!("What grade {} brings", i + 1);
    edits.number(ui, &name, factor, &times, move |set| Some(&mut step(set, i)?.1));
}

fn cautions_ui(ui: &mut Ui, set: &ReferenceSet, edits: &mut Edits) {
    ui.strong("Cautions");
    ui.weak("What a user must know before trusting the set. They stand on every sheet.");
    for (i, caution) in set.cautions.iter().enumerate() {
        ui.push_id(("caution", i), |ui| {
            let label = format!("Caution {}", i + 1);
            edits.text(ui, &label, caution, move |set| set.cautions.get_mut(i));
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
