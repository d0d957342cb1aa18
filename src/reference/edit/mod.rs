//! Changes to a set that keep it consistent: what is renamed is renamed wherever it is named, and what hangs on a
//! removed part goes with it and is told.

mod remove;
mod rename;

pub use remove::{consequences_of_removing, remove};
pub use rename::{may_rename, rename};

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
