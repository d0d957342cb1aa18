//! The standing: what the facts and verdicts leave of the dies and pairings, and the outcome.

use std::collections::BTreeMap;

use super::next::{next_features, remaining_features};
use super::observation::{Observation, observations};
use super::outcome::{Outcome, decide};
use super::weigh::{Weighed, weigh};
use super::{Cause, Caution, LikelihoodRatio, NextFeature, Recheck};
use super::{caution::cautions, recheck::rechecks};
use crate::reference::{DieId, FactId, FeatureId, ReferenceSet, Side};
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

impl DieStanding {
    /// Whether nothing contradicts it.
    #[must_use]
    pub fn is_in(&self) -> bool {
        self.out.is_empty()
    }
}

/// What is left of a pairing.
#[derive(Debug, Clone, PartialEq)]
pub struct PairingStanding {
    /// Its place in the set's list of pairings.
    pub index: usize,
    /// log10 of the likelihood of all verdicts if the coin is of this pairing; facts are not in it.
    pub log10_likelihood: f64,
    /// Its probability among the listed pairings: 0 where a fact excludes it. They sum to 1, unless the facts exclude
    /// all.
    pub probability: f64,
    /// Why it is out; empty while it is in.
    pub out: Vec<Cause>,
}

impl PairingStanding {
    /// Whether nothing contradicts it.
    #[must_use]
    pub fn is_in(&self) -> bool {
        self.out.is_empty()
    }

    /// Whether the facts leave it.
    #[must_use]
    pub fn fits_facts(&self) -> bool {
        !self.out.iter().any(|cause| matches!(cause, Cause::Fact { .. }))
    }
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
    /// The likelihood ratio of the most probable pairing against the likeliest other that fits the facts, by the
    /// verdicts alone; none where the facts leave fewer than two.
    pub ratio: Option<LikelihoodRatio>,
    /// The features that would tell most, best first. Features already judged are not among them.
    pub next: Vec<NextFeature>,
    /// The features with verdicts that tell something, obverse first, in the set's order.
    pub judged: Vec<(Side, FeatureId)>,
    /// Whether any feature not yet judged could still tell the pairings that are in apart.
    pub can_still_tell: bool,
    /// Where no pairing is in, or the likeliest is out: the features and facts each of which, if its reading were
    /// wrong, would let a listed pairing in that is likelier than those that are in; the likeliest slip first.
    pub recheck: Vec<Recheck>,
    /// What excludes nothing and must be known.
    pub cautions: Vec<Caution>,
}

impl Standing {
    /// The dies of a side, in the set's order.
    #[must_use]
    pub fn side(&self, side: Side) -> &[DieStanding] {
        match side {
            Side::Obverse => &self.obverse,
            Side::Reverse => &self.reverse,
        }
    }

    /// The pairings that are in, by place in the set's list.
    pub fn pairings_in(&self) -> impl Iterator<Item = usize> {
        self.pairings
            .iter()
            .filter(|pairing| pairing.is_in())
            .map(|pairing| pairing.index)
    }
}

/// Weighs facts and verdicts.
///
/// Facts are taken as read: a pairing not known with them is out. Verdicts are weighed by the features' reliability:
/// each pairing's likelihood is the product over the features of both sides of what `observation.rs` describes. A die
/// is shown as out from the first verdict that contradicts it, though the weighing keeps the chance that the verdict
/// is wrong. Verdicts on parts that the set does not have are left out and named among the cautions.
#[must_use]
pub fn standing(
    set: &ReferenceSet,
    facts: &BTreeMap<FactId, FactAnswer>,
    weight_g: Option<f64>,
    verdicts: &[Verdict],
    prior: Prior,
) -> Standing {
    let observed = Observed {
        obverse: observations(Side::Obverse, &set.obverse, verdicts),
        reverse: observations(Side::Reverse, &set.reverse, verdicts),
    };
    let Weighed {
        obverse,
        reverse,
        pairings,
    } = weigh(set, facts, &observed, prior);
    let ratio = best_against_next(&pairings);
    let can_still_tell = !remaining_features(set, &observed, &pairings).is_empty();
    let outcome = decide(
        set,
        [&obverse, &reverse],
        &pairings,
        &observed,
        ratio,
        can_still_tell,
    );
    let recheck = rechecks(set, facts, &observed, &pairings);
    Standing {
        next: next_features(set, &observed, &pairings),
        judged: judged(set, &observed),
        cautions: cautions(set, facts, weight_g, verdicts, &observed),
        obverse,
        reverse,
        pairings,
        outcome,
        ratio,
        can_still_tell,
        recheck,
    }
}

fn judged(set: &ReferenceSet, observed: &Observed) -> Vec<(Side, FeatureId)> {
    Side::BOTH
        .into_iter()
        .flat_map(|side| {
            let features = set.side(side).features.iter().zip(observed.side(side));
            features
                .filter(|(_, seen)| seen.informative())
                .map(move |(feature, _)| (side, feature.id.clone()))
        })
        .collect()
}

/// The observations of both sides, in the order of the features.
pub(super) struct Observed {
    pub(super) obverse: Vec<Observation>,
    pub(super) reverse: Vec<Observation>,
}

impl Observed {
    pub(super) fn side(&self, side: Side) -> &[Observation] {
        match side {
            Side::Obverse => &self.obverse,
            Side::Reverse => &self.reverse,
        }
    }
}

/// The most probable pairing of those that fit the facts; the first in the set's order among equals.
pub(super) fn most_probable(pairings: &[PairingStanding]) -> Option<&PairingStanding> {
    let fitting = pairings.iter().filter(|pairing| pairing.fits_facts());
    fitting.reduce(|best, other| {
        if other.probability > best.probability {
            other
        } else {
            best
        }
    })
}

/// The likeliest pairing by the verdicts, of those that fit the facts, beside one of them.
pub(crate) fn likeliest_other(pairings: &[PairingStanding], than: usize) -> Option<usize> {
    pairings
        .iter()
        .filter(|pairing| pairing.fits_facts() && pairing.index != than)
        .reduce(|best, other| {
            if other.log10_likelihood > best.log10_likelihood {
                other
            } else {
                best
            }
        })
        .map(|pairing| pairing.index)
}

fn best_against_next(pairings: &[PairingStanding]) -> Option<LikelihoodRatio> {
    let best = most_probable(pairings)?;
    let next = likeliest_other(pairings, best.index)?;
    Some(LikelihoodRatio {
        log10: best.log10_likelihood - pairings[next].log10_likelihood,
    })
}
