//! The next most telling feature.

use super::PairingStanding;
use super::observation::{Reader, shown};
use super::standing::Observed;
use crate::reference::{Die, FeatureId, ReferenceSet, Side};

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

/// Below this many bits a feature counts as telling nothing: rounding, not information.
const NO_GAIN_BITS: f64 = 1e-12;

/// The features that would tell most, best first; equals in the set's order.
///
/// The gain is the mutual information of the pairing and the reading, in bits (Lindley, Annals of Mathematical
/// Statistics 27(4), 1956, 986-1005): the entropy of the reading less its mean entropy given the pairing.
pub(super) fn next_features(
    set: &ReferenceSet,
    observed: &Observed,
    pairings: &[PairingStanding],
) -> Vec<NextFeature> {
    let weights: Vec<f64> = pairings.iter().map(|pairing| pairing.probability).collect();
    gains(set, observed, &weights)
}

/// The features not yet judged that tell something of the pairings that are in, all taken alike.
pub(super) fn remaining_features(
    set: &ReferenceSet,
    observed: &Observed,
    pairings: &[PairingStanding],
) -> Vec<NextFeature> {
    let count = pairings.iter().filter(|pairing| pairing.is_in()).count();
    let weights: Vec<f64> = pairings
        .iter()
        .map(|p| if p.is_in() { 1.0 / count as f64 } else { 0.0 })
        .collect();
    gains(set, observed, &weights)
}

fn gains(set: &ReferenceSet, observed: &Observed, weights: &[f64]) -> Vec<NextFeature> {
    let mut features = Vec::new();
    for side in Side::BOTH {
        let reference = set.side(side);
        let dies: Vec<Option<&Die>> = set
            .pairings
            .iter()
            .map(|pairing| match side {
                Side::Obverse => reference.die(&pairing.obverse),
                Side::Reverse => reference.die(&pairing.reverse),
            })
            .collect();
        for (feature, seen) in reference.features.iter().zip(observed.side(side)) {
            if seen.closed() {
                continue;
            }
            let reader = Reader::of(feature);
            let possible: Vec<usize> = seen.possible().collect();
            // Each pairing's chances of the readings still possible, given what was seen here already.
            let readings: Vec<(f64, Vec<f64>)> = weights
                .iter()
                .zip(&dies)
                .filter(|(weight, _)| **weight > 0.0)
                .map(|(&weight, die)| {
                    let shown = die.and_then(|die| shown(die, feature));
                    (
                        weight,
                        normalised(possible.iter().map(|&s| reader.reads(s, shown)).collect()),
                    )
                })
                .collect();
            let gain_bits = mutual_information_bits(&readings);
            if gain_bits > NO_GAIN_BITS {
                features.push(NextFeature {
                    side,
                    feature: feature.id.clone(),
                    gain_bits,
                });
            }
        }
    }
    features.sort_by(|a, b| b.gain_bits.total_cmp(&a.gain_bits));
    features
}

fn normalised(mut chances: Vec<f64>) -> Vec<f64> {
    let sum: f64 = chances.iter().sum();
    if sum > 0.0 {
        chances.iter_mut().for_each(|chance| *chance /= sum);
    }
    chances
}

/// The mutual information of which row was drawn and what it gives, in bits; each row has its weight and the chances
/// of what it gives.
fn mutual_information_bits(rows: &[(f64, Vec<f64>)]) -> f64 {
    let Some((_, first)) = rows.first() else {
        return 0.0;
    };
    let mut mean = vec![0.0; first.len()];
    let mut within = 0.0;
    for (weight, chances) in rows {
        within += weight * entropy_bits(chances);
        for (sum, chance) in mean.iter_mut().zip(chances) {
            *sum += weight * chance;
        }
    }
    entropy_bits(&mean) - within
}

fn entropy_bits(chances: &[f64]) -> f64 {
    chances
        .iter()
        .filter(|chance| **chance > 0.0)
        .map(|chance| -chance * chance.log2())
        .sum()
}
