//! The facts: what to read off the coin before the dies.

use egui::{Button, DragValue, RadioButton, RichText, ScrollArea, Ui};

use super::ComparePage;
use crate::app::model::action::Action;
use crate::app::pages::Page;
use crate::app::widgets::marks::Mark;
use crate::reference::FactQuestion;
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
    let chosen = ui
        .horizontal_wrapped(|ui| choices_ui(ui, question, &answer))
        .inner;
    let other = ui
        .horizontal_wrapped(|ui| other_answers_ui(ui, question, &answer))
        .inner;
    if let Some(next) = chosen.or(other) {
        page.push(Action::edit(Edit::Answer(question.id.clone(), next)));
    }
    if matches!(&answer, Some(FactAnswer::OneOf(of)) if of.is_empty()) {
        ui.weak("Tick every answer that remains possible; with none ticked the fact counts as not read.");
    }
}

/// What is to be answered from now on, where that changes.
type Changed = Option<Option<FactAnswer>>;

/// The set's own choices: one of them, or those that remain possible.
fn choices_ui(ui: &mut Ui, question: &FactQuestion, answer: &Option<FactAnswer>) -> Changed {
    let mut changed = None;
    for choice in &question.choices {
        if let Some(FactAnswer::OneOf(of)) = answer {
            let mut on = of.contains(&choice.value);
            if ui.checkbox(&mut on, choice_words(choice)).changed() {
                changed = Some(Some(toggled(question, answer, &choice.value)));
            }
        } else {
            let is = FactAnswer::Is(choice.value.clone());
            let here = answer.as_ref() == Some(&is);
            if ui.add(RadioButton::new(here, choice_words(choice))).clicked() {
                changed = Some((!here).then_some(is));
            }
        }
    }
    changed
}

/// What can be answered whatever the set asks.
fn other_answers_ui(ui: &mut Ui, question: &FactQuestion, answer: &Option<FactAnswer>) -> Changed {
    let mut changed = None;
    let mut offer = |here: bool, words: &str, name: &str| {
        let name = format!("{name}: {}", question.question);
        ui.add(RadioButton::new(here, words)).accessible_name(name)
    };
    let unreadable = *answer == Some(FactAnswer::Unreadable);
    if offer(unreadable, "cannot be read", "Cannot be read").clicked() {
        changed = Some((!unreadable).then_some(FactAnswer::Unreadable));
    }
    if question.choices.len() > 2 {
        let several = matches!(answer, Some(FactAnswer::OneOf(_)));
        let response = offer(several, "one of several", "One of several")
            .on_hover_text("Half read: tick every answer that remains possible.");
        if response.clicked() {
            changed = Some(match answer {
                Some(FactAnswer::OneOf(_)) => None,
                Some(FactAnswer::Is(value)) => Some(FactAnswer::OneOf(vec![value.clone()])),
                _ => Some(FactAnswer::OneOf(Vec::new())),
            });
        }
    }
    let not_yet = answer.is_none();
    if offer(not_yet, "not looked at yet", "Not looked at yet").clicked() && !not_yet {
        changed = Some(None);
    }
    changed
}

/// The answer with one value more or less, in the order of the choices.
fn toggled(question: &FactQuestion, answer: &Option<FactAnswer>, value: &str) -> FactAnswer {
    let had = |v: &String| matches!(answer, Some(FactAnswer::OneOf(of)) if of.contains(v));
    let keep = |v: &String| (v == value) != had(v);
    FactAnswer::OneOf(
        question
            .choices
            .iter()
            .map(|c| c.value.clone())
            .filter(keep)
            .collect(),
    )
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
