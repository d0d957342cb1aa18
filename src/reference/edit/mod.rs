//! Changes to a set that keep it consistent: what is renamed is renamed wherever it is named, and what hangs on a
//! removed part goes with it and is told.

mod add;
mod remove;
mod rename;
mod set;

pub use add::{
    add_answer, add_die, add_fact, add_feature, add_landmark, add_pairing, add_rarity_band, add_state,
    add_zone, next_die_id,
};
pub use remove::{consequences_of_removing, remove};
pub use rename::{may_rename, rename};
pub use set::{move_landmark, set_answer, set_fact, set_shown, shape_zone};

use super::validate::Place;

/// Why a change to a set is refused. Each message is a sentence for the user.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The part is not there.
    #[error("The set has no {place}.")]
    NotThere {
        /// The part.
        place: Place,
    },
    /// The new name is taken.
    #[error("The name \u{201c}{name}\u{201d} is taken: choose another.")]
    NameTaken {
        /// The name.
        name: String,
    },
    /// The new name is empty or too long.
    #[error("A name has 1 to {most} characters.", most = crate::files::limits::MOST_NAME_CHARACTERS)]
    BadName,
    /// The part has no name of its own, or is not one that can be taken out.
    #[error("That cannot be done to {place}.")]
    Impossible {
        /// The part.
        place: Place,
    },
}
