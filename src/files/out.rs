//! Whether a file that the user names may be written: nothing that this program did not make is ever replaced unasked.

use std::path::{Path, PathBuf};

use super::limits::MOST_PICTURE_BYTES;
use super::read::{self, ReadError};
use super::write::folder_of;

/// A kind of file that is written where the user says.
#[derive(Debug, Clone, Copy)]
pub struct OutKind {
    /// The endings that its name may have, in lower case and without the point.
    pub endings: &'static [&'static str],
    /// Whether a file's bytes are of this kind and were written by this program.
    pub is_ours: fn(&[u8]) -> bool,
    /// Files by which a folder is known as one that holds the user's work, in which nothing is written by a name that
    /// the user gives.
    pub kept_by: &'static [&'static str],
}

/// Why nothing was written. Each message is a sentence for the user.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum OutError {
    /// Another kind's ending.
    #[error("{} was not written: its name must end in {endings}.", file.display())]
    Ending {
        /// The file.
        file: PathBuf,
        /// The endings, in words.
        endings: String,
    },
    /// A folder, link, device or pipe.
    #[error("{} was not written: it is a folder, a link, a device or a pipe. Choose another name.", file.display())]
    NotAFile {
        /// The file.
        file: PathBuf,
    },
    /// In a specimen or a set.
    #[error(
        "{} was not written: it lies in {}, which holds a specimen or a set. Choose a folder outside.",
        file.display(),
        folder.display()
    )]
    Inside {
        /// The file.
        file: PathBuf,
        /// The folder with the user's work.
        folder: PathBuf,
    },
    /// Not made here.
    #[error(
        "{} was not written: a file of that name is there that this program did not make. Choose another name.",
        file.display()
    )]
    NotOurs {
        /// The file.
        file: PathBuf,
    },
    /// What is there cannot be looked at.
    #[error(transparent)]
    Read(#[from] ReadError),
}

impl OutError {
    /// Whether the user may decide that it is written all the same.
    #[must_use]
    pub fn may_be_forced(&self) -> bool {
        matches!(self, Self::Inside { .. } | Self::NotOurs { .. })
    }
}

/// Whether the user decided that what is there may be replaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Replacing {
    /// Only what this program made.
    Ours,
    /// Whatever regular file is there.
    Anything,
}

impl OutKind {
    /// Refuses a file that may not be written; nothing is changed.
    ///
    /// # Errors
    /// [`OutError`].
    pub fn check(&self, file: &Path, replacing: Replacing) -> Result<(), OutError> {
        let ending = file
            .extension()
            .and_then(|ending| ending.to_str())
            .unwrap_or_default();
        if !self
            .endings
            .iter()
            .any(|allowed| ending.eq_ignore_ascii_case(allowed))
        {
            let endings: Vec<String> = self.endings.iter().map(|ending| format!(".{ending}")).collect();
            return Err(OutError::Ending {
                file: file.to_owned(),
                endings: endings.join(" or "),
            });
        }
        let there = match std::fs::symlink_metadata(file) {
            Ok(facts) if facts.is_file() => true,
            Ok(_) => {
                return Err(OutError::NotAFile {
                    file: file.to_owned(),
                });
            }
            Err(error) => match ReadError::new(file, &error) {
                ReadError::Missing { .. } => false,
                other => return Err(other.into()),
            },
        };
        if replacing == Replacing::Anything {
            return Ok(());
        }
        self.check_outside(file, folder_of(file))?;
        if there && !(self.is_ours)(&read::read(file, MOST_PICTURE_BYTES)?) {
            return Err(OutError::NotOurs {
                file: file.to_owned(),
            });
        }
        Ok(())
    }

    /// Refuses a folder in or below one that holds the user's work; `file` is what would be written.
    ///
    /// # Errors
    /// [`OutError::Inside`].
    pub fn check_outside(&self, file: &Path, folder: &Path) -> Result<(), OutError> {
        // A folder that is not there yet is judged by the first above it that is.
        let real = folder.ancestors().find_map(|above| match above {
            above if above.as_os_str().is_empty() => Path::new(".").canonicalize().ok(),
            above => above.canonicalize().ok(),
        });
        for above in real.iter().flat_map(|real| real.ancestors()) {
            if self.kept_by.iter().any(|name| above.join(name).is_file()) {
                return Err(OutError::Inside {
                    file: file.to_owned(),
                    folder: above.to_owned(),
                });
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const KIND: OutKind = OutKind {
        endings: &["txt"],
        is_ours: |bytes| bytes.starts_with(b"ours"),
        kept_by: &["kept.ron"],
    };

    #[test]
    fn only_ours_is_replaced_unasked() {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        std::fs::write(at("ours.txt"), "ours").unwrap();
        std::fs::write(at("photo.txt"), "mine").unwrap();
        std::fs::create_dir_all(at("coin/sub")).unwrap();
        std::fs::create_dir(at("folder.txt")).unwrap();
        std::fs::write(at("coin/kept.ron"), "").unwrap();
        let check = |name: &str, replacing| KIND.check(&at(name), replacing);
        assert_eq!(check("new.TXT", Replacing::Ours), Ok(()));
        assert_eq!(check("ours.txt", Replacing::Ours), Ok(()));
        assert!(matches!(
            check("new.pdf", Replacing::Anything),
            Err(OutError::Ending { .. })
        ));
        for name in [
            "photo.txt",
            "coin/new.txt",
            "coin/sub/new.txt",
            "coin/sub/not/yet/new.txt",
        ] {
            let refused = check(name, Replacing::Ours).unwrap_err();
            assert!(refused.may_be_forced(), "{name}: {refused}");
            assert_eq!(check(name, Replacing::Anything), Ok(()));
        }
        assert!(matches!(
            check("folder.txt", Replacing::Anything),
            Err(OutError::NotAFile { .. })
        ));
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(at("ours.txt"), at("link.txt")).unwrap();
            assert!(matches!(
                check("link.txt", Replacing::Anything),
                Err(OutError::NotAFile { .. })
            ));
        }
    }
}
