//! What can be wrong with a text file.

use std::path::PathBuf;

use crate::files::ReadError;

/// What a file that is no UTF-8 text seems to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-16, by its first bytes.
    Utf16,
    /// Bytes that are no UTF-8, first on this line (counted from 1).
    NotUtf8 {
        /// The line.
        line: usize,
    },
    /// No text at all: it holds zero bytes or starts as a picture or archive does.
    Binary,
}

impl std::fmt::Display for Encoding {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Encoding::Utf16 => f.write_str("is saved as UTF-16: save it as UTF-8"),
            Encoding::NotUtf8 { line } => write!(
                f,
                "is not UTF-8 text, first on line {line}: save it as UTF-8 in the text editor"
            ),
            Encoding::Binary => f.write_str("is not a text file: choose the right file"),
        }
    }
}

/// A fault at one place of a text file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The file, as it is shown to the user.
    pub file: PathBuf,
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
    /// The way to the field, such as `obverse, dies, item 2, shows`; empty at the top.
    pub field: String,
    /// What is wrong and what to do, without a full stop.
    pub what: String,
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "{}, line {}, column {}",
            self.file.display(),
            self.line,
            self.column
        )?;
        if !self.field.is_empty() {
            write!(f, " (in {})", self.field)?;
        }
        write!(f, ": {}.", self.what)
    }
}

/// Why a text file could not be read. Each message is a sentence for the user.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TextError {
    /// The file itself.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// Not UTF-8.
    #[error("{} {found}.", file.display())]
    Encoding {
        /// The file.
        file: PathBuf,
        /// What it seems to be.
        found: Encoding,
    },
    /// Written by a later version of the program.
    #[error(
        "{} was made by a newer version of Dietell (file format {format}, this one reads up to {newest}): \
         update Dietell to open it.",
        file.display()
    )]
    Newer {
        /// The file.
        file: PathBuf,
        /// Its format.
        format: u64,
        /// The newest known here.
        newest: u32,
    },
    /// Wrong at one place.
    #[error("{0}")]
    At(Box<Fault>),
}

/// A document that cannot be put in words, which happens only for numbers that are not finite. Its message is what is
/// wrong.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct UnwritableText(pub String);
