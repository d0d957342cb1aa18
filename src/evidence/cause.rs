//! Why a die or pairing is out.

use crate::reference::{DieId, FactId, FeatureId, Side, StateId};
use crate::specimen::FactAnswer;

/// Why a die or pairing is out, or which it would have to explain away. `sentence` gives it in words.
#[derive(Debug, Clone, PartialEq)]
pub enum Cause {
    /// A fact of the coin is not one that the pairing is known with.
    Fact {
        /// The fact.
        fact: FactId,
        /// The values that the pairing is known with.
        known_with: Vec<String>,
        /// What the coin shows.
        coin: FactAnswer,
    },
    /// The coin agrees with a state that the die does not show.
    ShowsOther {
        /// The side.
        side: Side,
        /// The feature.
        feature: FeatureId,
        /// The state the coin shows.
        coin: StateId,
        /// The state the die shows.
        die: StateId,
    },
    /// The coin differs from the state that the die shows.
    Differs {
        /// The side.
        side: Side,
        /// The feature.
        feature: FeatureId,
        /// The state the die shows.
        die: StateId,
    },
    /// The pairing's die of that side is out.
    DieOut {
        /// The side.
        side: Side,
        /// The die.
        die: DieId,
    },
}
