//! Which single reading, if it were wrong, would let a listed pairing in again.

use std::collections::BTreeMap;

use super::PairingStanding;
use super::standing::Observed;
use super::weigh::fact_causes;
use crate::evidence::observation::{Observation, shown};
use crate::reference::{DieId, FactId, FeatureId, ReferenceSet, Side, SideReference};
use crate::specimen::FactAnswer;

/// A reading to check again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Recheck {
    /// The verdicts on one feature, which stand on one look.
    Feature {
        /// The side.
        side: Side,
        /// The feature.
        feature: FeatureId,
        /// The pairings, by place in the set's list, that would be in without them.
        restores: Vec<usize>,
    },
    /// The answer to a fact's question.
    Fact {
        /// The fact.
        fact: FactId,
        /// The pairings, by place in the set's list, that would be in without it.
        restores: Vec<usize>,
    },
}

impl Recheck {
    /// The pairings, by place in the set's list, that would be in without the reading.
    #[must_use]
    pub fn restores(&self) -> &[usize] {
        match self {
            Recheck::Feature { restores, .. } | Recheck::Fact { restores, .. } => restores,
        }
    }
}

/// The single readings that keep listed pairings out which are likelier than any that is in, the one that restores the
/// likeliest first; among equals features before facts, in the set's order.
pub(super) fn rechecks(
    set: &ReferenceSet,
    facts: &BTreeMap<FactId, FactAnswer>,
    observed: &Observed,
    pairings: &[PairingStanding],
) -> Vec<Recheck> {
    // For each pairing that exactly one reading keeps out: that reading.
    let mut by_feature: BTreeMap<(Side, usize), Vec<usize>> = BTreeMap::new();
    let mut by_fact: BTreeMap<FactId, Vec<usize>> = BTreeMap::new();
    let against = [
        features_against(&set.obverse, &observed.obverse),
        features_against(&set.reverse, &observed.reverse),
    ];
    let likeliest_in = pairings
        .iter()
        .filter(|pairing| pairing.is_in())
        .map(|pairing| pairing.log10_likelihood)
        .fold(f64::NEG_INFINITY, f64::max);
    for (index, pairing) in set.pairings.iter().enumerate() {
        if pairings[index].log10_likelihood <= likeliest_in {
            continue;
        }
        let wrong_facts = fact_causes(pairing, facts);
        let wrong_features: Vec<(Side, usize)> = [
            (Side::Obverse, &pairing.obverse),
            (Side::Reverse, &pairing.reverse),
        ]
        .into_iter()
        .zip(&against)
        .flat_map(|((side, die), against)| {
            against
                .get(die)
                .into_iter()
                .flatten()
                .map(move |&feature| (side, feature))
        })
        .collect();
        match (wrong_features.as_slice(), wrong_facts.as_slice()) {
            ([feature], []) => by_feature.entry(*feature).or_default().push(index),
            ([], [super::Cause::Fact { fact, .. }]) => by_fact.entry(fact.clone()).or_default().push(index),
            _ => {}
        }
    }
    let features = by_feature
        .into_iter()
        .map(|((side, place), restores)| Recheck::Feature {
            side,
            feature: set.side(side).features[place].id.clone(),
            restores,
        });
    let facts = by_fact
        .into_iter()
        .map(|(fact, restores)| Recheck::Fact { fact, restores });
    let mut rechecks: Vec<Recheck> = features.chain(facts).collect();
    let likeliest = |recheck: &Recheck| {
        let likelihoods = recheck
            .restores()
            .iter()
            .map(|&index| pairings[index].log10_likelihood);
        likelihoods.fold(f64::NEG_INFINITY, f64::max)
    };
    rechecks.sort_by(|a, b| likeliest(b).total_cmp(&likeliest(a)));
    rechecks
}

/// The features, by place, whose verdicts contradict each die.
fn features_against<'a>(
    reference: &'a SideReference,
    observed: &[Observation],
) -> BTreeMap<&'a DieId, Vec<usize>> {
    let contradicts = |die, place: usize| {
        let feature = &reference.features[place];
        let seen = &observed[place];
        shown(die, feature)
            .is_some_and(|shown| seen.informative() && !seen.possible().any(|state| state == shown))
    };
    reference
        .dies
        .iter()
        .map(|die| {
            let features = (0..reference.features.len()).filter(|&place| contradicts(die, place));
            (&die.id, features.collect())
        })
        .collect()
}
