//! The next most telling feature.

use super::PairingStanding;
use super::reader::Reader;
use super::standing::{Weighing, most_probable};
use crate::reference::{FeatureId, Side};

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
/// The gain is the mutual information of the listed pairing and the reading, in bits (Lindley, Annals of Mathematical
/// Statistics 27(4), 1956, 986-1005): the entropy of the reading less its mean entropy given the pairing.
pub(super) fn next_features(weighing: &Weighing, pairings: &[PairingStanding]) -> Vec<NextFeature> {
    gains(
        weighing,
        &normalised(pairings.iter().map(|pairing| pairing.probability).collect()),
    )
}

/// The features not yet judged that tell something of the pairings that are in, all taken alike.
pub(super) fn remaining_features(weighing: &Weighing, pairings: &[PairingStanding]) -> Vec<NextFeature> {
    let is_in = pairings
        .iter()
        .map(|pairing| f64::from(u8::from(pairing.is_in())));
    gains(weighing, &normalised(is_in.collect()))
}

/// The features not yet judged that the dies of the most probable pairing show, the most reliable first.
pub(super) fn unconfirmed(weighing: &Weighing, pairings: &[PairingStanding]) -> Vec<(Side, FeatureId)> {
    let Some(best) = most_probable(pairings) else {
        return Vec::new();
    };
    let mut features: Vec<_> = Side::BOTH
        .into_iter()
        .filter_map(|side| Some((side, weighing.dies[best.index].on(side)?)))
        .flat_map(|(side, die)| {
            let features = weighing.set.side(side).features.iter();
            features
                .zip(&weighing.observed[side])
                .zip(weighing.shown[side].die(die))
                .filter(|((_, seen), shown)| shown.is_some() && !seen.closed())
                .map(move |((feature, _), _)| (side, feature))
        })
        .collect();
    features.sort_by(|(_, a), (_, b)| b.reliability.total_cmp(&a.reliability));
    features
        .into_iter()
        .map(|(side, feature)| (side, feature.id.clone()))
        .collect()
}

fn gains(weighing: &Weighing, weights: &[f64]) -> Vec<NextFeature> {
    let mut features = Vec::new();
    for side in Side::BOTH {
        // The pairings that count, each with its die's row of states; none where the set does not list the die.
        let rows: Vec<(f64, Option<&[Option<usize>]>)> = weights
            .iter()
            .zip(&weighing.dies)
            .filter(|(weight, _)| **weight > 0.0)
            .map(|(weight, dies)| (*weight, dies.on(side).map(|die| weighing.shown[side].die(die))))
            .collect();
        let reference = weighing.set.side(side);
        for (index, (feature, seen)) in reference
            .features
            .iter()
            .zip(&weighing.observed[side])
            .enumerate()
        {
            if seen.closed() {
                continue;
            }
            // All pairings whose dies show the same state give the same readings. The last group is the silent one.
            let silent = feature.states.len();
            let mut groups = vec![0.0; silent + 1];
            for (weight, row) in &rows {
                groups[row.and_then(|row| row[index]).unwrap_or(silent)] += weight;
            }
            let reader = Reader::of(feature);
            let possible: Vec<usize> = seen.possible().collect();
            // Each group's chances of the readings still possible, given what was seen here already.
            let readings: Vec<(f64, Vec<f64>)> = groups
                .into_iter()
                .enumerate()
                .filter(|(_, weight)| *weight > 0.0)
                .map(|(state, weight)| {
                    let shown = (state != silent).then_some(state);
                    let chances = possible.iter().map(|&s| reader.reads(s, shown)).collect();
                    (weight, normalised(chances))
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
