//! What the evidence amounts to.

use super::standing::{Weighing, most_probable};
use super::{DieStanding, LikelihoodRatio, OpenWorld, PairingStanding, Wanting};
use crate::reference::{DieId, Side};

/// What the evidence amounts to.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// One listed pairing fits all facts and verdicts, verdicts on both sides speak for it, and every other possibility
    /// that is left, listed or not, is behind by [`SETTLED_AT`].
    Settled {
        /// Its index in the set's list.
        pairing: usize,
    },
    /// One listed pairing is ahead by at least [`LEANING_AT`] or alone left, and more is needed to settle it; or it is
    /// ahead with a verdict against it that is likelier a slip than an unlisted die.
    Leaning {
        /// Its index in the set's list.
        pairing: usize,
    },
    /// No pairing that fits is ahead: nothing tells yet, or a contradicted pairing is still the likeliest.
    Open,
    /// No listed die of these sides fits the verdicts, nor does a slip explain them better than an unlisted die; or,
    /// where no side is named, the dies left are listed together and the facts exclude it.
    Contradicted {
        /// The sides on which no die is left.
        sides: Vec<Side>,
    },
    /// Dies are left on each side, and the set lists none of them together.
    Unlisted {
        /// The obverse dies left.
        obverse: Vec<DieId>,
        /// The reverse dies left.
        reverse: Vec<DieId>,
    },
    /// Every feature that could still tell was judged and could not be told: too worn or too poor a photo.
    BeyondTelling {
        /// The pairings that remain possible.
        possible: Vec<usize>,
    },
}

/// The ratio of best against next from which a pairing counts as settled: where the published verbal scale begins to
/// speak of moderately strong support. That a single look at a feature of reliability 0.9 (a ratio of 9) must not
/// settle a coin between two listed pairings is common practice, no source.
pub const SETTLED_AT: f64 = 100.0;

/// The ratio from which a pairing counts as ahead: where the published verbal scale begins to speak of support at all.
pub const LEANING_AT: f64 = 2.0;

/// Contradictions come first, since nothing may be built on them; then what can be said of the pairings that are in.
pub(super) fn decide(
    weighing: &Weighing,
    pairings: &[PairingStanding],
    open_world: &OpenWorld,
    ratio: Option<LikelihoodRatio>,
    wanting: &[Wanting],
    can_still_tell: bool,
) -> Outcome {
    let sides: Vec<Side> = Side::BOTH
        .into_iter()
        .filter(|&side| {
            let dies = &weighing.sides[side].dies;
            !dies.is_empty() && dies.iter().all(|die| !die.is_in())
        })
        .collect();
    if !sides.is_empty() {
        return Outcome::Contradicted { sides };
    }
    if let Some(unlisted) = unlisted_pairing(weighing, pairings) {
        return unlisted;
    }
    if pairings.is_empty() {
        return Outcome::Open;
    }
    let possible: Vec<usize> = pairings.iter().filter(|p| p.is_in()).map(|p| p.index).collect();
    let Some(best) = most_probable(pairings).filter(|_| !possible.is_empty()) else {
        return Outcome::Contradicted { sides };
    };
    if wanting.is_empty() {
        return Outcome::Settled { pairing: best.index };
    }
    let speaking = speaking_sides(weighing, best.index).next().is_some();
    let alone = possible == [best.index];
    // Where the facts leave no other, what verdicts there are speak for it.
    let ahead = ratio.map_or(speaking, |ratio| ratio.at_least(LEANING_AT)) || (alone && speaking);
    // The likeliest may be out by one verdict while a pairing on which the set is silent is in: then neither leads.
    if best.is_in() && ahead && best.probability >= LEANING_AT * open_world.greatest() {
        return Outcome::Leaning { pairing: best.index };
    }
    let unclear = Side::BOTH
        .into_iter()
        .any(|side| weighing.observed[side].iter().any(|seen| seen.unclear()));
    if unclear && !can_still_tell && nothing_to_look_at(weighing, &possible) {
        return Outcome::BeyondTelling { possible };
    }
    Outcome::Open
}

/// The sides on which verdicts speak for the die of a pairing.
pub(super) fn speaking_sides<'a>(weighing: &'a Weighing, pairing: usize) -> impl Iterator<Item = Side> + 'a {
    Side::BOTH.into_iter().filter(move |&side| {
        let die = weighing.dies[pairing].on(side);
        die.is_some_and(|die| weighing.sides[side].dies[die].supporting > 0)
    })
}

/// An unlisted pairing, where dies are left on each side and none of them are listed together. Without any listed
/// pairing it takes one die a side, with verdicts that speak for it; a side's only die needs none.
fn unlisted_pairing(weighing: &Weighing, pairings: &[PairingStanding]) -> Option<Outcome> {
    let dies_fit = |pairing: &PairingStanding| {
        let dies = weighing.dies[pairing.index];
        Side::BOTH.into_iter().all(|side| {
            dies.on(side)
                .is_none_or(|die| weighing.sides[side].dies[die].is_in())
        })
    };
    let speaking = Side::BOTH
        .into_iter()
        .any(|side| weighing.sides[side].dies.iter().any(|die| die.supporting > 0));
    if !speaking || pairings.iter().any(dies_fit) {
        return None;
    }
    let left = |side: Side| -> Vec<&DieStanding> {
        weighing.sides[side]
            .dies
            .iter()
            .filter(|die| die.is_in())
            .collect()
    };
    let [obverse, reverse] = Side::BOTH.map(left);
    let identified = |left: &[&DieStanding], side: Side| match left {
        [die] => die.supporting > 0 || weighing.sides[side].dies.len() == 1,
        _ => false,
    };
    let both = identified(&obverse, Side::Obverse) && identified(&reverse, Side::Reverse);
    if obverse.is_empty() || reverse.is_empty() || (pairings.is_empty() && !both) {
        return None;
    }
    let names = |left: Vec<&DieStanding>| left.into_iter().map(|die| die.die.clone()).collect();
    Some(Outcome::Unlisted {
        obverse: names(obverse),
        reverse: names(reverse),
    })
}

/// Whether each feature that the dies of these pairings show was judged.
fn nothing_to_look_at(weighing: &Weighing, possible: &[usize]) -> bool {
    // With several pairings the features that tell them apart count, and those are judged already. With a single
    // one, any feature that could speak for it or against it does.
    let [only] = possible else { return true };
    Side::BOTH.into_iter().all(|side| {
        let Some(die) = weighing.dies[*only].on(side) else {
            return true;
        };
        let shown = weighing.shown[side].die(die);
        weighing.observed[side]
            .iter()
            .zip(shown)
            .all(|(seen, shown)| seen.closed() || shown.is_none())
    })
}
