//! A table of landmarks: rows of side, name, x_px, y_px.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::files::limits::MOST_TABLE_BYTES;
use crate::files::{self, ReadError};
use crate::geometry::PicturePoint;
use crate::reference::{LandmarkName, ReferenceSet, Side};

/// Where landmarks lie on the photos, in upright px.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LandmarksTable {
    /// On the obverse photo.
    pub obverse: BTreeMap<LandmarkName, PicturePoint>,
    /// On the reverse photo.
    pub reverse: BTreeMap<LandmarkName, PicturePoint>,
}

impl LandmarksTable {
    /// Those of a side.
    #[must_use]
    pub fn side(&self, side: Side) -> &BTreeMap<LandmarkName, PicturePoint> {
        match side {
            Side::Obverse => &self.obverse,
            Side::Reverse => &self.reverse,
        }
    }
}

/// Why a table was refused. Each message is one plain sentence with file, line and column.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TableError {
    /// The file could not be read.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// The table's text is damaged.
    #[error("The landmarks table {} could not be read: {reason}.", file.display())]
    Damaged {
        /// The file.
        file: PathBuf,
        /// What the reader says.
        reason: String,
    },
    /// A row has the wrong number of fields.
    #[error("{}, line {line}: {found} fields where side,name,x_px,y_px are asked for{}.", file.display(), separator.hint())]
    Fields {
        /// The file.
        file: PathBuf,
        /// The line, from 1.
        line: u64,
        /// How many fields it has.
        found: usize,
        /// What the row seems to be separated by.
        separator: Separator,
    },
    /// A field is wrong.
    #[error("{}, line {line}, column {column} ({}): {fault}.", file.display(), COLUMNS[column - 1])]
    Field {
        /// The file.
        file: PathBuf,
        /// The line, from 1.
        line: u64,
        /// The field's place in its row, from 1 to 4.
        column: usize,
        /// What is wrong and what to do.
        fault: FieldFault,
    },
}

/// What separates the fields of a row, as far as it can be guessed where they are not four.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Separator {
    /// Commas, as it should be.
    Comma,
    /// Semicolons or tabs, as some spreadsheets write.
    Other,
    /// Commas that stand inside numbers, too.
    DecimalComma,
}

impl Separator {
    fn of(row: &csv::ByteRecord) -> Self {
        let has = |sign: u8| row.iter().any(|field| field.contains(&sign));
        if has(b';') || has(b'\t') {
            Self::Other
        } else if row.len() == COLUMNS.len() + 2 {
            Self::DecimalComma
        } else {
            Self::Comma
        }
    }

    fn hint(self) -> &'static str {
        match self {
            Self::Comma => "",
            Self::Other => {
                "; separate them by commas and write numbers with a point: save the table as CSV with commas"
            }
            Self::DecimalComma => {
                "; write numbers with a point, as in 12.5, where this table seems to have commas in them"
            }
        }
    }
}

/// What is wrong with a field; each continues the sentence that names it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FieldFault {
    /// No text.
    #[error("is not UTF-8: save the table as UTF-8")]
    NotUtf8,
    /// No side.
    #[error("\u{201c}{0}\u{201d} is neither obverse nor reverse")]
    NoSide(String),
    /// A side without a photo.
    #[error("there is no {} photo", .0.word())]
    NoPhoto(Side),
    /// A name that the set does not have.
    #[error("the set has no {} landmark \u{201c}{name}\u{201d}{}", side.word(), hint(near.as_ref()))]
    Unknown {
        /// The side.
        side: Side,
        /// The name.
        name: String,
        /// A landmark of nearly that name.
        near: Option<LandmarkName>,
    },
    /// A landmark that came before.
    #[error("\u{201c}{name}\u{201d} stands on line {earlier} already: keep one")]
    Twice {
        /// The landmark.
        name: LandmarkName,
        /// The line, from 1.
        earlier: u64,
    },
    /// No number.
    #[error("\u{201c}{0}\u{201d} is not a number")]
    NoNumber(String),
    /// Infinite, or not a number by name.
    #[error("{0} is not a finite number")]
    NotFinite(f64),
    /// Beyond the photo's edge.
    #[error("{value} lies outside the photo, which reaches from -0.5 to {last} px here")]
    Outside {
        /// The coordinate in px.
        value: f64,
        /// The photo's last coordinate in px.
        last: f64,
    },
}

fn hint(near: Option<&LandmarkName>) -> String {
    near.map_or_else(String::new, |near| {
        format!("; did you mean \u{201c}{near}\u{201d}?")
    })
}

/// The columns, and the header where there is one.
const COLUMNS: [&str; 4] = ["side", "name", "x_px", "y_px"];

/// Reads a table of landmarks. A header row of the columns' names is passed over. `sizes` are the photos' upright
/// width and height in px, obverse first; none where there is no photo.
///
/// # Errors
/// [`TableError`] with line and column: a side that is none or has no photo, a name that the set does not have or that
/// came before, a number that is none, is not finite or lies outside the photo.
pub fn read_landmarks_table(
    file: &Path,
    set: &ReferenceSet,
    sizes: [Option<(u32, u32)>; 2],
) -> Result<LandmarksTable, TableError> {
    parse_landmarks_table(&files::read(file, MOST_TABLE_BYTES)?, file, set, sizes)
}

/// As [`read_landmarks_table`], from bytes; `file` stands in the messages.
///
/// # Errors
/// As [`read_landmarks_table`].
pub fn parse_landmarks_table(
    bytes: &[u8],
    file: &Path,
    set: &ReferenceSet,
    sizes: [Option<(u32, u32)>; 2],
) -> Result<LandmarksTable, TableError> {
    // Spreadsheets like to put a byte-order mark first.
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut rows = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(bytes);
    let mut lines = Lines {
        bytes,
        counted: 0,
        line: 1,
    };
    let mut table = LandmarksTable::default();
    let mut seen: BTreeMap<(Side, String), u64> = BTreeMap::new();
    for (place, row) in rows.byte_records().enumerate() {
        let row = row.map_err(|error| TableError::Damaged {
            file: file.to_owned(),
            reason: error.to_string(),
        })?;
        let line = lines.at(row.position().map_or(0, csv::Position::byte));
        if row.len() != COLUMNS.len() {
            return Err(TableError::Fields {
                file: file.to_owned(),
                line,
                found: row.len(),
                separator: Separator::of(&row),
            });
        }
        let wrong = |column: usize, fault: FieldFault| TableError::Field {
            file: file.to_owned(),
            line,
            column,
            fault,
        };
        let mut fields = [""; COLUMNS.len()];
        for (column, (field, bytes)) in fields.iter_mut().zip(&row).enumerate() {
            *field = std::str::from_utf8(bytes).map_err(|_| wrong(column + 1, FieldFault::NotUtf8))?;
        }
        if place == 0
            && fields
                .iter()
                .zip(COLUMNS)
                .all(|(field, name)| field.eq_ignore_ascii_case(name))
        {
            continue;
        }
        let side = Side::BOTH
            .into_iter()
            .find(|side| fields[0].eq_ignore_ascii_case(side.word()))
            .ok_or_else(|| wrong(1, FieldFault::NoSide(files::shorten(fields[0]))))?;
        let size = match side {
            Side::Obverse => sizes[0],
            Side::Reverse => sizes[1],
        };
        let Some(size) = size else {
            return Err(wrong(1, FieldFault::NoPhoto(side)));
        };
        let name = LandmarkName(fields[1].to_owned());
        if set.side(side).landmark(&name).is_none() {
            return Err(wrong(2, unknown(set, side, fields[1])));
        }
        if let Some(earlier) = seen.insert((side, fields[1].to_owned()), line) {
            return Err(wrong(2, FieldFault::Twice { name, earlier }));
        }
        let x = number(fields[2], size.0).map_err(|fault| wrong(3, fault))?;
        let y = number(fields[3], size.1).map_err(|fault| wrong(4, fault))?;
        match side {
            Side::Obverse => &mut table.obverse,
            Side::Reverse => &mut table.reverse,
        }
        .insert(name, PicturePoint::new(x, y));
    }
    Ok(table)
}

/// Counts lines up to the rows: the reader of rows counts empty lines before a row as part of it.
struct Lines<'a> {
    bytes: &'a [u8],
    counted: usize,
    line: u64,
}

impl Lines<'_> {
    /// The line, from 1, on which the row that starts at or after a byte has its first field.
    fn at(&mut self, byte: u64) -> u64 {
        let start = usize::try_from(byte).unwrap_or(usize::MAX);
        while let Some(byte) = self.bytes.get(self.counted) {
            if self.counted >= start && !byte.is_ascii_whitespace() {
                break;
            }
            self.line += u64::from(*byte == b'\n');
            self.counted += 1;
        }
        self.line
    }
}

/// A coordinate on an edge of that many px, whose pixels' centres lie at 0 to `edge_px` - 1.
fn number(field: &str, edge_px: u32) -> Result<f64, FieldFault> {
    let value: f64 = field
        .parse()
        .map_err(|_| FieldFault::NoNumber(files::shorten(field)))?;
    if !value.is_finite() {
        return Err(FieldFault::NotFinite(value));
    }
    let last = f64::from(edge_px) - 0.5;
    if !(-0.5..=last).contains(&value) {
        return Err(FieldFault::Outside { value, last });
    }
    Ok(value)
}

fn unknown(set: &ReferenceSet, side: Side, name: &str) -> FieldFault {
    let mut names = set.side(side).landmarks.iter().map(|landmark| &landmark.name);
    FieldFault::Unknown {
        side,
        name: files::shorten(name),
        near: names
            .find(|near| near.as_str().eq_ignore_ascii_case(name))
            .cloned(),
    }
}
