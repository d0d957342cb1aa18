//! Landmarks as a table: rows of side, name, x_px, y_px in upright photo px, under a header of those words.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::geometry::PicturePoint;
use crate::reference::text::{self, TextError, shorten};
use crate::reference::{LandmarkName, Side, limits};

/// The header that the table must start with.
pub const LANDMARKS_HEADER: [&str; 4] = ["side", "name", "x_px", "y_px"];
/// The most bytes of a table.
const MOST_BYTES: u64 = 4_000_000;
/// The greatest coordinate in px: beyond the width of any picture that is read.
const GREATEST_PX: f64 = 1_000_000.0;

/// Placed landmarks of both sides.
pub type PlacedLandmarks = BTreeMap<Side, BTreeMap<LandmarkName, PicturePoint>>;

/// Why a table of landmarks cannot be read. Each message is a sentence for the user.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LandmarksError {
    /// The file cannot be read as text.
    #[error(transparent)]
    Text(#[from] TextError),
    /// A row is wrong.
    #[error("{}, line {line}: {what}.", file.display())]
    Row {
        /// The file.
        file: PathBuf,
        /// The line, from 1.
        line: u64,
        /// What is wrong and what to do.
        what: String,
    },
}

/// Reads a table's file.
///
/// # Errors
/// [`LandmarksError`].
pub fn read_landmarks(file: &Path) -> Result<PlacedLandmarks, LandmarksError> {
    parse_landmarks(&text::read_bounded(file, MOST_BYTES)?, file)
}

/// Reads a table from its bytes; `file` stands in the messages.
///
/// # Errors
/// [`LandmarksError`].
pub fn parse_landmarks(bytes: &[u8], file: &Path) -> Result<PlacedLandmarks, LandmarksError> {
    let text = text::decode(bytes, file)?;
    let wrong = |line: u64, what: String| LandmarksError::Row {
        file: file.to_owned(),
        line,
        what,
    };
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .flexible(true)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let mut placed = PlacedLandmarks::new();
    let mut rows = 0;
    for row in reader.records() {
        let row = row.map_err(|error| {
            let line = error.position().map_or(1, csv::Position::line);
            wrong(line, shorten(&error.to_string()))
        })?;
        let line = row.position().map_or(1, csv::Position::line);
        rows += 1;
        if rows == 1 {
            if !row.iter().eq(LANDMARKS_HEADER) {
                return Err(wrong(
                    line,
                    format!("the first line must be {}", LANDMARKS_HEADER.join(",")),
                ));
            }
            continue;
        }
        if rows > 2 * limits::MOST_PARTS {
            return Err(wrong(
                line,
                format!("more than {} landmarks", 2 * limits::MOST_PARTS),
            ));
        }
        let (side, name, point) = parse_row(&row).map_err(|what| wrong(line, what))?;
        if placed
            .entry(side)
            .or_default()
            .insert(name.clone(), point)
            .is_some()
        {
            return Err(wrong(
                line,
                format!(
                    "the {} landmark \u{201c}{name}\u{201d} stands twice: keep one of them",
                    side.word()
                ),
            ));
        }
    }
    if rows == 0 {
        return Err(wrong(
            1,
            format!("the first line must be {}", LANDMARKS_HEADER.join(",")),
        ));
    }
    Ok(placed)
}

fn parse_row(row: &csv::StringRecord) -> Result<(Side, LandmarkName, PicturePoint), String> {
    let fields: Vec<&str> = row.iter().collect();
    let [side, name, x, y] = fields[..] else {
        return Err(format!(
            "{} values, where side,name,x_px,y_px are expected",
            fields.len()
        ));
    };
    let side = Side::BOTH
        .into_iter()
        .find(|known| known.word() == side)
        .ok_or_else(|| {
            format!(
                "the side is obverse or reverse, not \u{201c}{}\u{201d}",
                shorten(side)
            )
        })?;
    if name.is_empty() {
        return Err("the landmark's name is empty".to_owned());
    }
    if name.chars().count() > limits::MOST_NAME_CHARACTERS {
        return Err(format!(
            "the landmark's name is longer than {} characters",
            limits::MOST_NAME_CHARACTERS
        ));
    }
    let number = |field: &str, text: &str| {
        text.parse::<f64>()
            .ok()
            .filter(|value| value.abs() <= GREATEST_PX)
            .ok_or_else(|| {
                format!(
                    "{field} is a number in px, with a point for decimals, not \u{201c}{}\u{201d}",
                    shorten(text)
                )
            })
    };
    let point = PicturePoint::new(number("x_px", x)?, number("y_px", y)?);
    Ok((side, LandmarkName::from(name), point))
}

/// Writes a table that [`parse_landmarks`] reads back to the same places.
#[must_use]
pub fn write_landmarks(placed: &PlacedLandmarks) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory does not fail.
    let _ = writer.write_record(LANDMARKS_HEADER);
    for (side, landmarks) in placed {
        for (name, point) in landmarks {
            let _ = writer.write_record([
                side.word(),
                name.as_str(),
                &point.x.to_string(),
                &point.y.to_string(),
            ]);
        }
    }
    writer
        .into_inner()
        .map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
        .unwrap_or_default()
}
