//! Reading packed sets, which come from strangers: everything is checked, nothing believed.

use std::collections::BTreeSet;
use std::fs::File;
use std::io::{BufReader, Read};
use std::path::Path;

use zip::read::{ArchiveOffset, Config};
use zip::{CompressionMethod, ZipArchive};

use super::directory::check_directory;
use crate::files::limits::{MOST_PACK_BYTES, MOST_PICTURE_BYTES, MOST_SET_BYTES};
use crate::files::{self, shorten};
use crate::reference::file::SET_FILE;
use crate::reference::{ReferenceSet, SetError, parse_set_bytes};

/// The most that a file may grow in unpacking: set files shrink to about a tenth, pictures hardly at all, while a
/// file of zeros shrinks to a thousandth.
pub const MOST_GROWTH: u64 = 100;
/// Growth is judged from this many bytes on.
const GROWTH_FROM_BYTES: u64 = 1_000_000;

/// A pack starts at its first byte; nothing is searched for.
const CONFIG: Config = Config {
    archive_offset: ArchiveOffset::Known(0),
};

/// The set in a packed file.
///
/// # Errors
/// [`SetError::Pack`], and those of [`parse_set_bytes`].
pub fn packed_set(file: &Path) -> Result<ReferenceSet, SetError> {
    let mut pack = Pack::open(file)?;
    let bytes = pack
        .read(SET_FILE, MOST_SET_BYTES)?
        .ok_or_else(|| pack.refuse(format!("it holds no {SET_FILE}, so it is no packed set")))?;
    parse_set_bytes(&bytes, &file.join(SET_FILE))
}

/// The bytes of a file of words in a packed set; none where the pack has no such file.
pub(crate) fn packed_text(file: &Path, name: &str, most_bytes: u64) -> Result<Option<Vec<u8>>, SetError> {
    Pack::open(file)?.read(name, most_bytes)
}

fn check_path(plate: &str) -> Result<(), SetError> {
    files::inside(plate)
        .map(drop)
        .map_err(|fault| SetError::PlatePath {
            plate: shorten(plate),
            fault,
        })
}

fn missing(file: &Path, plate: &str) -> SetError {
    SetError::PlateMissing {
        plate: plate.to_owned(),
        place: file.to_owned(),
    }
}

/// A packed file whose list of files has been checked.
pub(crate) struct Pack<'a> {
    file: &'a Path,
    archive: ZipArchive<BufReader<File>>,
}

/// One file in a pack, as its list claims.
struct Entry {
    name: String,
    size: u64,
    packed_size: u64,
}

impl<'a> Pack<'a> {
    pub(crate) fn open(file: &'a Path) -> Result<Self, SetError> {
        let refuse = |reason: String| SetError::Pack {
            file: file.to_owned(),
            reason,
        };
        let unreadable = |error: std::io::Error| refuse(format!("it could not be read ({error})"));
        let mut handle = File::open(file).map_err(unreadable)?;
        let listed = check_directory(&mut handle)
            .map_err(unreadable)?
            .map_err(|fault| refuse(fault.to_string()))?;
        let broken = |error: zip::result::ZipError| {
            refuse(format!(
                "it is damaged or no packed set ({})",
                shorten(&error.to_string())
            ))
        };
        let archive = ZipArchive::with_config(CONFIG, BufReader::new(handle)).map_err(broken)?;
        let mut pack = Self { file, archive };
        if pack.archive.len() != listed || pack.archive.has_duplicate_names() {
            return Err(pack.refuse("it lists a file twice".to_owned()));
        }
        pack.check_entries()?;
        if pack.archive.has_overlapping_entries().map_err(broken)? {
            return Err(
                pack.refuse("two of its files share the same bytes, as only a forged one has".to_owned())
            );
        }
        Ok(pack)
    }

    /// The bytes of a plate's file.
    pub(crate) fn plate(&mut self, plate: &str) -> Result<Vec<u8>, SetError> {
        check_path(plate)?;
        self.read(plate, MOST_PICTURE_BYTES)?
            .ok_or_else(|| missing(self.file, plate))
    }

    pub(super) fn refuse(&self, reason: String) -> SetError {
        SetError::Pack {
            file: self.file.to_owned(),
            reason,
        }
    }

    /// Names, kinds and claimed sizes; what the claims are worth shows in reading.
    fn check_entries(&mut self) -> Result<(), SetError> {
        let mut names = BTreeSet::new();
        let mut total = 0_u64;
        for index in 0..self.archive.len() {
            let entry = self.entry(index)?;
            // Some systems keep one file for names that differ in case only.
            if !names.insert(entry.name.to_lowercase()) {
                let name = shorten(&entry.name);
                return Err(self.refuse(format!("it lists \u{201c}{name}\u{201d} twice")));
            }
            total = total.saturating_add(entry.size);
        }
        if total > MOST_PACK_BYTES {
            return Err(self.refuse(format!(
                "its files claim {} GB together and at most {} GB are read",
                total / 1_000_000_000,
                MOST_PACK_BYTES / 1_000_000_000
            )));
        }
        Ok(())
    }

    fn entry(&mut self, index: usize) -> Result<Entry, SetError> {
        let facts = self.archive.by_index_raw(index).map(|entry| {
            (
                String::from_utf8(entry.name_raw().to_vec()),
                entry.is_symlink() || entry.unix_mode().is_some_and(is_special),
                entry.encrypted(),
                entry.compression(),
                Entry {
                    name: String::new(),
                    size: entry.size(),
                    packed_size: entry.compressed_size(),
                },
            )
        });
        let (name, special, encrypted, method, mut entry) =
            facts.map_err(|error| self.refuse(format!("it is damaged ({})", shorten(&error.to_string()))))?;
        let name = name.map_err(|_| self.refuse("a file name in it is not UTF-8 text".to_owned()))?;
        let shown = shorten(&name);
        // A folder's own entry carries nothing, but its name must be as harmless as a file's.
        let file_name = name.strip_suffix('/').unwrap_or(&name);
        if let Err(fault) = files::inside(file_name) {
            return Err(self.refuse(format!("of its file \u{201c}{shown}\u{201d}, {fault}")));
        }
        if special {
            return Err(self.refuse(format!("\u{201c}{shown}\u{201d} in it is a link and not a file")));
        }
        if encrypted {
            return Err(self.refuse(format!("\u{201c}{shown}\u{201d} in it is locked with a password")));
        }
        if !matches!(method, CompressionMethod::Stored | CompressionMethod::Deflated) {
            return Err(self.refuse(format!(
                "\u{201c}{shown}\u{201d} in it is compressed in a way that is not read here"
            )));
        }
        if entry.size > GROWTH_FROM_BYTES && entry.size / MOST_GROWTH > entry.packed_size {
            return Err(self.refuse(growth(&shown)));
        }
        entry.name = name;
        Ok(entry)
    }

    /// One file's bytes; none where the pack has no such file. Stops at `most_bytes` and at [`MOST_GROWTH`],
    /// whatever the pack claims.
    pub(super) fn read(&mut self, name: &str, most_bytes: u64) -> Result<Option<Vec<u8>>, SetError> {
        let Some(index) = self.archive.index_for_name_raw(name.as_bytes()) else {
            return Ok(None);
        };
        let claimed = self.entry(index)?;
        let allowed = most_bytes.min(GROWTH_FROM_BYTES.max(claimed.packed_size.saturating_mul(MOST_GROWTH)));
        let mut bytes = Vec::new();
        let result = match self.archive.by_index(index) {
            Ok(entry) => entry
                .take(allowed + 1)
                .read_to_end(&mut bytes)
                .map_err(|error| error.to_string()),
            Err(error) => Err(error.to_string()),
        };
        let shown = shorten(name);
        if let Err(reason) = result {
            let reason = shorten(&reason);
            return Err(self.refuse(format!("\u{201c}{shown}\u{201d} in it is damaged ({reason})")));
        }
        let read = bytes.len() as u64;
        if read > most_bytes {
            return Err(self.refuse(format!(
                "\u{201c}{shown}\u{201d} in it is larger than {} MB",
                most_bytes / 1_000_000
            )));
        }
        if read > allowed {
            return Err(self.refuse(growth(&shown)));
        }
        if read != claimed.size {
            return Err(self.refuse(format!(
                "\u{201c}{shown}\u{201d} in it is not of the size it claims"
            )));
        }
        Ok(Some(bytes))
    }
}

fn growth(shown: &str) -> String {
    format!(
        "\u{201c}{shown}\u{201d} in it would grow more than {MOST_GROWTH} times in unpacking, as no picture or set does"
    )
}

/// Whether a Unix mode is of a link, device or pipe. The file type is in the top four bits (POSIX `S_IFMT`): 0 where
/// the maker left it out, 8 for a plain file, 4 for a folder.
fn is_special(mode: u32) -> bool {
    !matches!(mode >> 12, 0 | 4 | 8)
}
