//! `set.ron`: reading and writing.

use std::path::Path;

use super::{ReferenceSet, SetError, limits};
use crate::files;
use crate::files::text::{Document, UnwritableText, parse_document, write_document};

/// The name of the set's own file in its folder.
pub const SET_FILE: &str = "set.ron";
/// The name under which the last version but one is kept beside it.
pub const PREVIOUS_SET_FILE: &str = "set.previous.ron";

impl Document for ReferenceSet {
    const NEWEST_FORMAT: u32 = ReferenceSet::FORMAT;
    const MOST_BYTES: u64 = files::limits::MOST_SET_BYTES;
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
/// beside it as `set.previous.ron`.
///
/// # Errors
/// [`SetError::Write`], [`SetError::Unwritable`].
pub fn save_set(folder: &Path, set: &ReferenceSet) -> Result<(), SetError> {
    let text = write_set(set)?;
    let file = folder.join(SET_FILE);
    files::make_folder(folder, &file)?;
    files::sweep_unfinished(folder);
    if files::text::read_document::<ReferenceSet>(&file).is_ok() {
        files::replace_keeping(&file, text.as_bytes(), &folder.join(PREVIOUS_SET_FILE))?;
    } else {
        // A broken version must not push the last good one out.
        files::replace(&file, text.as_bytes())?;
    }
    Ok(())
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
    files::make_folder(&folder.join("plates"), &target)?;
    if files::digest_file(&target).ok() != Some(digest) {
        files::replace(&target, bytes)?;
    }
    Ok(relative)
}
