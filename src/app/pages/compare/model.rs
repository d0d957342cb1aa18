//! What the Compare page shows, read off the record: which features, how they stand, which cells. Knows no egui.

use crate::evidence::Standing;
use crate::pipeline::{self, StateView};
use crate::reference::{Feature, FeatureId, ReferenceSet, Side, SideReference, State, StatedMeasure};
use crate::specimen::{CannotTell, Ruling, SpecimenRecord, Verdict};

/// How a feature stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FeatureSummary {
    /// No verdict yet.
    NotJudged,
    /// The coin agrees with one state: its words.
    Agrees(String),
    /// The coin agrees with more than one state, which cannot be.
    Conflicting,
    /// The coin differs from some of the states.
    Differs {
        /// From how many.
        from: usize,
        /// Of how many.
        of: usize,
    },
    /// No state could be told, and why.
    CannotTell(CannotTell),
}

impl FeatureSummary {
    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::NotJudged => "not judged".to_owned(),
            Self::Agrees(state) => format!("agrees: {state}"),
            Self::Conflicting => "agrees with two states: recheck".to_owned(),
            Self::Differs { from, of } if from == of => "differs from every state".to_owned(),
            Self::Differs { from, of } => format!("differs from {from} of {of}"),
            Self::CannotTell(why) => format!("cannot tell: {}", why.words()),
        }
    }

    /// Whether it has a verdict.
    #[must_use]
    pub fn is_judged(&self) -> bool {
        *self != Self::NotJudged
    }
}

/// How the verdicts on a feature stand together.
#[must_use]
pub fn summary(record: &SpecimenRecord, side: Side, feature: &Feature) -> FeatureSummary {
    let given: Vec<(&State, Ruling)> = feature
        .states
        .iter()
        .filter_map(|state| Some((state, record.verdict(side, &feature.id, &state.id)?.ruling)))
        .collect();
    let agreeing: Vec<&State> = given
        .iter()
        .filter(|(_, ruling)| *ruling == Ruling::Agrees)
        .map(|(state, _)| *state)
        .collect();
    match agreeing.as_slice() {
        [] => {}
        [only] => return FeatureSummary::Agrees(only.words.clone()),
        _ => return FeatureSummary::Conflicting,
    }
    let from = given
        .iter()
        .filter(|(_, ruling)| *ruling == Ruling::Differs)
        .count();
    let why = given.iter().find_map(|(_, ruling)| match ruling {
        Ruling::CannotTell(why) => Some(*why),
        _ => None,
    });
    match (from, why) {
        (0, None) => FeatureSummary::NotJudged,
        (0, Some(why)) => FeatureSummary::CannotTell(why),
        _ => FeatureSummary::Differs {
            from,
            of: feature.states.len(),
        },
    }
}

/// A line of the list of features.
#[derive(Debug, Clone, PartialEq)]
pub struct FeatureRow {
    /// Which feature.
    pub id: FeatureId,
    /// Its question.
    pub question: String,
    /// How it stands.
    pub summary: FeatureSummary,
    /// What a verdict on it would tell, in bits; none once it is judged or where it tells nothing.
    pub gain_bits: Option<f64>,
    /// Whether no other feature, of either side, would tell more.
    pub tells_most: bool,
}

/// The features of a side in the set's order.
#[must_use]
pub fn feature_rows(
    set: &ReferenceSet,
    record: &SpecimenRecord,
    standing: &Standing,
    side: Side,
) -> Vec<FeatureRow> {
    let best = standing.next.first();
    set.side(side)
        .features
        .iter()
        .map(|feature| FeatureRow {
            id: feature.id.clone(),
            question: feature.question.clone(),
            summary: summary(record, side, feature),
            gain_bits: standing
                .next
                .iter()
                .find(|next| next.side == side && next.feature == feature.id)
                .map(|next| next.gain_bits),
            tells_most: best.is_some_and(|next| next.side == side && next.feature == feature.id),
        })
        .collect()
}

/// One state of the feature in view, as a cell of the page.
#[derive(Debug, Clone, PartialEq)]
pub struct StateCell {
    /// Its number on the page, counted from 1: the key that brings it into focus.
    pub number: usize,
    /// The state, the dies that show it and the plate to show.
    pub view: StateView,
    /// What it looks like, in words.
    pub words: String,
    /// The measure that the set states for it.
    pub stated: Option<StatedMeasure>,
    /// The verdict, where given.
    pub verdict: Option<Verdict>,
}

impl StateCell {
    /// The dies that show it, in a few words.
    fn dies_words(&self) -> String {
        match self.view.dies.as_slice() {
            [] => "on no listed die".to_owned(),
            [one] => format!("die {one}"),
            many => {
                let names: Vec<&str> = many.iter().map(|die| die.as_str()).collect();
                format!("dies {}", names.join(", "))
            }
        }
    }

    /// The dies that show it and what the set states of it.
    #[must_use]
    pub fn about_words(&self) -> String {
        match &self.stated {
            None => self.dies_words(),
            Some(stated) => format!("{}; {}", self.dies_words(), stated_words(stated)),
        }
    }
}

/// The cells of a feature in the set's order.
#[must_use]
pub fn state_cells(
    reference: &SideReference,
    record: &SpecimenRecord,
    side: Side,
    feature: &Feature,
) -> Vec<StateCell> {
    pipeline::state_views(reference, feature)
        .into_iter()
        .zip(&feature.states)
        .enumerate()
        .map(|(place, (view, state))| StateCell {
            number: place + 1,
            words: state.words.clone(),
            stated: state.stated.clone(),
            verdict: record.verdict(side, &feature.id, &state.id).cloned(),
            view,
        })
        .collect()
}

/// What a stated measure is of: "gap from stop to A".
#[must_use]
pub fn stated_what(stated: &StatedMeasure) -> &str {
    match stated {
        StatedMeasure::DistanceMm { what, .. } | StatedMeasure::AngleDeg { what, .. } => what,
    }
}

/// A stated measure in words, the value first, as what follows may be cut: "0.42 ± 0.05 mm, gap from stop to A".
#[must_use]
pub fn stated_words(stated: &StatedMeasure) -> String {
    match stated {
        StatedMeasure::DistanceMm {
            what,
            value,
            tolerance,
        } => format!("{value:.2} \u{b1} {tolerance:.2} mm, {what}"),
        StatedMeasure::AngleDeg {
            what,
            value,
            tolerance,
        } => format!("{value:.1} \u{b1} {tolerance:.1}\u{b0}, {what}"),
    }
}

/// The feature in view: the one asked for, or else the one that would tell most on this side, or else the first.
#[must_use]
pub fn feature_in_view<'a>(
    set: &'a ReferenceSet,
    standing: &Standing,
    side: Side,
    asked: Option<&FeatureId>,
) -> Option<&'a Feature> {
    let reference = set.side(side);
    asked
        .and_then(|id| reference.feature(id))
        .or_else(|| {
            let next = standing.next.iter().find(|next| next.side == side)?;
            reference.feature(&next.feature)
        })
        .or_else(|| reference.features.first())
}

/// The feature `steps` further in the set's order, both sides in a row and round again.
#[must_use]
pub fn feature_at_distance(
    set: &ReferenceSet,
    side: Side,
    feature: &FeatureId,
    steps: isize,
) -> Option<(Side, FeatureId)> {
    let all: Vec<(Side, &FeatureId)> = Side::BOTH
        .into_iter()
        .flat_map(|side| set.side(side).features.iter().map(move |f| (side, &f.id)))
        .collect();
    let here = all
        .iter()
        .position(|(s, id)| *s == side && *id == feature)?
        .cast_signed();
    let there = (here + steps).rem_euclid(all.len().cast_signed());
    all.get(there.cast_unsigned())
        .map(|(side, id)| (*side, (*id).clone()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn feature() -> Feature {
        let state = |id: &str| State {
            id: id.into(),
            words: format!("{id} words"),
            stated: None,
        };
        Feature {
            id: "stop".into(),
            question: "Where is the stop?".to_owned(),
            zone: "z".into(),
            reliability: 0.95,
            states: vec![state("near"), state("far"), state("none")],
        }
    }

    fn record(rulings: &[(&str, Ruling)]) -> SpecimenRecord {
        let set = crate::specimen::SetReference {
            id: String::new(),
            edition: 1,
            title: String::new(),
            place: String::new(),
        };
        let mut record = SpecimenRecord::new("", set);
        record
            .verdicts
            .extend(rulings.iter().map(|(state, ruling)| Verdict {
                side: Side::Obverse,
                feature: "stop".into(),
                state: (*state).into(),
                ruling: *ruling,
                note: String::new(),
                seen: None,
            }));
        record
    }

    #[test]
    fn a_feature_is_summed_up_by_its_strongest_verdict() {
        let of = |rulings: &[(&str, Ruling)]| summary(&record(rulings), Side::Obverse, &feature());
        let wear = Ruling::CannotTell(CannotTell::Wear);
        assert_eq!(of(&[]), FeatureSummary::NotJudged);
        assert_eq!(
            of(&[("near", wear)]),
            FeatureSummary::CannotTell(CannotTell::Wear)
        );
        assert_eq!(
            of(&[("near", wear), ("far", Ruling::Differs)]),
            FeatureSummary::Differs { from: 1, of: 3 }
        );
        assert_eq!(
            of(&[("far", Ruling::Differs), ("near", Ruling::Agrees)]),
            FeatureSummary::Agrees("near words".to_owned())
        );
        assert_eq!(
            of(&[("far", Ruling::Agrees), ("near", Ruling::Agrees)]),
            FeatureSummary::Conflicting
        );
        assert_eq!(
            summary(&record(&[("near", Ruling::Agrees)]), Side::Reverse, &feature()),
            FeatureSummary::NotJudged
        );
    }
}
