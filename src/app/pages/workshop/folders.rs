//! The folders in which sets are kept.

use std::path::{Path, PathBuf};

use crate::app::model::done::Outcome;
use crate::files;
use crate::photo::Watch;
use crate::reference::{OpenSet, SetSource, open_set, pack};

/// Opens a set for changing: a folder as it is, anything else as a copy in a new folder under `sets`; runs on a worker.
///
/// # Errors
/// A problem for the user.
pub fn open_to_edit(place: &Path, sets: &Path, watch: &Watch) -> Outcome<OpenSet> {
    let open = open_set(place)?;
    if matches!(open.source, SetSource::Folder(_)) {
        return Ok(open);
    }
    files::make_folder(sets, sets)?;
    let folder = free_folder(sets, &folder_name(&open.set.title));
    Ok(pack::copy_set(&open, &folder, watch)?)
}

/// A name for a set's folder: its title without what file systems refuse.
#[must_use]
pub fn folder_name(title: &str) -> String {
    files::plain_name(title, &['-', '_'], " ", "set")
}

/// `name` in `folder`, or `name 2`, `name 3` ... where that is taken.
#[must_use]
pub fn free_folder(folder: &Path, name: &str) -> PathBuf {
    (1u32..)
        .map(|n| {
            folder.join(if n == 1 {
                name.to_owned()
            } else {
                format!("{name} {n}")
            })
        })
        .find(|path| !path.exists())
        .unwrap_or_else(|| folder.join(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folder_names_are_plain() {
        assert_eq!(folder_name("Orlevay: five varn / 412?"), "Orlevay five varn 412");
        assert_eq!(folder_name("../.."), "set");
    }
}
