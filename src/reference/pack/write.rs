//! Packing a set into one file.

use std::io::{BufWriter, Seek, Write};
use std::path::Path;

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use super::copy::{plate_files, step};
use super::read::Pack;
use crate::files::limits::MOST_PACK_BYTES;
use crate::files::{self, OutKind, Replacing, Unfinished, WriteError};
use crate::photo::{Watch, anonymous};
use crate::reference::file::{PREVIOUS_SET_FILE, SET_FILE};
use crate::reference::history::{HISTORY_FILE, History, keep_shared};
use crate::reference::{OpenSet, SetError, write_set};

/// A packed set. Its first file is the set's own (PKWARE's APPNOTE.TXT 6.3.10, sec. 4.3.7: the name starts at byte 30).
const PACK: OutKind = OutKind {
    endings: &[super::PACK_ENDING],
    is_ours: |bytes| {
        bytes.starts_with(b"PK\x03\x04")
            && bytes
                .get(30..)
                .is_some_and(|name| name.starts_with(SET_FILE.as_bytes()))
    },
    kept_by: &[
        "specimen.ron",
        "specimen.previous.ron",
        SET_FILE,
        PREVIOUS_SET_FILE,
    ],
};

/// Packs an open set into a file: its text, the pictures that it names, and the list of its shared editions, by which
/// it can be merged when it comes back. The file is whole or not there; nothing in the set's own place changes but
/// the note of what was shared, which is kept where the set lies in a folder. The pictures leave without what they tell of
/// place, time, device and owner. Gives what the user should know of it, where there is something.
///
/// # Errors
/// [`SetError`]: a plate is missing, the set is too large for a pack, the file cannot be written, or it was stopped
/// through `watch`.
pub fn pack(
    open: &OpenSet,
    file: &Path,
    replacing: Replacing,
    watch: &Watch,
) -> Result<Option<String>, SetError> {
    PACK.check(file, replacing)?;
    let text = write_set(&open.set)?;
    let mut history = History::of(&open.source)?;
    history.add(&text);
    files::sweep_unfinished(files::folder_of(file));
    let write_error = |error: std::io::Error| SetError::from(WriteError::new(file, &error));
    let mut unfinished = Unfinished::begin(file).map_err(write_error)?;
    let mut packing = Packing {
        zip: ZipWriter::new(BufWriter::new(unfinished.file())),
        file,
        total: 0,
    };
    // A fixed date (the default), so that the same set packs to the same bytes.
    let words = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    packing.add(SET_FILE, text.as_bytes(), words)?;
    packing.add(HISTORY_FILE, history.text().as_bytes(), words)?;
    let cleaned = packing.add_plates(open, watch)?;
    packing.finish()?;
    // What the reader would refuse, such as two names that differ in case only, must not be handed out.
    Pack::open(unfinished.path()).map_err(|error| match error {
        SetError::Pack { reason, .. } => SetError::Pack {
            file: file.to_owned(),
            reason,
        },
        other => other,
    })?;
    unfinished.finish().map_err(write_error)?;
    Ok(note(cleaned, keep_shared(&open.source, &text).err()))
}

/// What the user should know of a pack, where there is something.
fn note(cleaned: usize, not_noted: Option<SetError>) -> Option<String> {
    let cleaned = (cleaned > 0).then(|| {
        format!(
            "Place, time, device and owner were left out of {cleaned} of the pictures; those in the set stay as they are."
        )
    });
    let not_noted = not_noted.map(|error| {
        format!(
            "The pack was made, but the set cannot note that it was shared, so that merging it later shows more \
             conflicts: {error}"
        )
    });
    let notes: Vec<String> = cleaned.into_iter().chain(not_noted).collect();
    (!notes.is_empty()).then(|| notes.join(" "))
}

/// A pack being written.
struct Packing<'a, W: Write + Seek> {
    zip: ZipWriter<W>,
    file: &'a Path,
    /// The bytes of all files so far, unpacked.
    total: u64,
}

impl<W: Write + Seek> Packing<'_, W> {
    fn add(&mut self, name: &str, bytes: &[u8], options: SimpleFileOptions) -> Result<(), SetError> {
        self.total += bytes.len() as u64;
        if self.total > MOST_PACK_BYTES {
            return Err(SetError::Pack {
                file: self.file.to_owned(),
                reason: format!(
                    "the set's pictures are larger than {} GB together; make them smaller or split the set",
                    MOST_PACK_BYTES / 1_000_000_000
                ),
            });
        }
        let file = self.file;
        self.zip
            .start_file(name, options)
            .map_err(|error| zip_error(file, error))?;
        let written = self.zip.write_all(bytes);
        written.map_err(|error| WriteError::new(file, &error).into())
    }

    /// Adds the plates without what they tell of place, time, device and owner; gives of how many something was left out.
    fn add_plates(&mut self, open: &OpenSet, watch: &Watch) -> Result<usize, SetError> {
        // Pictures are compressed already.
        let picture = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
        let plates = plate_files(&open.set);
        let mut source = open.source.files()?;
        let mut cleaned = 0;
        for (done, plate) in plates.iter().enumerate() {
            step(watch, done, plates.len())?;
            let bytes = source.bytes(plate)?;
            let handed_on = anonymous(&bytes).map_err(|reason| SetError::PlateKept {
                plate: files::shorten(plate),
                reason,
            })?;
            cleaned += usize::from(*handed_on != *bytes);
            self.add(plate, &handed_on, picture)?;
        }
        Ok(cleaned)
    }

    fn finish(self) -> Result<(), SetError> {
        let mut written = self.zip.finish().map_err(|error| zip_error(self.file, error))?;
        let flushed = written.flush();
        flushed.map_err(|error| WriteError::new(self.file, &error).into())
    }
}

fn zip_error(file: &Path, error: zip::result::ZipError) -> SetError {
    match error {
        zip::result::ZipError::Io(error) => WriteError::new(file, &error).into(),
        other => SetError::Pack {
            file: file.to_owned(),
            reason: format!("it could not be written ({other})"),
        },
    }
}
