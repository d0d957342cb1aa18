//! The files of an open set, wherever it lies: opened once and read one after another.

use std::io::Read;
use std::path::{Path, PathBuf};

use super::pack::Pack;
use super::{SetError, SetSource, demo};
use crate::files::limits::MOST_PICTURE_BYTES;
use crate::files::{self, ReadError};
use crate::photo::{upright_size, upright_size_from_head};

/// The part of a picture's file that is read for its size: more than the headers, colour profile and thumbnail that
/// usually come before it.
const HEAD_BYTES: u64 = 256 * 1024;

/// The files of an open set. A packed set's list of files, which may be long and a stranger's, is read and checked once.
pub struct SetFiles<'a> {
    source: &'a SetSource,
    pack: Option<Pack<'a>>,
}

impl SetSource {
    /// Opens the set's files, to read several of them.
    ///
    /// # Errors
    /// [`SetError`] where a packed set cannot be opened.
    pub fn files(&self) -> Result<SetFiles<'_>, SetError> {
        let pack = match self {
            SetSource::Packed(file) => Some(Pack::open(file)?),
            SetSource::Demo | SetSource::Folder(_) => None,
        };
        Ok(SetFiles { source: self, pack })
    }

    /// The bytes of one plate's file; see [`SetFiles::bytes`].
    ///
    /// # Errors
    /// As [`SetFiles::bytes`].
    pub fn file_bytes(&self, plate: &str) -> Result<Vec<u8>, SetError> {
        self.files()?.bytes(plate)
    }
}

impl SetFiles<'_> {
    /// The bytes of a plate's file by its path in the set, at most [`MOST_PICTURE_BYTES`].
    ///
    /// # Errors
    /// [`SetError`]: the path is unusable, the file missing, unreadable or too large.
    pub fn bytes(&mut self, plate: &str) -> Result<Vec<u8>, SetError> {
        match (self.source, &mut self.pack) {
            (_, Some(pack)) => pack.plate(plate),
            (SetSource::Folder(folder), None) => {
                Ok(files::read(&self.in_folder(folder, plate)?, MOST_PICTURE_BYTES)?)
            }
            _ => demo::demo_file(plate)
                .map(<[u8]>::to_vec)
                .ok_or_else(|| self.missing(plate)),
        }
    }

    /// Width and height in px of a plate's upright picture; none where it is no picture that is read here. Of a picture
    /// in a folder only its head is read; a pack, which may come from a stranger, is read in full and so proved.
    ///
    /// # Errors
    /// As [`SetFiles::bytes`].
    pub fn picture_size(&mut self, plate: &str) -> Result<Option<(u32, u32)>, SetError> {
        if let SetSource::Folder(folder) = self.source {
            let file = self.in_folder(folder, plate)?;
            let unreadable = |error| ReadError::new(&file, &error);
            let handle = files::open(&file)?;
            let length = handle.metadata().map_err(unreadable)?.len();
            let mut head = Vec::new();
            handle
                .take(HEAD_BYTES)
                .read_to_end(&mut head)
                .map_err(unreadable)?;
            if length <= MOST_PICTURE_BYTES
                && let Some(size) = upright_size_from_head(&head)
            {
                return Ok(Some(size));
            }
        }
        Ok(upright_size(&self.bytes(plate)?))
    }

    fn in_folder(&self, folder: &Path, plate: &str) -> Result<PathBuf, SetError> {
        let found = files::resolve(folder, plate).map_err(|fault| SetError::PlatePath {
            plate: files::shorten(plate),
            fault,
        })?;
        found.map_err(|error| match ReadError::new(&folder.join(plate), &error) {
            ReadError::Missing { .. } => self.missing(plate),
            other => other.into(),
        })
    }

    fn missing(&self, plate: &str) -> SetError {
        SetError::PlateMissing {
            plate: files::shorten(plate),
            place: self.source.place(),
        }
    }
}
