//! Saving a record that other programs may be saving, too.

use std::path::Path;
use std::sync::Arc;

use super::folder::{PREVIOUS_RECORD_FILE, RECORD_FILE, digest_of, parse_specimen, write_specimen};
use super::merging::Merging;
use super::{Notice, SpecimenError, SpecimenFolder, SpecimenRecord};
use crate::files::limits::MOST_RECORD_BYTES;
use crate::files::text::TextError;
use crate::files::{self, Digest, ReadError, digest, digest_file};

/// A version of the record on the disk, by which another program's is known, and what to compare the next one with.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Seen {
    /// SHA-256 of its text.
    pub(super) digest: Digest,
    /// The record.
    pub(super) on_disk: Arc<SpecimenRecord>,
    /// The record as this program had it then: without what another program changed and this one has not taken in.
    pub(super) here: Arc<SpecimenRecord>,
}

impl SpecimenFolder {
    /// The record as it is on the disk now.
    pub(super) fn read_newest(&self) -> Result<Seen, SpecimenError> {
        let file = self.path.join(RECORD_FILE);
        let bytes = files::read(&file, MOST_RECORD_BYTES)?;
        let record = Arc::new(parse_specimen(&bytes, &file)?);
        Ok(Seen {
            digest: digest(&bytes),
            here: Arc::clone(&record),
            on_disk: record,
        })
    }

    /// Saves the record: whole on disk at every moment, the version before kept beside it. What another program changed
    /// meanwhile is put together with it and told; see [`SpecimenFolder::newest`] for the outcome. Where both changed
    /// the same, the record given here stands and the other version is kept under a name of its own.
    ///
    /// # Errors
    /// [`SpecimenError`]; what was saved before is then untouched.
    pub fn save(&mut self, record: &SpecimenRecord) -> Result<Option<Notice>, SpecimenError> {
        let _lock = files::lock(&self.path, &self.path.join(RECORD_FILE))?;
        self.save_locked(record)
    }

    /// Changes the newest record on the disk, whatever other programs saved since this one looked, and gives it.
    ///
    /// # Errors
    /// [`SpecimenError`]; what was saved before is then untouched.
    pub fn change(
        &mut self,
        change: impl FnOnce(&mut SpecimenRecord),
    ) -> Result<(SpecimenRecord, Option<Notice>), SpecimenError> {
        let _lock = files::lock(&self.path, &self.path.join(RECORD_FILE))?;
        let opened = Self::open_unchecked(&self.path)?;
        let mut record = opened.record;
        change(&mut record);
        // What was opened just now is what was seen, a broken version included.
        self.seen = opened.folder.seen;
        let notice = self.save_locked(&record)?;
        Ok((record, notice))
    }

    /// The record on the disk, where another program changed it since it was last read or saved here.
    ///
    /// # Errors
    /// [`SpecimenError`] where it cannot be read.
    pub fn changed_elsewhere(&self) -> Result<Option<SpecimenRecord>, SpecimenError> {
        let Some(seen) = &self.seen else { return Ok(None) };
        if digest_file(&self.path.join(RECORD_FILE))? == seen.digest && seen.on_disk == seen.here {
            return Ok(None);
        }
        let newest = self.read_newest()?;
        // A change saved here and not yet taken in is one, too.
        Ok((newest.on_disk != seen.here).then(|| Arc::unwrap_or_clone(newest.on_disk)))
    }

    /// The record as it was last on the disk, as far as is known here.
    #[must_use]
    pub fn newest(&self) -> Option<&SpecimenRecord> {
        self.seen.as_ref().map(|seen| &*seen.on_disk)
    }

    fn save_locked(&mut self, record: &SpecimenRecord) -> Result<Option<Notice>, SpecimenError> {
        let file = self.path.join(RECORD_FILE);
        let found = match digest_file(&file) {
            Err(error) if error.is_missing() => None,
            found => Some(found?),
        };
        // Broken or another's, it goes aside and must not push out the last good version.
        let aside = self.path.join(self.other_version_name(&file));
        let previous = self.path.join(PREVIOUS_RECORD_FILE);
        let mut merging = Merging { conflict: false };
        let (merged, kept, notice) = match (&self.seen, found) {
            (_, None) => (record.clone(), None, None),
            (Some(seen), Some(found)) => {
                let known = seen.digest == found;
                match if known {
                    Ok(seen.clone())
                } else {
                    self.read_newest()
                } {
                    Ok(theirs) => {
                        let merged = merging.records(&seen.here, record, &theirs.on_disk);
                        match (known, merging.conflict) {
                            (true, _) => (merged, Some(previous), None),
                            (false, false) => (merged, Some(previous), Some(Notice::TookIn)),
                            (false, true) => (
                                merged,
                                Some(aside.clone()),
                                Some(Notice::OtherVersionKept { kept: aside }),
                            ),
                        }
                    }
                    Err(error) if !may_be_replaced(&error) => return Err(error),
                    Err(_) => {
                        let notice = Notice::OtherVersionKept { kept: aside.clone() };
                        (record.clone(), Some(aside), Some(notice))
                    }
                }
            }
            (None, Some(_)) => {
                let notice = Notice::OtherVersionKept { kept: aside.clone() };
                (record.clone(), Some(aside), Some(notice))
            }
        };
        let text = write_specimen(&merged)?;
        match kept {
            Some(kept) => files::replace_keeping(&file, text.as_bytes(), &kept)?,
            None => files::replace(&file, text.as_bytes())?,
        }
        self.seen = Some(Seen {
            digest: digest(text.as_bytes()),
            on_disk: Arc::new(merged),
            here: Arc::new(record.clone()),
        });
        Ok(notice)
    }

    /// The name under which a version that is not ours is kept: by its content, so that the same is kept once.
    pub(super) fn other_version_name(&self, file: &Path) -> String {
        let start = digest_of(file).map_or_else(|| "missing".to_owned(), |found| found.start(8));
        format!("specimen.other-{start}.ron")
    }
}

/// Whether an unreadable record may give way to another version: one that is gone or broken may, one that this user or
/// this program may not read is no worse for that.
pub(super) fn may_be_replaced(error: &SpecimenError) -> bool {
    match error {
        SpecimenError::Read(error) | SpecimenError::Text(TextError::Read(error)) => {
            matches!(error, ReadError::Missing { .. } | ReadError::TooLarge { .. })
        }
        SpecimenError::Text(error) => !matches!(error, TextError::Newer { .. }),
        _ => false,
    }
}
