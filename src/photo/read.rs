//! Reading a photo or plate from a file or bytes.

use std::path::{Path, PathBuf};

use super::{Picture, Watch};

/// How large a picture may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReadLimits {
    /// The most pixels, width times height.
    pub most_pixels: u64,
    /// The most bytes of the file.
    pub most_bytes: u64,
}

impl Default for ReadLimits {
    fn default() -> Self {
        Self {
            most_pixels: 120_000_000,
            most_bytes: 400_000_000,
        }
    }
}

/// Why a picture could not be read. Each message is one plain sentence for the user: what happened, to which file,
/// what to do.
#[derive(Debug, thiserror::Error)]
pub enum PhotoError {
    /// The file could not be opened or read.
    #[error("The picture {} could not be read: {reason}.", file.display())]
    Unreadable {
        /// The file.
        file: PathBuf,
        /// The system's reason.
        reason: String,
    },
    /// The user cancelled.
    #[error("Reading {} was cancelled.", file.display())]
    Cancelled {
        /// The file.
        file: PathBuf,
    },
}

/// Reads a picture file: JPEG, PNG, TIFF or WebP, told by its content and not its ending; turn flag applied, colours
/// brought to sRGB by the embedded profile, transparent parts laid on white.
///
/// # Errors
/// [`PhotoError`].
pub fn read_picture_file(file: &Path, limits: &ReadLimits, watch: &Watch) -> Result<Picture, PhotoError> {
    let _ = (file, limits, watch);
    unimplemented!()
}

/// As [`read_picture_file`], from bytes; `name` stands in the messages.
///
/// # Errors
/// [`PhotoError`].
pub fn read_picture(
    name: &Path,
    bytes: &[u8],
    limits: &ReadLimits,
    watch: &Watch,
) -> Result<Picture, PhotoError> {
    let _ = (name, bytes, limits, watch);
    unimplemented!()
}
