//! The demo set and its coins, embedded in the program from `reference/demo` and `reference/demo-coins`.

use std::path::Path;

use super::file::SET_FILE;
use super::{ReferenceSet, SetError, Side, parse_set_bytes};

// `DEMO_SET` and `DEMO_COINS`: (path inside the folder, bytes), sorted by path; written by reference/embed.rs.
include!(concat!(env!("OUT_DIR"), "/demo_files.rs"));

/// The demo set.
///
/// # Errors
/// [`SetError::NoDemo`] where the program was built without its files.
pub fn demo_set() -> Result<ReferenceSet, SetError> {
    let bytes = demo_file(SET_FILE).ok_or(SetError::NoDemo)?;
    parse_set_bytes(bytes, &Path::new("demo").join(SET_FILE))
}

/// A file of the demo set by its path, `/` between the parts.
#[must_use]
pub fn demo_file(path: &str) -> Option<&'static [u8]> {
    find(DEMO_SET, path)
}

/// All files that belong to the demo coins, by their paths in `reference/demo-coins`.
#[must_use]
pub fn demo_coins() -> &'static [(&'static str, &'static [u8])] {
    DEMO_COINS
}

/// A coin whose photos the program carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DemoCoin {
    /// The circulated one, with which a newcomer begins.
    Circulated,
    /// The well worn one, to be compared with it.
    Worn,
}

impl DemoCoin {
    /// What the names of its files begin with.
    fn stem(self) -> &'static str {
        match self {
            Self::Circulated => "circulated",
            Self::Worn => "worn",
        }
    }
}

/// The photo of a side of a demo coin: its path there and its bytes.
#[must_use]
pub fn demo_photo(coin: DemoCoin, side: Side) -> Option<(&'static str, &'static [u8])> {
    demo_coin_file(&format!("{}-{}.jpg", coin.stem(), side.word()))
}

/// The table of a demo coin's landmarks, side, name, x_px, y_px: its path there and its bytes.
#[must_use]
pub fn demo_landmarks(coin: DemoCoin) -> Option<(&'static str, &'static [u8])> {
    demo_coin_file(&format!("{}-landmarks.csv", coin.stem()))
}

fn demo_coin_file(name: &str) -> Option<(&'static str, &'static [u8])> {
    DEMO_COINS.iter().copied().find(|(path, _)| *path == name)
}

fn find(files: &'static [(&str, &[u8])], path: &str) -> Option<&'static [u8]> {
    files
        .binary_search_by(|(name, _)| (*name).cmp(path))
        .ok()
        .and_then(|i| files.get(i))
        .map(|(_, bytes)| *bytes)
}
