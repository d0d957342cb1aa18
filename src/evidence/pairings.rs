//! The pairings: the product of the two sides' dies, in a world that is larger than the set.
//!
//! Before the verdicts the listed pairings that fit the facts share what is left of 1 by the three stated shares: of
//! pairings of listed dies that the set does not list (each alike), and on each side of dies that it does not list. An
//! unlisted die is taken to stand in for the die of a listed pairing, the worst case: the other side and the facts then
//! speak for that pairing. The facts are known for listed pairings only and move nothing between the shares.

use std::collections::{BTreeMap, HashSet};

use super::dies::WeighedSide;
use super::logarithms::{log10_sum, shares_of};
use super::shown::ShownStates;
use super::{Cause, OpenWorld, PairingStanding, Prior};
use crate::reference::{FactId, Pairing, ReferenceSet, Side, Sides, UnlistedShares};
use crate::specimen::FactAnswer;

/// A listed pairing's dies, by index on their sides; none where the set names a die that it does not list.
#[derive(Debug, Clone, Copy)]
pub(super) struct PairingDies {
    pub(super) obverse: Option<usize>,
    pub(super) reverse: Option<usize>,
}

impl PairingDies {
    pub(super) fn of(set: &ReferenceSet, shown: &Sides<ShownStates>) -> Vec<Self> {
        set.pairings
            .iter()
            .map(|pairing| Self {
                obverse: shown.obverse.index(&pairing.obverse),
                reverse: shown.reverse.index(&pairing.reverse),
            })
            .collect()
    }

    pub(super) fn on(self, side: Side) -> Option<usize> {
        match side {
            Side::Obverse => self.obverse,
            Side::Reverse => self.reverse,
        }
    }
}

/// What the pairings and what is not listed come to.
pub(super) struct WeighedPairings {
    pub(super) pairings: Vec<PairingStanding>,
    pub(super) open_world: OpenWorld,
}

pub(super) fn weigh_pairings(
    set: &ReferenceSet,
    facts: &BTreeMap<FactId, FactAnswer>,
    dies: &[PairingDies],
    sides: &Sides<WeighedSide>,
    shares: UnlistedShares,
    prior: Prior,
) -> WeighedPairings {
    let mut pairings: Vec<PairingStanding> = set
        .pairings
        .iter()
        .zip(dies)
        .enumerate()
        .map(|(index, (pairing, dies))| PairingStanding {
            index,
            log10_likelihood: Side::BOTH
                .into_iter()
                .map(|side| die_log10(&sides[side], dies.on(side)))
                .sum(),
            probability: 0.0,
            out: causes(pairing, *dies, facts, sides),
        })
        .collect();
    let fitting: Vec<bool> = pairings.iter().map(PairingStanding::fits_facts).collect();
    let weights = weights_of(&prior_weights(&set.pairings, prior), &fitting);
    let listed = 1.0 - shares.pairing - shares.obverse_die - shares.reverse_die;
    let scores = pairings.iter().map(|pairing| {
        if fitting[pairing.index] {
            (listed * weights[pairing.index]).log10() + pairing.log10_likelihood
        } else {
            f64::NEG_INFINITY
        }
    });
    let mut scores: Vec<f64> = scores.collect();
    scores.extend(unlisted_scores(dies, &weights, sides, shares));
    let probabilities = shares_of(&scores);
    for (pairing, probability) in pairings.iter_mut().zip(&probabilities) {
        pairing.probability = *probability;
    }
    let unlisted = |place: usize| probabilities[pairings.len() + place];
    let open_world = OpenWorld {
        pairing: unlisted(0),
        obverse_die: unlisted(1),
        reverse_die: unlisted(2),
        both_dies: unlisted(3),
        side: Sides::each(|side| sides[side].unlisted),
    };
    WeighedPairings { pairings, open_world }
}

fn die_log10(side: &WeighedSide, die: Option<usize>) -> f64 {
    die.map_or(side.silent_log10, |die| side.dies[die].log10_likelihood)
}

/// The scores of an unlisted pairing, an unlisted obverse die, an unlisted reverse die and two unlisted dies.
fn unlisted_scores(
    dies: &[PairingDies],
    weights: &[f64],
    sides: &Sides<WeighedSide>,
    shares: UnlistedShares,
) -> [f64; 4] {
    // For each pairing, its own dies, and unlisted ones in their place.
    let listed = |side: Side, pair: &PairingDies| die_log10(&sides[side], pair.on(side));
    let unlisted = |side: Side, pair: &PairingDies| {
        let near = pair
            .on(side)
            .map_or(sides[side].silent_log10, |die| sides[side].near_log10[die]);
        sides[side].unlisted_log10(near)
    };
    let total = |of: &dyn Fn(&PairingDies) -> f64| {
        log10_sum(
            dies.iter()
                .zip(weights)
                .map(|(pair, weight)| weight.log10() + of(pair)),
        )
    };
    let (o, r) = (Side::Obverse, Side::Reverse);
    [
        shares.pairing.log10() + unlisted_pairings_log10(dies, sides),
        shares.obverse_die.log10() + total(&|pair| unlisted(o, pair) + listed(r, pair)),
        shares.reverse_die.log10() + total(&|pair| listed(o, pair) + unlisted(r, pair)),
        (shares.obverse_die * shares.reverse_die).log10()
            + total(&|pair| unlisted(o, pair) + unlisted(r, pair)),
    ]
}

/// The mean likelihood of the pairings of listed dies that the set does not list, as a logarithm: the sum over all
/// pairings, which is a product, less that over the listed ones.
fn unlisted_pairings_log10(dies: &[PairingDies], sides: &Sides<WeighedSide>) -> f64 {
    let likelihoods = Side::BOTH.map(|side| {
        let log10s: Vec<f64> = sides[side].dies.iter().map(|die| die.log10_likelihood).collect();
        let greatest = log10s.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let scaled: Vec<f64> = log10s.iter().map(|log10| 10f64.powf(log10 - greatest)).collect();
        (greatest, scaled)
    });
    let [(greatest_o, obverse), (greatest_r, reverse)] = likelihoods;
    let listed: HashSet<(usize, usize)> = dies
        .iter()
        .filter_map(|pair| Some((pair.obverse?, pair.reverse?)))
        .collect();
    let count = obverse.len() * reverse.len() - listed.len();
    if count == 0 {
        return f64::NEG_INFINITY;
    }
    let all = obverse.iter().sum::<f64>() * reverse.iter().sum::<f64>();
    // In the list's order, so that sums do not depend on a hash.
    let mut counted = HashSet::new();
    let of_listed: f64 = dies
        .iter()
        .filter_map(|pair| Some((pair.obverse?, pair.reverse?)))
        .filter(|pair| counted.insert(*pair))
        .map(|(o, r)| obverse[o] * reverse[r])
        .sum();
    greatest_o + greatest_r + ((all - of_listed).max(0.0) / count as f64).log10()
}

fn causes(
    pairing: &Pairing,
    dies: PairingDies,
    facts: &BTreeMap<FactId, FactAnswer>,
    sides: &Sides<WeighedSide>,
) -> Vec<Cause> {
    let mut causes = fact_causes(pairing, facts);
    for (side, id) in [
        (Side::Obverse, &pairing.obverse),
        (Side::Reverse, &pairing.reverse),
    ] {
        if dies.on(side).is_some_and(|die| !sides[side].dies[die].is_in()) {
            causes.push(Cause::DieOut {
                side,
                die: id.clone(),
            });
        }
    }
    causes
}

/// The facts that exclude a pairing. An empty list of values says nothing.
pub(super) fn fact_causes(pairing: &Pairing, facts: &BTreeMap<FactId, FactAnswer>) -> Vec<Cause> {
    let known = pairing.facts.iter().filter(|(_, values)| !values.is_empty());
    known
        .filter_map(|(fact, known_with)| {
            let coin = facts.get(fact)?;
            let fits = match coin {
                FactAnswer::Is(value) => known_with.contains(value),
                FactAnswer::OneOf(values) => {
                    values.is_empty() || values.iter().any(|v| known_with.contains(v))
                }
                FactAnswer::Unreadable => true,
            };
            (!fits).then(|| Cause::Fact {
                fact: fact.clone(),
                known_with: known_with.clone(),
                coin: coin.clone(),
            })
        })
        .collect()
}

/// The weights of the pairings that fit the facts, summing to 1; where none fits, of all.
fn weights_of(prior: &[f64], fitting: &[bool]) -> Vec<f64> {
    let any = fitting.iter().any(|&fits| fits);
    let kept = prior
        .iter()
        .zip(fitting)
        .map(|(weight, &fits)| if fits || !any { *weight } else { 0.0 });
    let kept: Vec<f64> = kept.collect();
    let sum: f64 = kept.iter().sum();
    kept.into_iter().map(|weight| weight / sum).collect()
}

fn prior_weights(pairings: &[Pairing], prior: Prior) -> Vec<f64> {
    let estimate = |pairing: &Pairing| match prior {
        Prior::Equal => None,
        Prior::EstimatedKnown => pairing
            .estimated_known
            .filter(|known| known.is_finite() && *known > 0.0),
    };
    let least = pairings
        .iter()
        .filter_map(estimate)
        .reduce(f64::min)
        .unwrap_or(1.0);
    pairings
        .iter()
        .map(|pairing| estimate(pairing).unwrap_or(least))
        .collect()
}
