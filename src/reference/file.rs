//! `set.ron`: reading and writing.

use std::path::Path;

use super::safe_file;
use super::text::{Document, parse_document, write_document};
use super::{ReferenceSet, SetError, limits};

/// The name of the set's own file in its folder.
pub const SET_FILE: &str = "set.ron";
/// The name under which the last version but one is kept beside it.
pub const PREVIOUS_SET_FILE: &str = "set.previous.ron";

impl Document for ReferenceSet {
    const NEWEST_FORMAT: u32 = ReferenceSet::FORMAT;
    const MOST_BYTES: u64 = limits::MOST_SET_BYTES;
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
    let text = write_document(set).map_err(|reason| SetError::Unwritable { reason })?;
    match parse_set(&text, Path::new(SET_FILE)) {
        Ok(read_back) if &read_back == set => Ok(text),
        Ok(_) => Err(SetError::Unwritable {
            reason: "it reads back differently.".to_owned(),
        }),
        Err(error) => Err(SetError::Unwritable {
            reason: error.to_string(),
        }),
    }
}

/// Saves `set.ron` in its folder, which is made where it is not there: whole at every moment, the version before kept
/// beside it as `set.previous.ron`.
///
/// # Errors
/// [`SetError::Write`], [`SetError::Unwritable`].
pub fn save_set(folder: &Path, set: &ReferenceSet) -> Result<(), SetError> {
    let text = write_set(set)?;
    let file = folder.join(SET_FILE);
    std::fs::create_dir_all(folder).map_err(|error| safe_file::WriteError::new(&file, &error))?;
    safe_file::sweep_unfinished(folder);
    if std::fs::read(&file).is_ok_and(|old| parse_set_bytes(&old, &file).is_ok()) {
        safe_file::replace_keeping(&file, text.as_bytes(), &folder.join(PREVIOUS_SET_FILE))?;
    } else {
        // A broken version must not push the last good one out.
        safe_file::replace(&file, text.as_bytes())?;
    }
    Ok(())
}

/// Copies a picture's bytes into a set's folder, under `plates/` and a name made from the one given and the bytes'
/// SHA-256, so that no picture ever takes another's place. Gives its path as the set will name it.
///
/// # Errors
/// [`SetError::Write`].
pub fn take_in_plate(folder: &Path, name: &str, bytes: &[u8]) -> Result<String, SetError> {
    use sha2::{Digest, Sha256};
    /// Enough of the name to know the picture by.
    const MOST_NAME_CHARACTERS: usize = 40;
    let name = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
    let plain = |text: &str, most: usize| -> String {
        let kept = text
            .chars()
            .filter(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_'));
        kept.take(most).collect()
    };
    let mark: String = Sha256::digest(bytes)
        .iter()
        .take(4)
        .map(|byte| format!("{byte:02x}"))
        .collect();
    let (stem, ending) = (
        plain(stem, MOST_NAME_CHARACTERS),
        plain(ending, 5).to_ascii_lowercase(),
    );
    let stem = if stem.is_empty() { "plate".to_owned() } else { stem };
    let ending = if ending.is_empty() {
        "picture".to_owned()
    } else {
        ending
    };
    let relative = format!("plates/{stem}-{mark}.{ending}");
    let target = folder.join(&relative);
    if let Some(parent) = target.parent() {
        std::fs::create_dir_all(parent).map_err(|error| safe_file::WriteError::new(&target, &error))?;
    }
    if std::fs::read(&target).map_or(true, |there| there != bytes) {
        safe_file::replace(&target, bytes)?;
    }
    Ok(relative)
}
