//! What can go wrong with a specimen's files.

use std::path::PathBuf;

use crate::files::text::{TextError, UnwritableText};
use crate::files::{PathFault, ReadError, WriteError};

/// Why a specimen could not be opened or saved. Each message is a sentence for the user.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SpecimenError {
    /// The text of `specimen.ron`.
    #[error(transparent)]
    Text(#[from] TextError),
    /// A file could not be read.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// A file could not be written; what was saved before is untouched.
    #[error(transparent)]
    Write(#[from] WriteError),
    /// No specimen is in the folder.
    #[error("No specimen is in {}: choose a folder that holds specimen.ron.", folder.display())]
    NotASpecimen {
        /// The folder.
        folder: PathBuf,
    },
    /// The folder for a new specimen is in use.
    #[error("{} already holds files: choose a new or empty folder for the specimen.", folder.display())]
    FolderInUse {
        /// The folder.
        folder: PathBuf,
    },
    /// The photo's name in the record leads out of the folder.
    #[error("The photo \u{201c}{name}\u{201d} was not opened: {fault}.")]
    PhotoPath {
        /// The name.
        name: String,
        /// What is wrong with it.
        fault: PathFault,
    },
    /// The record cannot be put in words, which happens only for numbers that are not finite.
    #[error("The specimen cannot be saved: {0}")]
    Unwritable(#[from] UnwritableText),
    /// A path that cannot be written down.
    #[error(
        "The path {} cannot be written down, because it has bytes that are no Unicode text: rename its folder or file.",
        path.display()
    )]
    SetPath {
        /// The path.
        path: std::path::PathBuf,
    },
    /// The program was built without the demo coins.
    #[error("This build of Dietell carries no demo coin: build it from a full copy of its sources.")]
    NoDemo,
    /// The set to attribute with could not be opened.
    #[error(transparent)]
    Set(#[from] crate::reference::SetError),
}
