//! The text files of sets and specimens: decoding, bounds before parsing, RON with errors that name line and field.

mod error;
mod explain;
mod read;
mod scan;
mod unique;
mod write;

pub use error::{Encoding, Fault, TextError, UnwritableText};
pub use read::{Document, parse_document, read_document};
pub use unique::unique_keys;
pub use write::write_document;

pub(crate) use read::decode;
