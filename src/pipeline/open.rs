//! Opening a specimen with its set.

use std::path::Path;
use std::sync::Arc;

use super::{Album, PictureCache};
use crate::files::log::OrLog;
use crate::photo::Watch;
use crate::reference::{OpenSet, ReferenceSet, SetError, SetSource};
use crate::specimen::{Edit, Notice, SpecimenError, SpecimenFolder, SpecimenRecord, changes_for};

/// A specimen, opened with its set.
#[derive(Debug, Clone)]
pub struct OpenedSpecimen {
    /// Its folder; none for one that keeps nothing.
    pub folder: Option<SpecimenFolder>,
    /// Its record.
    pub record: SpecimenRecord,
    /// Its set.
    pub set: Arc<ReferenceSet>,
    /// Where the set's plates are; none where the set's text as it was used stands in for one that is gone.
    pub source: Option<SetSource>,
    /// What the user should know of the opening, each one sentence.
    pub notes: Vec<String>,
}

/// Why a specimen could not be opened. Each message is a sentence for the user.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// Its folder or record.
    #[error(transparent)]
    Specimen(#[from] SpecimenError),
    /// Its set, which no copy stands in for.
    #[error(transparent)]
    Set(#[from] SetError),
}

/// Opens a specimen and its set. A set that is gone is stood in for by its text as it was last used with the specimen,
/// with a note; of a newer edition the notes say what it changes. Writes nothing.
///
/// # Errors
/// [`OpenError`].
pub fn open_specimen(folder: &Path) -> Result<OpenedSpecimen, OpenError> {
    let opened = SpecimenFolder::open(folder)?;
    let mut notes: Vec<String> = opened.notices.iter().map(ToString::to_string).collect();
    let (folder, record) = (opened.folder, opened.record);
    let as_used = folder.set_as_used().ok().flatten();
    let (set, source) = match (folder.open_reference_set(&record.set), as_used) {
        (Ok(open), as_used) => {
            notes.extend(open.note);
            match as_used {
                Some(as_used) => notes.extend(changes_for(&record, &as_used, &open.set)),
                None if open.set.id != record.set.id => notes.push(format!(
                    "The specimen was made with the set \u{201c}{}\u{201d}; at its place is now \u{201c}{}\u{201d}.",
                    record.set.id, open.set.id
                )),
                None => {}
            }
            (open.set, Some(open.source))
        }
        (Err(error), Some(as_used)) => {
            notes.push(format!(
                "{error} The set as it was last used stands in, without its plates."
            ));
            (as_used, None)
        }
        (Err(error), None) => return Err(error.into()),
    };
    Ok(OpenedSpecimen {
        folder: Some(folder),
        record,
        set: Arc::new(set),
        source,
        notes,
    })
}

impl OpenedSpecimen {
    /// A specimen just made with an open set.
    #[must_use]
    pub fn made(folder: SpecimenFolder, record: SpecimenRecord, open: &OpenSet) -> Self {
        Self {
            folder: Some(folder),
            record,
            set: Arc::new(open.set.clone()),
            source: Some(open.source.clone()),
            notes: open.note.clone().into_iter().collect(),
        }
    }

    /// Renews the set's text that is kept with the specimen, as the coin is now attributed with this edition.
    pub fn renew_kept_set(&mut self) {
        if let (Some(folder), Some(_)) = (&mut self.folder, &self.source) {
            folder.keep_set(&self.set).or_log("Keeping the set's text");
        }
    }

    /// Its pictures, behind a cache.
    #[must_use]
    pub fn album(&self, cache: &Arc<PictureCache>) -> Album {
        Album {
            cache: Arc::clone(cache),
            folder: self.folder.clone(),
            source: self.source.clone(),
            watch: Watch::default(),
        }
    }

    /// Makes edits on the newest record on the disk, whatever another program saved since this one was opened, or on the
    /// record at hand where it has no folder. What the user should know of it is returned.
    ///
    /// # Errors
    /// [`SpecimenError`].
    pub fn change(&mut self, edits: impl IntoIterator<Item = Edit>) -> Result<Option<Notice>, SpecimenError> {
        let apply = |record: &mut SpecimenRecord| edits.into_iter().for_each(|edit| edit.apply(record));
        let Some(folder) = &mut self.folder else {
            apply(&mut self.record);
            return Ok(None);
        };
        let (record, notice) = folder.change(apply)?;
        self.record = record;
        Ok(notice)
    }
}
