//! Parts of a set in words: pairings, questions, states, facts, spots.

use crate::reference::{
    FactChoice, FactId, FactQuestion, FeatureId, RarityBand, ReferenceSet, Side, StateId,
};
use crate::specimen::{FactAnswer, Spot};

/// A pairing's catalogue number with its dies.
#[must_use]
pub fn pairing_words(set: &ReferenceSet, index: usize) -> String {
    match set.pairings.get(index) {
        Some(pairing) => {
            format!(
                "{}, obverse {} with reverse {}",
                pairing.catalogue, pairing.obverse, pairing.reverse
            )
        }
        None => format!("pairing {}", index + 1),
    }
}

/// A feature's question, closed by a mark.
pub(super) fn question(set: &ReferenceSet, side: Side, feature: &FeatureId) -> String {
    let words = set
        .side(side)
        .feature(feature)
        .map(|feature| feature.question.trim());
    let words = words
        .filter(|words| !words.is_empty())
        .unwrap_or(feature.as_str());
    if words.ends_with(['?', '.', ':', '!']) {
        words.to_owned()
    } else {
        format!("{words}:")
    }
}

pub(super) fn state_words(set: &ReferenceSet, side: Side, feature: &FeatureId, state: &StateId) -> String {
    let known = set
        .side(side)
        .feature(feature)
        .and_then(|feature| feature.state(state));
    let words = known
        .map(|state| state.words.trim())
        .filter(|words| !words.is_empty());
    format!("\u{201c}{}\u{201d}", words.unwrap_or(state.as_str()))
}

pub(super) fn fact_name(fact: &FactId) -> String {
    fact.as_str().replace(['_', '-'], " ")
}

/// A choice of a fact: its words, or its value where it has none.
#[must_use]
pub fn choice_words(choice: &FactChoice) -> &str {
    match choice.words.trim() {
        "" => &choice.value,
        words => words,
    }
}

/// The value of a fact in the words of its choice; the value itself where the set has no such choice.
#[must_use]
pub fn value_words(question: &FactQuestion, value: &str) -> String {
    let choice = question.choices.iter().find(|choice| choice.value == value);
    choice.map_or(value, choice_words).to_owned()
}

pub(super) fn choice(set: &ReferenceSet, fact: &FactId, value: &str) -> String {
    let question = set.facts.iter().find(|question| &question.id == fact);
    question.map_or_else(|| value.to_owned(), |question| value_words(question, value))
}

/// A fact's answer, or that there is none.
#[must_use]
pub fn answer_words(question: &FactQuestion, answer: Option<&FactAnswer>) -> String {
    let words = |value: &String| value_words(question, value);
    match answer {
        None => "not answered".to_owned(),
        Some(FactAnswer::Unreadable) => "not legible".to_owned(),
        Some(FactAnswer::Is(value)) => words(value),
        Some(FactAnswer::OneOf(values)) => values.iter().map(words).collect::<Vec<_>>().join(" or "),
    }
}

/// What a spot of two coins is called: the set's or the user's title, or where it lies in side mm.
#[must_use]
pub fn spot_title(set: &ReferenceSet, side: Side, spot: &Spot) -> String {
    match spot {
        Spot::WholeSide => format!("The whole {}", side.word()),
        Spot::Zone(id) => set.side(side).zone_title(id).to_owned(),
        Spot::Place { title, centre_mm, .. } if title.trim().is_empty() => {
            format!("Place at {:.1}, {:.1} mm", centre_mm.x, centre_mm.y)
        }
        Spot::Place { title, .. } => title.trim().to_owned(),
    }
}

/// What a rarity band means: the set's own words, or the numbers it gives; empty where it gives neither.
#[must_use]
pub fn rarity_meaning(band: &RarityBand) -> String {
    match (band.at_least, band.at_most) {
        _ if !band.meaning.is_empty() => band.meaning.clone(),
        (Some(a), Some(b)) => format!("{a} to {b} thought to exist"),
        (Some(a), None) => format!("{a} or more thought to exist"),
        (None, Some(b)) => format!("{b} or fewer thought to exist"),
        (None, None) => String::new(),
    }
}
