//! Making specimens: from photos, and the demo's.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::{Album, OpenedSpecimen, PictureCache, PictureKey, open_specimen};
use crate::photo::{Picture, ReadLimits, read_picture_file};
use crate::problem::Problem;
use crate::reference::{OpenSet, SetSource, Side, Sides, open_set};
use crate::specimen::{
    self, Cabinet, SidePhoto, SpecimenError, SpecimenFolder, create_demo_specimen, create_worn_demo_specimen,
};

/// A photo copied into a specimen's folder.
#[derive(Debug, Clone)]
pub struct AddedPhoto {
    /// What the record says of it, nothing placed yet.
    pub photo: SidePhoto,
    /// Its picture.
    pub picture: Arc<Picture>,
}

/// A photo chosen for a new specimen, with its picture already read.
pub type ChosenPhoto = Option<(PathBuf, Arc<Picture>)>;

/// The title of the demo specimen in the cabinet.
const DEMO_TITLE: &str = "Demo coin";

/// The title of the second demo specimen.
pub const WORN_DEMO_TITLE: &str = "Worn demo coin";

/// Opens the demo specimen in the cabinet, made where it is not there.
///
/// # Errors
/// A [`Problem`].
pub fn open_demo(cabinet: &Path) -> Result<OpenedSpecimen, Problem> {
    Ok(open_specimen(&demo_in(
        cabinet,
        DEMO_TITLE,
        create_demo_specimen,
    )?)?)
}

/// The folder of the second demo specimen in the cabinet, made where it is not there, to stand beside another coin.
///
/// # Errors
/// A [`Problem`].
pub fn second_demo(cabinet: &Path) -> Result<PathBuf, Problem> {
    demo_in(cabinet, WORN_DEMO_TITLE, create_worn_demo_specimen)
}

fn demo_in(
    cabinet: &Path,
    title: &str,
    create: impl FnOnce(&Path, &OpenSet) -> Result<specimen::OpenedSpecimen, SpecimenError>,
) -> Result<PathBuf, Problem> {
    let demo = open_set(SetSource::DEMO_WORD)?;
    let cabinet = Cabinet::at(cabinet);
    let is_it = |entry: &specimen::Entry| {
        entry.title == title && entry.set.as_ref().is_some_and(|set| set.id == demo.set.id)
    };
    if let Some(entry) = cabinet.list().unwrap_or_default().into_iter().find(is_it) {
        return Ok(entry.folder);
    }
    let folder = cabinet.folder_for(title)?;
    create(&folder, &demo)?;
    Ok(folder)
}

/// Makes a specimen in the cabinet with its photos, whose pictures are kept in the cache. Nothing is left behind where it
/// fails.
///
/// # Errors
/// A [`Problem`].
pub fn new_specimen(
    cabinet: &Path,
    title: &str,
    open: &OpenSet,
    photos: &Sides<ChosenPhoto>,
    pictures: &PictureCache,
) -> Result<OpenedSpecimen, Problem> {
    let folder = Cabinet::at(cabinet).folder_for(title)?;
    let (folder, record) = SpecimenFolder::make(&folder, title, open, |made, record| {
        for (side, chosen) in photos.iter() {
            if let Some((file, picture)) = chosen {
                let size = (picture.width(), picture.height());
                *record.photo_mut(side) = Some(made.take_in_photo(side, file, size)?);
            }
        }
        Ok::<_, SpecimenError>(())
    })?;
    for (side, chosen) in photos.iter() {
        if let (Some(photo), Some((_, picture))) = (record.photo(side), chosen) {
            pictures.keep(PictureKey::photo(photo), Arc::clone(picture));
        }
    }
    Ok(OpenedSpecimen::made(folder, record, open))
}

impl Album {
    /// Copies a photo's bytes into the specimen's folder and reads it.
    ///
    /// # Errors
    /// A [`Problem`].
    pub fn add_photo(&self, side: Side, file: &Path) -> Result<AddedPhoto, Problem> {
        let folder = (self.folder.as_ref()).ok_or_else(|| Problem::new("This coin is kept in no folder."))?;
        // Read first: what is no picture is not taken in.
        let picture = Arc::new(read_picture_file(file, &ReadLimits::default(), &self.watch)?);
        let photo = folder.take_in_photo(side, file, (picture.width(), picture.height()))?;
        self.cache.keep(PictureKey::photo(&photo), Arc::clone(&picture));
        Ok(AddedPhoto { photo, picture })
    }
}
