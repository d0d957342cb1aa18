//! The evidence: outcomes, exclusions, cautions and what to look at again.

use super::numbers::percent;
use super::set::{choice, fact_name, pairing_words, question, state_words};
use crate::evidence::{
    Cause, Caution, Hinge, OpenWorld, Outcome, OutcomeKind, Prior, Recheck, SETTLED_AT, Standing,
    VALIDATED_LOG10, Wanting,
};
use crate::reference::{DieId, FeatureId, ReferenceSet, Side};
use crate::specimen::FactAnswer;

/// What must stand beside every outcome.
pub const OPINION: &str = "An attribution is an opinion from photographs, not an authentication.";

/// How the pairings were weighed before facts and verdicts, as a sentence.
#[must_use]
pub fn prior_sentence(prior: Prior) -> &'static str {
    match prior {
        Prior::Equal => "All listed pairings counted alike before the facts and verdicts.",
        Prior::EstimatedKnown => {
            "Before the facts and verdicts the pairings were weighed by the set author\u{2019}s estimate of how many \
             specimens exist."
        }
    }
}

/// What is left for all that the set does not list, as a sentence.
#[must_use]
pub fn open_world_sentence(open_world: &OpenWorld) -> String {
    format!(
        "Not in the set\u{2019}s list: another pairing of its dies {}, another obverse die {}, another reverse die {}, both \
         dies {}.",
        percent(open_world.pairing),
        percent(open_world.obverse_die),
        percent(open_world.reverse_die),
        percent(open_world.both_dies)
    )
}

/// The names of dies of which it may be any.
#[must_use]
pub fn die_names(dies: &[DieId]) -> String {
    any_of(dies.iter())
}

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
                any_of(known_with.iter().map(|value| choice(set, fact, value))),
                match coin {
                    FactAnswer::Is(value) => choice(set, fact, value),
                    FactAnswer::OneOf(values) => any_of(values.iter().map(|value| choice(set, fact, value))),
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
        match self {
            Recheck::Feature {
                side,
                feature,
                restores,
                dies,
            } => {
                let what = match (restores.as_slice(), dies.as_slice()) {
                    ([], []) => "it speaks against the likeliest pairing.".to_owned(),
                    ([], dies) => {
                        format!(
                            "if that was misread, {} die {} fits.",
                            side.word(),
                            die_names(dies)
                        )
                    }
                    (restores, _) => format!("if that was misread, {} fits.", any_pairing(set, restores)),
                };
                format!(
                    "Look again at the {} feature \u{201c}{}\u{201d}: {what}",
                    side.word(),
                    question(set, *side, feature)
                )
            }
            Recheck::Fact { fact, restores } => {
                format!(
                    "Read the {} again: if it was misread, {} fits.",
                    fact_name(fact),
                    any_pairing(set, restores)
                )
            }
        }
    }
}

fn any_pairing(set: &ReferenceSet, pairings: &[usize]) -> String {
    any_of(pairings.iter().map(|&index| pairing_words(set, index)))
}

impl Hinge {
    /// What hangs on one look, as plain sentences.
    #[must_use]
    pub fn sentence(&self, set: &ReferenceSet) -> String {
        format!(
            "From {} die {} one look alone tells it: {} Look again, best on another photo.",
            self.side.word(),
            die_names(&self.others),
            question(set, self.side, &self.feature)
        )
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
                format!(
                    "Unlisted pairing: obverse {} with reverse {}",
                    die_names(obverse),
                    die_names(reverse)
                )
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

    /// What an outcome of this kind means, as a sentence.
    #[must_use]
    pub fn meaning(&self, set: &ReferenceSet) -> String {
        match self {
            Outcome::Settled { .. } => {
                "One listed pairing is left, and all else, listed or not, is far behind.".to_owned()
            }
            Outcome::Leaning { .. } => {
                "One listed pairing is ahead; other pairings or dies, listed or not, are not ruled out, or a verdict \
                 speaks against it."
                    .to_owned()
            }
            Outcome::Open => "The facts and verdicts so far do not tell the pairings apart.".to_owned(),
            Outcome::Contradicted { sides } => match sides.as_slice() {
                [] => {
                    "The dies that fit the verdicts are listed together, but not with these facts: recheck them."
                        .to_owned()
                }
                [side] => format!(
                    "No listed {} die fits the verdicts, nor does a slip explain them: recheck them, or the die is unlisted.",
                    side.word()
                ),
                _ => {
                    "No listed die of either side fits the verdicts: recheck them, or the dies are unlisted."
                        .to_owned()
                }
            },
            Outcome::Unlisted { .. } => {
                "Dies of each side fit the verdicts, and the set lists none of them together.".to_owned()
            }
            Outcome::BeyondTelling { possible } => {
                let names: Vec<&str> = possible
                    .iter()
                    .filter_map(|&index| set.pairings.get(index))
                    .map(|pairing| pairing.catalogue.as_str())
                    .collect();
                let left = if names.is_empty() {
                    "no listed pairing can be named".to_owned()
                } else {
                    format!("these remain possible: {}", names.join(", "))
                };
                format!(
                    "Every feature that could still tell was judged and could not be told on this coin or photo; \
                     {left}."
                )
            }
        }
    }
}

impl OutcomeKind {
    /// The kind in one word or two, as a title.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            OutcomeKind::Settled => "Settled",
            OutcomeKind::Leaning => "Leaning",
            OutcomeKind::Open => "Open",
            OutcomeKind::Contradicted => "Contradicted",
            OutcomeKind::Unlisted => "Unlisted pairing",
            OutcomeKind::BeyondTelling => "Beyond telling",
        }
    }
}

/// Why something is excluded, a sentence a cause, on a sheet where each feature has a label: it is named by that, since
/// its question stands beside it. That the coin differs from a die's state is left out where it is said to show another
/// one.
#[must_use]
pub fn exclusions<'a>(
    set: &ReferenceSet,
    causes: &'a [Cause],
    label: impl Fn(Side, &'a FeatureId) -> &'a str,
) -> Vec<String> {
    let shows_other = |s: Side, f: &FeatureId| {
        causes.iter().any(
            |cause| matches!(cause, Cause::ShowsOther { side, feature, .. } if *side == s && feature == f),
        )
    };
    causes
        .iter()
        .filter_map(|cause| match cause {
            Cause::Differs { side, feature, .. } if shows_other(*side, feature) => None,
            Cause::Differs { side, feature, die } => Some(format!(
                "Feature {}: the coin differs from {}, which this die shows.",
                label(*side, feature),
                state_words(set, *side, feature, die)
            )),
            Cause::ShowsOther {
                side,
                feature,
                coin,
                die,
            } => Some(format!(
                "Feature {}: the coin shows {}, this die {}.",
                label(*side, feature),
                state_words(set, *side, feature, coin),
                state_words(set, *side, feature, die)
            )),
            Cause::Fact { .. } | Cause::DieOut { .. } => Some(cause.sentence(set)),
        })
        .collect()
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
                sentences.push(open_world_sentence(&self.open_world));
                sentences.extend(self.hinges.iter().map(|hinge| hinge.sentence(set)));
                sentences.extend(rarity(set, *pairing));
            }
            Outcome::Leaning { pairing } => {
                sentences.push(self.support());
                for wanting in &self.wanting {
                    sentences.push(self.wanting_sentence(set, wanting));
                    if *wanting == Wanting::Contradicted {
                        sentences.extend(self.rechecks(set));
                    }
                }
                sentences.extend(self.hinges.iter().map(|hinge| hinge.sentence(set)));
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
                    "The dies that fit are listed together, but not with these facts.".to_owned()
                } else {
                    "Verdicts were misread, or an unlisted die struck the coin.".to_owned()
                });
                sentences.push(open_world_sentence(&self.open_world));
                sentences.extend(self.rechecks(set));
            }
            Outcome::Unlisted { .. } => {
                sentences.push("Dies of each side fit; the set does not list them together.".to_owned());
                sentences.push(open_world_sentence(&self.open_world));
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
        let is_bounded = self.ratio.is_some_and(|ratio| ratio.log10 >= VALIDATED_LOG10);
        let at_least = if is_bounded { "at least " } else { "" };
        match self.ratio {
            Some(ratio) if ratio.log10 >= 0.0 => format!(
                "The verdicts are {at_least}{ratio} times as likely on it as on the next best listed pairing: {} \
                 (ENFSI scale, 2015).",
                ratio.verbal().words()
            ),
            Some(_) => "The verdicts alone favour another pairing.".to_owned(),
            None => "No other listed pairing fits the facts.".to_owned(),
        }
    }

    /// What keeps a leaning outcome from being settled.
    fn wanting_sentence(&self, set: &ReferenceSet, wanting: &Wanting) -> String {
        match wanting {
            Wanting::OthersIn { pairings } if pairings.len() <= MOST_NAMES => {
                let names = pairings.iter().map(|&index| pairing_words(set, index));
                format!("Not ruled out: {}.", listed(names.collect(), "and"))
            }
            Wanting::OthersIn { pairings } => {
                format!("{} other listed pairings are not ruled out.", pairings.len())
            }
            Wanting::Contradicted => "A verdict speaks against it, likelier by a slip than by an unlisted die; settled \
                 asks that none does. Look again until two looks in a row agree; if that changes a verdict, look again \
                 at the others of that side too."
                .to_owned(),
            Wanting::Ratio => format!("Settled asks for a ratio of {SETTLED_AT} or more."),
            Wanting::NoVerdict { side } => format!(
                "No verdict speaks for its {} die yet: it follows from the set's list alone.",
                side.word()
            ),
            Wanting::DieNotTold { side, others } => format!(
                "No clear look tells its {} die from {}: the coin may be of a pairing that the set does not list.",
                side.word(),
                die_names(others)
            ),
            Wanting::UnlistedPairing => format!(
                "A pairing that the set does not list keeps {}; settled asks that it is {SETTLED_AT} times less \
                 probable.",
                percent(self.open_world.pairing)
            ),
            Wanting::UnlistedDie { side } => format!(
                "Another {} die, not in the set and different only where nothing was told, keeps {}; settled \
                 asks that it is {SETTLED_AT} times less probable.",
                side.word(),
                percent(match side {
                    Side::Obverse => self.open_world.obverse_die,
                    Side::Reverse => self.open_world.reverse_die,
                })
            ),
        }
    }

    /// What to look at next.
    fn advice(&self, set: &ReferenceSet) -> String {
        let telling = self.next.first().map(|next| (next.side, &next.feature));
        let confirming = self.unconfirmed.first().map(|(side, feature)| (*side, feature));
        match telling.or(confirming) {
            Some((side, feature)) => {
                format!(
                    "Look next at the {}: {}",
                    side.word(),
                    question(set, side, feature)
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

fn rarity(set: &ReferenceSet, pairing: usize) -> Option<String> {
    let id = set.pairings.get(pairing)?.rarity.as_ref()?;
    let meaning = set
        .rarity_band(id)
        .map_or("not explained in the set", |band| band.meaning.trim());
    Some(format!("Rarity {id}: {}.", meaning.trim_end_matches('.')))
}

fn any_of(names: impl Iterator<Item = impl ToString>) -> String {
    let names: Vec<String> = names.map(|name| name.to_string()).collect();
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
