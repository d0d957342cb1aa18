//! The standing and the outcome of a sheet, in words.

use super::content::{DieRow, OutcomeContent, OutcomeKind, PairingRow};
use super::labels::Labels;
use crate::evidence::{Cause, DieStanding, Outcome, Prior, Standing};
use crate::reference::{FeatureId, ReferenceSet, Side, StateId};

pub(super) fn dies(set: &ReferenceSet, standing: &Standing, labels: &Labels) -> Vec<DieRow> {
    let side = |side: Side, dies: &[DieStanding]| {
        dies.iter()
            .map(|d| DieRow {
                side,
                die: d.die.to_string(),
                probability: d.probability,
                supporting: d.supporting,
                out: causes(set, &d.out, labels),
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
                out: causes(set, &p.out, labels),
            })
        })
        .collect()
}

/// Why something is out, a sentence a cause. A feature is named by its label, since its question stands on the same
/// sheet; that the coin differs from a die's state is left out where it is said to show another one.
fn causes(set: &ReferenceSet, out: &[Cause], labels: &Labels) -> Vec<String> {
    let shows_other = |s: Side, f: &FeatureId| {
        out.iter().any(
            |cause| matches!(cause, Cause::ShowsOther { side, feature, .. } if *side == s && feature == f),
        )
    };
    let state = |side: Side, feature: &FeatureId, state: &StateId| {
        set.side(side)
            .feature(feature)
            .and_then(|f| f.state(state))
            .filter(|s| !s.words.trim().is_empty())
            .map_or_else(|| state.to_string(), |s| s.words.clone())
    };
    out.iter()
        .filter_map(|cause| match cause {
            Cause::Differs { side, feature, .. } if shows_other(*side, feature) => None,
            Cause::Differs { side, feature, die } => Some(format!(
                "Feature {}: the coin differs from \u{201c}{}\u{201d}, which this die shows.",
                labels.of(*side, feature),
                state(*side, feature, die)
            )),
            Cause::ShowsOther {
                side,
                feature,
                coin,
                die,
            } => Some(format!(
                "Feature {}: the coin shows \u{201c}{}\u{201d}, this die \u{201c}{}\u{201d}.",
                labels.of(*side, feature),
                state(*side, feature, coin),
                state(*side, feature, die)
            )),
            Cause::Fact { .. } | Cause::DieOut { .. } => Some(cause.sentence(set)),
        })
        .collect()
}

pub(super) fn prior_words(prior: Prior) -> &'static str {
    match prior {
        Prior::Equal => "All listed pairings counted alike before the facts and verdicts.",
        Prior::EstimatedKnown => {
            "Before the facts and verdicts the pairings were weighed by the set author\u{2019}s estimate of how many \
             specimens exist."
        }
    }
}

pub(super) fn outcome(set: &ReferenceSet, standing: &Standing) -> OutcomeContent {
    let (kind, meaning, pairing) = match &standing.outcome {
        Outcome::Settled { pairing } => (
            OutcomeKind::Settled,
            "One listed pairing is left, and the evidence for it is strong.".to_owned(),
            Some(*pairing),
        ),
        Outcome::Leaning { pairing } => (
            OutcomeKind::Leaning,
            "One listed pairing is ahead; others are not ruled out, or the evidence is not strong."
                .to_owned(),
            Some(*pairing),
        ),
        Outcome::Open => (
            OutcomeKind::Open,
            "The facts and verdicts so far do not tell the pairings apart.".to_owned(),
            None,
        ),
        Outcome::Contradicted { sides } => (OutcomeKind::Contradicted, contradiction(sides), None),
        Outcome::Unlisted { .. } => (
            OutcomeKind::Unlisted,
            "Both dies are told, and the set lists no pairing of the two.".to_owned(),
            None,
        ),
        Outcome::BeyondTelling { possible } => (OutcomeKind::BeyondTelling, beyond(set, possible), None),
    };
    let pairing = pairing.and_then(|index| set.pairings.get(index));
    let dies = match (&standing.outcome, pairing) {
        (Outcome::Unlisted { obverse, reverse }, _) => Some((obverse.to_string(), reverse.to_string())),
        (_, Some(p)) => Some((p.obverse.to_string(), p.reverse.to_string())),
        _ => None,
    };
    OutcomeContent {
        kind,
        meaning,
        dies,
        catalogue: pairing.map(|p| p.catalogue.clone()),
        note: pairing.map_or_else(String::new, |p| p.note.clone()),
        rarity: pairing.and_then(|p| {
            let id = p.rarity.as_ref()?;
            let meaning =
                set.rarity_band(id)
                    .map_or_else(String::new, |band| match (band.at_least, band.at_most) {
                        _ if !band.meaning.is_empty() => band.meaning.clone(),
                        (Some(a), Some(b)) => format!("{a} to {b} thought to exist"),
                        (Some(a), None) => format!("{a} or more thought to exist"),
                        (None, Some(b)) => format!("{b} or fewer thought to exist"),
                        (None, None) => String::new(),
                    });
            Some((id.to_string(), meaning))
        }),
        ratio: standing.ratio,
        explanation: standing.explanation(set),
    }
}

fn contradiction(sides: &[Side]) -> String {
    match sides {
        [] => "No listed pairing fits all facts and verdicts: recheck them, or the pairing is unlisted."
            .to_owned(),
        [side] => format!(
            "No listed {} die fits all verdicts: recheck them, or the die is unlisted.",
            side.word()
        ),
        _ => "No listed die of either side fits all verdicts: recheck them, or the dies are unlisted."
            .to_owned(),
    }
}

fn beyond(set: &ReferenceSet, possible: &[usize]) -> String {
    let names: Vec<&str> = possible
        .iter()
        .filter_map(|&i| set.pairings.get(i))
        .map(|p| p.catalogue.as_str())
        .collect();
    let left = if names.is_empty() {
        "no listed pairing can be named".to_owned()
    } else {
        format!("these remain possible: {}", names.join(", "))
    };
    format!(
        "Every feature that could still tell was judged and could not be told on this coin or photo; {left}."
    )
}
