//! Merging two versions of a set: what only one changed is taken, what both changed differently stands as a conflict
//! until the user decides. Nothing is overwritten silently.

mod keys;
mod plates;
mod tree;

use std::fmt;

use serde_json::Value;

use super::ReferenceSet;
use tree::{Choices, Step};

pub use plates::{CommonStart, OpenMerge, OpenMergeError, merge_open};

/// Whose version of a part to take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Choice {
    /// That of the set at hand.
    Mine,
    /// That of the set that came.
    Theirs,
}

/// The way to a part, such as `obverse, dies, O2, shows, curls`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Way(Vec<Step>);

impl fmt::Display for Way {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words: Vec<String> = self.0.iter().map(ToString::to_string).collect();
        f.write_str(&words.join(", "))
    }
}

/// A part that both changed, each in its own way.
#[derive(Debug, Clone, PartialEq)]
pub struct Conflict {
    /// Where.
    pub way: Way,
    /// Its version in the set at hand, in words; none where it was removed there or never was.
    pub mine: Option<String>,
    /// Its version in the set that came.
    pub theirs: Option<String>,
    /// What it was before both changed it, where that is known.
    pub before: Option<String>,
}

/// A part that was taken from the set that came, without a conflict.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// Where.
    pub way: Way,
    /// What stood there; none where the part is new.
    pub mine: Option<String>,
    /// What stands there now; none where it was removed.
    pub theirs: Option<String>,
}

/// Two versions of a set put together.
#[derive(Debug, Clone, PartialEq)]
pub struct Merge {
    base: Option<Value>,
    mine: Value,
    theirs: Value,
    /// The merged set with every conflict left as it is in the set at hand.
    pub merged: ReferenceSet,
    /// What both changed differently.
    pub conflicts: Vec<Conflict>,
    /// What only the other changed, and was taken.
    pub taken: Vec<Taken>,
}

/// Why two sets cannot be merged.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MergeError {
    /// They are different coinages.
    #[error(
        "The sets \u{201c}{mine}\u{201d} and \u{201c}{theirs}\u{201d} are of different coinages and were not merged."
    )]
    DifferentSets {
        /// The id of the set at hand.
        mine: String,
        /// The id of the other.
        theirs: String,
    },
    /// A number in one of them is not finite, or the choices leave something that is no set.
    #[error("The sets could not be merged: {reason}.")]
    Unusable {
        /// Why.
        reason: String,
    },
}

/// Merges two versions of a set. With `base`, the version that both started from, a part that only one of them changed
/// or removed is taken from that one; without it, all that differs is a conflict and what only one has is kept.
///
/// # Errors
/// [`MergeError`].
pub fn merge(
    base: Option<&ReferenceSet>,
    mine: &ReferenceSet,
    theirs: &ReferenceSet,
) -> Result<Merge, MergeError> {
    if mine.id != theirs.id {
        return Err(MergeError::DifferentSets {
            mine: mine.id.clone(),
            theirs: theirs.id.clone(),
        });
    }
    let base = base
        .filter(|base| base.id == mine.id)
        .map(tree::value_of)
        .transpose()?;
    let (mine, theirs) = (tree::value_of(mine)?, tree::value_of(theirs)?);
    let outcome = tree::merge(base.as_ref(), &mine, &theirs, &Choices::default());
    Ok(Merge {
        merged: tree::set_of(outcome.merged)?,
        conflicts: outcome.conflicts,
        taken: outcome.taken,
        base,
        mine,
        theirs,
    })
}

impl Merge {
    /// The merged set with the user's choices, one for each conflict in its order; conflicts without one stay as they
    /// are in the set at hand.
    ///
    /// # Errors
    /// [`MergeError::Unusable`].
    pub fn settle(&self, choices: &[Choice]) -> Result<ReferenceSet, MergeError> {
        let theirs = self
            .conflicts
            .iter()
            .zip(choices)
            .filter(|(_, choice)| **choice == Choice::Theirs)
            .map(|(conflict, _)| conflict.way.clone())
            .collect();
        let choices = Choices { theirs };
        tree::set_of(tree::merge(self.base.as_ref(), &self.mine, &self.theirs, &choices).merged)
    }
}
