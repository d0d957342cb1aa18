//! How the window reaches files: sets, specimens and photos, each call one job for a worker. Errors are the rooms' own
//! sentences.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::photo::{Picture, Watch};
use crate::reference::{ReferenceSet, Side};
use crate::specimen::{SidePhoto, SpecimenRecord};

/// Where a set's plates come from: its folder, its packed file, or the program itself.
pub trait PlateSource: Send + Sync {
    /// The bytes of a plate's file, named as the set names it.
    ///
    /// # Errors
    /// One sentence for the user.
    fn read(&self, file: &str) -> Result<Vec<u8>, String>;
}

/// A specimen, opened with its set.
pub struct OpenedSpecimen {
    /// Its folder.
    pub folder: PathBuf,
    /// Its record.
    pub record: SpecimenRecord,
    /// Its set.
    pub set: Arc<ReferenceSet>,
    /// Where the set's plates are read from.
    pub plates: Arc<dyn PlateSource>,
    /// What the user should be told of the opening, each one sentence.
    pub notes: Vec<String>,
}

/// A photo copied into a specimen's folder.
pub struct AddedPhoto {
    /// What the record says of it, nothing placed yet.
    pub photo: SidePhoto,
    /// Its picture.
    pub picture: Arc<Picture>,
}

/// A specimen in the cabinet's list.
#[derive(Debug, Clone, PartialEq)]
pub struct CabinetEntry {
    /// Its folder.
    pub folder: PathBuf,
    /// Its title.
    pub title: String,
    /// Its set's title.
    pub set_title: String,
}

/// What a new specimen is made of.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct NewSpecimen {
    /// What the user calls it.
    pub title: String,
    /// Its set: a folder or packed file; the built-in demo set where none.
    pub set: Option<PathBuf>,
    /// The photos, obverse and reverse.
    pub photos: [Option<PathBuf>; 2],
}

const NOT_YET: &str = "This part of the program is not there yet.";

/// Opens the demo specimen in the cabinet, made anew where it is not there.
///
/// # Errors
/// One sentence for the user.
pub fn open_demo(cabinet: &Path) -> Result<Box<OpenedSpecimen>, String> {
    let _ = cabinet;
    Err(NOT_YET.to_owned())
}

/// Opens a specimen's folder and its set.
///
/// # Errors
/// One sentence for the user.
pub fn open_specimen(folder: &Path) -> Result<Box<OpenedSpecimen>, String> {
    let _ = folder;
    Err(NOT_YET.to_owned())
}

/// Makes a specimen in the cabinet and opens it.
///
/// # Errors
/// One sentence for the user.
pub fn new_specimen(cabinet: &Path, new: &NewSpecimen, watch: &Watch) -> Result<Box<OpenedSpecimen>, String> {
    let _ = (cabinet, new, watch);
    Err(NOT_YET.to_owned())
}

/// Copies a photo's bytes into the specimen's folder and reads it.
///
/// # Errors
/// One sentence for the user.
pub fn add_photo(folder: &Path, side: Side, file: &Path, watch: &Watch) -> Result<AddedPhoto, String> {
    let _ = (folder, side, file, watch);
    Err(NOT_YET.to_owned())
}

/// Reads a photo of the record from the specimen's folder.
///
/// # Errors
/// One sentence for the user.
pub fn read_photo(folder: &Path, photo: &SidePhoto, watch: &Watch) -> Result<Arc<Picture>, String> {
    let _ = (folder, photo, watch);
    Err(NOT_YET.to_owned())
}

/// Saves the record.
///
/// # Errors
/// One sentence for the user.
pub fn save(folder: &Path, record: &SpecimenRecord) -> Result<(), String> {
    let _ = (folder, record);
    Err(NOT_YET.to_owned())
}

/// The specimens in the cabinet.
///
/// # Errors
/// One sentence for the user.
pub fn list_cabinet(cabinet: &Path) -> Result<Vec<CabinetEntry>, String> {
    let _ = cabinet;
    Ok(Vec::new())
}
