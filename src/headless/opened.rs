//! A specimen opened with its set, and its pictures.

use std::path::Path;
use std::sync::Arc;

use super::error::VerbError;
use crate::photo::{Picture, ReadLimits, Watch, read_picture, read_picture_file};
use crate::reference::{DieId, Plate, ReferenceSet, SetSource, Side};
use crate::specimen::{OtherSpecimen, SpecimenFolder, SpecimenRecord};

/// A specimen, opened.
pub(super) struct Opened {
    pub(super) folder: SpecimenFolder,
    pub(super) record: SpecimenRecord,
    pub(super) set: ReferenceSet,
    /// Where the plates are; none where the set itself is gone and its text as it was used stands in.
    pub(super) source: Option<SetSource>,
    /// What the user should know, each a sentence.
    pub(super) notes: Vec<String>,
}

/// Opens a specimen and its set. Where the set is not at its place any more, its text as it was used stands in, with a
/// note.
pub(super) fn open(folder: &Path) -> Result<Opened, VerbError> {
    let opened = SpecimenFolder::open(folder)?;
    let mut notes: Vec<String> = opened.notices.iter().map(ToString::to_string).collect();
    let (set, source) = match opened.folder.open_reference_set(&opened.record.set) {
        Ok(open) => {
            notes.extend(open.note);
            (open.set, Some(open.source))
        }
        Err(error) => match opened.folder.set_as_used() {
            Ok(Some(set)) => {
                notes.push(format!(
                    "{error} The set as it was last used stands in, without its plates."
                ));
                (set, None)
            }
            _ => return Err(error.into()),
        },
    };
    if set.id != opened.record.set.id {
        notes.push(format!(
            "The specimen was made with the set \u{201c}{}\u{201d}; at its place is now \u{201c}{}\u{201d}.",
            opened.record.set.id, set.id
        ));
    }
    Ok(Opened {
        folder: opened.folder,
        record: opened.record,
        set,
        source,
        notes,
    })
}

impl Opened {
    /// Saves a changed record; what the user should know of it joins the notes.
    pub(super) fn save(&mut self) -> Result<(), VerbError> {
        let notice = self.folder.save(&self.record)?;
        self.notes.extend(notice.map(|notice| notice.to_string()));
        Ok(())
    }

    /// Reads the photo of a side.
    ///
    /// # Errors
    /// Why it cannot be had, as a sentence.
    pub(super) fn read_photo(&self, side: Side) -> Result<Picture, String> {
        let photo = self
            .record
            .photo(side)
            .ok_or_else(|| format!("There is no {} photo yet.", side.word()))?;
        let file = self.folder.photo_path(photo).map_err(|error| error.to_string())?;
        read_picture_file(&file, &ReadLimits::default(), &Watch::default()).map_err(|error| error.to_string())
    }

    /// Reads the photo of another coin that a side was compared with.
    ///
    /// # Errors
    /// Why it cannot be had, as a sentence.
    pub(super) fn read_other_photo(&self, side: Side, other: &OtherSpecimen) -> Result<Picture, String> {
        let file = self
            .folder
            .other_photo(side, other)
            .map_err(|error| error.to_string())?;
        read_picture_file(&file, &ReadLimits::default(), &Watch::default()).map_err(|error| error.to_string())
    }

    /// A die's plate, counted from 0, as the set lists it.
    pub(super) fn plate(&self, side: Side, die: &DieId, plate: usize) -> Option<&Plate> {
        self.set.side(side).die(die)?.plates.get(plate)
    }

    /// Reads a die's plate, counted from 0.
    ///
    /// # Errors
    /// Why it cannot be had, as a sentence.
    pub(super) fn read_plate(&self, side: Side, die: &DieId, plate: usize) -> Result<Picture, String> {
        let listed = self.plate(side, die, plate).ok_or_else(|| {
            format!(
                "The set lists no plate {} of the {} die {die}.",
                plate + 1,
                side.word()
            )
        })?;
        let source = self
            .source
            .as_ref()
            .ok_or("The set's plates are not at their place any more.")?;
        let bytes = source
            .file_bytes(&listed.file)
            .map_err(|error| error.to_string())?;
        read_picture(
            Path::new(&listed.file),
            &bytes,
            &ReadLimits::default(),
            &Watch::default(),
        )
        .map_err(|error| error.to_string())
    }
}

/// Pictures already read, the last used kept: a plate serves several features, and all plates of a large set would not
/// fit in memory.
pub(super) struct Shelf<'a> {
    opened: &'a Opened,
    /// The last used at the end.
    kept: Vec<(Wanted, Result<Arc<Picture>, String>)>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum Wanted {
    Photo(Side),
    Plate(Side, DieId, usize),
    /// Another coin's photo of a side.
    Other(Side, OtherSpecimen),
}

/// The most pixels kept: two photos of 50 MP and as much again of plates. A picture takes 4 bytes a pixel with its
/// pyramid.
const MOST_PIXELS_KEPT: u64 = 200_000_000;

impl<'a> Shelf<'a> {
    pub(super) fn new(opened: &'a Opened) -> Self {
        Self {
            opened,
            kept: Vec::new(),
        }
    }

    /// The photo of a side.
    ///
    /// # Errors
    /// Why it cannot be had, as a sentence.
    pub(super) fn photo(&mut self, side: Side) -> Result<Arc<Picture>, String> {
        self.take(Wanted::Photo(side))
    }

    /// A die's plate, counted from 0.
    ///
    /// # Errors
    /// Why it cannot be had, as a sentence.
    pub(super) fn plate(&mut self, side: Side, die: &DieId, plate: usize) -> Result<Arc<Picture>, String> {
        self.take(Wanted::Plate(side, die.clone(), plate))
    }

    /// The photo of another coin that a side was compared with.
    ///
    /// # Errors
    /// Why it cannot be had, as a sentence.
    pub(super) fn other_photo(&mut self, side: Side, other: &OtherSpecimen) -> Result<Arc<Picture>, String> {
        self.take(Wanted::Other(side, other.clone()))
    }

    fn take(&mut self, wanted: Wanted) -> Result<Arc<Picture>, String> {
        let found = match self.kept.iter().position(|(kept, _)| kept == &wanted) {
            Some(place) => self.kept.remove(place).1,
            None => match &wanted {
                Wanted::Photo(side) => self.opened.read_photo(*side),
                Wanted::Plate(side, die, plate) => self.opened.read_plate(*side, die, *plate),
                Wanted::Other(side, other) => self.opened.read_other_photo(*side, other),
            }
            .map(Arc::new),
        };
        self.kept.push((wanted, found.clone()));
        while self.kept.len() > 1 && self.pixels() > MOST_PIXELS_KEPT {
            drop(self.kept.remove(0));
        }
        found
    }

    fn pixels(&self) -> u64 {
        let pictures = self.kept.iter().filter_map(|(_, picture)| picture.as_ref().ok());
        pictures
            .map(|picture| u64::from(picture.width()) * u64::from(picture.height()))
            .sum()
    }
}
