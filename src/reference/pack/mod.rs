//! A set packed in one file: a plain zip under the ending `.dieset`.

mod copy;
mod directory;
mod read;
mod write;

pub use copy::{copy_set, plate_files, step};
pub use read::{MOST_GROWTH, packed_set};
pub use write::pack;

pub(crate) use read::{Pack, packed_text};

/// The ending of packed sets, without the point.
pub const PACK_ENDING: &str = "dieset";
