//! The standing and the outcome of a sheet, in words.

use super::content::{DieRow, OutcomeContent, PairingRow};
use super::labels::Labels;
use crate::evidence::{DieStanding, Outcome, Standing};
use crate::reference::{ReferenceSet, Side};
use crate::words;

pub(super) fn dies(set: &ReferenceSet, standing: &Standing, labels: &Labels) -> Vec<DieRow> {
    let side = |side: Side, dies: &[DieStanding]| {
        dies.iter()
            .map(|d| DieRow {
                side,
                die: d.die.to_string(),
                probability: d.probability,
                supporting: d.supporting,
                out: words::exclusions(set, &d.out, |side, feature| labels.of(side, feature)),
                doubts: words::exclusions(set, &d.doubts, |side, feature| labels.of(side, feature)),
            })
            .collect::<Vec<_>>()
    };
    let mut rows = side(Side::Obverse, &standing.obverse);
    rows.extend(side(Side::Reverse, &standing.reverse));
    rows
}

pub(super) fn pairings(set: &ReferenceSet, standing: &Standing, labels: &Labels) -> Vec<PairingRow> {
    standing
        .pairings
        .iter()
        .filter_map(|p| {
            let pairing = set.pairings.get(p.index)?;
            Some(PairingRow {
                catalogue: pairing.catalogue.clone(),
                obverse: pairing.obverse.to_string(),
                reverse: pairing.reverse.to_string(),
                rarity: pairing
                    .rarity
                    .as_ref()
                    .map_or_else(String::new, ToString::to_string),
                probability: p.probability,
                out: words::exclusions(set, &p.out, |side, feature| labels.of(side, feature)),
            })
        })
        .collect()
}

pub(super) fn outcome(set: &ReferenceSet, standing: &Standing) -> OutcomeContent {
    let pairing = standing
        .outcome
        .pairing()
        .and_then(|index| set.pairings.get(index));
    let dies = match (&standing.outcome, pairing) {
        (Outcome::Unlisted { obverse, reverse }, _) => {
            Some((words::die_names(obverse), words::die_names(reverse)))
        }
        (_, Some(p)) => Some((p.obverse.to_string(), p.reverse.to_string())),
        _ => None,
    };
    OutcomeContent {
        kind: standing.outcome.kind(),
        meaning: standing.outcome.meaning(set),
        dies,
        catalogue: pairing.map(|p| p.catalogue.clone()),
        note: pairing.map_or_else(String::new, |p| p.note.clone()),
        rarity: pairing.and_then(|p| {
            let id = p.rarity.as_ref()?;
            let meaning = set
                .rarity_band(id)
                .map_or_else(String::new, words::rarity_meaning);
            Some((id.to_string(), meaning))
        }),
        ratio: standing.ratio,
        explanation: standing.explanation(set),
    }
}
