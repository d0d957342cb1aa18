//! Why a picture could not be read.

use std::io;
use std::path::{Path, PathBuf};

/// Why a picture could not be read. Each message is one plain sentence for the user: what happened, to which file,
/// what to do.
#[derive(Debug, thiserror::Error)]
pub enum PhotoError {
    /// There is no such file.
    #[error("The picture {} is not there: it was moved or deleted; put it back or choose another.", file.display())]
    Missing {
        /// The file.
        file: PathBuf,
    },
    /// A folder, a device or a pipe was given.
    #[error("{} is not a file but a folder or a device; choose the picture file itself.", file.display())]
    NotAFile {
        /// What was given.
        file: PathBuf,
    },
    /// The system does not let this user read the file.
    #[error("The picture {} may not be read by you; ask for the right to read it, or copy it elsewhere.", file.display())]
    NotAllowed {
        /// The file.
        file: PathBuf,
    },
    /// The file could not be opened or read for another reason.
    #[error("The picture {} could not be read ({reason}); try again, or copy it to this computer first.", file.display())]
    Unreadable {
        /// The file.
        file: PathBuf,
        /// The system's reason.
        reason: String,
    },
    /// The file holds nothing.
    #[error("The picture {} is empty (0 bytes); copy it again from the camera or phone.", file.display())]
    Empty {
        /// The file.
        file: PathBuf,
    },
    /// The file is larger than the limit.
    #[error(
        "The picture {} is larger than {} MB, the most that is read; save a smaller copy as JPEG.",
        file.display(),
        most_bytes / 1_000_000
    )]
    TooManyBytes {
        /// The file.
        file: PathBuf,
        /// The limit in bytes.
        most_bytes: u64,
    },
    /// The picture has more pixels than the limit.
    #[error(
        "The picture {} says it is {width} x {height} px, more than the {} megapixels that are read; save a smaller \
         copy.",
        file.display(),
        most_pixels / 1_000_000
    )]
    TooManyPixels {
        /// The file.
        file: PathBuf,
        /// Its stated width in px.
        width: u64,
        /// Its stated height in px.
        height: u64,
        /// The limit on width times height.
        most_pixels: u64,
    },
    /// Not a picture, whatever its name ends in.
    #[error(
        "{} is not a picture, whatever its name says: its content is {found}; choose a JPEG, PNG, TIFF or WebP file.",
        file.display()
    )]
    NotAPicture {
        /// The file.
        file: PathBuf,
        /// What it seems to be.
        found: &'static str,
    },
    /// A picture of a kind that is known and not read.
    #[error("{} is a {kind} picture, which cannot be opened here: {advice}.", file.display())]
    OtherKind {
        /// The file.
        file: PathBuf,
        /// The kind's name.
        kind: &'static str,
        /// How to convert it.
        advice: &'static str,
    },
    /// The file ends before the picture does.
    #[error(
        "The picture {} is cut short: the file ends before the picture does; copy it again from the camera or phone.",
        file.display()
    )]
    Truncated {
        /// The file.
        file: PathBuf,
    },
    /// The header promises more than the file can hold.
    #[error(
        "The picture {} says it is {width} x {height} px but holds too little data for that ({bytes} bytes); the file \
         is damaged, copy it again from the camera or phone.",
        file.display()
    )]
    SizeMismatch {
        /// The file.
        file: PathBuf,
        /// Its stated width in px.
        width: u64,
        /// Its stated height in px.
        height: u64,
        /// The file's length.
        bytes: u64,
    },
    /// The data break the format's rules.
    #[error(
        "The picture {} is damaged ({reason}); copy it again from the camera or phone, or save it anew as PNG.",
        file.display()
    )]
    Damaged {
        /// The file.
        file: PathBuf,
        /// What the decoder says.
        reason: String,
    },
    /// A variant of the format that the decoder does not know.
    #[error(
        "The picture {} uses a rare variant of its format ({reason}); save it anew as an ordinary JPEG or PNG.",
        file.display()
    )]
    Unsupported {
        /// The file.
        file: PathBuf,
        /// What the decoder says.
        reason: String,
    },
    /// The user cancelled.
    #[error("Reading {} was cancelled.", file.display())]
    Cancelled {
        /// The file.
        file: PathBuf,
    },
}

impl PhotoError {
    /// The variant that fits an error of the system.
    pub(super) fn from_io(file: &Path, error: &io::Error) -> Self {
        let file = file.to_path_buf();
        match error.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => Self::Missing { file },
            io::ErrorKind::IsADirectory => Self::NotAFile { file },
            io::ErrorKind::PermissionDenied => Self::NotAllowed { file },
            _ => Self::Unreadable {
                file,
                reason: error.to_string(),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Tests may run as root, whom no file refuses: the mapping is checked by itself.
    #[test]
    fn a_refusal_by_the_system_is_told_apart() {
        let error = PhotoError::from_io(Path::new("a.jpg"), &io::ErrorKind::PermissionDenied.into());
        assert!(matches!(error, PhotoError::NotAllowed { .. }));
        let error = PhotoError::from_io(Path::new("a.jpg"), &io::Error::other("disk on fire"));
        assert!(error.to_string().contains("a.jpg") && error.to_string().contains("disk on fire"));
    }
}
