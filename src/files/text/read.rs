//! From bytes to a document.

use std::path::Path;

use ron::extensions::Extensions;
use serde::de::DeserializeOwned;

use super::error::{Encoding, Fault, TextError};
use super::explain::explain;
use super::scan::{self, DEEPEST_NESTING};
use crate::files::ReadError;

/// A kind of document that is kept as RON text with a version.
pub trait Document: DeserializeOwned {
    /// The newest version of its format that this program reads.
    const NEWEST_FORMAT: u32;
    /// The most bytes of its file.
    const MOST_BYTES: u64;
}

/// RON as this program reads and writes it: `Some(...)` may be left out.
pub(crate) fn ron_options() -> ron::Options {
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME)
        .with_recursion_limit(2 * DEEPEST_NESTING)
}

/// Reads a document's file.
///
/// # Errors
/// [`TextError`].
pub fn read_document<T: Document>(file: &Path) -> Result<T, TextError> {
    parse_document(&crate::files::read(file, T::MOST_BYTES)?, file)
}

/// Reads a document from its bytes; `file` stands in the messages.
///
/// # Errors
/// [`TextError`].
pub fn parse_document<T: Document>(bytes: &[u8], file: &Path) -> Result<T, TextError> {
    if bytes.len() as u64 > T::MOST_BYTES {
        return Err(TextError::Read(ReadError::TooLarge {
            file: file.to_owned(),
            most_bytes: T::MOST_BYTES,
        }));
    }
    let text = decode(bytes, file)?;
    let fault = |offset: usize, field: String, what: String| {
        let (line, column) = scan::line_and_column(text, offset);
        TextError::At(Box::new(Fault {
            file: file.to_owned(),
            line,
            column,
            field,
            what,
        }))
    };
    scan::check_bounds(text).map_err(|f| fault(f.at, scan::field_at(text, f.at), f.what))?;
    // The version goes first, so that a newer file is called newer and not full of unknown fields.
    if let Some(format) = scan::stated_format(text)
        && format > u64::from(T::NEWEST_FORMAT)
    {
        return Err(TextError::Newer {
            file: file.to_owned(),
            format,
            newest: T::NEWEST_FORMAT,
        });
    }
    ron_options().from_str(text).map_err(|error| {
        let offset = scan::byte_at(text, error.span.start.line, error.span.start.col);
        let field = if matches!(error.code, ron::Error::MissingStructField { .. }) {
            // Found missing at the end of what should have it.
            scan::enclosing_at(text, offset)
        } else {
            scan::field_at(text, offset)
        };
        fault(offset, field, explain(&error.code))
    })
}

/// UTF-8 text of a file, a byte order mark passed over.
pub(crate) fn decode<'a>(bytes: &'a [u8], file: &Path) -> Result<&'a str, TextError> {
    let refuse = |found| TextError::Encoding {
        file: file.to_owned(),
        found,
    };
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(refuse(Encoding::Utf16));
    }
    if bytes.contains(&0) {
        // ASCII text in UTF-16 without a mark has every second byte zero.
        let zeros = bytes.iter().take(64).filter(|&&b| b == 0).count();
        let found = if zeros * 4 >= bytes.len().min(64) && zeros * 4 <= 3 * bytes.len().min(64) {
            Encoding::Utf16
        } else {
            Encoding::Binary
        };
        return Err(refuse(found));
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    std::str::from_utf8(bytes).map_err(|error| {
        let before = &bytes[..error.valid_up_to()];
        let line = 1 + before.iter().filter(|&&b| b == b'\n').count();
        // A picture or an archive starts with bytes that no text starts with.
        let binary = [&b"\xff\xd8"[..], b"\x89PNG", b"PK\x03\x04"]
            .iter()
            .any(|magic| bytes.starts_with(magic));
        refuse(if binary {
            Encoding::Binary
        } else {
            Encoding::NotUtf8 { line }
        })
    })
}
