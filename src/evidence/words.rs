//! The evidence in plain English, in the set's own words.

use super::outcome::sides_checked;
use super::standing::likeliest_other;
use super::{Cause, Caution, Outcome, Recheck, SETTLED_AT, Standing};
use crate::reference::{FactId, FeatureId, Pairing, ReferenceSet, Side, StateId};
use crate::specimen::FactAnswer;

/// What must stand beside every outcome.
pub const OPINION: &str = "An attribution is an opinion from photographs, not an authentication.";

/// How many names a sentence lists before it only counts them.
const MOST_NAMES: usize = 4;

impl Cause {
    /// The cause as one plain sentence, in the set's own words.
    #[must_use]
    pub fn sentence(&self, set: &ReferenceSet) -> String {
        match self {
            Cause::Fact {
                fact,
                known_with,
                coin,
            } => format!(
                "Known with {} {} only; the coin has {}.",
                fact_name(fact),
                any_of(known_with.iter().map(|value| choice_words(set, fact, value))),
                match coin {
                    FactAnswer::Is(value) => choice_words(set, fact, value),
                    FactAnswer::OneOf(values) =>
                        any_of(values.iter().map(|value| choice_words(set, fact, value))),
                    FactAnswer::Unreadable => "one that cannot be read".to_owned(),
                }
            ),
            Cause::ShowsOther {
                side,
                feature,
                coin,
                die,
            } => format!(
                "{} The coin shows {}, this die {}.",
                question(set, *side, feature),
                state_words(set, *side, feature, coin),
                state_words(set, *side, feature, die)
            ),
            Cause::Differs { side, feature, die } => format!(
                "{} The coin differs from {}, which this die shows.",
                question(set, *side, feature),
                state_words(set, *side, feature, die)
            ),
            Cause::DieOut { side, die } => format!("The {} die {die} is out.", side.word()),
        }
    }
}

impl Caution {
    /// The caution as one or two plain sentences, in the set's own words.
    #[must_use]
    pub fn sentence(&self, set: &ReferenceSet) -> String {
        match self {
            Caution::Heavy {
                weight_g,
                nominal_g,
                tolerance_g,
            } => format!(
                "The coin weighs {weight_g} g, more than the set's {nominal_g} g \u{b1} {tolerance_g} g. \
                 Wear cannot add weight: weigh it again, and be wary of it."
            ),
            Caution::Light {
                weight_g,
                nominal_g,
                tolerance_g,
            } => format!(
                "The coin weighs {weight_g} g, less than the set's {nominal_g} g \u{b1} {tolerance_g} g. \
                 Wear or damage may explain it; if neither shows, be wary of it."
            ),
            Caution::ConflictingVerdicts { side, feature } => format!(
                "The verdicts on the {} feature \u{201c}{}\u{201d} contradict one another: keep the one you \
                 stand by.",
                side.word(),
                question(set, *side, feature)
            ),
            Caution::NoneOfTheStates { side, feature } => format!(
                "The coin differs from every listed state of the {} feature \u{201c}{}\u{201d}: look again, or \
                 it may be an unlisted die.",
                side.word(),
                question(set, *side, feature)
            ),
            Caution::UnknownVerdict { side, feature, state } => format!(
                "The verdict on \u{201c}{state}\u{201d} of the {} feature \u{201c}{feature}\u{201d} is not counted: \
                 the set has no such state.",
                side.word()
            ),
            Caution::UnknownFact { fact } => {
                format!("The answer to \u{201c}{fact}\u{201d} is not counted: the set does not ask for it.")
            }
        }
    }
}

impl Recheck {
    /// What to look at again and what it would restore, as one plain sentence.
    #[must_use]
    pub fn sentence(&self, set: &ReferenceSet) -> String {
        let restored = any_of(self.restores().iter().map(|&index| pairing_words(set, index)));
        match self {
            Recheck::Feature { side, feature, .. } => format!(
                "Look again at the {} feature \u{201c}{}\u{201d}: if that was misread, {restored} fits.",
                side.word(),
                question(set, *side, feature)
            ),
            Recheck::Fact { fact, .. } => {
                format!(
                    "Read the {} again: if it was misread, {restored} fits.",
                    fact_name(fact)
                )
            }
        }
    }
}

impl Outcome {
    /// The outcome in one line.
    #[must_use]
    pub fn headline(&self, set: &ReferenceSet) -> String {
        match self {
            Outcome::Settled { pairing } => format!("Settled: {}", pairing_words(set, *pairing)),
            Outcome::Leaning { pairing } => format!("Leaning to {}", pairing_words(set, *pairing)),
            Outcome::Open => "Open: no listed pairing is ahead".to_owned(),
            Outcome::Contradicted { sides } => match sides.as_slice() {
                [] => "Contradicted: no listed pairing fits".to_owned(),
                [side] => format!("Contradicted: no listed {} die fits", side.word()),
                _ => "Contradicted: no listed die fits on either side".to_owned(),
            },
            Outcome::Unlisted { obverse, reverse } => {
                format!("Unlisted pairing: obverse {obverse} with reverse {reverse}")
            }
            Outcome::BeyondTelling { possible } => match possible.as_slice() {
                [only] => format!(
                    "Beyond telling: only {} remains, unconfirmed",
                    pairing_words(set, *only)
                ),
                _ => format!("Beyond telling: {} listed pairings remain", possible.len()),
            },
        }
    }
}

impl Standing {
    /// What the outcome means and what to do next, in a few plain sentences.
    #[must_use]
    pub fn explanation(&self, set: &ReferenceSet) -> Vec<String> {
        let mut sentences = Vec::new();
        match &self.outcome {
            Outcome::Settled { pairing } => {
                sentences.push("It alone fits all facts and verdicts.".to_owned());
                sentences.push(self.support());
                sentences.extend(rarity(set, *pairing));
            }
            Outcome::Leaning { pairing } => {
                sentences.push(self.support());
                sentences.extend(self.shortfall(set, *pairing));
                sentences.extend(rarity(set, *pairing));
                sentences.push(self.advice(set));
            }
            Outcome::Open => {
                if self.recheck.is_empty() {
                    sentences.push("Facts and verdicts do not yet favour a listed pairing.".to_owned());
                } else {
                    sentences
                        .push("What fits is less likely than what a single reading excludes.".to_owned());
                    sentences.extend(self.rechecks(set));
                }
                sentences.push(self.advice(set));
            }
            Outcome::Contradicted { sides } => {
                sentences.push(if sides.is_empty() {
                    "Dies of each side fit, but no listed pairing of them does.".to_owned()
                } else {
                    "A verdict was misread, or an unlisted die struck the coin.".to_owned()
                });
                sentences.extend(self.rechecks(set));
            }
            Outcome::Unlisted { .. } => {
                sentences.push("One die of each side fits; the set does not list them together.".to_owned());
                sentences.extend(self.rechecks(set));
                sentences.push(
                    "If each verdict stands, show the coin to someone who knows the series.".to_owned(),
                );
            }
            Outcome::BeyondTelling { possible } => {
                sentences.push("What would tell cannot be made out on this coin or photo.".to_owned());
                if (2..=MOST_NAMES).contains(&possible.len()) {
                    let names = possible.iter().map(|&index| pairing_words(set, index));
                    sentences.push(format!("It may be {}.", any_of(names)));
                }
                sentences.push("A sharper photo in other light may help; never clean the coin.".to_owned());
            }
        }
        sentences
    }

    /// The likelihood ratio with its published wording.
    fn support(&self) -> String {
        match self.ratio {
            Some(ratio) if ratio.log10 >= 0.0 => format!(
                "The verdicts are {ratio} times as likely on it as on the next best listed pairing: {} \
                 (ENFSI scale, 2015).",
                ratio.verbal().words()
            ),
            Some(_) => "The verdicts alone favour another pairing.".to_owned(),
            None => "No other listed pairing fits the facts.".to_owned(),
        }
    }

    /// Why a leaning outcome is not settled.
    fn shortfall(&self, set: &ReferenceSet, pairing: usize) -> Vec<String> {
        let mut sentences = Vec::new();
        let others: Vec<usize> = self.pairings_in().filter(|&index| index != pairing).collect();
        if !others.is_empty() && others.len() <= MOST_NAMES {
            let names = others.iter().map(|&index| pairing_words(set, index));
            sentences.push(format!("Not ruled out: {}.", listed(names.collect(), "and")));
        } else if !others.is_empty() {
            sentences.push(format!(
                "{} other listed pairings are not ruled out.",
                others.len()
            ));
        } else if self.ratio.is_some_and(|ratio| ratio.log10 < SETTLED_AT.log10()) {
            sentences.push(format!(
                "It alone fits; settled asks for a ratio of {SETTLED_AT} or more."
            ));
            sentences.extend(self.hanging_on_one(set, pairing));
        }
        for side in sides_checked(set, [&self.obverse, &self.reverse], pairing).unchecked {
            sentences.push(format!(
                "No verdict speaks for its {} die yet: it follows from the set's list alone.",
                side.word()
            ));
        }
        sentences
    }

    /// The one feature on which the lead over the next best pairing hangs, where it is a single one.
    fn hanging_on_one(&self, set: &ReferenceSet, pairing: usize) -> Option<String> {
        let next = likeliest_other(&self.pairings, pairing)?;
        let (best, other) = (set.pairings.get(pairing)?, set.pairings.get(next)?);
        let mut telling = self.judged.iter().filter(|(side, feature)| {
            let reference = set.side(*side);
            let shows = |pairing: &Pairing| {
                let die = match side {
                    Side::Obverse => reference.die(&pairing.obverse),
                    Side::Reverse => reference.die(&pairing.reverse),
                };
                die.and_then(|die| die.shows.get(feature))
            };
            shows(best) != shows(other)
        });
        match (telling.next(), telling.next()) {
            (Some((side, feature)), None) => Some(format!(
                "From {} one look alone tells it: {} Look again, best on another photo.",
                other.catalogue,
                question(set, *side, feature)
            )),
            _ => None,
        }
    }

    /// What to look at next.
    fn advice(&self, set: &ReferenceSet) -> String {
        match self.next.first() {
            Some(next) => {
                format!(
                    "Look next at the {}: {}",
                    next.side.word(),
                    question(set, next.side, &next.feature)
                )
            }
            None => "No feature left to judge would tell more.".to_owned(),
        }
    }

    fn rechecks(&self, set: &ReferenceSet) -> Vec<String> {
        if self.recheck.is_empty() {
            return vec!["No single misreading explains it.".to_owned()];
        }
        self.recheck
            .iter()
            .take(MOST_NAMES)
            .map(|recheck| recheck.sentence(set))
            .collect()
    }
}

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

fn rarity(set: &ReferenceSet, pairing: usize) -> Option<String> {
    let id = set.pairings.get(pairing)?.rarity.as_ref()?;
    let meaning = set
        .rarity_band(id)
        .map_or("not explained in the set", |band| band.meaning.trim());
    Some(format!("Rarity {id}: {}.", meaning.trim_end_matches('.')))
}

/// A feature's question, closed by a mark.
fn question(set: &ReferenceSet, side: Side, feature: &FeatureId) -> String {
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

fn state_words(set: &ReferenceSet, side: Side, feature: &FeatureId, state: &StateId) -> String {
    let known = set
        .side(side)
        .feature(feature)
        .and_then(|feature| feature.state(state));
    let words = known
        .map(|state| state.words.trim())
        .filter(|words| !words.is_empty());
    format!("\u{201c}{}\u{201d}", words.unwrap_or(state.as_str()))
}

fn fact_name(fact: &FactId) -> String {
    fact.as_str().replace(['_', '-'], " ")
}

fn choice_words(set: &ReferenceSet, fact: &FactId, value: &str) -> String {
    let question = set.facts.iter().find(|question| &question.id == fact);
    let choice = question.and_then(|q| q.choices.iter().find(|choice| choice.value == value));
    match choice {
        Some(choice) if !choice.words.trim().is_empty() => choice.words.trim().to_owned(),
        _ => value.to_owned(),
    }
}

fn any_of(names: impl Iterator<Item = String>) -> String {
    let names: Vec<String> = names.collect();
    let more = names.len().saturating_sub(MOST_NAMES);
    if more > 0 {
        return format!("{} or {more} more", names[..MOST_NAMES].join(", "));
    }
    listed(names, "or")
}

fn listed(mut names: Vec<String>, word: &str) -> String {
    let last = names.pop().unwrap_or_default();
    if names.is_empty() {
        last
    } else {
        format!("{} {word} {last}", names.join(", "))
    }
}
