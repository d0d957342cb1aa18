//! Which editions of a set were shared or received, so that the version that two people both started from is found
//! when the set comes back.
//!
//! `history.txt` lists the SHA-256 of each such edition's text, oldest first; `history/` in the set's folder keeps the
//! texts themselves. A pack carries the list alone.

use std::path::{Path, PathBuf};

use super::{ReferenceSet, SetError, SetSource, pack, parse_set_bytes};
use crate::files;
use crate::files::limits::MOST_SET_BYTES;
use crate::files::text::decode;

/// The list of shared editions.
pub const HISTORY_FILE: &str = "history.txt";
/// The folder of their texts.
const KEPT_FOLDER: &str = "history";
/// The most editions listed; the oldest are forgotten.
const MOST_EDITIONS: usize = 1_000;
/// The most bytes of the list: a line of 65 for each.
const MOST_BYTES: u64 = 65 * MOST_EDITIONS as u64 + 65;

/// The shared editions of a set, oldest first.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct History(Vec<String>);

impl History {
    /// The history that lies with a set; empty where there is none.
    pub(crate) fn of(source: &SetSource) -> Result<Self, SetError> {
        let bytes = match source {
            SetSource::Demo => super::demo_file(HISTORY_FILE).map(<[u8]>::to_vec),
            SetSource::Folder(folder) => files::read_if_there(&folder.join(HISTORY_FILE), MOST_BYTES)?,
            SetSource::Packed(file) => pack::packed_text(file, HISTORY_FILE, MOST_BYTES)?,
        };
        let Some(bytes) = bytes else {
            return Ok(Self::default());
        };
        let text = decode(&bytes, Path::new(HISTORY_FILE))?;
        // A line that is no hash is no harm: it matches nothing, and is left out when the list is written.
        let is_hash = |line: &&str| line.len() == 64 && line.bytes().all(|b| b.is_ascii_hexdigit());
        Ok(Self(text.lines().filter(is_hash).map(str::to_owned).collect()))
    }

    /// Adds an edition as the newest.
    pub(crate) fn add(&mut self, text: &str) {
        let hash = hash(text);
        self.0.retain(|other| *other != hash);
        self.0.push(hash);
        let surplus = self.0.len().saturating_sub(MOST_EDITIONS);
        self.0.drain(..surplus);
    }

    pub(crate) fn text(&self) -> String {
        self.0.iter().flat_map(|line| [line.as_str(), "\n"]).collect()
    }

    /// Where the text of an edition is kept, relative to the set's folder.
    pub(crate) fn kept_file(text: &str) -> PathBuf {
        kept_file_of(&hash(text))
    }
}

/// Notes in a set's own folder that this edition was shared; a set that lies elsewhere has nothing to note.
///
/// # Errors
/// [`SetError`].
pub(crate) fn keep_shared(source: &SetSource, text: &str) -> Result<(), SetError> {
    let SetSource::Folder(folder) = source else {
        return Ok(());
    };
    let kept = History::kept_file(text);
    let _lock = files::lock(folder, &folder.join(&kept))?;
    // Another program may have noted an edition meanwhile.
    let mut history = History::of(source)?;
    history.add(text);
    files::replace_inside(folder, &kept, text.as_bytes())?;
    Ok(files::replace(
        &folder.join(HISTORY_FILE),
        history.text().as_bytes(),
    )?)
}

/// The newest edition that both sets started from: the last of the other's history whose text is kept with the set at
/// hand. None where they share none, or the set at hand lies in no folder.
///
/// # Errors
/// [`SetError`].
pub fn common_base(mine: &SetSource, theirs: &SetSource) -> Result<Option<ReferenceSet>, SetError> {
    let SetSource::Folder(folder) = mine else {
        return Ok(None);
    };
    let ours = History::of(mine)?;
    for listed in History::of(theirs)?.0.iter().rev() {
        let file = folder.join(kept_file_of(listed));
        if !ours.0.contains(listed) {
            continue;
        }
        let Some(bytes) = files::read_if_there(&file, MOST_SET_BYTES)? else {
            continue;
        };
        let is_it = std::str::from_utf8(&bytes).is_ok_and(|text| hash(text) == *listed);
        // A text that was edited since is no base.
        if is_it {
            return parse_set_bytes(&bytes, &file).map(Some);
        }
    }
    Ok(None)
}

fn kept_file_of(hash: &str) -> PathBuf {
    let start = hash.get(..16).unwrap_or(hash);
    Path::new(KEPT_FOLDER).join(format!("{start}.ron"))
}

fn hash(text: &str) -> String {
    files::digest(text.as_bytes()).to_string()
}
