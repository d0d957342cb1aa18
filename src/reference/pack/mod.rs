//! A set packed in one file: a plain zip under the ending `.dieset`.

mod directory;
mod read;

pub use read::{packed_file, packed_file_size, packed_set};
