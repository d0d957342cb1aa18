//! A set with the place it was opened from, so that its plates can be read.

use std::path::{Path, PathBuf};

use super::file::{PREVIOUS_SET_FILE, SET_FILE};
use super::{ReferenceSet, SetError, demo, pack, parse_set_bytes};
use crate::files::limits::MOST_SET_BYTES;
use crate::files::text::TextError;
use crate::files::{self, ReadError};

/// Where a set was opened from.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum SetSource {
    /// The set built into the program.
    Demo,
    /// A folder with `set.ron`.
    Folder(PathBuf),
    /// A packed set.
    Packed(PathBuf),
}

impl SetSource {
    /// The word that stands for the built-in set wherever a place is asked for.
    pub const DEMO_WORD: &str = "demo";

    /// The place as the user would write it.
    #[must_use]
    pub fn place(&self) -> PathBuf {
        match self {
            SetSource::Demo => PathBuf::from(Self::DEMO_WORD),
            SetSource::Folder(place) | SetSource::Packed(place) => place.clone(),
        }
    }
}

/// A set that is open.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenSet {
    /// The set.
    pub set: ReferenceSet,
    /// Where it came from.
    pub source: SetSource,
    /// A sentence for the user where not the newest version could be opened.
    pub note: Option<String>,
}

/// Opens a set: `demo`, a folder with `set.ron` (or that file itself), or a packed set. A folder whose `set.ron` is
/// broken opens by the version before, with a note, where that is whole.
///
/// # Errors
/// [`SetError`].
pub fn open_set(place: impl AsRef<Path>) -> Result<OpenSet, SetError> {
    let place = place.as_ref();
    let whole = |set, source| OpenSet {
        set,
        source,
        note: None,
    };
    if place == Path::new(SetSource::DEMO_WORD) {
        return Ok(whole(demo::demo_set()?, SetSource::Demo));
    }
    if place.is_dir() {
        return open_folder(place);
    }
    if place.file_name().is_some_and(|name| name == SET_FILE) {
        return open_folder(place.parent().unwrap_or(Path::new("")));
    }
    if files::is_there(place)? {
        return Ok(whole(
            pack::packed_set(place)?,
            SetSource::Packed(place.to_owned()),
        ));
    }
    Err(SetError::NotASet {
        place: place.to_owned(),
    })
}

fn open_folder(folder: &Path) -> Result<OpenSet, SetError> {
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let read = |name: &str| {
        let file = folder.join(name);
        parse_set_bytes(&files::read(&file, MOST_SET_BYTES)?, &file)
    };
    let file_there = files::is_there(&folder.join(SET_FILE))?;
    let previous_there = files::is_there(&folder.join(PREVIOUS_SET_FILE))?;
    if !file_there && !previous_there {
        return Err(SetError::NotASet {
            place: folder.to_owned(),
        });
    }
    let (set, note) = match read(SET_FILE) {
        Ok(set) => (set, None),
        Err(error) => match read(PREVIOUS_SET_FILE) {
            // One that may not be read, or is of a newer version, is no broken one: an older copy would mislead.
            Ok(set) if is_broken(&error) => {
                let note = format!(
                    "The version saved before the last was opened, because the last is broken: {error}"
                );
                (set, Some(note))
            }
            _ => return Err(error),
        },
    };
    Ok(OpenSet {
        set,
        source: SetSource::Folder(folder.to_owned()),
        note,
    })
}

/// Whether what could not be opened is gone or broken, so that the version before may stand in.
fn is_broken(error: &SetError) -> bool {
    match error {
        SetError::Read(error) | SetError::Text(TextError::Read(error)) => {
            matches!(error, ReadError::Missing { .. } | ReadError::TooLarge { .. })
        }
        SetError::Text(error) => !matches!(error, TextError::Newer { .. }),
        _ => true,
    }
}
