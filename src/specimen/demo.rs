//! The demo specimens, made from the photos that the program carries.

use std::path::Path;

use super::{OpenedSpecimen, SpecimenError, SpecimenFolder, parse_landmarks_table};
use crate::photo::upright_size;
use crate::reference::{DemoCoin, OpenSet, Side, demo_landmarks, demo_photo};

/// Makes the demo specimen in a new or empty folder: both photos taken in, nothing placed or judged yet.
///
/// # Errors
/// [`SpecimenError`].
pub fn create_demo_specimen(folder: &Path, demo: &OpenSet) -> Result<OpenedSpecimen, SpecimenError> {
    create(folder, demo, DemoCoin::Circulated, "Demo coin")
}

/// Makes the second demo specimen in a new or empty folder: a well worn coin with both sides' landmarks placed, so that
/// it can stand beside another at once; nothing of it is judged.
///
/// # Errors
/// [`SpecimenError`].
pub fn create_worn_demo_specimen(folder: &Path, demo: &OpenSet) -> Result<OpenedSpecimen, SpecimenError> {
    let mut opened = create(folder, demo, DemoCoin::Worn, "Worn demo coin")?;
    let (name, table) = demo_landmarks(DemoCoin::Worn).ok_or(SpecimenError::NoDemo)?;
    let sizes =
        Side::BOTH.map(|side| demo_photo(DemoCoin::Worn, side).and_then(|(_, bytes)| upright_size(bytes)));
    let placed =
        parse_landmarks_table(table, Path::new(name), &demo.set, sizes).map_err(|_| SpecimenError::NoDemo)?;
    for side in Side::BOTH {
        if let Some(photo) = opened.record.photo_mut(side) {
            photo.landmarks.clone_from(placed.side(side));
        }
    }
    opened.folder.save(&opened.record)?;
    Ok(opened)
}

fn create(
    folder: &Path,
    demo: &OpenSet,
    coin: DemoCoin,
    title: &str,
) -> Result<OpenedSpecimen, SpecimenError> {
    let (made, record) = SpecimenFolder::make(folder, title, demo, |made, record| {
        for side in Side::BOTH {
            let (name, bytes) = demo_photo(coin, side).ok_or(SpecimenError::NoDemo)?;
            let size = upright_size(bytes).ok_or(SpecimenError::NoDemo)?;
            let name = name.rsplit('/').next().unwrap_or(name);
            *record.photo_mut(side) = Some(made.take_in_bytes(side, name, bytes, size)?);
        }
        Ok::<_, SpecimenError>(())
    })?;
    Ok(OpenedSpecimen {
        folder: made,
        record,
        notices: Vec::new(),
    })
}
