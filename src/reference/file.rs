//! `set.ron`: reading and writing.

use std::path::Path;

use super::{ReferenceSet, SetError, limits};
use crate::files;
use crate::files::limits::MOST_SET_BYTES;
use crate::files::text::{Document, UnwritableText, parse_document, write_document};

/// The name of the set's own file in its folder.
pub const SET_FILE: &str = "set.ron";
/// The name under which the last version but one is kept beside it.
pub const PREVIOUS_SET_FILE: &str = "set.previous.ron";

impl Document for ReferenceSet {
    const NEWEST_FORMAT: u32 = ReferenceSet::FORMAT;
    const MOST_BYTES: u64 = MOST_SET_BYTES;
}

/// Reads a set from the text of its file; `file` stands in the messages.
///
/// # Errors
/// [`SetError::Text`] with line, column and field; [`SetError::TooMany`] and [`SetError::NameTooLong`] beyond the
/// limits.
pub fn parse_set(text: &str, file: &Path) -> Result<ReferenceSet, SetError> {
    parse_set_bytes(text.as_bytes(), file)
}

/// As [`parse_set`], from bytes that may be in any encoding.
///
/// # Errors
/// As [`parse_set`], and a sentence on the encoding where it is not UTF-8.
pub fn parse_set_bytes(bytes: &[u8], file: &Path) -> Result<ReferenceSet, SetError> {
    let set: ReferenceSet = parse_document(bytes, file)?;
    limits::check(&set, file)?;
    Ok(set)
}

/// Writes a set as text that a person can read and edit, and that [`parse_set`] reads back to the same set.
///
/// # Errors
/// [`SetError::Unwritable`] for a set that could not be read again, such as one with a number that is not finite.
pub fn write_set(set: &ReferenceSet) -> Result<String, SetError> {
    let text = write_document(set)?;
    let wrong = match parse_set(&text, Path::new(SET_FILE)) {
        Ok(read_back) if &read_back == set => return Ok(text),
        Ok(_) => "it reads back differently.".to_owned(),
        Err(error) => error.to_string(),
    };
    Err(UnwritableText(wrong).into())
}

/// Saves `set.ron` in its folder, which is made where it is not there: whole at every moment, the version before kept
/// beside it as `set.previous.ron`. What stands there is replaced; see [`SetOnDisk`](super::SetOnDisk) for a set that
/// another program may change at the same time.
///
/// # Errors
/// [`SetError::Write`], [`SetError::Unwritable`], [`SetError::Read`].
pub fn save_set(folder: &Path, set: &ReferenceSet) -> Result<(), SetError> {
    let file = folder.join(SET_FILE);
    files::make_folder(folder, &file)?;
    let _lock = files::lock(folder, &file)?;
    save_locked(folder, set).map(drop)
}

/// A set's folder while no other program may change the set.
#[derive(Debug)]
pub struct LockedSet<'a> {
    folder: &'a Path,
    _lock: files::Lock,
}

impl<'a> LockedSet<'a> {
    /// Waits for other programs to finish.
    ///
    /// # Errors
    /// [`SetError::Write`].
    pub fn lock(folder: &'a Path) -> Result<Self, SetError> {
        let _lock = files::lock(folder, &folder.join(SET_FILE))?;
        Ok(Self { folder, _lock })
    }

    /// As [`save_set`].
    ///
    /// # Errors
    /// As [`save_set`].
    pub fn save(&self, set: &ReferenceSet) -> Result<(), SetError> {
        save_locked(self.folder, set).map(drop)
    }
}

/// As [`save_set`], by whoever holds the folder's lock; gives the text.
pub(super) fn save_locked(folder: &Path, set: &ReferenceSet) -> Result<String, SetError> {
    let text = write_set(set)?;
    let file = folder.join(SET_FILE);
    for part in ["", "plates", "history"] {
        files::sweep_unfinished(&folder.join(part));
    }
    let whole =
        files::read_if_there(&file, MOST_SET_BYTES)?.is_some_and(|old| parse_set_bytes(&old, &file).is_ok());
    if whole {
        files::replace_keeping(&file, text.as_bytes(), &folder.join(PREVIOUS_SET_FILE))?;
    } else {
        // A broken version must not push the last good one out.
        files::replace(&file, text.as_bytes())?;
    }
    Ok(text)
}

/// Copies a picture's bytes into a set's folder, under `plates/` and a name made from the one given and the bytes'
/// SHA-256, so that no picture ever takes another's place. Gives its path as the set will name it.
///
/// # Errors
/// [`SetError::Write`].
pub fn take_in_plate(folder: &Path, name: &str, bytes: &[u8]) -> Result<String, SetError> {
    let name = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let digest = files::digest(bytes);
    let relative = format!(
        "plates/{}-{}.{}",
        files::plain_name(stem, &['-', '_'], "-", "plate"),
        digest.start(8),
        files::ending(name, "picture")
    );
    let target = folder.join(&relative);
    files::make_folder(folder, &target)?;
    if files::digest_file(&target).ok() != Some(digest) {
        files::replace_inside(folder, Path::new(&relative), bytes)?;
    }
    Ok(relative)
}
