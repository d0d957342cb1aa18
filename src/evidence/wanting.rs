//! What is wanting before a pairing counts as settled.

use super::outcome::{SETTLED_AT, speaking_sides};
use super::pairings::fact_causes;
use super::scale::ROUNDING;
use super::standing::Weighing;
use super::{LikelihoodRatio, OpenWorld, PairingStanding};
use crate::reference::{DieId, Side};

/// Something that keeps the most probable pairing from being settled. `sentence` gives it in words.
#[derive(Debug, Clone, PartialEq)]
pub enum Wanting {
    /// Other listed pairings are not excluded, by index in the set's list.
    OthersIn {
        /// Which.
        pairings: Vec<usize>,
    },
    /// The pairing itself is excluded, or a verdict against one of its dies is taken for a slip.
    Contradicted,
    /// The likelihood ratio against the next listed pairing is below [`SETTLED_AT`].
    Ratio,
    /// No verdict speaks for its die of that side, which follows from the set's list alone.
    NoVerdict {
        /// The side.
        side: Side,
    },
    /// By that side's verdicts alone its die is not [`DIE_AHEAD_AT`] ahead of these others: the coin may be of a pairing
    /// that the set does not list.
    DieNotTold {
        /// The side.
        side: Side,
        /// The other dies.
        others: Vec<DieId>,
    },
    /// It is not [`SETTLED_AT`] ahead of an unlisted pairing of listed dies.
    UnlistedPairing,
    /// It is not [`SETTLED_AT`] ahead of an unlisted die of that side.
    UnlistedDie {
        /// The side.
        side: Side,
    },
}

/// By how much the die of a settled pairing must be ahead of every other listed die of its side, by that side's verdicts
/// alone: one clear look at a feature must stand between them, or the coin may be of a pairing that the set does not
/// list. Common practice, no source.
pub const DIE_AHEAD_AT: f64 = 5.0;

/// What is wanting to settle a pairing; nothing where it is settled.
pub(super) fn wanting(
    weighing: &Weighing,
    pairings: &[PairingStanding],
    best: &PairingStanding,
    open_world: &OpenWorld,
    ratio: Option<LikelihoodRatio>,
) -> Vec<Wanting> {
    let mut wanting = Vec::new();
    let others = pairings.iter().filter(|p| p.is_in() && p.index != best.index);
    let others: Vec<usize> = others.map(|pairing| pairing.index).collect();
    if !others.is_empty() {
        wanting.push(Wanting::OthersIn { pairings: others });
    }
    let dies = weighing.dies[best.index];
    let is_doubted = |side| {
        dies.on(side)
            .is_some_and(|die| !weighing.sides[side].dies[die].doubts.is_empty())
    };
    if !best.is_in() || Side::BOTH.into_iter().any(is_doubted) {
        wanting.push(Wanting::Contradicted);
    }
    if ratio.is_some_and(|ratio| !ratio.at_least(SETTLED_AT)) {
        wanting.push(Wanting::Ratio);
    }
    let speaking: Vec<Side> = speaking_sides(weighing, best.index).collect();
    for side in Side::BOTH {
        if !speaking.contains(&side) && (speaking.is_empty() || has_choice(weighing, side)) {
            wanting.push(Wanting::NoVerdict { side });
        }
    }
    for side in Side::BOTH {
        let others: Vec<DieId> = dies
            .on(side)
            .map(|die| not_told_from(weighing, side, die))
            .unwrap_or_default();
        if !others.is_empty() {
            wanting.push(Wanting::DieNotTold { side, others });
        }
    }
    let is_behind = |probability: f64| best.probability >= SETTLED_AT * probability;
    if !is_behind(open_world.pairing) {
        wanting.push(Wanting::UnlistedPairing);
    }
    for (side, probability) in [
        (Side::Obverse, open_world.obverse_die),
        (Side::Reverse, open_world.reverse_die),
    ] {
        if !is_behind(probability) {
            wanting.push(Wanting::UnlistedDie { side });
        }
    }
    wanting
}

/// Whether a side has several dies and a feature by which they can be told at all.
fn has_choice(weighing: &Weighing, side: Side) -> bool {
    weighing.set.side(side).dies.len() > 1 && weighing.shown[side].tells_anything()
}

/// The other dies of a side that no clear look tells from this one, save those that the facts rule out.
fn not_told_from(weighing: &Weighing, side: Side, die: usize) -> Vec<DieId> {
    let dies = &weighing.sides[side].dies;
    let needed = dies[die].log10_likelihood - DIE_AHEAD_AT.log10() + ROUNDING;
    let ruled_out = ruled_out_by_facts(weighing, side);
    (0..dies.len())
        .filter(|&other| other != die && dies[other].log10_likelihood > needed && !ruled_out[other])
        .map(|other| dies[other].die.clone())
        .collect()
}

/// For each die, whether all pairings that list it are known with other facts.
pub(super) fn ruled_out_by_facts(weighing: &Weighing, side: Side) -> Vec<bool> {
    let count = weighing.sides[side].dies.len();
    let (mut listed, mut fits) = (vec![false; count], vec![false; count]);
    for (index, pairing) in weighing.set.pairings.iter().enumerate() {
        if let Some(die) = weighing.dies[index].on(side) {
            listed[die] = true;
            fits[die] |= fact_causes(pairing, weighing.facts).is_empty();
        }
    }
    listed
        .iter()
        .zip(&fits)
        .map(|(listed, fits)| *listed && !fits)
        .collect()
}
