//! Single looks on which a die hangs.

use std::collections::BTreeMap;

use super::PairingStanding;
use super::standing::{Weighing, most_probable};
use super::wanting::ruled_out_by_facts;
use crate::reference::{DieId, FeatureId, Side};

/// A feature whose verdicts alone tell the die of the most probable pairing from others of its side: read wrongly once,
/// they would be of one of those, and the pairing perhaps one that the set does not list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hinge {
    /// The side.
    pub side: Side,
    /// The feature.
    pub feature: FeatureId,
    /// The other dies.
    pub others: Vec<DieId>,
}

/// The hinges of the most probable pairing, in the set's order.
pub(super) fn hinges(weighing: &Weighing, pairings: &[PairingStanding]) -> Vec<Hinge> {
    let Some(best) = most_probable(pairings) else {
        return Vec::new();
    };
    let dies = weighing.dies[best.index];
    Side::BOTH
        .into_iter()
        .filter_map(|side| Some((side, dies.on(side)?)))
        .flat_map(|(side, die)| hinges_of(weighing, side, die))
        .collect()
}

fn hinges_of(weighing: &Weighing, side: Side, die: usize) -> Vec<Hinge> {
    let reference = weighing.set.side(side);
    let shown = &weighing.shown[side];
    let judged: Vec<usize> = weighing.observed[side]
        .iter()
        .enumerate()
        .filter_map(|(index, seen)| seen.informative().then_some(index))
        .collect();
    let ruled_out = ruled_out_by_facts(weighing, side);
    let mut by_feature: BTreeMap<usize, Vec<DieId>> = BTreeMap::new();
    for other in (0..reference.dies.len()).filter(|&other| other != die && !ruled_out[other]) {
        let (its, others) = (shown.die(die), shown.die(other));
        let mut telling = judged.iter().filter(|&&feature| its[feature] != others[feature]);
        if let (Some(feature), None) = (telling.next(), telling.next()) {
            by_feature
                .entry(*feature)
                .or_default()
                .push(reference.dies[other].id.clone());
        }
    }
    by_feature
        .into_iter()
        .map(|(feature, others)| Hinge {
            side,
            feature: reference.features[feature].id.clone(),
            others,
        })
        .collect()
}
