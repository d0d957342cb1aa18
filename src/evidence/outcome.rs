//! What the evidence amounts to.

use super::observation::shown;
use super::standing::{Observed, most_probable};
use super::{DieStanding, LikelihoodRatio, PairingStanding};
use crate::reference::{DieId, ReferenceSet, Side, SideReference};

/// What the evidence amounts to.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// One listed pairing is left, verdicts on both sides speak for it, and the likelihood ratio is at least
    /// [`SETTLED_AT`].
    Settled {
        /// Its place in the set's list.
        pairing: usize,
    },
    /// One listed pairing is ahead by at least [`LEANING_AT`] or alone left, and more is needed to settle it.
    Leaning {
        /// Its place in the set's list.
        pairing: usize,
    },
    /// No pairing that fits is ahead: nothing tells yet, or a contradicted pairing is still the likeliest.
    Open,
    /// No listed die of these sides fits all verdicts; or, where no side is named, each side has dies that fit and no
    /// listed pairing fits verdicts and facts together. Recheck, or an unlisted die.
    Contradicted {
        /// The sides on which no die is left.
        sides: Vec<Side>,
    },
    /// Both dies are told and the set lists no such pairing.
    Unlisted {
        /// The obverse die.
        obverse: DieId,
        /// The reverse die.
        reverse: DieId,
    },
    /// Every feature that could still tell was judged and could not be told: too worn or too poor a photo.
    BeyondTelling {
        /// The pairings that remain possible.
        possible: Vec<usize>,
    },
}

/// The likelihood ratio of best against next from which a pairing counts as settled: where the published verbal scale
/// begins to speak of moderately strong support. That a single look at a feature of reliability 0.9 (a ratio of 9)
/// must not settle a coin is common practice, no source.
pub const SETTLED_AT: f64 = 100.0;

/// The likelihood ratio from which a pairing counts as ahead: where the published verbal scale begins to speak of
/// support at all.
pub const LEANING_AT: f64 = 2.0;

/// Contradictions come first, since nothing may be built on them; then what can be said of the pairings that are in.
pub(super) fn decide(
    set: &ReferenceSet,
    dies: [&[DieStanding]; 2],
    pairings: &[PairingStanding],
    observed: &Observed,
    ratio: Option<LikelihoodRatio>,
    can_still_tell: bool,
) -> Outcome {
    let sides: Vec<Side> = Side::BOTH
        .into_iter()
        .zip(dies)
        .filter(|(_, dies)| !dies.is_empty() && dies.iter().all(|die| !die.is_in()))
        .map(|(side, _)| side)
        .collect();
    if !sides.is_empty() {
        return Outcome::Contradicted { sides };
    }
    if let Some((obverse, reverse)) = told(dies)
        && !set
            .pairings
            .iter()
            .any(|pairing| pairing.obverse == obverse && pairing.reverse == reverse)
    {
        return Outcome::Unlisted { obverse, reverse };
    }
    if pairings.is_empty() {
        return Outcome::Open;
    }
    let possible: Vec<usize> = pairings.iter().filter(|p| p.is_in()).map(|p| p.index).collect();
    let Some(best) = most_probable(pairings).filter(|_| !possible.is_empty()) else {
        return Outcome::Contradicted { sides };
    };
    let checked = sides_checked(set, dies, best.index);
    let alone = possible == [best.index];
    let at_least = |bound: f64| match ratio {
        Some(ratio) => ratio.log10 >= bound.log10() - ROUNDING,
        // The facts leave no other: what verdicts there are speak for it.
        None => checked.any,
    };
    if alone && checked.all && at_least(SETTLED_AT) {
        return Outcome::Settled { pairing: best.index };
    }
    // The likeliest may be out by one verdict while a pairing on which the set is silent is in: then neither leads.
    if best.is_in() && (at_least(LEANING_AT) || (alone && checked.any)) {
        return Outcome::Leaning { pairing: best.index };
    }
    let unclear = Side::BOTH
        .into_iter()
        .any(|side| observed.side(side).iter().any(|seen| seen.unclear()));
    if unclear && !can_still_tell && nothing_to_look_at(set, observed, &possible) {
        return Outcome::BeyondTelling { possible };
    }
    Outcome::Open
}

/// The verbal scale's own allowance for sums of logarithms.
const ROUNDING: f64 = 1e-9;

/// The dies of both sides where exactly one is left on each and verdicts speak for them; a side's only die needs none.
fn told([obverse, reverse]: [&[DieStanding]; 2]) -> Option<(DieId, DieId)> {
    if !obverse.iter().chain(reverse).any(|die| die.supporting > 0) {
        return None;
    }
    let told = |dies: &[DieStanding]| {
        let mut left = dies.iter().filter(|die| die.is_in());
        match (left.next(), left.next()) {
            (Some(die), None) if die.supporting > 0 || dies.len() == 1 => Some(die.die.clone()),
            _ => None,
        }
    };
    Some((told(obverse)?, told(reverse)?))
}

/// Whether verdicts speak for a pairing.
pub(crate) struct Checked {
    /// On some side.
    pub(super) any: bool,
    /// On each side that has a choice: a die that follows from the list of pairings alone was not looked at, and the
    /// coin may be of a pairing that the set does not list.
    pub(super) all: bool,
    /// The sides that have a choice and no verdict for the pairing's die.
    pub(crate) unchecked: Vec<Side>,
}

pub(crate) fn sides_checked(set: &ReferenceSet, dies: [&[DieStanding]; 2], pairing: usize) -> Checked {
    let pairing = &set.pairings[pairing];
    let mut checked = Checked {
        any: false,
        all: true,
        unchecked: Vec::new(),
    };
    for (side, dies) in Side::BOTH.into_iter().zip(dies) {
        let id = match side {
            Side::Obverse => &pairing.obverse,
            Side::Reverse => &pairing.reverse,
        };
        let supported = dies.iter().any(|die| &die.die == id && die.supporting > 0);
        checked.any |= supported;
        if !supported && has_choice(set.side(side)) {
            checked.all = false;
            checked.unchecked.push(side);
        }
    }
    checked
}

/// Whether a side has a feature by which its dies can be told at all.
fn has_choice(reference: &SideReference) -> bool {
    reference.dies.len() > 1
        && reference
            .features
            .iter()
            .any(|feature| reference.dies.iter().any(|die| shown(die, feature).is_some()))
}

/// Whether each feature that the dies of these pairings show was judged.
fn nothing_to_look_at(set: &ReferenceSet, observed: &Observed, possible: &[usize]) -> bool {
    // With several pairings the features that tell them apart count, and those are judged already. With a single
    // one, any feature that could speak for it or against it does.
    let [only] = possible else { return true };
    let pairing = &set.pairings[*only];
    Side::BOTH.into_iter().all(|side| {
        let reference = set.side(side);
        let die = reference.die(match side {
            Side::Obverse => &pairing.obverse,
            Side::Reverse => &pairing.reverse,
        });
        reference
            .features
            .iter()
            .zip(observed.side(side))
            .all(|(feature, seen)| seen.closed() || die.and_then(|die| shown(die, feature)).is_none())
    })
}
