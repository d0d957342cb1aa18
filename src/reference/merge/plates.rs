//! Merging sets that lie on disk: their common start, and pictures of the same name with different bytes.

use std::collections::BTreeMap;
use std::path::Path;

use super::{Merge, MergeError, merge};
use crate::files;
use crate::photo::Watch;
use crate::reference::history::common_base;
use crate::reference::pack::{plate_files, step};
use crate::reference::{OpenSet, ReferenceSet, SetError, SetSource, Side};

/// A merge of two open sets, with where the other's pictures come from.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenMerge {
    /// The merge; in it the other's pictures already have names that no other picture of ours has.
    pub merge: Merge,
    /// Whether the version that both started from was found.
    pub common_start: CommonStart,
    theirs: SetSource,
    /// New name to the name in the other's set.
    renamed: BTreeMap<String, String>,
}

/// Whether the version that both sets started from is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CommonStart {
    /// It is: what only one changed is taken.
    Known,
    /// It is not: all that differs is a conflict.
    Unknown,
}

/// Why two open sets could not be merged.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum OpenMergeError {
    /// The sets themselves.
    #[error(transparent)]
    Merge(#[from] MergeError),
    /// Their files.
    #[error(transparent)]
    Set(#[from] SetError),
}

/// Merges the other set into the one at hand. Neither is changed on disk.
///
/// # Errors
/// [`OpenMergeError`], also where it was stopped through `watch`.
pub fn merge_open(mine: &OpenSet, theirs: &OpenSet, watch: &Watch) -> Result<OpenMerge, OpenMergeError> {
    let base = common_base(&mine.source, &theirs.source)?;
    let (their_set, renamed) = without_clashes(mine, theirs, watch)?;
    Ok(OpenMerge {
        merge: merge(base.as_ref(), &mine.set, &their_set)?,
        common_start: if base.is_some() {
            CommonStart::Known
        } else {
            CommonStart::Unknown
        },
        theirs: theirs.source.clone(),
        renamed,
    })
}

impl OpenMerge {
    /// Copies the other's pictures that a merged set names and the folder lacks. No file is overwritten. Gives the
    /// names of those copied.
    ///
    /// # Errors
    /// [`SetError`], also where it was stopped through `watch`; those copied before stay, and do no harm.
    pub fn bring_plates(
        &self,
        merged: &ReferenceSet,
        folder: &Path,
        watch: &Watch,
    ) -> Result<Vec<String>, SetError> {
        let mut brought = Vec::new();
        let plates = plate_files(merged);
        for (done, name) in plates.iter().copied().enumerate() {
            step(watch, done, plates.len())?;
            let relative = files::inside(name).map_err(|fault| SetError::PlatePath {
                plate: files::shorten(name),
                fault,
            })?;
            let target = folder.join(relative);
            if target.exists() {
                continue;
            }
            let original = self.renamed.get(name).map_or(name, String::as_str);
            let bytes = match self.theirs.file_bytes(original) {
                // Missing on their side as it was on ours: validation tells it.
                Err(SetError::PlateMissing { .. }) => continue,
                other => other?,
            };
            if let Some(parent) = target.parent() {
                files::make_folder(parent, &target)?;
            }
            files::replace(&target, &bytes)?;
            brought.push(name.to_owned());
        }
        Ok(brought)
    }
}

/// The other's set in which a picture that has the name of one of ours and other bytes has a name of its own.
fn without_clashes(
    mine: &OpenSet,
    theirs: &OpenSet,
    watch: &Watch,
) -> Result<(ReferenceSet, BTreeMap<String, String>), SetError> {
    let ours = plate_files(&mine.set);
    let mut new_names = BTreeMap::new();
    let plates = plate_files(&theirs.set);
    for (done, name) in plates.iter().copied().enumerate() {
        step(watch, done, plates.len())?;
        if !ours.contains(name) {
            continue;
        }
        let (Ok(our_bytes), Ok(their_bytes)) = (mine.source.file_bytes(name), theirs.source.file_bytes(name))
        else {
            continue;
        };
        if our_bytes != their_bytes {
            let mark = files::digest(&their_bytes).start(8);
            let new = match name.rsplit_once('.') {
                Some((stem, ending)) if !ending.contains('/') => format!("{stem}-{mark}.{ending}"),
                _ => format!("{name}-{mark}"),
            };
            new_names.insert(name.to_owned(), new);
        }
    }
    let mut set = theirs.set.clone();
    for side in Side::BOTH {
        for plate in set.side_mut(side).dies.iter_mut().flat_map(|die| &mut die.plates) {
            if let Some(new) = new_names.get(&plate.file) {
                plate.file.clone_from(new);
            }
        }
    }
    let renamed = new_names.into_iter().map(|(old, new)| (new, old)).collect();
    Ok((set, renamed))
}
