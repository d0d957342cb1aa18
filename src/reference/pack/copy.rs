//! Copying a set with its pictures into a folder of its own, from wherever it is open: unpacking, or making the
//! built-in set one's own.

use std::collections::BTreeSet;
use std::path::Path;

use crate::files::limits::MOST_PACK_BYTES;
use crate::files::{self, WriteError};
use crate::photo::Watch;
use crate::reference::history::{HISTORY_FILE, History};
use crate::reference::{OpenSet, ReferenceSet, SET_FILE, SetError, SetSource, open_set, write_set};

/// The files of all plates that a set names, each once, in order.
#[must_use]
pub fn plate_files(set: &ReferenceSet) -> BTreeSet<&str> {
    crate::reference::Side::BOTH
        .iter()
        .flat_map(|side| &set.side(*side).dies)
        .flat_map(|die| &die.plates)
        .map(|plate| plate.file.as_str())
        .collect()
}

/// Tells how many plates are done, and stops where that was asked for.
///
/// # Errors
/// [`SetError::Stopped`].
pub fn step(watch: &Watch, done: usize, of: usize) -> Result<(), SetError> {
    watch.report(done as f32 / of.max(1) as f32);
    if watch.is_cancelled() {
        return Err(SetError::Stopped);
    }
    Ok(())
}

/// Copies a set with its pictures into a new or empty folder and opens it there. The folder appears filled or not at
/// all; nothing is written outside it. Pictures that are missing are an error for a pack and passed over otherwise.
///
/// # Errors
/// [`SetError`], also where it was stopped through `watch`.
pub fn copy_set(open: &OpenSet, folder: &Path, watch: &Watch) -> Result<OpenSet, SetError> {
    let write_error = |error: std::io::Error| SetError::from(WriteError::new(folder, &error));
    if files::is_in_use(folder)? {
        return Err(SetError::FolderInUse {
            folder: folder.to_owned(),
        });
    }
    let text = write_set(&open.set)?;
    files::sweep_unfinished(files::folder_of(folder));
    let unfinished = files::unfinished_folder(folder).map_err(write_error)?;
    let root = unfinished.path();
    let put = |name: &Path, bytes: &[u8]| -> Result<(), SetError> {
        let file = root.join(name);
        if let Some(parent) = file.parent() {
            std::fs::create_dir_all(parent).map_err(write_error)?;
        }
        // The folder is new and ours; a file that is there already came twice.
        let mut handle = std::fs::File::create_new(&file).map_err(write_error)?;
        std::io::Write::write_all(&mut handle, bytes).map_err(write_error)?;
        handle.sync_all().map_err(write_error)
    };
    put(Path::new(SET_FILE), text.as_bytes())?;
    let mut history = History::of(&open.source)?;
    history.add(&text);
    put(Path::new(HISTORY_FILE), history.text().as_bytes())?;
    put(&History::kept_file(&text), text.as_bytes())?;
    let is_packed = matches!(open.source, SetSource::Packed(_));
    let mut source = open.source.files()?;
    let mut total = 0;
    let plates = plate_files(&open.set);
    for (done, plate) in plates.iter().copied().enumerate() {
        step(watch, done, plates.len())?;
        let relative = files::inside(plate).map_err(|fault| SetError::PlatePath {
            plate: files::shorten(plate),
            fault,
        })?;
        let bytes = match source.bytes(plate) {
            Err(SetError::PlateMissing { .. }) if !is_packed => continue,
            other => other?,
        };
        total += bytes.len() as u64;
        if total > MOST_PACK_BYTES {
            return Err(SetError::TooManyBytes {
                place: open.source.place(),
                most_bytes: MOST_PACK_BYTES,
            });
        }
        put(&relative, &bytes)?;
    }
    files::finish_folder(unfinished, folder).map_err(write_error)?;
    open_set(folder)
}
