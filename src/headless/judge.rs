//! `verdict` and `fact`: what the user decides and knows.

use super::arguments::{GiveFact, GiveVerdict};
use super::error::VerbError;
use super::{Exit, Streams, open_specimen};
use crate::reference::{FactId, FactQuestion, FeatureId, Side, StateId};
use crate::specimen::{Edit, FactAnswer, FeatureEdit, GivenVerdict, Notice};

/// The word that withdraws an answer or a verdict.
const NONE: &str = "none";
/// The word for a fact that is not legible.
const UNREADABLE: &str = "unreadable";
/// The name under which the weight is given.
const WEIGHT: &str = "weight";

pub(super) fn verdict(arguments: &GiveVerdict, streams: &mut Streams) -> Result<Exit, VerbError> {
    let mut opened = open_specimen(&arguments.specimen, streams)?;
    let side = Side::from(arguments.side);
    let feature_id = FeatureId(arguments.feature.clone());
    let state_id = StateId(arguments.state.clone());
    let reference = opened.set.side(side);
    let feature = reference.feature(&feature_id).ok_or_else(|| {
        let all = names(reference.features.iter().map(|feature| feature.id.as_str()));
        VerbError::Usage(format!(
            "The set has no {} feature \u{201c}{feature_id}\u{201d}: {all}.",
            side.word()
        ))
    })?;
    if feature.state(&state_id).is_none() {
        let all = names(feature.states.iter().map(|state| state.id.as_str()));
        return Err(VerbError::Usage(format!(
            "The feature {feature_id} has no state \u{201c}{state_id}\u{201d}: {all}."
        )));
    }
    let given = arguments.ruling.0.map(|ruling| GivenVerdict {
        state: state_id.clone(),
        ruling,
        seen: None,
    });
    let judged = match given {
        Some(given) => FeatureEdit::Give(vec![given]),
        None => FeatureEdit::TakeBack(state_id.clone()),
    };
    let note = arguments.note.clone();
    let note = note.map(|note| FeatureEdit::Note(state_id, note));
    let edits = std::iter::once(judged).chain(note);
    let notice = opened.change(edits.map(|edit| Edit::Feature(side, feature_id.clone(), edit)))?;
    let count = opened.record.verdicts.len();
    let words = if count == 1 { "verdict" } else { "verdicts" };
    tell(notice, &format!("{count} {words}"), streams).map_err(|error| error.after("The verdict is"))
}

pub(super) fn fact(arguments: &GiveFact, streams: &mut Streams) -> Result<Exit, VerbError> {
    let mut opened = open_specimen(&arguments.specimen, streams)?;
    let id = FactId(arguments.name.clone());
    let value = arguments.value.trim();
    let edit = if let Some(question) = opened.set.facts.iter().find(|question| question.id == id) {
        Edit::Answer(id, answer(question, value)?)
    } else if arguments.name == WEIGHT {
        Edit::Weight(weight(value)?)
    } else {
        let asked = opened.set.facts.iter().map(|question| question.id.as_str());
        let all = names(asked.chain([WEIGHT]));
        return Err(VerbError::Usage(format!(
            "The set does not ask for \u{201c}{id}\u{201d}: {all}."
        )));
    };
    let notice = opened.change([edit])?;
    let line = format!("{}: {value}", arguments.name);
    tell(notice, &line, streams).map_err(|error| error.after("The answer is"))
}

fn tell(notice: Option<Notice>, line: &str, streams: &mut Streams) -> Result<Exit, VerbError> {
    streams.notes(notice.iter())?;
    writeln!(streams.out, "{line}")?;
    Ok(Exit::Done)
}

fn answer(question: &FactQuestion, text: &str) -> Result<Option<FactAnswer>, VerbError> {
    let is_choice = |value: &str| question.choices.iter().any(|choice| choice.value == value);
    // A choice is taken as it is, even where it reads like one of the words below.
    if is_choice(text) {
        return Ok(Some(FactAnswer::Is(text.to_owned())));
    }
    match text {
        NONE => return Ok(None),
        UNREADABLE => return Ok(Some(FactAnswer::Unreadable)),
        _ => {}
    }
    let values: Vec<String> = text.split('|').map(|value| value.trim().to_owned()).collect();
    match values.iter().find(|value| !is_choice(value)) {
        Some(unknown) => {
            let all = names(question.choices.iter().map(|choice| choice.value.as_str()));
            Err(VerbError::Usage(format!(
                "\u{201c}{unknown}\u{201d} is no choice for {}: {all}, {UNREADABLE} or {NONE}.",
                question.id
            )))
        }
        None => Ok(Some(FactAnswer::OneOf(values))),
    }
}

fn weight(text: &str) -> Result<Option<f64>, VerbError> {
    if text == NONE {
        return Ok(None);
    }
    match text.parse::<f64>() {
        Ok(grams) if grams.is_finite() && grams > 0.0 => Ok(Some(grams)),
        _ => Err(VerbError::Usage(format!(
            "\u{201c}{text}\u{201d} is no weight: give grams above 0, or {NONE}."
        ))),
    }
}

/// What there is to choose from, in a few words.
fn names<'a>(all: impl Iterator<Item = &'a str>) -> String {
    const MOST: usize = 12;
    let mut all: Vec<&str> = all.collect();
    let more = all.len().saturating_sub(MOST);
    all.truncate(MOST);
    match (all.is_empty(), more) {
        (true, _) => "it has none".to_owned(),
        (false, 0) => format!("there is {}", all.join(", ")),
        (false, _) => format!("there is {} and {more} more", all.join(", ")),
    }
}
