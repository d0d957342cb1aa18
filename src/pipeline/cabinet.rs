//! The cabinet as a list: each specimen with its small picture and what its verdicts amount to.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

use image::codecs::jpeg::JpegEncoder;
use image::{RgbImage, RgbaImage};

use super::Computed;
use crate::align::{Rim, find_rim};
use crate::crop::{Kernel, cut_picture};
use crate::evidence::Prior;
use crate::files::log::OrLog;
use crate::geometry::PicturePoint;
use crate::photo::{Picture, ReadLimits, Watch, read_picture, read_picture_file};
use crate::reference::{DemoCoin, Side, demo_photo};
use crate::specimen::{Cabinet, SidePhoto, SpecimenError, SpecimenFolder, THUMBNAIL_FILE};

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
    pub thumbnail: Option<Arc<RgbImage>>,
}

/// The specimens in the cabinet, the last saved first, the first of them with small picture and outcome.
///
/// # Errors
/// [`SpecimenError`] where the folder cannot be read.
pub fn list_cabinet(cabinet: &Path) -> Result<Vec<CabinetEntry>, SpecimenError> {
    /// Beyond these the list shows titles only: each costs the reading of a record and a set.
    const MOST_IN_FULL: usize = 200;
    let entries = Cabinet::at(cabinet).list()?;
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

fn small_picture(file: &Path) -> Option<Arc<RgbImage>> {
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
    let standing = Computed::of(&set, &opened.record, Prior::Equal).standing;
    Some(standing.outcome.headline(&set))
}

/// Keeps a small picture of the coin for the cabinet: square, about the rim where it is known.
pub fn keep_thumbnail(folder: &SpecimenFolder, photo: &SidePhoto, picture: &Picture) {
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
        folder.keep_thumbnail(&jpeg).or_log("Keeping a small picture");
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
pub fn missing_thumbnail(folder: &Path) -> Option<Arc<RgbImage>> {
    let opened = SpecimenFolder::open_unchecked(folder).ok()?;
    let mut photo = opened.record.obverse.clone()?;
    let picture = {
        let file = opened.folder.check_photo(Side::Obverse, &photo).ok()?;
        read_picture_file(&file, &ReadLimits::default(), &Watch::default()).ok()?
    };
    if photo.rim.is_none() {
        photo.rim = find_rim(&picture).ok().map(|found| found.rim);
    }
    let file = folder.join(THUMBNAIL_FILE);
    keep_thumbnail(&opened.folder, &photo, &picture);
    small_picture(&file)
}

/// The demo coin's photos, small; none where the program carries none.
#[must_use]
pub fn demo_pictures() -> Option<[RgbaImage; 2]> {
    const SIZE_PX: u32 = 640;
    let read = |side| {
        let (name, bytes) = demo_photo(DemoCoin::Circulated, side)?;
        let picture = read_picture(name.as_ref(), bytes, &ReadLimits::default(), &Watch::default()).ok()?;
        let rim = find_rim(&picture).ok().map(|found| found.rim);
        Some(square_about_rim(&picture, rim, 1.12, SIZE_PX))
    };
    Some([read(Side::Obverse)?, read(Side::Reverse)?])
}

/// A square cut about the rim, `room` times as wide; about the whole picture where there is none.
fn square_about_rim(picture: &Picture, rim: Option<Rim>, room: f64, size_px: u32) -> RgbaImage {
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
