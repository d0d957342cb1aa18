//! Writing a file so that whoever opens it at any moment, also after a crash or a power cut, finds a whole version.

use std::fs::File;
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use super::log::OrLog;
use super::names::LOCK_FILE;
use super::read::{ReadError, list};

/// Why a file could not be written. What was there before is still there.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WriteError {
    /// The folder or file may not be written to.
    #[error(
        "{} could not be written, because its folder may not be written to: make it writable or save elsewhere. What \
         was saved before is untouched.",
        file.display()
    )]
    ReadOnly {
        /// The file.
        file: PathBuf,
    },
    /// The disk, or the user's share of it, is full.
    #[error(
        "{} could not be written, because no room is left on the disk: make room and save again. What was saved \
         before is untouched.",
        file.display()
    )]
    DiskFull {
        /// The file.
        file: PathBuf,
    },
    /// The folder is gone.
    #[error(
        "{} could not be written, because its folder is not there any more: bring it back or save elsewhere.",
        file.display()
    )]
    NoFolder {
        /// The file.
        file: PathBuf,
    },
    /// A link stands where a folder of the user's work should be.
    #[error(
        "{} was not written, because {} is a link or a file where a folder belongs: put a folder in its place.",
        file.display(),
        at.display()
    )]
    Linked {
        /// The file.
        file: PathBuf,
        /// The link.
        at: PathBuf,
    },
    /// Another program does not finish saving.
    #[error(
        "{} could not be written, because another program is saving there and does not finish: end it and save again. \
         What was saved before is untouched.",
        file.display()
    )]
    Busy {
        /// The file.
        file: PathBuf,
    },
    /// The file system knows no locks, without which two programs could undo each other's changes unseen.
    #[error(
        "{} could not be written, because its disk or network folder cannot keep two programs apart (it knows no file \
         locks): copy the folder to a disk of this computer.",
        file.display()
    )]
    NoLocks {
        /// The file.
        file: PathBuf,
    },
    /// Another reason.
    #[error("{} could not be written: {reason}. What was saved before is untouched.", file.display())]
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

/// As [`replace`] for a file in or below a folder, whose folders are made where they are not there: through no link, so
/// that a folder from a stranger cannot have anything written outside it.
///
/// # Errors
/// [`WriteError`]; the old version is then untouched.
pub fn replace_inside(folder: &Path, relative: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    let file = folder.join(relative);
    let mut at = folder.to_owned();
    for part in relative.parent().iter().flat_map(|parent| parent.components()) {
        at.push(part);
        match std::fs::symlink_metadata(&at) {
            Ok(facts) if facts.is_dir() => {}
            Ok(_) => return Err(WriteError::Linked { file, at }),
            Err(error) if error.kind() == ErrorKind::NotFound => match std::fs::create_dir(&at) {
                // Another program may have made it just now.
                Err(error) if error.kind() != ErrorKind::AlreadyExists => {
                    return Err(WriteError::new(&file, &error));
                }
                _ => {}
            },
            Err(error) => return Err(WriteError::new(&file, &error)),
        }
    }
    replace(&file, bytes)
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
    let entries = match list(folder) {
        Err(error) if error.is_missing() => None,
        listed => listed.or_log("Looking for what interrupted writes left"),
    };
    for entry in entries.into_iter().flatten() {
        let ours = super::file_name(&entry).starts_with(UNFINISHED_PREFIX);
        let changed = std::fs::symlink_metadata(&entry).and_then(|facts| facts.modified());
        let age = changed.ok().and_then(|changed| changed.elapsed().ok());
        if ours && age.is_some_and(|age| age.as_secs() > OLD_ENOUGH_S) {
            // Left for the next time where it cannot be removed.
            let removed = if entry.is_dir() {
                std::fs::remove_dir_all(&entry)
            } else {
                std::fs::remove_file(&entry)
            };
            removed.or_log("Removing what an interrupted write left");
        }
    }
}

/// What this program leaves in folders for itself.
fn is_trace(entry: &Path) -> bool {
    let name = super::file_name(entry);
    name == LOCK_FILE || name.starts_with(UNFINISHED_PREFIX)
}

fn replace_io(file: &Path, write: impl FnOnce(&mut File) -> io::Result<()>) -> io::Result<()> {
    let mut unfinished = Unfinished::begin(file)?;
    write(unfinished.file())?;
    unfinished.finish()
}

/// Makes a folder with those above it; that it is there already is no error. `file` is what will be written in it,
/// and stands in the messages.
///
/// # Errors
/// [`WriteError`].
pub fn make_folder(folder: &Path, file: &Path) -> Result<(), WriteError> {
    std::fs::create_dir_all(folder).map_err(|error| WriteError::new(file, &error))
}

/// Whether a folder holds anything but what an interrupted try of this program left; one that is not there does not.
///
/// # Errors
/// [`ReadError`].
pub fn is_in_use(folder: &Path) -> Result<bool, ReadError> {
    match list(folder) {
        Err(error) if error.is_missing() => Ok(false),
        listed => Ok(listed?.iter().any(|entry| !is_trace(entry))),
    }
}

/// A temporary file is private to its user as a rule; what is written here are ordinary documents, readable as the
/// user's umask has it.
#[cfg(unix)]
fn ordinary(mode: u32) -> std::fs::Permissions {
    std::os::unix::fs::PermissionsExt::from_mode(mode)
}

/// What is written beside its target; removed where it is not finished.
fn builder() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(UNFINISHED_PREFIX);
    builder
}

/// A file while it is being written beside the one whose place it will take; removed where it is not finished.
pub(crate) struct Unfinished<'a> {
    target: &'a Path,
    unfinished: tempfile::NamedTempFile,
}

impl<'a> Unfinished<'a> {
    pub(crate) fn begin(target: &'a Path) -> io::Result<Self> {
        let mut builder = builder();
        #[cfg(unix)]
        builder.permissions(ordinary(0o666));
        let unfinished = builder.suffix(".tmp").tempfile_in(folder_of(target))?;
        Ok(Self { target, unfinished })
    }

    pub(crate) fn file(&mut self) -> &mut File {
        self.unfinished.as_file_mut()
    }

    pub(crate) fn path(&self) -> &Path {
        self.unfinished.path()
    }

    pub(crate) fn finish(self) -> io::Result<()> {
        self.unfinished.as_file().sync_all()?;
        self.unfinished
            .persist(self.target)
            .map_err(|error| error.error)?;
        flush_folder(folder_of(self.target))
    }
}

/// A folder while it is being filled beside the place that it will take; removed where it is not finished.
pub(crate) fn unfinished_folder(target: &Path) -> io::Result<tempfile::TempDir> {
    let mut builder = builder();
    #[cfg(unix)]
    builder.permissions(ordinary(0o777));
    builder.tempdir_in(folder_of(target))
}

/// Puts a filled folder in its place, which must be free or an empty folder.
pub(crate) fn finish_folder(unfinished: tempfile::TempDir, target: &Path) -> io::Result<()> {
    if target.is_dir() {
        for trace in std::fs::read_dir(target)? {
            let trace = trace?.path();
            if is_trace(&trace) && trace.is_file() {
                std::fs::remove_file(trace)?;
            }
        }
        // Fails where it is not empty.
        std::fs::remove_dir(target)?;
    }
    std::fs::rename(unfinished.path(), target)?;
    // It is at home now, and must not be removed from where it was.
    let _ = unfinished.keep();
    flush_folder(folder_of(target))
}

/// The folder that a file or folder lies in.
pub(crate) fn folder_of(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Makes a rename last through a power cut. Systems without folders as files do it on their own.
fn flush_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) {
        File::open(folder)?.sync_all()?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    /// The rights of what any program makes here, whatever the umask, are the measure.
    #[cfg(unix)]
    #[test]
    fn files_and_folders_get_ordinary_rights() {
        use super::*;
        use std::os::unix::fs::PermissionsExt;
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        let mode = |name: &str| std::fs::metadata(at(name)).unwrap().permissions().mode();
        replace(&at("ours"), b"1").unwrap();
        std::fs::write(at("usual"), b"1").unwrap();
        assert_eq!(mode("ours"), mode("usual"));
        finish_folder(unfinished_folder(&at("our folder")).unwrap(), &at("our folder")).unwrap();
        std::fs::create_dir(at("usual folder")).unwrap();
        assert_eq!(mode("our folder"), mode("usual folder"));
    }
}
