//! The standing: what the facts and verdicts leave of the dies and pairings, and the outcome.

use std::collections::BTreeMap;

use super::dies::{WeighedSide, weigh_side};
use super::hinge::{Hinge, hinges};
use super::next::{next_features, remaining_features, unconfirmed};
use super::observation::{Observation, observations};
use super::outcome::{Outcome, decide};
use super::pairings::{PairingDies, weigh_pairings};
use super::shown::ShownStates;
use super::validated::validated;
use super::wanting::{Wanting, wanting};
use super::{Cause, Caution, LikelihoodRatio, NextFeature, Recheck};
use super::{caution::cautions, recheck::rechecks};
use crate::reference::{DieId, FactId, FeatureId, ReferenceSet, Side, Sides, UnlistedShares};
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
    /// Its probability by this side's verdicts alone, with all listed dies of the side alike before them. With the
    /// share of an unlisted die, [`OpenWorld::side`], they sum to 1.
    pub probability: f64,
    /// How many verdicts speak for it (an agreeing one on its state, or a differing one on another).
    pub supporting: usize,
    /// Why it is excluded; empty while it is in.
    pub out: Vec<Cause>,
    /// What speaks against it although it is in: no die of the side fits all verdicts, and on this one a slip is
    /// likelier than an unlisted die.
    pub doubts: Vec<Cause>,
}

impl DieStanding {
    /// Whether it is not excluded.
    #[must_use]
    pub fn is_in(&self) -> bool {
        self.out.is_empty()
    }
}

/// What is left of a pairing.
#[derive(Debug, Clone, PartialEq)]
pub struct PairingStanding {
    /// Its index in the set's list of pairings.
    pub index: usize,
    /// log10 of the likelihood of all verdicts if the coin is of this pairing; facts are not in it.
    pub log10_likelihood: f64,
    /// Its probability: 0 where a fact excludes it. With the four shares of [`OpenWorld`] they sum to 1.
    pub probability: f64,
    /// Why it is excluded; empty while it is in.
    pub out: Vec<Cause>,
}

impl PairingStanding {
    /// Whether it is not excluded.
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

/// The probabilities of what the set does not list. With those of the listed pairings they sum to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenWorld {
    /// Two listed dies that the set does not list together.
    pub pairing: f64,
    /// An unlisted obverse die with a listed reverse die.
    pub obverse_die: f64,
    /// A listed obverse die with an unlisted reverse die.
    pub reverse_die: f64,
    /// Two unlisted dies.
    pub both_dies: f64,
    /// An unlisted die by the verdicts of one side alone.
    pub side: Sides<f64>,
}

impl OpenWorld {
    /// That the coin is of anything that the set does not list.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.pairing + self.obverse_die + self.reverse_die + self.both_dies
    }

    /// That of the most probable kind of it.
    #[must_use]
    pub fn greatest(&self) -> f64 {
        let one = self.obverse_die.max(self.reverse_die).max(self.both_dies);
        one.max(self.pairing)
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
    /// What the set does not list.
    pub open_world: OpenWorld,
    /// What it amounts to.
    pub outcome: Outcome,
    /// What keeps the most probable pairing from being settled.
    pub wanting: Vec<Wanting>,
    /// The likelihood ratio of the most probable pairing against the likeliest other listed one that fits the facts, by
    /// the verdicts alone, and never beyond what has been validated; none where the facts leave fewer than two.
    pub ratio: Option<LikelihoodRatio>,
    /// The features that would tell most, best first. Features already judged are not among them.
    pub next: Vec<NextFeature>,
    /// The features not yet judged that the dies of the most probable pairing show, the most reliable first: they would
    /// betray an unlisted die.
    pub unconfirmed: Vec<(Side, FeatureId)>,
    /// The single looks on which the dies of the most probable pairing hang.
    pub hinges: Vec<Hinge>,
    /// The features with verdicts that tell something, obverse first, in the set's order.
    pub judged: Vec<(Side, FeatureId)>,
    /// Whether any feature not yet judged could still tell the pairings that are in apart.
    pub can_still_tell: bool,
    /// The features and facts each of which, if its reading were wrong, would let in a pairing, listed or not, that is
    /// likelier than those that fit all readings; the likeliest slip first.
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

    /// The pairings that are in, by index in the set's list.
    pub fn pairings_in(&self) -> impl Iterator<Item = usize> {
        self.pairings
            .iter()
            .filter(|pairing| pairing.is_in())
            .map(|pairing| pairing.index)
    }
}

/// Weighs facts and verdicts.
///
/// Facts are taken as read: a pairing not known with them is out. Verdicts are weighed by the features' reliability,
/// on each side by itself; a pairing's likelihood is the product of its dies'. What the set does not list keeps the
/// shares that it states. A die is shown as out from the first verdict that contradicts it while another fits all
/// verdicts, though the weighing keeps the chance that the verdict is wrong. Verdicts on parts that the set does not
/// have are left out and named among the cautions.
#[must_use]
pub fn standing(
    set: &ReferenceSet,
    facts: &BTreeMap<FactId, FactAnswer>,
    weight_g: Option<f64>,
    verdicts: &[Verdict],
    prior: Prior,
) -> Standing {
    let observed = Sides::each(|side| observations(side, set.side(side), verdicts));
    let shown = Sides::each(|side| ShownStates::of(set.side(side)));
    let shares = shares_in_use(set, &shown);
    let sides = Sides::each(|side| {
        let share = match side {
            Side::Obverse => shares.obverse_die,
            Side::Reverse => shares.reverse_die,
        };
        weigh_side(side, set.side(side), &shown[side], &observed[side], share)
    });
    let weighing = Weighing {
        set,
        facts,
        dies: PairingDies::of(set, &shown),
        observed,
        shown,
        sides,
        shares,
    };
    let weighed = weigh_pairings(set, facts, &weighing.dies, &weighing.sides, shares, prior);
    let (pairings, open_world) = (weighed.pairings, weighed.open_world);
    let ratio = best_against_next(&pairings);
    let can_still_tell = !remaining_features(&weighing, &pairings).is_empty();
    let wanting = most_probable(&pairings)
        .map(|best| wanting(&weighing, &pairings, best, &open_world, ratio))
        .unwrap_or_default();
    let outcome = decide(&weighing, &pairings, &open_world, ratio, &wanting, can_still_tell);
    Standing {
        recheck: rechecks(&weighing, &pairings),
        next: next_features(&weighing, &pairings),
        unconfirmed: unconfirmed(&weighing, &pairings),
        hinges: hinges(&weighing, &pairings),
        judged: judged(set, &weighing.observed),
        cautions: cautions(set, facts, weight_g, verdicts, &weighing.observed),
        obverse: weighing.sides.obverse.dies,
        reverse: weighing.sides.reverse.dies,
        pairings,
        open_world,
        outcome,
        wanting,
        ratio,
        can_still_tell,
    }
}

/// All that the steps of the weighing share.
pub(super) struct Weighing<'a> {
    pub(super) set: &'a ReferenceSet,
    pub(super) facts: &'a BTreeMap<FactId, FactAnswer>,
    /// The dies of the listed pairings.
    pub(super) dies: Vec<PairingDies>,
    /// The observations, in the order of the features.
    pub(super) observed: Sides<Vec<Observation>>,
    pub(super) shown: Sides<ShownStates<'a>>,
    pub(super) sides: Sides<WeighedSide>,
    pub(super) shares: UnlistedShares,
}

/// The shares of what is not listed. On a side whose dies show nothing that could be told, an unlisted die cannot be
/// told from a listed one and the set's word is taken; nor is there an unlisted pairing where all are listed.
fn shares_in_use(set: &ReferenceSet, shown: &Sides<ShownStates>) -> UnlistedShares {
    let shares = set.unlisted.within_bounds();
    let if_told = |side: Side, share: f64| if shown[side].tells_anything() { share } else { 0.0 };
    UnlistedShares {
        pairing: shares.pairing,
        obverse_die: if_told(Side::Obverse, shares.obverse_die),
        reverse_die: if_told(Side::Reverse, shares.reverse_die),
    }
}

fn judged(set: &ReferenceSet, observed: &Sides<Vec<Observation>>) -> Vec<(Side, FeatureId)> {
    Side::BOTH
        .into_iter()
        .flat_map(|side| {
            let features = set.side(side).features.iter().zip(&observed[side]);
            features
                .filter(|(_, seen)| seen.informative())
                .map(move |(feature, _)| (side, feature.id.clone()))
        })
        .collect()
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
pub(super) fn likeliest_other(pairings: &[PairingStanding], than: usize) -> Option<usize> {
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
    Some(validated(LikelihoodRatio {
        log10: best.log10_likelihood - pairings[next].log10_likelihood,
    }))
}
