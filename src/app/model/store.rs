//! The open specimen's folder, shared with the worker that saves.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

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
