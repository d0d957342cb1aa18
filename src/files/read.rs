//! Opening and reading with a guard: only regular files, and never more bytes than the caller has a use for.

use std::fs::File;
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};

/// Why a file could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// It is not there.
    #[error("{} could not be read, because it is not there: put it back, or choose another.", file.display())]
    Missing {
        /// The file.
        file: PathBuf,
    },
    /// A folder, a device or a pipe.
    #[error("{} is not a file but a folder, a device or a pipe: choose the file itself.", file.display())]
    NotAFile {
        /// What was given.
        file: PathBuf,
    },
    /// The user may not read it.
    #[error("{} may not be read by you: ask for the right to read it, or copy it elsewhere.", file.display())]
    NotAllowed {
        /// The file.
        file: PathBuf,
    },
    /// Larger than any honest file of its kind.
    #[error(
        "{} is larger than {} MB and was not read: it is not the right file, or damaged.",
        file.display(),
        most_bytes / 1_000_000
    )]
    TooLarge {
        /// The file.
        file: PathBuf,
        /// The most bytes that are read.
        most_bytes: u64,
    },
    /// Another reason.
    #[error("{} could not be read: {reason}. Check that it is there and may be read.", file.display())]
    Other {
        /// The file.
        file: PathBuf,
        /// The system's reason.
        reason: String,
    },
}

impl ReadError {
    pub(crate) fn new(file: &Path, error: &io::Error) -> Self {
        let file = file.to_owned();
        match error.kind() {
            ErrorKind::NotFound | ErrorKind::NotADirectory => Self::Missing { file },
            ErrorKind::IsADirectory => Self::NotAFile { file },
            ErrorKind::PermissionDenied => Self::NotAllowed { file },
            _ => Self::Other {
                file,
                reason: error.to_string(),
            },
        }
    }

    /// Whether the file is simply not there, which every other error leaves open.
    #[must_use]
    pub fn is_missing(&self) -> bool {
        matches!(self, Self::Missing { .. })
    }
}

/// Opens a regular file for reading.
///
/// # Errors
/// [`ReadError`]: for a folder, a device or a pipe, too.
pub fn open(file: &Path) -> Result<File, ReadError> {
    let fail = |error: io::Error| ReadError::new(file, &error);
    // Asked before opening: opening a pipe would wait for its other end.
    if !std::fs::metadata(file).map_err(fail)?.is_file() {
        return Err(ReadError::NotAFile {
            file: file.to_owned(),
        });
    }
    File::open(file).map_err(fail)
}

/// Reads a regular file of at most `most_bytes`.
///
/// # Errors
/// [`ReadError`].
pub fn read(file: &Path, most_bytes: u64) -> Result<Vec<u8>, ReadError> {
    let mut bytes = Vec::new();
    // One byte more than allowed tells a file that is too large, whatever size it claims.
    open(file)?
        .take(most_bytes + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| ReadError::new(file, &error))?;
    if bytes.len() as u64 > most_bytes {
        return Err(ReadError::TooLarge {
            file: file.to_owned(),
            most_bytes,
        });
    }
    Ok(bytes)
}

/// As [`read`]; none where the file is not there.
///
/// # Errors
/// [`ReadError`].
pub fn read_if_there(file: &Path, most_bytes: u64) -> Result<Option<Vec<u8>>, ReadError> {
    match read(file, most_bytes) {
        Err(ReadError::Missing { .. }) => Ok(None),
        other => other.map(Some),
    }
}

/// Whether a file or folder is there.
///
/// # Errors
/// [`ReadError`] where that cannot be told, which is not the same as not being there.
pub fn is_there(file: &Path) -> Result<bool, ReadError> {
    file.try_exists().map_err(|error| ReadError::new(file, &error))
}

/// The most entries of a folder that are looked at.
const MOST_ENTRIES: usize = 100_000;

/// The paths of what a folder holds, in no order.
///
/// # Errors
/// [`ReadError`].
pub fn list(folder: &Path) -> Result<Vec<PathBuf>, ReadError> {
    std::fs::read_dir(folder)
        .and_then(|entries| {
            entries
                .take(MOST_ENTRIES)
                .map(|entry| Ok(entry?.path()))
                .collect()
        })
        .map_err(|error| ReadError::new(folder, &error))
}
