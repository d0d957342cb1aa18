//! Weighing: likelihoods and exclusions of dies and pairings.

use std::collections::BTreeMap;

use super::observation::{Observation, Reader, shown};
use super::standing::Observed;
use super::{Cause, DieStanding, PairingStanding, Prior};
use crate::reference::{Die, FactId, Pairing, ReferenceSet, Side, SideReference};
use crate::specimen::FactAnswer;

pub(super) struct Weighed {
    pub(super) obverse: Vec<DieStanding>,
    pub(super) reverse: Vec<DieStanding>,
    pub(super) pairings: Vec<PairingStanding>,
}

pub(super) fn weigh(
    set: &ReferenceSet,
    facts: &BTreeMap<FactId, FactAnswer>,
    observed: &Observed,
    prior: Prior,
) -> Weighed {
    let obverse = weigh_dies(Side::Obverse, &set.obverse, &observed.obverse);
    let reverse = weigh_dies(Side::Reverse, &set.reverse, &observed.reverse);
    let weights = prior_weights(&set.pairings, prior);
    let mut pairings: Vec<PairingStanding> = set
        .pairings
        .iter()
        .enumerate()
        .map(|(index, pairing)| {
            let mut out = fact_causes(pairing, facts);
            let mut log10_likelihood = 0.0;
            for (side, die, dies) in [
                (Side::Obverse, &pairing.obverse, &obverse),
                (Side::Reverse, &pairing.reverse, &reverse),
            ] {
                // A die that the set names and does not list is one on which it is silent.
                match dies.iter().find(|standing| &standing.die == die) {
                    Some(standing) => {
                        log10_likelihood += standing.log10_likelihood;
                        if !standing.is_in() {
                            out.push(Cause::DieOut {
                                side,
                                die: die.clone(),
                            });
                        }
                    }
                    None => log10_likelihood += silent_log10(set.side(side), observed.side(side)),
                }
            }
            PairingStanding {
                index,
                log10_likelihood,
                probability: 0.0,
                out,
            }
        })
        .collect();
    let scores: Vec<f64> = pairings
        .iter()
        .map(|pairing| {
            if pairing.fits_facts() {
                pairing.log10_likelihood + weights[pairing.index].log10()
            } else {
                f64::NEG_INFINITY
            }
        })
        .collect();
    for (pairing, probability) in pairings.iter_mut().zip(normalised(&scores)) {
        pairing.probability = probability;
    }
    Weighed {
        obverse,
        reverse,
        pairings,
    }
}

fn weigh_dies(side: Side, reference: &SideReference, observed: &[Observation]) -> Vec<DieStanding> {
    let mut dies: Vec<DieStanding> = reference
        .dies
        .iter()
        .map(|die| DieStanding {
            die: die.id.clone(),
            log10_likelihood: die_log10(die, reference, observed),
            probability: 0.0,
            supporting: supporting(die, reference, observed),
            out: die_causes(side, die, reference, observed),
        })
        .collect();
    let scores: Vec<f64> = dies.iter().map(|die| die.log10_likelihood).collect();
    for (die, probability) in dies.iter_mut().zip(normalised(&scores)) {
        die.probability = probability;
    }
    dies
}

fn die_log10(die: &Die, reference: &SideReference, observed: &[Observation]) -> f64 {
    let features = reference.features.iter().zip(observed);
    features
        .map(|(feature, seen)| Reader::of(feature).likelihood(seen, shown(die, feature)).log10())
        .sum()
}

fn silent_log10(reference: &SideReference, observed: &[Observation]) -> f64 {
    let features = reference.features.iter().zip(observed);
    features
        .map(|(feature, seen)| Reader::of(feature).likelihood(seen, None).log10())
        .sum()
}

fn supporting(die: &Die, reference: &SideReference, observed: &[Observation]) -> usize {
    let features = reference.features.iter().zip(observed);
    features
        .map(|(feature, seen)| {
            let Some(shown) = shown(die, feature) else {
                return 0;
            };
            seen.agreed().filter(|&state| state == shown).count()
                + seen.differed().filter(|&state| state != shown).count()
        })
        .sum()
}

fn die_causes(side: Side, die: &Die, reference: &SideReference, observed: &[Observation]) -> Vec<Cause> {
    let mut causes = Vec::new();
    for (feature, seen) in reference.features.iter().zip(observed) {
        let Some(shown) = shown(die, feature) else {
            continue;
        };
        let name = |state: usize| feature.states[state].id.clone();
        causes.extend(
            seen.agreed()
                .filter(|&state| state != shown)
                .map(|state| Cause::ShowsOther {
                    side,
                    feature: feature.id.clone(),
                    coin: name(state),
                    die: name(shown),
                }),
        );
        if seen.differed().any(|state| state == shown) {
            causes.push(Cause::Differs {
                side,
                feature: feature.id.clone(),
                die: name(shown),
            });
        }
    }
    causes
}

/// The facts that put a pairing out. An empty list of values says nothing.
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

/// Probabilities in proportion to ten to the power of the scores; all zero where every score is minus infinity.
fn normalised(log10_scores: &[f64]) -> Vec<f64> {
    let greatest = log10_scores.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if greatest == f64::NEG_INFINITY {
        return vec![0.0; log10_scores.len()];
    }
    // The greatest is taken off first, so that many verdicts do not underflow.
    let weights: Vec<f64> = log10_scores
        .iter()
        .map(|score| 10f64.powf(score - greatest))
        .collect();
    let sum: f64 = weights.iter().sum();
    weights.into_iter().map(|weight| weight / sum).collect()
}
