//! The demo specimen, made from the photos that the program carries.

use std::io::Cursor;
use std::path::Path;

use image::ImageDecoder;

use super::{OpenedSpecimen, SetReference, SpecimenError, SpecimenFolder, SpecimenRecord};
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

/// Width and height in px after the turn flag.
fn upright_size(bytes: &[u8]) -> Option<(u32, u32)> {
    use image::metadata::Orientation;
    let mut decoder = image::ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .ok()?
        .into_decoder()
        .ok()?;
    let (width, height) = decoder.dimensions();
    let turned = matches!(
        decoder.orientation().ok()?,
        Orientation::Rotate90
            | Orientation::Rotate270
            | Orientation::Rotate90FlipH
            | Orientation::Rotate270FlipH
    );
    Some(if turned { (height, width) } else { (width, height) })
}
