//! Finding the photo of another coin that a comparison was made with.

use std::path::PathBuf;

use super::{Notice, OtherSpecimen, SpecimenError, SpecimenFolder};
use crate::reference::Side;

/// Why the photo of another coin is not to be had. Each message is a sentence for the user.
#[derive(Debug, thiserror::Error)]
pub enum OtherPhotoError {
    /// Its specimen cannot be opened.
    #[error("The other coin is not to be had: {0}")]
    Specimen(#[from] SpecimenError),
    /// The photo's file is missing, changed or unreadable.
    #[error("The other coin is not to be had: {0}")]
    File(#[from] Notice),
    /// It has another photo of the side now, or none.
    #[error("The other coin has another {} photo now than the one compared with.", side.word())]
    OtherPhoto {
        /// The side.
        side: Side,
    },
}

impl SpecimenFolder {
    /// The file of the photo that a comparison of a side was made with, in the other specimen's own folder.
    ///
    /// # Errors
    /// [`OtherPhotoError`].
    pub fn other_photo(&self, side: Side, other: &OtherSpecimen) -> Result<PathBuf, OtherPhotoError> {
        // An absolute place stays what it is.
        let opened = SpecimenFolder::open_unchecked(&self.path().join(&other.place))?;
        let photo = opened
            .record
            .photo(side)
            .filter(|photo| photo.sha256 == other.sha256)
            .ok_or(OtherPhotoError::OtherPhoto { side })?;
        Ok(opened.folder.check_photo(side, photo)?)
    }
}
