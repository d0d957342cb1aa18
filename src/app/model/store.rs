//! How the window reaches files: sets, specimens and photos, each call one job for a worker. Errors are the rooms' own
//! sentences.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::SystemTime;

use image::codecs::jpeg::JpegEncoder;

use crate::align::{self, Rim};
use crate::crop::{Kernel, cut_picture};
use crate::evidence::{Prior, standing};
use crate::geometry::PicturePoint;
use crate::photo::{Picture, ReadLimits, Watch, read_picture, read_picture_file};
use crate::pipeline;
use crate::reference::{DemoCoin, OpenSet, ReferenceSet, SetSource, Side, demo_photo, open_set};
use crate::specimen::{
    Cabinet, SetReference, SidePhoto, SpecimenFolder, SpecimenRecord, create_demo_specimen,
    create_worn_demo_specimen,
};

/// A specimen's folder, shared with the worker that saves.
pub type SharedFolder = Arc<Mutex<SpecimenFolder>>;

/// A specimen, opened with its set.
pub struct OpenedSpecimen {
    /// Its folder; none in tests that keep nothing.
    pub folder: Option<SpecimenFolder>,
    /// Its record.
    pub record: SpecimenRecord,
    /// Its set.
    pub set: Arc<ReferenceSet>,
    /// Where the set's plates are read from; none where the set stands in for one that is gone.
    pub source: Option<SetSource>,
    /// Photos that are in memory already.
    pub pictures: [Option<Arc<Picture>>; 2],
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
    /// Its set's lasting name; empty where the record cannot be read.
    pub set_id: String,
    /// Its set's title.
    pub set_title: String,
    /// What its verdicts amount to, or why it cannot be read.
    pub outcome: String,
    /// Whether it cannot be read.
    pub faulty: bool,
    /// When it was last saved.
    pub modified: Option<SystemTime>,
    /// Its small picture.
    pub thumbnail: Option<Arc<image::RgbImage>>,
}

/// A photo chosen for a new specimen, with its picture already read.
pub type ChosenPhoto = Option<(PathBuf, Arc<Picture>)>;

/// The name of the demo specimen's folder in the cabinet.
const DEMO_TITLE: &str = "Demo coin";

/// Opens the demo specimen in the cabinet, made anew where it is not there.
///
/// # Errors
/// One sentence for the user.
pub fn open_demo(cabinet: &Path) -> Result<Box<OpenedSpecimen>, String> {
    let demo = open_set(SetSource::DEMO_WORD).map_err(|error| error.to_string())?;
    let cabinet = Cabinet::at(cabinet);
    let there =
        cabinet.list().unwrap_or_default().into_iter().find(|entry| {
            entry.title == DEMO_TITLE && entry.set.as_ref().is_some_and(|s| s.id == demo.set.id)
        });
    if let Some(entry) = there {
        return open_specimen(&entry.folder);
    }
    let folder = cabinet
        .folder_for(DEMO_TITLE)
        .map_err(|error| error.to_string())?;
    let made = create_demo_specimen(&folder, &demo).map_err(|error| error.to_string())?;
    Ok(Box::new(OpenedSpecimen {
        folder: Some(made.folder),
        record: made.record,
        set: Arc::new(demo.set),
        source: Some(demo.source),
        pictures: [None, None],
        notes: Vec::new(),
    }))
}

/// The title of the second demo specimen.
pub const WORN_DEMO_TITLE: &str = "Worn demo coin";

/// The folder of the second demo specimen in the cabinet, made where it is not there, to stand beside another coin.
///
/// # Errors
/// One sentence for the user.
pub fn second_demo(cabinet: &Path) -> Result<PathBuf, String> {
    let demo = open_set(SetSource::DEMO_WORD).map_err(|error| error.to_string())?;
    let cabinet = Cabinet::at(cabinet);
    let there = cabinet.list().unwrap_or_default().into_iter().find(|entry| {
        entry.title == WORN_DEMO_TITLE && entry.set.as_ref().is_some_and(|s| s.id == demo.set.id)
    });
    if let Some(entry) = there {
        return Ok(entry.folder);
    }
    let folder = cabinet
        .folder_for(WORN_DEMO_TITLE)
        .map_err(|error| error.to_string())?;
    create_worn_demo_specimen(&folder, &demo).map_err(|error| error.to_string())?;
    Ok(folder)
}

/// Opens a specimen's folder and its set. A set that is gone is stood in for by the copy kept with the specimen.
///
/// # Errors
/// One sentence for the user.
pub fn open_specimen(folder: &Path) -> Result<Box<OpenedSpecimen>, String> {
    let mut opened = pipeline::open_specimen(folder).map_err(|error| error.to_string())?;
    // The copy is renewed, as the coin is now attributed with this edition.
    if let (Some(folder), Some(_)) = (&mut opened.folder, &opened.source) {
        let _ = folder.keep_set(&opened.set);
    }
    Ok(Box::new(OpenedSpecimen {
        folder: opened.folder,
        record: opened.record,
        set: opened.set,
        source: opened.source,
        pictures: [None, None],
        notes: opened.notes,
    }))
}

/// Opens a set by its place; the built-in demo set where none.
///
/// # Errors
/// One sentence for the user.
pub fn open_set_at(place: Option<&Path>) -> Result<OpenSet, String> {
    open_set(place.unwrap_or(Path::new(SetSource::DEMO_WORD))).map_err(|error| error.to_string())
}

/// Makes a specimen in the cabinet with its photos, obverse and reverse, and opens it. Nothing is left behind where it
/// fails.
///
/// # Errors
/// One sentence for the user.
pub fn new_specimen(
    cabinet: &Path,
    title: &str,
    open: &OpenSet,
    photos: &[ChosenPhoto; 2],
) -> Result<Box<OpenedSpecimen>, String> {
    let folder = Cabinet::at(cabinet)
        .folder_for(title)
        .map_err(|error| error.to_string())?;
    let made = fill_new(&folder, title, open, photos);
    if made.is_err() {
        // What was begun is ours alone, and a half-made specimen in the cabinet would only puzzle.
        let _ = std::fs::remove_dir_all(&folder);
    }
    let (made, record) = made?;
    Ok(Box::new(OpenedSpecimen {
        folder: Some(made),
        record,
        set: Arc::new(open.set.clone()),
        source: Some(open.source.clone()),
        pictures: photos.clone().map(|photo| photo.map(|(_, picture)| picture)),
        notes: open.note.clone().into_iter().collect(),
    }))
}

fn fill_new(
    folder: &Path,
    title: &str,
    open: &OpenSet,
    photos: &[ChosenPhoto; 2],
) -> Result<(SpecimenFolder, SpecimenRecord), String> {
    let mut record = SpecimenRecord::new(title, SetReference::to(open, folder));
    let mut made = SpecimenFolder::create(folder, &record).map_err(|error| error.to_string())?;
    for (side, photo) in Side::BOTH.into_iter().zip(photos) {
        if let Some((file, picture)) = photo {
            let size = (picture.width(), picture.height());
            let taken_in = made
                .take_in_photo(side, file, size)
                .map_err(|error| error.to_string())?;
            *record.photo_mut(side) = Some(taken_in);
        }
    }
    made.save(&record).map_err(|error| error.to_string())?;
    made.keep_set(&open.set).map_err(|error| error.to_string())?;
    Ok((made, record))
}

/// Copies a photo's bytes into the specimen's folder and reads it.
///
/// # Errors
/// One sentence for the user.
pub fn add_photo(
    folder: &SpecimenFolder,
    side: Side,
    file: &Path,
    watch: &Watch,
) -> Result<AddedPhoto, String> {
    // Read first: what is no picture is not taken in.
    let picture =
        read_picture_file(file, &ReadLimits::default(), watch).map_err(|error| error.to_string())?;
    let size = (picture.width(), picture.height());
    let photo = folder
        .take_in_photo(side, file, size)
        .map_err(|error| error.to_string())?;
    Ok(AddedPhoto {
        photo,
        picture: Arc::new(picture),
    })
}

/// Reads a plate of a set.
///
/// # Errors
/// One sentence for the user.
pub fn read_plate(source: &SetSource, file: &str, watch: &Watch) -> Result<Arc<Picture>, String> {
    if watch.is_cancelled() {
        return Err("The plate is no longer looked at.".to_owned());
    }
    let bytes = source.file_bytes(file).map_err(|error| error.to_string())?;
    read_picture(file.as_ref(), &bytes, &ReadLimits::default(), watch)
        .map(Arc::new)
        .map_err(|error| error.to_string())
}

/// Finds the rim in a photo.
///
/// # Errors
/// One sentence for the user where it is not found.
pub fn find_rim(picture: &Picture) -> Result<Rim, String> {
    align::find_rim(picture)
        .map(|found| found.rim)
        .map_err(|error| error.to_string())
}

/// Saves the record; returns a sentence where the user should know something of it.
///
/// # Errors
/// One sentence for the user.
pub fn save(folder: &SharedFolder, record: &SpecimenRecord) -> Result<Option<String>, String> {
    lock(folder)
        .save(record)
        .map(|notice| notice.map(|n| n.to_string()))
        .map_err(|error| error.to_string())
}

/// Keeps a small picture of the coin for the cabinet: square, about the rim where it is known.
pub fn keep_thumbnail(folder: &SharedFolder, photo: &SidePhoto, picture: &Picture) {
    const SIZE_PX: u32 = 192;
    const QUALITY: u8 = 85;
    let about = photo.rim.or_else(|| about_landmarks(photo));
    let cut = square_about_rim(picture, about, 1.06, SIZE_PX);
    let flat = image::DynamicImage::ImageRgba8(cut).into_rgb8();
    let mut jpeg = Vec::new();
    // A cabinet without a small picture is no loss that a sentence would mend.
    if JpegEncoder::new_with_quality(&mut jpeg, QUALITY)
        .encode_image(&flat)
        .is_ok()
    {
        let _ = lock(folder).keep_thumbnail(&jpeg);
    }
}

/// A ring about the landmarks of a photo whose rim is not marked: roughly the coin, as designs are marked all over.
fn about_landmarks(photo: &SidePhoto) -> Option<Rim> {
    /// Fewer say too little of where the coin ends.
    const FEWEST: usize = 3;
    /// The coin's radius against half the wider side of the box about its landmarks, roughly.
    const ROOM: f64 = 1.3;
    let points = photo.landmarks.values();
    if points.len() < FEWEST {
        return None;
    }
    let span = |of: fn(&PicturePoint) -> f64| {
        let (low, high) = photo
            .landmarks
            .values()
            .map(of)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
                (l.min(v), h.max(v))
            });
        ((low + high) / 2.0, (high - low) / 2.0)
    };
    let ((x, half_width), (y, half_height)) = (span(|p| p.x), span(|p| p.y));
    let radius = half_width.max(half_height) * ROOM;
    Some(Rim {
        centre: PicturePoint::new(x, y),
        long_px: radius,
        short_px: radius,
        turn_deg: 0.0,
        by_hand: false,
    })
}

/// Makes the small picture of a specimen that has none, as one made by a verb or beside another coin; none where its
/// obverse cannot be read.
#[must_use]
pub fn missing_thumbnail(folder: &Path) -> Option<Arc<image::RgbImage>> {
    let opened = SpecimenFolder::open_unchecked(folder).ok()?;
    let mut photo = opened.record.obverse.clone()?;
    let picture = {
        let file = opened.folder.check_photo(Side::Obverse, &photo).ok()?;
        read_picture_file(&file, &ReadLimits::default(), &Watch::default()).ok()?
    };
    if photo.rim.is_none() {
        photo.rim = find_rim(&picture).ok();
    }
    let file = folder.join(crate::specimen::THUMBNAIL_FILE);
    keep_thumbnail(&Arc::new(Mutex::new(opened.folder)), &photo, &picture);
    small_picture(&file)
}

/// The demo coin's photos, small; none where the program carries none.
#[must_use]
pub fn demo_pictures() -> Option<[egui::ColorImage; 2]> {
    const SIZE_PX: u32 = 640;
    let read = |side| {
        let (name, bytes) = demo_photo(DemoCoin::Circulated, side)?;
        let picture = read_picture(name.as_ref(), bytes, &ReadLimits::default(), &Watch::default()).ok()?;
        let rim = align::find_rim(&picture).ok().map(|found| found.rim);
        let cut = square_about_rim(&picture, rim, 1.12, SIZE_PX);
        let size = [SIZE_PX as usize; 2];
        Some(egui::ColorImage::from_rgba_unmultiplied(size, cut.as_raw()))
    };
    Some([read(Side::Obverse)?, read(Side::Reverse)?])
}

/// A square cut about the rim, `room` times as wide; about the whole picture where there is none.
fn square_about_rim(picture: &Picture, rim: Option<Rim>, room: f64, size_px: u32) -> image::RgbaImage {
    let (w, h) = (f64::from(picture.width()), f64::from(picture.height()));
    let (x, y, half) = match rim {
        Some(rim) => (rim.centre.x, rim.centre.y, rim.long_px * room),
        None => ((w - 1.0) / 2.0, (h - 1.0) / 2.0, w.max(h) / 2.0),
    };
    let scale = 2.0 * half / f64::from(size_px);
    let middle = (f64::from(size_px) - 1.0) / 2.0;
    let (left, top) = (x - scale * middle, y - scale * middle);
    let from = nalgebra::Matrix3::new(scale, 0.0, left, 0.0, scale, top, 0.0, 0.0, 1.0);
    cut_picture(picture, &from, size_px, size_px, Kernel::Cubic)
}

/// The specimens in the cabinet, the last saved first, the first of them with small picture and outcome.
///
/// # Errors
/// One sentence for the user.
pub fn list_cabinet(cabinet: &Path) -> Result<Vec<CabinetEntry>, String> {
    /// Beyond these the list shows titles only: each costs the reading of a record and a set.
    const MOST_IN_FULL: usize = 200;
    let entries = Cabinet::at(cabinet).list().map_err(|error| error.to_string())?;
    Ok(entries
        .into_iter()
        .enumerate()
        .map(|(i, entry)| {
            let in_full = i < MOST_IN_FULL;
            let thumbnail = entry
                .thumbnail
                .as_deref()
                .filter(|_| in_full)
                .and_then(small_picture);
            let outcome = match &entry.fault {
                Some(fault) => fault.clone(),
                None if in_full => outcome(&entry.folder).unwrap_or_default(),
                None => String::new(),
            };
            let (set_id, set_title) = entry.set.map(|s| (s.id, s.title)).unwrap_or_default();
            CabinetEntry {
                set_id,
                set_title,
                faulty: entry.fault.is_some(),
                folder: entry.folder,
                title: entry.title,
                modified: entry.modified,
                outcome,
                thumbnail,
            }
        })
        .collect())
}

fn small_picture(file: &Path) -> Option<Arc<image::RgbImage>> {
    let limits = ReadLimits {
        most_pixels: 1_000_000,
        most_bytes: 2_000_000,
    };
    let picture = read_picture_file(file, &limits, &Watch::default()).ok()?;
    Some(Arc::new(picture.thumbnail(u32::MAX)))
}

fn outcome(folder: &Path) -> Option<String> {
    let opened = SpecimenFolder::open_unchecked(folder).ok()?;
    let set = opened.folder.set_as_used().ok().flatten()?;
    let record = opened.record;
    let standing = standing(
        &set,
        &record.facts,
        record.weight_g,
        &record.verdicts,
        Prior::Equal,
    );
    Some(standing.outcome.headline(&set))
}

/// Keeps the set's text with the specimen, as the coin is now attributed with it.
///
/// # Errors
/// One sentence for the user.
pub fn keep_set(folder: &SharedFolder, set: &ReferenceSet) -> Result<(), String> {
    lock(folder).keep_set(set).map_err(|error| error.to_string())
}

/// The folder as it is, for work that does not save.
#[must_use]
pub fn peek(folder: &SharedFolder) -> SpecimenFolder {
    lock(folder).clone()
}

fn lock(folder: &SharedFolder) -> std::sync::MutexGuard<'_, SpecimenFolder> {
    folder.lock().unwrap_or_else(PoisonError::into_inner)
}
