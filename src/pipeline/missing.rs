//! Why something cannot be shown.

use crate::align::AlignError;
use crate::photo::PhotoError;
use crate::problem::Problem;
use crate::reference::{DieId, SetError, Side, ZoneId};
use crate::specimen::{Notice, OtherPhotoError};
use crate::words::plate_not_aligned;

/// Why a picture, an alignment or a crop cannot be had: the same in the window, the verbs and on the sheet. Each message
/// is a sentence for the user.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Missing {
    /// The side was not photographed.
    #[error("There is no {} photo yet.", .0.word())]
    NoPhoto(Side),
    /// The other coin's side was not photographed.
    #[error("The other coin has no {} photo yet.", .0.word())]
    NoOtherPhoto(Side),
    /// A photo's file is gone, changed or out of reach.
    #[error(transparent)]
    PhotoFile(#[from] Notice),
    /// The photo's landmarks do not align it.
    #[error(transparent)]
    NotAligned(#[from] AlignError),
    /// The set's landmarks do not align a plate.
    #[error("{}", plate_not_aligned(.0))]
    PlateNotAligned(AlignError),
    /// The set lists no such plate.
    #[error("The set lists no plate {} of the {} die {die}.", number + 1, side.word())]
    NoPlate {
        /// The side.
        side: Side,
        /// The die.
        die: DieId,
        /// Which of its plates, counted from 0.
        number: usize,
    },
    /// The set stands in for one that is gone, and has no plates.
    #[error("The plate {file} could not be read: the set's plates are not at their place any more.")]
    PlatesGone {
        /// The plate's file, as the set names it.
        file: String,
    },
    /// The set has no such zone.
    #[error("The set has no zone {0} on this side.")]
    NoZone(ZoneId),
    /// Nothing of the zone is on the picture.
    #[error("The zone lies outside the photo.")]
    OutsidePhoto,
    /// Another coin cannot be looked into: its specimen was never saved beside this one.
    #[error("The other coin is not to be had: this coin has no folder to find it from.")]
    NoFolder,
    /// The coin's photo is another one than was looked at.
    #[error("This coin has another photo now.")]
    PhotoReplaced,
    /// The other coin's photo is another one than was looked at.
    #[error("The other coin has another photo now.")]
    OtherPhotoReplaced,
    /// What was kept of a crop makes no transform.
    #[error("What was kept of this crop cannot be read.")]
    BadRecord,
    /// A file could not be read.
    #[error("{0}")]
    Unreadable(Problem),
    /// The user stopped it.
    #[error("Reading the picture was stopped.")]
    Stopped,
}

impl From<PhotoError> for Missing {
    fn from(error: PhotoError) -> Self {
        match error {
            PhotoError::Cancelled { .. } => Self::Stopped,
            error => Self::Unreadable(error.into()),
        }
    }
}

impl From<SetError> for Missing {
    fn from(error: SetError) -> Self {
        Self::Unreadable(error.into())
    }
}

impl From<OtherPhotoError> for Missing {
    fn from(error: OtherPhotoError) -> Self {
        Self::Unreadable(error.into())
    }
}
