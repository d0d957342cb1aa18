//! A specimen's folder: `specimen.ron`, the photos' original bytes, and the set's text as it was used.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::saving::{Seen, may_be_replaced};
use super::set_place::{as_text, relative};
use super::{SetReference, SidePhoto, SpecimenError, SpecimenRecord};
use crate::files::limits::{MOST_PICTURE_BYTES, MOST_RECORD_BYTES, MOST_SET_BYTES};
use crate::files::text::{Document, UnwritableText, parse_document, read_document, write_document};
use crate::files::{self, Digest, WriteError, digest, digest_file};
use crate::reference::{OpenSet, ReferenceSet, SetError, Side, parse_set_bytes, write_set};

/// The record's file.
pub const RECORD_FILE: &str = "specimen.ron";
/// The version of the record before the last.
pub const PREVIOUS_RECORD_FILE: &str = "specimen.previous.ron";
/// The set as it was when the specimen was last saved, without its plates.
pub const SET_AS_USED_FILE: &str = "set-as-used.ron";
/// A small picture for the cabinet, JPEG.
pub const THUMBNAIL_FILE: &str = "thumbnail.jpg";

impl Document for SpecimenRecord {
    const NEWEST_FORMAT: u32 = SpecimenRecord::FORMAT;
    const MOST_BYTES: u64 = MOST_RECORD_BYTES;
}

/// Reads a record from its text; `file` stands in the messages.
///
/// # Errors
/// [`SpecimenError::Text`] with line, column and field.
pub fn parse_specimen(bytes: &[u8], file: &Path) -> Result<SpecimenRecord, SpecimenError> {
    Ok(parse_document::<SpecimenRecord>(bytes, file)?.brought_up_to_date())
}

/// Writes a record as text that [`parse_specimen`] reads back to the same record.
///
/// # Errors
/// [`SpecimenError::Unwritable`].
pub fn write_specimen(record: &SpecimenRecord) -> Result<String, SpecimenError> {
    let text = write_document(record)?;
    // What could not be read again must not replace what can.
    parse_specimen(text.as_bytes(), Path::new(RECORD_FILE))
        .map_err(|error| UnwritableText(error.to_string()))?;
    Ok(text)
}

/// What the user should know of a specimen just opened or saved. Each is a sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Notice {
    /// The last record is broken or gone; the one before was opened.
    #[error(
        "The version saved before the last was opened, because the last cannot be read: {reason} The broken file is \
         kept as {kept}."
    )]
    OpenedPrevious {
        /// Why the last cannot be read.
        reason: String,
        /// Where the broken file will be kept.
        kept: String,
    },
    /// A photo is not in the folder.
    #[error(
        "The {} photo {} is not in the specimen's folder any more: put the file back, or take the photo in again. \
         Its landmarks and verdicts are kept.",
        side.word(),
        file.display()
    )]
    PhotoMissing {
        /// The side.
        side: Side,
        /// The file.
        file: PathBuf,
    },
    /// A photo's bytes are not those that were taken in.
    #[error(
        "The {} photo {} was changed since it was taken in: landmarks and verdicts may not belong to it. Put the \
         original back, or check them.",
        side.word(),
        file.display()
    )]
    PhotoChanged {
        /// The side.
        side: Side,
        /// The file.
        file: PathBuf,
    },
    /// A photo cannot be read.
    #[error("The {} photo {} cannot be read: {reason}.", side.word(), file.display())]
    PhotoUnreadable {
        /// The side.
        side: Side,
        /// The file.
        file: PathBuf,
        /// The system's reason.
        reason: String,
    },
    /// Another program changed the record meanwhile, and nothing of it had to give way.
    #[error("The specimen was also changed by another window or program meanwhile; both changes are saved.")]
    TookIn,
    /// Another program changed the same meanwhile.
    #[error(
        "The specimen was also saved by another window or program meanwhile; that version is kept as {}.",
        kept.display()
    )]
    OtherVersionKept {
        /// Where.
        kept: PathBuf,
    },
}

/// A specimen just opened.
#[derive(Debug)]
pub struct OpenedSpecimen {
    /// Its folder.
    pub folder: SpecimenFolder,
    /// The record.
    pub record: SpecimenRecord,
    /// What the user should know.
    pub notices: Vec<Notice>,
}

/// The folder of one specimen.
#[derive(Debug, Clone, PartialEq)]
pub struct SpecimenFolder {
    pub(super) path: PathBuf,
    /// The record as it was last on the disk, as far as is known here; none where it could not be read.
    pub(super) seen: Option<Seen>,
    /// The text of the set last kept here.
    set_kept: Option<Digest>,
}

impl SpecimenFolder {
    /// Makes a folder for a new specimen with its first record. The folder must be new or empty.
    ///
    /// # Errors
    /// [`SpecimenError`]; nothing is then left behind.
    pub fn create(folder: &Path, record: &SpecimenRecord) -> Result<Self, SpecimenError> {
        Ok(Self::whole(folder, |made| made.save(record).map(drop))?.0)
    }

    /// Makes a new specimen of a set: `fill` takes the photos in and writes them into the record. The folder must be
    /// new or empty, and appears filled or not at all.
    ///
    /// # Errors
    /// [`SpecimenError`], and those of `fill`; nothing is then left behind.
    pub fn make<E: From<SpecimenError>>(
        folder: &Path,
        title: &str,
        open: &OpenSet,
        fill: impl FnOnce(&Self, &mut SpecimenRecord) -> Result<(), E>,
    ) -> Result<(Self, SpecimenRecord), E> {
        Self::whole(folder, |made| {
            let mut record = SpecimenRecord::new(title, SetReference::to(open, &made.path)?);
            fill(made, &mut record)?;
            made.save(&record)?;
            made.keep_set(&open.set)?;
            Ok(record)
        })
    }

    /// Fills a folder beside the place that it then takes.
    fn whole<T, E: From<SpecimenError>>(
        folder: &Path,
        fill: impl FnOnce(&mut Self) -> Result<T, E>,
    ) -> Result<(Self, T), E> {
        let in_use = || SpecimenError::FolderInUse {
            folder: folder.to_owned(),
        };
        let is_in_use = || files::is_in_use(folder).map_err(SpecimenError::from);
        let write_error =
            |error: std::io::Error| SpecimenError::from(WriteError::new(&folder.join(RECORD_FILE), &error));
        if is_in_use()? {
            return Err(in_use().into());
        }
        files::make_folder(files::folder_of(folder), folder).map_err(SpecimenError::from)?;
        files::sweep_unfinished(files::folder_of(folder));
        let unfinished = files::unfinished_folder(folder).map_err(write_error)?;
        let mut made = Self {
            path: unfinished.path().to_owned(),
            seen: None,
            set_kept: None,
        };
        let filled = fill(&mut made)?;
        if let Err(error) = files::finish_folder(unfinished, folder) {
            // Another program may have taken the folder meanwhile.
            return Err(if is_in_use()? {
                in_use()
            } else {
                write_error(error)
            }
            .into());
        }
        made.path = folder.to_owned();
        Ok((made, filled))
    }

    /// Opens a specimen. Where the record is broken the version before is opened, with a notice. The photos' bytes
    /// are compared with their hashes; a missing or changed one is a notice.
    ///
    /// # Errors
    /// [`SpecimenError`] where neither version can be read.
    pub fn open(folder: &Path) -> Result<OpenedSpecimen, SpecimenError> {
        let mut opened = Self::open_unchecked(folder)?;
        let changed = opened.folder.check_photos(&opened.record);
        opened.notices.extend(changed);
        Ok(opened)
    }

    /// As [`SpecimenFolder::open`], without reading the photos, which takes a moment for large ones; the caller runs
    /// [`SpecimenFolder::check_photos`] where it can wait.
    ///
    /// # Errors
    /// As [`SpecimenFolder::open`].
    pub fn open_unchecked(folder: &Path) -> Result<OpenedSpecimen, SpecimenError> {
        let folder = if folder.file_name().is_some_and(|name| name == RECORD_FILE) {
            folder.parent().unwrap_or(Path::new("."))
        } else {
            folder
        };
        files::sweep_unfinished(folder);
        let file = folder.join(RECORD_FILE);
        let previous = folder.join(PREVIOUS_RECORD_FILE);
        if !files::is_there(&file)? && !files::is_there(&previous)? {
            return Err(SpecimenError::NotASpecimen {
                folder: folder.to_owned(),
            });
        }
        let mut made = Self {
            path: folder.to_owned(),
            seen: None,
            set_kept: digest_of(&folder.join(SET_AS_USED_FILE)),
        };
        let (record, notices) = match made.read_newest() {
            Ok(seen) => {
                let record = Arc::clone(&seen.on_disk);
                made.seen = Some(seen);
                (record, Vec::new())
            }
            Err(error) if !may_be_replaced(&error) => return Err(error),
            Err(error) => match read_document::<SpecimenRecord>(&previous) {
                Ok(record) => {
                    let notice = Notice::OpenedPrevious {
                        reason: error.to_string(),
                        kept: made.other_version_name(&file),
                    };
                    (Arc::new(record.brought_up_to_date()), vec![notice])
                }
                Err(_) => return Err(error),
            },
        };
        Ok(OpenedSpecimen {
            folder: made,
            record: Arc::unwrap_or_clone(record),
            notices,
        })
    }

    /// The folder's path.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Another specimen's folder as this one's record names it: relative where both may be moved together.
    ///
    /// # Errors
    /// [`SpecimenError::SetPath`] where it cannot be written down as text.
    pub fn place_of(&self, other: &Path) -> Result<String, SpecimenError> {
        as_text(&relative(other, &self.path))
    }

    /// Where a photo's file is.
    ///
    /// # Errors
    /// [`SpecimenError::PhotoPath`] where the record names a file outside the folder.
    pub fn photo_path(&self, photo: &SidePhoto) -> Result<PathBuf, SpecimenError> {
        let lies_inside = || {
            let inside = files::inside(&photo.file)?;
            // One that is not there, or cannot be looked at, is told when it is read.
            files::resolve(&self.path, &photo.file).map(|_| self.path.join(inside))
        };
        lies_inside().map_err(|fault| SpecimenError::PhotoPath {
            name: files::shorten(&photo.file),
            fault,
        })
    }

    /// Copies a photo into the folder, byte for byte, and gives its entry for the record; landmarks are empty and
    /// the size is as given, in upright px. An earlier photo of the side stays, so that undo finds it.
    ///
    /// # Errors
    /// [`SpecimenError`].
    pub fn take_in_photo(
        &self,
        side: Side,
        file: &Path,
        size_px: (u32, u32),
    ) -> Result<SidePhoto, SpecimenError> {
        let bytes = files::read(file, MOST_PICTURE_BYTES)?;
        let name = file
            .file_name()
            .map_or_else(|| "photo".into(), |name| name.to_string_lossy());
        self.take_in_bytes(side, &name, &bytes, size_px)
    }

    /// As [`SpecimenFolder::take_in_photo`], from bytes that came with a name.
    ///
    /// # Errors
    /// [`SpecimenError`].
    pub fn take_in_bytes(
        &self,
        side: Side,
        original_name: &str,
        bytes: &[u8],
        size_px: (u32, u32),
    ) -> Result<SidePhoto, SpecimenError> {
        let found = digest(bytes);
        // By its content, so that no photo ever takes the place of another.
        let ending = files::ending(original_name, "photo");
        let file = format!("{}-{}.{ending}", side.word(), found.start(12));
        let target = self.path.join(&file);
        if digest_of(&target) != Some(found) {
            files::replace(&target, bytes)?;
        }
        Ok(SidePhoto {
            file,
            original_name: original_name.to_owned(),
            sha256: found.to_string(),
            width_px: size_px.0,
            height_px: size_px.1,
            landmarks: std::collections::BTreeMap::new(),
            held_model: None,
            rim: None,
            fine_shifts: std::collections::BTreeMap::new(),
        })
    }

    /// Compares the photos with their hashes.
    #[must_use]
    pub fn check_photos(&self, record: &SpecimenRecord) -> Vec<Notice> {
        let photos = Side::BOTH
            .into_iter()
            .filter_map(|side| Some((side, record.photo(side)?)));
        photos
            .filter_map(|(side, photo)| self.check_photo(side, photo).err())
            .collect()
    }

    /// Where a photo's file is, once its bytes are found to be those that were taken in.
    ///
    /// # Errors
    /// A [`Notice`] where it is missing, changed or unreadable.
    pub fn check_photo(&self, side: Side, photo: &SidePhoto) -> Result<PathBuf, Notice> {
        let file = self.photo_path(photo).map_err(|error| Notice::PhotoUnreadable {
            side,
            file: PathBuf::from(files::shorten(&photo.file)),
            reason: error.to_string(),
        })?;
        match digest_file(&file) {
            Ok(found) if found.to_string() == photo.sha256 => Ok(file),
            Ok(_) => Err(Notice::PhotoChanged { side, file }),
            Err(error) if error.is_missing() => Err(Notice::PhotoMissing { side, file }),
            Err(error) => Err(Notice::PhotoUnreadable {
                side,
                file,
                reason: error.to_string(),
            }),
        }
    }

    /// Keeps the set's text as it is used, so that a later edition can be compared with it. Writes only where it
    /// differs from what is kept.
    ///
    /// # Errors
    /// [`SpecimenError`].
    pub fn keep_set(&mut self, set: &ReferenceSet) -> Result<(), SpecimenError> {
        let text = write_set(set)?;
        let found = digest(text.as_bytes());
        if self.set_kept != Some(found) {
            files::replace(&self.path.join(SET_AS_USED_FILE), text.as_bytes())?;
            self.set_kept = Some(found);
        }
        Ok(())
    }

    /// The set as it was used, without its plates; none where none is kept.
    ///
    /// # Errors
    /// [`SetError`].
    pub fn set_as_used(&self) -> Result<Option<ReferenceSet>, SetError> {
        let file = self.path.join(SET_AS_USED_FILE);
        files::read_if_there(&file, MOST_SET_BYTES)?
            .map(|bytes| parse_set_bytes(&bytes, &file))
            .transpose()
    }

    /// Keeps a small picture for the cabinet, encoded as JPEG.
    ///
    /// # Errors
    /// [`SpecimenError::Write`].
    pub fn keep_thumbnail(&self, jpeg: &[u8]) -> Result<(), SpecimenError> {
        Ok(files::replace(&self.path.join(THUMBNAIL_FILE), jpeg)?)
    }
}

pub(super) fn digest_of(file: &Path) -> Option<Digest> {
    digest_file(file).ok()
}
