//! `new` and `demo`: specimens from photos.

use std::path::Path;

use super::arguments::{Demo, New};
use super::error::VerbError;
use super::{Exit, Streams};
use crate::photo::{ReadLimits, Watch, read_picture_file};
use crate::reference::{SetSource, Side, open_set};
use crate::specimen::{LandmarksTable, SpecimenFolder, create_demo_specimen, read_landmarks_table};

/// Everything given is read before anything is written, so that a mistake leaves no half-made folder.
pub(super) fn new(arguments: &New, streams: &mut Streams) -> Result<Exit, VerbError> {
    let set = open_set(&arguments.set)?;
    streams.notes(set.note.iter())?;
    let files = [arguments.obverse.as_deref(), arguments.reverse.as_deref()];
    let sizes = [upright_size(files[0])?, upright_size(files[1])?];
    let table = match &arguments.landmarks {
        Some(file) => read_landmarks_table(file, &set.set, sizes)?,
        None => LandmarksTable::default(),
    };
    let title = match &arguments.title {
        Some(title) => title.clone(),
        None => folder_name(&arguments.specimen),
    };
    SpecimenFolder::make(&arguments.specimen, &title, &set, |folder, record| {
        for ((side, file), size) in Side::BOTH.into_iter().zip(files).zip(sizes) {
            if let (Some(file), Some(size)) = (file, size) {
                let mut photo = folder.take_in_photo(side, file, size)?;
                photo.landmarks.clone_from(table.side(side));
                *record.photo_mut(side) = Some(photo);
            }
        }
        Ok::<_, VerbError>(())
    })?;
    writeln!(
        streams.out,
        "{}: {} landmarks on the obverse, {} on the reverse",
        arguments.specimen.display(),
        table.obverse.len(),
        table.reverse.len()
    )?;
    Ok(Exit::Done)
}

pub(super) fn demo(arguments: &Demo, streams: &mut Streams) -> Result<Exit, VerbError> {
    let set = open_set(SetSource::DEMO_WORD)?;
    let made = create_demo_specimen(&arguments.folder, &set)?;
    streams.notes(made.notices.iter())?;
    writeln!(
        streams.out,
        "{}: {}",
        arguments.folder.display(),
        made.record.title
    )?;
    Ok(Exit::Done)
}

/// Width and height of a photo in px, its turn flag applied; the whole picture is read, so that a broken one is found
/// now.
fn upright_size(file: Option<&Path>) -> Result<Option<(u32, u32)>, VerbError> {
    let Some(file) = file else { return Ok(None) };
    let picture = read_picture_file(file, &ReadLimits::default(), &Watch::default())?;
    Ok(Some((picture.width(), picture.height())))
}

fn folder_name(folder: &Path) -> String {
    folder
        .file_name()
        .map_or_else(|| "Coin".to_owned(), |name| name.to_string_lossy().into_owned())
}
