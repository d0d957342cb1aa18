//! The demo specimen, made from the photos that the program carries.

use std::path::Path;

use super::{OpenedSpecimen, SetReference, SpecimenError, SpecimenFolder, SpecimenRecord};
use crate::photo::upright_size;
use crate::reference::{OpenSet, Side, demo_photo};

/// Makes the demo specimen in a new or empty folder: both photos taken in, nothing placed or judged yet.
///
/// # Errors
/// [`SpecimenError`].
pub fn create_demo_specimen(folder: &Path, demo: &OpenSet) -> Result<OpenedSpecimen, SpecimenError> {
    let mut record = SpecimenRecord::new("Demo coin", SetReference::to(demo, folder));
    let mut made = SpecimenFolder::create(folder, &record)?;
    for side in Side::BOTH {
        let (name, bytes) = demo_photo(side).ok_or(SpecimenError::NoDemo)?;
        let size = upright_size(bytes).ok_or(SpecimenError::NoDemo)?;
        let name = name.rsplit('/').next().unwrap_or(name);
        *record.photo_mut(side) = Some(made.take_in_bytes(side, name, bytes, size)?);
    }
    made.save(&record)?;
    made.keep_set(&demo.set)?;
    Ok(OpenedSpecimen {
        folder: made,
        record,
        notices: Vec::new(),
    })
}
