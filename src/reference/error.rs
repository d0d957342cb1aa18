//! What can go wrong with a set's files.

use std::path::PathBuf;

use crate::files::text::{TextError, UnwritableText};
use crate::files::{OutError, PathFault, ReadError, WriteError};
use crate::photo::AnonymousError;

/// Why a set, or a part of it, could not be read or written. Each message is a sentence for the user: what happened,
/// to which file, what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SetError {
    /// The text of `set.ron`.
    #[error(transparent)]
    Text(#[from] TextError),
    /// A file could not be read.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// A file may not be written.
    #[error(transparent)]
    Out(#[from] OutError),
    /// A file could not be written.
    #[error(transparent)]
    Write(#[from] WriteError),
    /// Neither a folder with `set.ron` nor a packed set is there.
    #[error(
        "No reference set is at {}: choose a folder that holds set.ron, a packed set (.dieset), or \
         \u{201c}demo\u{201d}.",
        place.display()
    )]
    NotASet {
        /// Where it was looked for.
        place: PathBuf,
    },
    /// The program was built without the demo set.
    #[error("This build of Dietell carries no demo set: build it from a full copy of its sources.")]
    NoDemo,
    /// More of something than a set may hold.
    #[error("{} holds {found} {what}; at most {most} are read. Split the set.", file.display())]
    TooMany {
        /// The file.
        file: PathBuf,
        /// What there is too much of.
        what: String,
        /// How many there are.
        found: usize,
        /// The most allowed.
        most: usize,
    },
    /// A name is too long.
    #[error("{}: the {what} \u{201c}{start}\u{2026}\u{201d} is longer than {most} characters: shorten it.", file.display())]
    NameTooLong {
        /// The file.
        file: PathBuf,
        /// What the name is of.
        what: String,
        /// How the name starts.
        start: String,
        /// The most characters.
        most: usize,
    },
    /// A plate's path is unusable.
    #[error("The plate \u{201c}{plate}\u{201d} was not opened: {fault}.")]
    PlatePath {
        /// The path as the set gives it.
        plate: String,
        /// What is wrong with it.
        fault: PathFault,
    },
    /// A plate's file is missing.
    #[error(
        "The plate \u{201c}{plate}\u{201d} is missing from {}: put the picture back, or take the plate out of \
         the set.",
        place.display()
    )]
    PlateMissing {
        /// The path as the set gives it.
        plate: String,
        /// The set's place.
        place: PathBuf,
    },
    /// A plate's file is not given away.
    #[error("The plate \u{201c}{plate}\u{201d} was not packed: {reason}.")]
    PlateKept {
        /// The path as the set gives it.
        plate: String,
        /// Why.
        reason: AnonymousError,
    },
    /// The user stopped it.
    #[error("It was stopped before it was done; nothing was changed.")]
    Stopped,
    /// The folder for a new set is in use.
    #[error("{} already holds files: choose a new or empty folder for the set.", folder.display())]
    FolderInUse {
        /// The folder.
        folder: PathBuf,
    },
    /// The pictures together are too large.
    #[error(
        "The pictures of {} are larger than {} GB together: make them smaller or split the set.",
        place.display(),
        most_bytes / 1_000_000_000
    )]
    TooManyBytes {
        /// The set's place.
        place: PathBuf,
        /// The most bytes.
        most_bytes: u64,
    },
    /// The set cannot be put in words, which happens only for numbers that are not finite.
    #[error("The set cannot be saved: {0}")]
    Unwritable(#[from] UnwritableText),
    /// A packed set is broken or hostile.
    #[error("The packed set {} was refused: {reason}.", file.display())]
    Pack {
        /// The file.
        file: PathBuf,
        /// What is wrong and what to do.
        reason: String,
    },
}
