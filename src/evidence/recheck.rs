//! Which single reading, if it were wrong, would let a pairing in again, listed or not.

use std::collections::BTreeMap;

use super::pairings::fact_causes;
use super::standing::{Weighing, most_probable};
use super::{Cause, PairingStanding};
use crate::reference::{DieId, FactId, FeatureId, Side};

/// A reading to check again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Recheck {
    /// The verdicts on one feature, which stand on one look.
    Feature {
        /// The side.
        side: Side,
        /// The feature.
        feature: FeatureId,
        /// The pairings, by index in the set's list, that would be in without them.
        restores: Vec<usize>,
        /// The dies of that side that would fit all verdicts without them, while none does with them; with the dies of
        /// the other side they may be a pairing that the set does not list. With no pairing and no die restored, the
        /// verdicts are one of several slips that the likeliest pairing takes.
        dies: Vec<DieId>,
    },
    /// The answer to a fact's question.
    Fact {
        /// The fact.
        fact: FactId,
        /// The pairings, by index in the set's list, that would be in without it.
        restores: Vec<usize>,
    },
}

impl Recheck {
    /// The pairings, by index in the set's list, that would be in without the reading.
    #[must_use]
    pub fn restores(&self) -> &[usize] {
        match self {
            Recheck::Feature { restores, .. } | Recheck::Fact { restores, .. } => restores,
        }
    }
}

/// What a reading would restore, with the likelihood of the likeliest of it.
#[derive(Default)]
struct Restored {
    pairings: Vec<usize>,
    dies: Vec<usize>,
    log10: Option<f64>,
}

impl Restored {
    fn raise(&mut self, log10: f64) {
        self.log10 = Some(self.log10.map_or(log10, |before| before.max(log10)));
    }
}

/// The single readings that keep out what is likelier than any pairing that fits all of them, the one that restores the
/// likeliest first; among equals features before facts, in the set's order.
pub(super) fn rechecks(weighing: &Weighing, pairings: &[PairingStanding]) -> Vec<Recheck> {
    let mut features: BTreeMap<(Side, usize), Restored> = BTreeMap::new();
    let mut facts: BTreeMap<FactId, Restored> = BTreeMap::new();
    restore_listed(weighing, pairings, &mut features, &mut facts);
    restore_unlisted(weighing, &mut features);
    name_several_slips(weighing, pairings, &mut features);
    let features = features.into_iter().map(|((side, index), restored)| {
        let dies = restored
            .dies
            .iter()
            .map(|&die| weighing.sides[side].dies[die].die.clone());
        let recheck = Recheck::Feature {
            side,
            feature: weighing.set.side(side).features[index].id.clone(),
            restores: restored.pairings,
            dies: dies.collect(),
        };
        (restored.log10, recheck)
    });
    let facts = facts.into_iter().map(|(fact, restored)| {
        let restores = restored.pairings;
        (restored.log10, Recheck::Fact { fact, restores })
    });
    let mut rechecks: Vec<(Option<f64>, Recheck)> = features.chain(facts).collect();
    let or_last = |log10: Option<f64>| log10.unwrap_or(f64::NEG_INFINITY);
    rechecks.sort_by(|(a, _), (b, _)| or_last(*b).total_cmp(&or_last(*a)));
    rechecks.into_iter().map(|(_, recheck)| recheck).collect()
}

/// Listed pairings that exactly one reading keeps out.
fn restore_listed(
    weighing: &Weighing,
    pairings: &[PairingStanding],
    by_feature: &mut BTreeMap<(Side, usize), Restored>,
    by_fact: &mut BTreeMap<FactId, Restored>,
) {
    let features: Vec<Vec<(Side, usize)>> = (0..pairings.len())
        .map(|index| features_against(weighing, index))
        .collect();
    let facts: Vec<Vec<Cause>> = weighing
        .set
        .pairings
        .iter()
        .map(|pairing| fact_causes(pairing, weighing.facts))
        .collect();
    let fits = |index: &usize| features[*index].is_empty() && facts[*index].is_empty();
    let likeliest_fitting = (0..pairings.len())
        .filter(fits)
        .map(|index| pairings[index].log10_likelihood)
        .fold(f64::NEG_INFINITY, f64::max);
    for (index, (features, facts)) in features.iter().zip(&facts).enumerate() {
        let log10 = pairings[index].log10_likelihood;
        if log10 <= likeliest_fitting {
            continue;
        }
        let restored = match (features.as_slice(), facts.as_slice()) {
            ([feature], []) => by_feature.entry(*feature).or_default(),
            ([], [Cause::Fact { fact, .. }]) => by_fact.entry(fact.clone()).or_default(),
            _ => continue,
        };
        restored.pairings.push(index);
        restored.raise(log10);
    }
}

/// Where no die of one side fits all verdicts and dies of the other do: the dies that exactly one reading keeps out,
/// each with the likeliest fitting die of the other side, listed together or not.
fn restore_unlisted(weighing: &Weighing, by_feature: &mut BTreeMap<(Side, usize), Restored>) {
    for side in Side::BOTH {
        let (this, other) = (&weighing.sides[side], &weighing.sides[side.other()]);
        let fitting = (0..other.dies.len()).filter(|&die| other.against[die].is_empty());
        let Some(partner) = fitting
            .map(|die| other.dies[die].log10_likelihood)
            .reduce(f64::max)
        else {
            continue;
        };
        if this.against.iter().any(Vec::is_empty) {
            continue;
        }
        // An unlisted pairing is as rare as the set says, a listed one is not.
        let rarity = weighing.shares.pairing.log10();
        for (die, against) in this.against.iter().enumerate() {
            if let [feature] = against.as_slice() {
                let restored = by_feature.entry((side, *feature)).or_default();
                restored.dies.push(die);
                restored.raise(rarity + this.dies[die].log10_likelihood + partner);
            }
        }
    }
}

/// Where the most probable pairing is in with several slips, each of them is named.
fn name_several_slips(
    weighing: &Weighing,
    pairings: &[PairingStanding],
    by_feature: &mut BTreeMap<(Side, usize), Restored>,
) {
    if let Some(best) = most_probable(pairings).filter(|best| best.is_in()) {
        for feature in features_against(weighing, best.index) {
            by_feature.entry(feature).or_default();
        }
    }
}

/// The features whose verdicts contradict a listed pairing, with their sides.
fn features_against(weighing: &Weighing, pairing: usize) -> Vec<(Side, usize)> {
    Side::BOTH
        .into_iter()
        .filter_map(|side| Some((side, weighing.dies[pairing].on(side)?)))
        .flat_map(|(side, die)| weighing.sides[side].against[die].iter().map(move |&f| (side, f)))
        .collect()
}
