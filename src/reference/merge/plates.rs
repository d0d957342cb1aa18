//! Merging sets that lie on disk: their common start, and pictures of the same name with different bytes.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use super::{Merge, MergeError, merge};
use crate::files;
use crate::photo::{Watch, anonymous};
use crate::reference::history::common_base;
use crate::reference::pack::{plate_files, step};
use crate::reference::{OpenSet, Plate, ReferenceSet, SetError, SetSource, Side};

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
    /// What could not be compared, each a sentence for the user.
    pub uncompared: Vec<String>,
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
    let Unclashed {
        set: their_set,
        renamed,
        uncompared,
    } = without_clashes(mine, theirs, watch)?;
    Ok(OpenMerge {
        merge: merge(base.as_ref(), &mine.set, &their_set)?,
        common_start: if base.is_some() {
            CommonStart::Known
        } else {
            CommonStart::Unknown
        },
        theirs: theirs.source.clone(),
        renamed,
        uncompared,
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
        let mut theirs = self.theirs.files()?;
        for (done, name) in plates.iter().copied().enumerate() {
            step(watch, done, plates.len())?;
            let relative = files::inside(name).map_err(|fault| SetError::PlatePath {
                plate: files::shorten(name),
                fault,
            })?;
            if files::is_there(&folder.join(&relative))? {
                continue;
            }
            let original = self.renamed.get(name).map_or(name, String::as_str);
            let bytes = match theirs.bytes(original) {
                // Missing on their side as it was on ours: validation tells it.
                Err(SetError::PlateMissing { .. }) => continue,
                other => other?,
            };
            files::replace_inside(folder, &relative, &bytes)?;
            brought.push(name.to_owned());
        }
        Ok(brought)
    }
}

/// The other's set without pictures that share a name with another of ours.
struct Unclashed {
    set: ReferenceSet,
    /// New name to the name in the other's set.
    renamed: BTreeMap<String, String>,
    uncompared: Vec<String>,
}

/// The other's set in which a picture that has the name of one of ours and other bytes has a name of its own, so that
/// landmarks placed on it never lie on ours. One that cannot be read is left as ours.
fn without_clashes(mine: &OpenSet, theirs: &OpenSet, watch: &Watch) -> Result<Unclashed, SetError> {
    let ours = plate_files(&mine.set);
    let (mut our_files, mut their_files) = (mine.source.files()?, theirs.source.files()?);
    let mut new_names = BTreeMap::new();
    let (mut unread, mut uncompared) = (BTreeSet::new(), Vec::new());
    let plates = plate_files(&theirs.set);
    for (done, name) in plates.iter().copied().enumerate() {
        step(watch, done, plates.len())?;
        if !ours.contains(name) {
            continue;
        }
        let mark = match (our_files.bytes(name), their_files.bytes(name)) {
            (Ok(our_bytes), Ok(their_bytes)) if is_same(&our_bytes, &their_bytes) => continue,
            // Where only one of the two is there it is the picture of both.
            (Err(SetError::PlateMissing { .. }), _) | (_, Err(SetError::PlateMissing { .. })) => continue,
            (our_bytes, Ok(their_bytes)) => {
                if let Err(error) = our_bytes {
                    uncompared.push(format!(
                        "Your picture {name} cannot be compared with the other set\u{2019}s, which comes under a name \
                         of its own: {error}"
                    ));
                }
                files::digest(&their_bytes).start(8)
            }
            (_, Err(error)) => {
                uncompared.push(format!(
                    "The other set\u{2019}s picture {name} cannot be compared with yours, so that what was changed of \
                     it there, its landmarks among them, is not taken: {error}"
                ));
                unread.insert(name);
                continue;
            }
        };
        let new = match name.rsplit_once('.') {
            Some((stem, ending)) if !ending.contains('/') => format!("{stem}-{mark}.{ending}"),
            _ => format!("{name}-{mark}"),
        };
        new_names.insert(name.to_owned(), new);
    }
    let mut set = theirs.set.clone();
    for side in Side::BOTH {
        for plate in set.side_mut(side).dies.iter_mut().flat_map(|die| &mut die.plates) {
            if let Some(new) = new_names.get(&plate.file) {
                plate.file.clone_from(new);
            } else if unread.contains(plate.file.as_str())
                && let Some(ours) = find_plate(&mine.set, &plate.file)
            {
                plate.clone_from(ours);
            }
        }
    }
    Ok(Unclashed {
        set,
        renamed: new_names.into_iter().map(|(old, new)| (new, old)).collect(),
        uncompared,
    })
}

/// Whether two files are of one picture: what a pack leaves out of it makes no difference.
fn is_same(ours: &[u8], theirs: &[u8]) -> bool {
    ours == theirs || matches!((anonymous(ours), anonymous(theirs)), (Ok(ours), Ok(theirs)) if ours == theirs)
}

fn find_plate<'a>(set: &'a ReferenceSet, file: &str) -> Option<&'a Plate> {
    let dies = Side::BOTH.into_iter().flat_map(|side| &set.side(side).dies);
    dies.flat_map(|die| &die.plates).find(|plate| plate.file == file)
}
