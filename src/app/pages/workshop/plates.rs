//! Pictures that become plates of the set.

use std::collections::BTreeMap;
use std::path::Path;

use crate::app::model::done::Outcome;
use crate::files::{self, limits::MOST_PICTURE_BYTES};
use crate::photo::{ReadLimits, Watch, read_picture_file};
use crate::reference::{Plate, take_in_plate};

/// Copies a picture byte for byte into the set's folder; its path in the set. Runs on a worker.
///
/// # Errors
/// A problem for the user.
pub fn copy_plate(folder: &Path, file: &Path) -> Outcome<String> {
    // Read first: what cannot be shown is no plate.
    // A watch of its own: the picture's progress is not that of all.
    read_picture_file(file, &ReadLimits::default(), &Watch::default())?;
    let bytes = files::read(file, MOST_PICTURE_BYTES)?;
    Ok(take_in_plate(folder, &files::file_name(file), &bytes)?)
}

/// A plate on which nothing is placed yet.
#[must_use]
pub fn new_plate(file: String, original: &Path) -> Plate {
    Plate {
        file,
        landmarks: BTreeMap::new(),
        source: files::file_name(original),
        rights: String::new(),
    }
}
