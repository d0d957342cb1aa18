//! A set's file shared with other programs: what each changed is put together.

use std::path::{Path, PathBuf};

use super::file::{SET_FILE, parse_set_bytes, save_locked, write_set};
use super::merge::{Choice, merge};
use super::{ReferenceSet, SetError};
use crate::files::limits::MOST_SET_BYTES;
use crate::files::{self, Digest, digest};

/// A set's file as this program last knew it, so that another program's version is noticed and not written over.
#[derive(Debug, Clone, PartialEq)]
pub struct SetOnDisk {
    folder: PathBuf,
    /// SHA-256 of the text last read or written here.
    known: Option<Digest>,
    /// The set as this program had it then.
    here: ReferenceSet,
}

/// What became of a set that was saved.
#[derive(Debug, Clone, PartialEq)]
pub enum SavedSet {
    /// It is on the disk as it was given.
    AsGiven,
    /// Another program changed it meanwhile; the disk now holds both changes, as this set does.
    Together(Box<ReferenceSet>),
    /// As [`SavedSet::Together`], but both changed the same: there ours stands, and theirs is kept whole in this file.
    OtherKept(Box<ReferenceSet>, PathBuf),
}

impl SetOnDisk {
    /// A set as it was opened from its folder, or is about to be saved there first.
    #[must_use]
    pub fn opened(folder: &Path, set: &ReferenceSet) -> Self {
        Self {
            folder: folder.to_owned(),
            known: write_set(set).ok().map(|text| digest(text.as_bytes())),
            here: set.clone(),
        }
    }

    /// Saves the set together with what another program changed since it was last read or written here.
    ///
    /// # Errors
    /// [`SetError`]; what was saved before is then untouched.
    pub fn save(&mut self, set: &ReferenceSet) -> Result<SavedSet, SetError> {
        let file = self.folder.join(SET_FILE);
        let _lock = files::lock(&self.folder, &file)?;
        let found = files::read_if_there(&file, MOST_SET_BYTES)?;
        let (merged, saved) = match found.filter(|bytes| Some(digest(bytes)) != self.known) {
            None => (None, SavedSet::AsGiven),
            Some(bytes) => self.together(set, &bytes, &file)?,
        };
        let text = save_locked(&self.folder, merged.as_ref().unwrap_or(set))?;
        self.known = Some(digest(text.as_bytes()));
        self.here = merged.unwrap_or_else(|| set.clone());
        Ok(saved)
    }

    /// The set with another program's changes, where there are any.
    fn together(
        &self,
        set: &ReferenceSet,
        bytes: &[u8],
        file: &Path,
    ) -> Result<(Option<ReferenceSet>, SavedSet), SetError> {
        // Edited by hand into something broken, or another coinage: it is kept, and not put together.
        let theirs = parse_set_bytes(bytes, file)
            .ok()
            .filter(|theirs| theirs.id == self.here.id);
        if theirs.as_ref() == Some(&self.here) {
            // The same in other words.
            return Ok((None, SavedSet::AsGiven));
        }
        let kept = self
            .folder
            .join(format!("set.other-{}.ron", digest(bytes).start(8)));
        let merge = theirs.and_then(|theirs| merge(Some(&self.here), set, &theirs).ok());
        let settled = merge.as_ref().and_then(|merge| {
            let ours = vec![Choice::Mine; merge.conflicts.len()];
            merge.settle(&ours).ok()
        });
        let merged = settled.unwrap_or_else(|| set.clone());
        if merge.is_some_and(|merge| merge.conflicts.is_empty()) {
            return Ok((Some(merged.clone()), SavedSet::Together(Box::new(merged))));
        }
        files::replace(&kept, bytes)?;
        Ok((Some(merged.clone()), SavedSet::OtherKept(Box::new(merged), kept)))
    }
}

impl SavedSet {
    /// What the user should know, as a sentence.
    #[must_use]
    pub fn note(&self) -> Option<String> {
        match self {
            Self::AsGiven => None,
            Self::Together(_) => Some(
                "The set was also changed by another window or program meanwhile; both changes are saved."
                    .to_owned(),
            ),
            Self::OtherKept(_, kept) => Some(format!(
                "The set was also changed by another window or program meanwhile, partly in the same parts; there this \
                 window\u{2019}s change stands, and the other version is kept as {}.",
                kept.display()
            )),
        }
    }
}
