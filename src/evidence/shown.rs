//! Which state each die shows of each feature, as indices: looked up by name once, since large sets have a million of
//! them.

use std::collections::HashMap;

use super::observation::feature_indices;
use crate::reference::{DieId, SideReference};

/// The states shown by the dies of a side.
pub(super) struct ShownStates<'a> {
    features: usize,
    /// Row by row, a die after the other; none where the set is silent.
    states: Vec<Option<usize>>,
    dies: HashMap<&'a DieId, usize>,
}

impl<'a> ShownStates<'a> {
    pub(super) fn of(reference: &'a SideReference) -> Self {
        let indices = feature_indices(reference);
        let features = reference.features.len();
        let mut states = vec![None; reference.dies.len() * features];
        let mut dies = HashMap::new();
        for (index, die) in reference.dies.iter().enumerate() {
            dies.entry(&die.id).or_insert(index);
            for (feature, state) in &die.shows {
                if let Some(&feature) = indices.get(feature) {
                    states[index * features + feature] = reference.features[feature]
                        .states
                        .iter()
                        .position(|s| &s.id == state);
                }
            }
        }
        Self {
            features,
            states,
            dies,
        }
    }

    /// What a die shows, in the order of the features; none where the set is silent.
    pub(super) fn die(&self, index: usize) -> &[Option<usize>] {
        &self.states[index * self.features..][..self.features]
    }

    /// The index of the die of that name.
    pub(super) fn index(&self, die: &DieId) -> Option<usize> {
        self.dies.get(die).copied()
    }

    /// Whether any die shows a state of any feature.
    pub(super) fn tells_anything(&self) -> bool {
        self.states.iter().any(Option::is_some)
    }
}
