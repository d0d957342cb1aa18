//! The dies: which state of each feature a die has. The relief and the reference set are both made from this.

use std::collections::BTreeMap;

use dietell::reference::{DieId, FeatureId, Side, StateId};

/// A die as it was cut: the state it has of every feature, and for a reverse the date and mint mark.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DieDesign {
    /// Its side.
    pub side: Side,
    /// Its name in the demo set.
    pub id: DieId,
    /// The state it has of every feature of its side.
    pub states: BTreeMap<FeatureId, StateId>,
    /// The date in the exergue (reverse dies).
    pub date: String,
    /// The mint mark under the date (reverse dies): `none`, `star` or `K`.
    pub mint_mark: String,
}

impl DieDesign {
    /// The same die with one feature in another state: for pictures that differ in that feature only.
    #[must_use]
    pub fn with_state(&self, feature: &FeatureId, state: &StateId) -> Self {
        let mut changed = self.clone();
        changed.states.insert(feature.clone(), state.clone());
        changed
    }

    /// The value that belongs to this die's state of a feature; the first where it has none of those listed.
    pub(super) fn pick<T: Copy>(&self, feature: &str, by_state: &[(&str, T)]) -> T {
        let state = self
            .states
            .get(&FeatureId::from(feature))
            .map_or("", StateId::as_str);
        by_state
            .iter()
            .find(|(name, _)| *name == state)
            .unwrap_or(&by_state[0])
            .1
    }
}

/// The features of the obverse, in the order of [`OBVERSE_DIES`].
const OBVERSE_FEATURES: [&str; 8] = [
    "first-stop",
    "septum",
    "lower-wave",
    "lip-beads",
    "teeth-at-y",
    "e-height",
    "u-cut",
    "crack",
];

const OBVERSE_DIES: [(&str, [&str; 8]); 5] = [
    (
        "O1",
        [
            "near-r", "closed", "thin", "whole", "four", "level", "single", "none",
        ],
    ),
    (
        "O2",
        [
            "central", "closed", "heavy", "whole", "four", "high", "single", "none",
        ],
    ),
    // Differs from O2 in the septum alone.
    (
        "O3",
        [
            "central", "open", "heavy", "whole", "four", "high", "single", "none",
        ],
    ),
    (
        "O4",
        [
            "near-t", "open", "thin", "lacking", "five", "high", "doubled", "none",
        ],
    ),
    (
        "O5",
        [
            "near-r", "closed", "heavy", "lacking", "five", "level", "doubled", "cracked",
        ],
    ),
];

/// The features of the reverse, in the order of [`REVERSE_DIES`].
const REVERSE_FEATURES: [&str; 8] = [
    "leaf",
    "cage-bar",
    "flame",
    "last-numeral",
    "exergue-line",
    "a-of-varn",
    "teeth-at-f",
    "collar-rivets",
];

const REVERSE_DIES: [(&str, [&str; 8], &str, &str); 5] = [
    (
        "R1",
        [
            "present", "whole", "lined", "clean", "short", "barred", "four", "three",
        ],
        "412",
        "none",
    ),
    (
        "R2",
        [
            "present", "broken", "lined", "clean", "touching", "barred", "five", "three",
        ],
        "412",
        "star",
    ),
    (
        "R3",
        [
            "lacking", "whole", "plain", "clean", "touching", "unbarred", "four", "two",
        ],
        "415",
        "star",
    ),
    (
        "R4",
        [
            "lacking", "broken", "plain", "clean", "short", "barred", "five", "two",
        ],
        "417",
        "K",
    ),
    // Differs from R4 in the recut numeral alone.
    (
        "R5",
        [
            "lacking", "broken", "plain", "recut", "short", "barred", "five", "two",
        ],
        "417",
        "K",
    ),
];

/// The dies of one side, in the order of the demo set.
#[must_use]
pub fn dies(side: Side) -> Vec<DieDesign> {
    let states = |features: &[&str; 8], states: &[&str; 8]| {
        features
            .iter()
            .zip(states)
            .map(|(f, s)| (FeatureId::from(*f), StateId::from(*s)))
            .collect()
    };
    match side {
        Side::Obverse => OBVERSE_DIES
            .iter()
            .map(|(id, shown)| DieDesign {
                side,
                id: DieId::from(*id),
                states: states(&OBVERSE_FEATURES, shown),
                date: String::new(),
                mint_mark: String::new(),
            })
            .collect(),
        Side::Reverse => REVERSE_DIES
            .iter()
            .map(|(id, shown, date, mark)| DieDesign {
                side,
                id: DieId::from(*id),
                states: states(&REVERSE_FEATURES, shown),
                date: (*date).to_owned(),
                mint_mark: (*mark).to_owned(),
            })
            .collect(),
    }
}
