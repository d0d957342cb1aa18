//! A set with the place it was opened from, so that its plates can be read.

use std::io::Read;
use std::path::{Path, PathBuf};

use super::file::{PREVIOUS_SET_FILE, SET_FILE};
use super::{ReferenceSet, SetError, demo, pack, parse_set_bytes};
use crate::files::limits::{MOST_PICTURE_BYTES, MOST_SET_BYTES};
use crate::files::text::TextError;
use crate::files::{self, ReadError};
use crate::photo::{upright_size, upright_size_from_head};

/// The part of a picture's file that is read for its size: more than the headers, colour profile and thumbnail that
/// usually come before it.
const HEAD_BYTES: u64 = 256 * 1024;

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
    if place.is_file() {
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
    let file_there = folder.join(SET_FILE).exists();
    let previous_there = folder.join(PREVIOUS_SET_FILE).exists();
    if !file_there && !previous_there {
        return Err(SetError::NotASet {
            place: folder.to_owned(),
        });
    }
    let (set, note) = match read(SET_FILE) {
        Ok(set) => (set, None),
        Err(error) => match read(PREVIOUS_SET_FILE) {
            // A set of a newer version is no broken one: opening an older copy would mislead.
            Ok(set) if !matches!(&error, SetError::Text(TextError::Newer { .. })) => {
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

impl SetSource {
    /// The bytes of a plate's file by its path in the set, at most
    /// [`MOST_PICTURE_BYTES`].
    ///
    /// # Errors
    /// [`SetError`]: the path is unusable, the file missing, unreadable or too large.
    pub fn file_bytes(&self, plate: &str) -> Result<Vec<u8>, SetError> {
        match self {
            SetSource::Demo => {
                demo::demo_file(plate)
                    .map(<[u8]>::to_vec)
                    .ok_or_else(|| SetError::PlateMissing {
                        plate: files::shorten(plate),
                        place: self.place(),
                    })
            }
            SetSource::Folder(folder) => Ok(files::read(
                &self.file_in_folder(folder, plate)?,
                MOST_PICTURE_BYTES,
            )?),
            SetSource::Packed(file) => pack::packed_file(file, plate),
        }
    }

    /// Width and height in px of a plate's upright picture; none where it is no picture that is read here. Of a picture
    /// in a folder only its head is read; a pack, which may come from a stranger, is read in full and so proved.
    ///
    /// # Errors
    /// As [`SetSource::file_bytes`].
    pub fn picture_size(&self, plate: &str) -> Result<Option<(u32, u32)>, SetError> {
        if let SetSource::Folder(folder) = self {
            let file = self.file_in_folder(folder, plate)?;
            let unreadable = |error| ReadError::new(&file, &error);
            let handle = files::open(&file)?;
            let length = handle.metadata().map_err(unreadable)?.len();
            let mut head = Vec::new();
            handle
                .take(HEAD_BYTES)
                .read_to_end(&mut head)
                .map_err(unreadable)?;
            if length <= MOST_PICTURE_BYTES
                && let Some(size) = upright_size_from_head(&head)
            {
                return Ok(Some(size));
            }
        }
        Ok(upright_size(&self.file_bytes(plate)?))
    }

    fn file_in_folder(&self, folder: &Path, plate: &str) -> Result<PathBuf, SetError> {
        let found = files::resolve(folder, plate).map_err(|fault| SetError::PlatePath {
            plate: files::shorten(plate),
            fault,
        })?;
        found.map_err(|error| match ReadError::new(&folder.join(plate), &error) {
            ReadError::Missing { .. } => SetError::PlateMissing {
                plate: plate.to_owned(),
                place: self.place(),
            },
            other => other.into(),
        })
    }
}
