//! The standing: what the facts and verdicts leave of the dies and pairings, and the outcome.

use std::collections::BTreeMap;

use super::LikelihoodRatio;
use crate::reference::{DieId, FactId, FeatureId, ReferenceSet, Side, StateId};
use crate::specimen::{FactAnswer, Verdict};

/// The weight of pairings before any verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Prior {
    /// All listed pairings alike.
    #[default]
    Equal,
    /// By the set author's estimate of how many exist; a pairing without one counts as the least of the others.
    EstimatedKnown,
}

/// Why a die or pairing is out, or which it would have to explain away. `sentence` gives it in words.
#[derive(Debug, Clone, PartialEq)]
pub enum Cause {
    /// A fact of the coin is not one that the pairing is known with.
    Fact {
        /// The fact.
        fact: FactId,
        /// The values that the pairing is known with.
        known_with: Vec<String>,
        /// What the coin shows.
        coin: FactAnswer,
    },
    /// The coin agrees with a state that the die does not show.
    ShowsOther {
        /// The side.
        side: Side,
        /// The feature.
        feature: FeatureId,
        /// The state the coin shows.
        coin: StateId,
        /// The state the die shows.
        die: StateId,
    },
    /// The coin differs from the state that the die shows.
    Differs {
        /// The side.
        side: Side,
        /// The feature.
        feature: FeatureId,
        /// The state the die shows.
        die: StateId,
    },
    /// The pairing's die of that side is out.
    DieOut {
        /// The side.
        side: Side,
        /// The die.
        die: DieId,
    },
}

impl Cause {
    /// The cause as one plain sentence, in the set's own words.
    #[must_use]
    pub fn sentence(&self, set: &ReferenceSet) -> String {
        let _ = set;
        unimplemented!()
    }
}

/// What is left of a die.
#[derive(Debug, Clone, PartialEq)]
pub struct DieStanding {
    /// The die.
    pub die: DieId,
    /// log10 of the likelihood of the side's verdicts if this die struck it.
    pub log10_likelihood: f64,
    /// Its probability on this side, with all listed dies of the side alike before the verdicts.
    pub probability: f64,
    /// How many verdicts speak for it (an agreeing one on its state, or a differing one on another).
    pub supporting: usize,
    /// Why it is out; empty while it is in.
    pub out: Vec<Cause>,
}

/// What is left of a pairing.
#[derive(Debug, Clone, PartialEq)]
pub struct PairingStanding {
    /// Its place in the set's list of pairings.
    pub index: usize,
    /// Its probability among the listed pairings.
    pub probability: f64,
    /// Why it is out; empty while it is in.
    pub out: Vec<Cause>,
}

/// What the evidence amounts to.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// One listed pairing is left and the evidence for it is strong.
    Settled {
        /// Its place in the set's list.
        pairing: usize,
    },
    /// One listed pairing is ahead, others are not ruled out or the evidence is not strong.
    Leaning {
        /// Its place in the set's list.
        pairing: usize,
    },
    /// Nothing tells yet.
    Open,
    /// No listed die of this side, or no pairing, fits all verdicts and facts: recheck, or an unlisted die.
    Contradicted {
        /// The sides on which no die is left; empty where only facts contradict.
        sides: Vec<Side>,
    },
    /// Both dies are told and the set lists no such pairing.
    Unlisted {
        /// The obverse die.
        obverse: DieId,
        /// The reverse die.
        reverse: DieId,
    },
    /// Every feature that could still tell was judged and could not be told: too worn or too poor a photo.
    BeyondTelling {
        /// The pairings that remain possible.
        possible: Vec<usize>,
    },
}

/// A feature not yet judged and what it would tell.
#[derive(Debug, Clone, PartialEq)]
pub struct NextFeature {
    /// The side.
    pub side: Side,
    /// The feature.
    pub feature: FeatureId,
    /// The expected information gain over the listed pairings, in bits.
    pub gain_bits: f64,
}

/// What facts and verdicts leave.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The obverse dies, in the set's order.
    pub obverse: Vec<DieStanding>,
    /// The reverse dies, in the set's order.
    pub reverse: Vec<DieStanding>,
    /// The pairings, in the set's order.
    pub pairings: Vec<PairingStanding>,
    /// What it amounts to.
    pub outcome: Outcome,
    /// The likelihood ratio of the best pairing against the next best; none where there are fewer than two.
    pub ratio: Option<LikelihoodRatio>,
    /// The features that would tell most, best first.
    pub next: Vec<NextFeature>,
}

/// Weighs facts and verdicts.
#[must_use]
pub fn standing(
    set: &ReferenceSet,
    facts: &BTreeMap<FactId, FactAnswer>,
    weight_g: Option<f64>,
    verdicts: &[Verdict],
    prior: Prior,
) -> Standing {
    let _ = (set, facts, weight_g, verdicts, prior);
    unimplemented!()
}
