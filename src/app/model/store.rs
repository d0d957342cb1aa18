//! The open specimen's folder, shared with the worker that saves.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::files::log::OrLog;
use crate::problem::Problem;
use crate::reference::ReferenceSet;
use crate::specimen::{SpecimenFolder, SpecimenRecord};

/// A specimen's folder, shared with the worker that saves.
pub type SharedFolder = Arc<Mutex<SpecimenFolder>>;

/// Saves the record; returns a sentence where the user should know something of it.
///
/// # Errors
/// A problem for the user.
pub fn save(folder: &SharedFolder, record: &SpecimenRecord) -> Result<Option<String>, Problem> {
    Ok(lock(folder).save(record)?.map(|notice| notice.to_string()))
}

/// The record on the disk, where another program changed it since it was last read or saved here. Where it cannot be
/// read just now the next saving tells.
#[must_use]
pub fn changed_elsewhere(folder: &SharedFolder) -> Option<Box<SpecimenRecord>> {
    peek(folder)
        .changed_elsewhere()
        .or_log("Looking for another program's change")
        .flatten()
        .map(Box::new)
}

/// Keeps the set's text with the specimen, as the coin is now attributed with it.
///
/// # Errors
/// A problem for the user.
pub fn keep_set(folder: &SharedFolder, set: &ReferenceSet) -> Result<(), Problem> {
    Ok(lock(folder).keep_set(set)?)
}

/// The folder as it is, for work that does not save.
#[must_use]
pub fn peek(folder: &SharedFolder) -> SpecimenFolder {
    lock(folder).clone()
}

fn lock(folder: &SharedFolder) -> MutexGuard<'_, SpecimenFolder> {
    folder.lock().unwrap_or_else(PoisonError::into_inner)
}
