//! What the verdicts on one feature say of the state that the coin shows.
//!
//! Behind all the verdicts on one feature stands one look at one zone, in which the user read some state. 'Agrees'
//! with s says that s was read, 'differs' from s that something else was, 'cannot tell' says nothing. Together they
//! leave a set of states that may have been read; the verdicts of one feature are therefore never multiplied with each
//! other. Where no state is left (the coin differs from every state, or two verdicts contradict one another), the coin
//! is taken to show one state more that the set does not list.

use std::collections::HashMap;

use crate::reference::{Feature, FeatureId, Side, SideReference};
use crate::specimen::{Ruling, Verdict};

/// What the verdicts on one feature amount to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Observation {
    agreed: Vec<bool>,
    differed: Vec<bool>,
    unclear: Vec<bool>,
}

impl Observation {
    fn of_none(feature: &Feature) -> Self {
        let none = vec![false; feature.states.len()];
        Self {
            agreed: none.clone(),
            differed: none.clone(),
            unclear: none,
        }
    }

    fn take(&mut self, state: usize, ruling: Ruling) {
        let marks = match ruling {
            Ruling::Agrees => &mut self.agreed,
            Ruling::Differs => &mut self.differed,
            Ruling::CannotTell(_) => &mut self.unclear,
        };
        marks[state] = true;
    }

    /// Whether any verdict tells something.
    pub(super) fn informative(&self) -> bool {
        self.agreed.iter().chain(&self.differed).any(|&mark| mark)
    }

    /// Whether the verdicts contradict one another: two states agreed with, or one both agreed with and differed from.
    pub(super) fn conflicting(&self) -> bool {
        self.agreed.iter().filter(|&&mark| mark).count() > 1
            || self
                .agreed
                .iter()
                .zip(&self.differed)
                .any(|(&agreed, &differed)| agreed && differed)
    }

    /// Whether the user found that something cannot be told here.
    pub(super) fn unclear(&self) -> bool {
        self.unclear.iter().any(|&mark| mark)
    }

    /// Whether a further look is not asked for: a state was agreed with, the user could not tell, or each state has
    /// its verdict.
    pub(super) fn closed(&self) -> bool {
        self.unclear()
            || self.agreed.iter().any(|&mark| mark)
            || (!self.differed.is_empty() && self.differed.iter().all(|&mark| mark))
    }

    /// The states that may have been read, by index.
    pub(super) fn possible(&self) -> impl Iterator<Item = usize> {
        let agreed: Vec<usize> = marked(&self.agreed).collect();
        (0..self.differed.len())
            .filter(move |&state| !self.differed[state] && (agreed.is_empty() || agreed == [state]))
    }

    /// The states agreed with, by index.
    pub(super) fn agreed(&self) -> impl Iterator<Item = usize> {
        marked(&self.agreed)
    }

    /// Whether a verdict speaks against a die that shows that state.
    pub(super) fn contradicts(&self, shown: usize) -> bool {
        self.differed[shown] || self.agreed().any(|state| state != shown)
    }

    /// Whether the coin differs from that state.
    pub(super) fn differs_from(&self, state: usize) -> bool {
        self.differed[state]
    }

    /// How many verdicts speak for a die that shows that state.
    pub(super) fn supporting(&self, shown: usize) -> usize {
        usize::from(self.agreed[shown]) + marked(&self.differed).filter(|&state| state != shown).count()
    }
}

fn marked(marks: &[bool]) -> impl Iterator<Item = usize> {
    marks
        .iter()
        .enumerate()
        .filter_map(|(index, &mark)| mark.then_some(index))
}

/// The index of each feature of a side, by its name.
pub(super) fn feature_indices(reference: &SideReference) -> HashMap<&FeatureId, usize> {
    let features = reference.features.iter().enumerate();
    features.map(|(index, feature)| (&feature.id, index)).collect()
}

/// The observations of one side, in the order of its features. Verdicts on parts that the side does not have are
/// passed over.
pub(super) fn observations(side: Side, reference: &SideReference, verdicts: &[Verdict]) -> Vec<Observation> {
    let indices = feature_indices(reference);
    let mut observed: Vec<Observation> = reference.features.iter().map(Observation::of_none).collect();
    for verdict in verdicts.iter().filter(|verdict| verdict.side == side) {
        let Some(&index) = indices.get(&verdict.feature) else {
            continue;
        };
        let states = &reference.features[index].states;
        if let Some(state) = states.iter().position(|state| state.id == verdict.state) {
            observed[index].take(state, verdict.ruling);
        }
    }
    observed
}
