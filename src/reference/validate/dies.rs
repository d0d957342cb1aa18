//! A side's dies and what they show.

use std::collections::BTreeSet;

use super::finding::{Findings, Place};
use crate::reference::{ReferenceSet, Side};

pub(super) fn check(set: &ReferenceSet, side: Side, findings: &mut Findings) {
    let reference = set.side(side);
    if reference.dies.is_empty() {
        findings.hint(Place::Side(side), "The side has no dies yet.", "Add one.");
    }
    let paired: BTreeSet<_> = set.pairings.iter().map(|pairing| pairing.die(side)).collect();
    let mut seen = BTreeSet::new();
    for die in &reference.dies {
        let place = || Place::Die(side, die.id.clone());
        if die.id.as_str().trim().is_empty() {
            findings.error(place(), "A die has no name.", "Give it a short one.");
        }
        if !seen.insert(&die.id) {
            findings.error(place(), "The die's name stands twice.", "Rename one.");
        }
        for (feature_id, state) in &die.shows {
            let place = || Place::Shows(side, die.id.clone(), feature_id.clone());
            match reference.feature(feature_id) {
                None => findings.error(
                    place(),
                    format!("The die shows the feature \u{201c}{feature_id}\u{201d}, which this side does not have."),
                    "Add the feature, or take it out of the die.",
                ),
                Some(feature) if feature.state(state).is_none() => findings.error(
                    place(),
                    format!("The die shows the state \u{201c}{state}\u{201d}, which the feature does not have."),
                    "Add the state to the feature, or choose another.",
                ),
                Some(_) => {}
            }
        }
        if die.shows.is_empty() && !reference.features.is_empty() {
            findings.hint(
                place(),
                "The set does not yet say what the die shows of any feature.",
                "Fill its column in the table.",
            );
        }
        if die.plates.is_empty() {
            findings.hint(
                place(),
                "The die has no plate, so its states are known in words only.",
                "Add a picture when you find one.",
            );
        }
        if !paired.contains(&die.id) && !set.pairings.is_empty() {
            findings.hint(
                place(),
                "No pairing names the die.",
                "Add the pairing with which it is known.",
            );
        }
    }
}
