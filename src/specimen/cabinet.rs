//! The cabinet: the folder of all specimens, listed without opening them in full.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use super::folder::{PREVIOUS_RECORD_FILE, RECORD_FILE, SpecimenFolder, THUMBNAIL_FILE};
use super::{SetReference, SpecimenError};
use crate::files;

/// The most specimens listed; a folder with more is no cabinet.
const MOST_SPECIMENS: usize = 20_000;

/// One specimen in the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its folder.
    pub folder: PathBuf,
    /// Its title; the folder's name where the record cannot be read.
    pub title: String,
    /// The set it is compared with; none where the record cannot be read.
    pub set: Option<SetReference>,
    /// How many verdicts it has.
    pub verdicts: usize,
    /// Its grade, in the user's words.
    pub grade: String,
    /// When it was last saved, where the system knows.
    pub modified: Option<SystemTime>,
    /// Its small picture, where it has one.
    pub thumbnail: Option<PathBuf>,
    /// Why the record cannot be read, as a sentence.
    pub fault: Option<String>,
}

/// The folder of all specimens.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cabinet {
    root: PathBuf,
}

/// Where specimens are kept unless the user chose otherwise: `Dietell` in the user's documents, or in the system's
/// folder for a program's data where there are none.
#[must_use]
pub fn default_root() -> Option<PathBuf> {
    let documents = directories::UserDirs::new()
        .and_then(|dirs| dirs.document_dir().map(|documents| documents.join("Dietell")));
    documents.or_else(|| {
        directories::ProjectDirs::from("", "", "Dietell").map(|dirs| dirs.data_dir().join("specimens"))
    })
}

impl Cabinet {
    /// The cabinet at a folder, which need not be there yet.
    #[must_use]
    pub fn at(root: &Path) -> Self {
        Self {
            root: root.to_owned(),
        }
    }

    /// The specimens, the last saved first. A folder that is not there is an empty cabinet.
    ///
    /// # Errors
    /// [`SpecimenError::Read`] where the folder cannot be listed.
    pub fn list(&self) -> Result<Vec<Entry>, SpecimenError> {
        files::sweep_unfinished(&self.root);
        let folders = match files::list(&self.root) {
            Err(error) if error.is_missing() => return Ok(Vec::new()),
            listed => listed?,
        };
        let mut entries: Vec<Entry> = folders
            .into_iter()
            .filter(|folder| {
                folder.join(RECORD_FILE).is_file() || folder.join(PREVIOUS_RECORD_FILE).is_file()
            })
            .take(MOST_SPECIMENS)
            .map(|folder| entry(&folder))
            .collect();
        entries.sort_by(|a, b| b.modified.cmp(&a.modified).then_with(|| a.folder.cmp(&b.folder)));
        Ok(entries)
    }

    /// A folder for a new specimen of this title: its words in plain letters, numbered where that name is taken.
    ///
    /// # Errors
    /// [`SpecimenError::Write`] where the cabinet's folder cannot be made.
    pub fn folder_for(&self, title: &str) -> Result<PathBuf, SpecimenError> {
        files::make_folder(&self.root, &self.root)?;
        let stem = files::plain_name(&title.to_lowercase(), &[], "-", "coin");
        let mut folder = self.root.join(&stem);
        let mut number = 2;
        while folder.exists() {
            folder = self.root.join(format!("{stem}-{number}"));
            number += 1;
        }
        Ok(folder)
    }
}

fn entry(folder: &Path) -> Entry {
    let modified = std::fs::metadata(folder.join(RECORD_FILE))
        .and_then(|facts| facts.modified())
        .ok();
    let thumbnail = Some(folder.join(THUMBNAIL_FILE)).filter(|file| file.is_file());
    match SpecimenFolder::open_unchecked(folder) {
        Ok(opened) => Entry {
            folder: folder.to_owned(),
            title: opened.record.title,
            set: Some(opened.record.set),
            verdicts: opened.record.verdicts.len(),
            grade: opened.record.grade,
            modified,
            thumbnail,
            fault: None,
        },
        Err(error) => Entry {
            folder: folder.to_owned(),
            title: files::file_name(folder),
            set: None,
            verdicts: 0,
            grade: String::new(),
            modified,
            thumbnail,
            fault: Some(error.to_string()),
        },
    }
}
