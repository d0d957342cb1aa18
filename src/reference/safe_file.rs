//! Writing a file so that whoever opens it at any moment, also after a crash or a power cut, finds a whole version.

use std::fs::File;
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

/// Why a file could not be written. What was there before is still there.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WriteError {
    /// The folder or file may not be written to.
    #[error(
        "{} could not be saved, because its folder may not be written to: make it writable or save elsewhere. What \
         was saved before is untouched.",
        file.display()
    )]
    ReadOnly {
        /// The file.
        file: PathBuf,
    },
    /// The disk, or the user's share of it, is full.
    #[error(
        "{} could not be saved, because no room is left on the disk: make room and save again. What was saved \
         before is untouched.",
        file.display()
    )]
    DiskFull {
        /// The file.
        file: PathBuf,
    },
    /// The folder is gone.
    #[error(
        "{} could not be saved, because its folder is not there any more: bring it back or save elsewhere.",
        file.display()
    )]
    NoFolder {
        /// The file.
        file: PathBuf,
    },
    /// Another reason.
    #[error("{} could not be saved: {reason}. What was saved before is untouched.", file.display())]
    Other {
        /// The file.
        file: PathBuf,
        /// The system's reason.
        reason: String,
    },
}

impl WriteError {
    pub(crate) fn new(file: &Path, error: &io::Error) -> Self {
        let file = file.to_owned();
        match error.kind() {
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => WriteError::ReadOnly { file },
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
                WriteError::DiskFull { file }
            }
            ErrorKind::NotFound | ErrorKind::NotADirectory => WriteError::NoFolder { file },
            _ => WriteError::Other {
                file,
                reason: error.to_string(),
            },
        }
    }
}

/// The start of the names of files that are being written; a crash may leave one behind.
const UNFINISHED_PREFIX: &str = ".dietell-unfinished-";

/// Puts a whole new version in the place of a file: written beside it, flushed to disk, renamed over it, and the
/// folder flushed. The file exists whole, old or new, at every moment.
///
/// # Errors
/// [`WriteError`]; the old version is then untouched.
pub fn replace(file: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    replace_io(file, |unfinished| unfinished.write_all(bytes)).map_err(|error| WriteError::new(file, &error))
}

/// As [`replace`], and what stood there before stays as `previous`; whole, old or new, at every moment, too.
///
/// # Errors
/// [`WriteError`]; the old version is then untouched.
pub fn replace_keeping(file: &Path, bytes: &[u8], previous: &Path) -> Result<(), WriteError> {
    let keep = || -> io::Result<()> {
        match std::fs::read(file) {
            Ok(old) => replace_io(previous, |unfinished| unfinished.write_all(&old)),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
            Err(error) => Err(error),
        }
    };
    keep().map_err(|error| WriteError::new(file, &error))?;
    replace(file, bytes)
}

/// Removes what an interrupted write left in a folder; what cannot be removed does no harm.
pub fn sweep_unfinished(folder: &Path) {
    /// Younger ones may belong to a program that is writing just now.
    const OLD_ENOUGH_S: u64 = 3600;
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let ours = entry.file_name().to_string_lossy().starts_with(UNFINISHED_PREFIX);
        let age = entry
            .metadata()
            .and_then(|m| m.modified())
            .ok()
            .and_then(|t| t.elapsed().ok());
        if ours && age.is_some_and(|age| age.as_secs() > OLD_ENOUGH_S) {
            // Left for the next time where it cannot be removed.
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

fn replace_io(file: &Path, write: impl FnOnce(&mut File) -> io::Result<()>) -> io::Result<()> {
    let mut unfinished = Unfinished::begin(file)?;
    write(unfinished.file())?;
    unfinished.finish()
}

/// A file while it is being written beside the one whose place it will take; removed where it is not finished.
pub(crate) struct Unfinished<'a> {
    target: &'a Path,
    folder: &'a Path,
    unfinished: tempfile::NamedTempFile,
}

impl<'a> Unfinished<'a> {
    pub(crate) fn begin(target: &'a Path) -> io::Result<Self> {
        let folder = folder_of(target);
        let unfinished = tempfile::Builder::new()
            .prefix(UNFINISHED_PREFIX)
            .suffix(".tmp")
            .tempfile_in(folder)?;
        Ok(Self {
            target,
            folder,
            unfinished,
        })
    }

    pub(crate) fn file(&mut self) -> &mut File {
        self.unfinished.as_file_mut()
    }

    pub(crate) fn path(&self) -> &Path {
        self.unfinished.path()
    }

    pub(crate) fn finish(self) -> io::Result<()> {
        share(self.unfinished.as_file())?;
        self.unfinished.as_file().sync_all()?;
        self.unfinished
            .persist(self.target)
            .map_err(|error| error.error)?;
        flush_folder(self.folder)
    }
}

/// A folder while it is being filled beside the place that it will take; removed where it is not finished.
pub(crate) fn unfinished_folder(target: &Path) -> io::Result<tempfile::TempDir> {
    tempfile::Builder::new()
        .prefix(UNFINISHED_PREFIX)
        .tempdir_in(folder_of(target))
}

/// Puts a filled folder in its place, which must be free or an empty folder.
pub(crate) fn finish_folder(unfinished: tempfile::TempDir, target: &Path) -> io::Result<()> {
    if target.is_dir() {
        // Fails where it is not empty.
        std::fs::remove_dir(target)?;
    }
    share_folder(unfinished.path())?;
    std::fs::rename(unfinished.path(), target)?;
    // It is at home now, and must not be removed from where it was.
    let _ = unfinished.keep();
    flush_folder(folder_of(target))
}

fn folder_of(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// A temporary file is private to its user at first; the record shall be as readable as other files are.
#[cfg(unix)]
fn share(file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(unix)]
fn share_folder(folder: &Path) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    std::fs::set_permissions(folder, std::fs::Permissions::from_mode(0o755))
}

#[cfg(not(unix))]
fn share_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(not(unix))]
fn share(_file: &File) -> io::Result<()> {
    Ok(())
}

/// Makes a rename last through a power cut. Systems without folders as files do it on their own.
#[cfg(unix)]
fn flush_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
fn flush_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}
