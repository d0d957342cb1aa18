//! The facts: what to read off the coin before the dies.

use egui::{Button, DragValue, RadioButton, RichText, ScrollArea, Ui};

use super::ComparePage;
use super::marks::Mark;
use crate::app::model::action::Action;
use crate::app::model::page::Page;
use crate::reference::{FactId, FactQuestion};
use crate::specimen::{Edit, FactAnswer};
use crate::words::choice_words;

/// Draws them.
pub fn facts_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage) {
    ui.horizontal(|ui| {
        ui.heading("Date and facts");
        ui.add_space(8.0);
        if ui
            .add(Button::new("Back to the features"))
            .on_hover_text("Key F")
            .clicked()
        {
            state.facts_shown = false;
        }
    });
    ui.weak(
        "Read these off the coin. A fact that a pairing is not known with puts that pairing out, whatever the dies \
         look like; leave open what you cannot read.",
    );
    ui.add_space(8.0);
    let set = std::sync::Arc::clone(&page.bench.set);
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        for question in &set.facts {
            question_ui(ui, page, question);
            ui.add_space(12.0);
        }
        if set.facts.is_empty() {
            ui.label("This set asks for no facts.");
        }
        weight_ui(ui, page, state);
    });
}

fn question_ui(ui: &mut Ui, page: &mut Page<'_>, question: &FactQuestion) {
    let answer = page.bench.record().facts.get(&question.id).cloned();
    ui.horizontal(|ui| {
        let mark = if answer.is_some() { Mark::Yes } else { Mark::Blank };
        mark.show(ui);
        ui.label(RichText::new(&question.question).strong());
    });
    let several = matches!(answer, Some(FactAnswer::OneOf(_)));
    ui.horizontal_wrapped(|ui| {
        for choice in &question.choices {
            if several {
                let mut on = one_of(&answer).contains(&choice.value);
                let response = ui.checkbox(&mut on, choice_words(choice));
                if response.changed() {
                    let next = toggled(question, &answer, &choice.value);
                    page.push(answering(&question.id, Some(next)));
                }
            } else {
                let here = matches!(&answer, Some(FactAnswer::Is(value)) if *value == choice.value);
                if ui.add(RadioButton::new(here, choice_words(choice))).clicked() {
                    let next = (!here).then(|| FactAnswer::Is(choice.value.clone()));
                    page.push(answering(&question.id, next));
                }
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        let unreadable = answer == Some(FactAnswer::Unreadable);
        let name = |what: &str| format!("{what}: {}", question.question);
        let response = ui
            .add(RadioButton::new(unreadable, "cannot be read"))
            .accessible_name(name("Cannot be read"));
        if response.clicked() {
            let next = (!unreadable).then_some(FactAnswer::Unreadable);
            page.push(answering(&question.id, next));
        }
        if question.choices.len() > 2 {
            let response = ui
                .add(RadioButton::new(several, "one of several"))
                .accessible_name(name("One of several"))
                .on_hover_text("Half read: tick every answer that remains possible.");
            if response.clicked() {
                let next = match (&answer, several) {
                    (_, true) => None,
                    (Some(FactAnswer::Is(value)), _) => Some(FactAnswer::OneOf(vec![value.clone()])),
                    _ => Some(FactAnswer::OneOf(Vec::new())),
                };
                page.push(answering(&question.id, next));
            }
        }
        let not_yet = answer.is_none();
        let response = ui
            .add(RadioButton::new(not_yet, "not looked at yet"))
            .accessible_name(name("Not looked at yet"));
        if response.clicked() && !not_yet {
            page.push(answering(&question.id, None));
        }
    });
    if matches!(&answer, Some(FactAnswer::OneOf(of)) if of.is_empty()) {
        ui.weak("Tick every answer that remains possible; with none ticked the fact counts as not read.");
    }
}

fn one_of(answer: &Option<FactAnswer>) -> &[String] {
    match answer {
        Some(FactAnswer::OneOf(of)) => of,
        _ => &[],
    }
}

/// The answer with one value more or less, in the order of the choices.
fn toggled(question: &FactQuestion, answer: &Option<FactAnswer>, value: &str) -> FactAnswer {
    let had = one_of(answer);
    let keep = |v: &String| (v == value) != had.contains(v);
    FactAnswer::OneOf(
        question
            .choices
            .iter()
            .map(|c| c.value.clone())
            .filter(keep)
            .collect(),
    )
}

fn answering(fact: &FactId, answer: Option<FactAnswer>) -> Action {
    Action::edit(Edit::Answer(fact.clone(), answer))
}

fn weight_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage) {
    let measures = page.bench.set.measures.clone();
    let now = page.bench.record().weight_g;
    ui.horizontal(|ui| {
        let mark = if now.is_some() { Mark::Yes } else { Mark::Blank };
        mark.show(ui);
        ui.label(RichText::new("Weight").strong());
        if let Some(nominal) = measures.weight_g {
            let tolerance = measures
                .weight_tolerance_g
                .map(|t| format!(" \u{b1} {t:.2} g"))
                .unwrap_or_default();
            ui.weak(format!("nominal {nominal:.2} g{tolerance}"));
        }
    });
    ui.horizontal(|ui| {
        // While the number is dragged or typed, all of it is one step.
        let dragging = Some(state.gesture_of(0));
        let weight = |weight_g: Option<f64>, gesture: Option<u64>| Action::Edit {
            edit: Edit::Weight(weight_g),
            gesture,
        };
        match now {
            Some(mut grams) => {
                let drag = DragValue::new(&mut grams)
                    .suffix(" g")
                    .speed(0.01)
                    .range(0.01..=10_000.0)
                    .max_decimals(3);
                if ui.add(drag).accessible_name("Weight in g").changed() {
                    page.push(weight(Some(grams), dragging));
                }
                if ui.button("Not weighed").clicked() {
                    page.push(weight(None, None));
                }
            }
            None => {
                if ui.button("Enter the weight").clicked() {
                    let start = measures.weight_g.unwrap_or(1.0);
                    page.push(weight(Some(start), dragging));
                }
            }
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::FactChoice;

    #[test]
    fn toggling_keeps_the_order_of_the_choices() {
        let choice = |value: &str| FactChoice {
            value: value.to_owned(),
            words: String::new(),
        };
        let question = FactQuestion {
            id: "date".into(),
            question: String::new(),
            choices: vec![choice("1"), choice("2"), choice("3")],
        };
        let some = |of: &[&str]| Some(FactAnswer::OneOf(of.iter().map(|&v| v.to_owned()).collect()));
        assert_eq!(toggled(&question, &some(&["3"]), "1"), some(&["1", "3"]).unwrap());
        assert_eq!(toggled(&question, &some(&["1", "3"]), "1"), some(&["3"]).unwrap());
        assert_eq!(toggled(&question, &None, "2"), some(&["2"]).unwrap());
    }
}
