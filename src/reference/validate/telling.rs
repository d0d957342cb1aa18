//! Whether the features tell the dies apart.

use super::finding::{Findings, Place};
use crate::reference::{Die, ReferenceSet, Side, SideReference};

/// The most pairs of dies named one by one; the rest is counted.
const MOST_PAIRS_NAMED: usize = 40;

pub(super) fn check(set: &ReferenceSet, side: Side, findings: &mut Findings) {
    let reference = set.side(side);
    check_agreement(reference, side, findings);
    if reference.features.is_empty() {
        if reference.dies.len() > 1 {
            findings.warning(
                Place::Side(side),
                "The side has several dies and no feature that tells them apart.",
                "Add a feature in a zone where they differ.",
            );
        }
        return;
    }
    let mut untold = 0;
    for (index, die) in reference.dies.iter().enumerate() {
        for other in &reference.dies[..index] {
            if told_apart(reference, die, other) {
                continue;
            }
            untold += 1;
            if untold <= MOST_PAIRS_NAMED {
                findings.warning(
                    Place::Die(side, die.id.clone()),
                    format!("No feature tells the dies {} and {} apart.", other.id, die.id),
                    "Add a feature on which they differ, or fill what they show of those there are.",
                );
            }
        }
    }
    if untold > MOST_PAIRS_NAMED {
        findings.warning(
            Place::Side(side),
            format!(
                "{} further pairs of dies are told apart by no feature.",
                untold - MOST_PAIRS_NAMED
            ),
            "Add features, or fill the table of what each die shows.",
        );
    }
}

/// Whether some feature of the side has both dies in different states.
fn told_apart(reference: &SideReference, a: &Die, b: &Die) -> bool {
    a.shows.iter().any(|(feature, state)| {
        b.shows.get(feature).is_some_and(|other| other != state) && reference.feature(feature).is_some()
    })
}

fn check_agreement(reference: &SideReference, side: Side, findings: &mut Findings) {
    for feature in &reference.features {
        let mut shown: Vec<_> = reference
            .dies
            .iter()
            .filter_map(|die| die.shows.get(&feature.id))
            .collect();
        let dies = shown.len();
        shown.sort();
        shown.dedup();
        match shown.as_slice() {
            [] if !reference.dies.is_empty() => findings.hint(
                Place::Feature(side, feature.id.clone()),
                "The set does not yet say what any die shows of this feature.",
                "Fill its row in the table.",
            ),
            [only] if dies > 1 => findings.warning(
                Place::Feature(side, feature.id.clone()),
                format!("All {dies} dies that show this feature agree on \u{201c}{only}\u{201d}, so it tells none apart."),
                "Check the table; keep the feature only if dies of other states may turn up.",
            ),
            _ => {}
        }
    }
}
