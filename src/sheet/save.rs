//! Writing the files: each first to a temporary file beside its target, then renamed, so that a half-written sheet is
//! never found.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use super::display::Sheet;
use super::{pdf, png};
use crate::files::{self, WriteError};

/// Why a sheet could not be written. Each message is one plain sentence for the user.
#[derive(Debug, thiserror::Error)]
pub enum SheetError {
    /// The file could not be written.
    #[error(transparent)]
    Write(#[from] WriteError),
    /// The file's name ends in neither `.pdf` nor `.png`.
    #[error("The sheet {} was not written: its name must end in .pdf or .png.", file.display())]
    UnknownKind {
        /// The file.
        file: PathBuf,
    },
    /// The document could not be put together.
    #[error("The sheet could not be put together: {reason}.")]
    Encode {
        /// What went wrong.
        reason: String,
    },
}

impl SheetError {
    pub(super) fn encode(reason: &str) -> Self {
        SheetError::Encode {
            reason: reason.trim_end_matches('.').to_owned(),
        }
    }
}

/// Writes by the file's ending: `.pdf`, or `.png` with one file a page. Returns the files written.
///
/// # Errors
/// [`SheetError`].
pub fn write_sheet(sheet: &Sheet, file: &Path) -> Result<Vec<PathBuf>, SheetError> {
    match file.extension().and_then(|e| e.to_str()) {
        Some(e) if e.eq_ignore_ascii_case("pdf") => {
            write_pdf(sheet, file)?;
            Ok(vec![file.to_owned()])
        }
        Some(e) if e.eq_ignore_ascii_case("png") => write_png(sheet, file),
        _ => Err(SheetError::UnknownKind {
            file: file.to_owned(),
        }),
    }
}

/// Writes the sheet as a PDF file.
///
/// # Errors
/// [`SheetError`].
pub fn write_pdf(sheet: &Sheet, file: &Path) -> Result<(), SheetError> {
    Ok(files::replace(file, &pdf::pdf_bytes(sheet)?)?)
}

/// Writes the sheet as PNG files of [`png::DPI`] dpi, one a page: `sheet.png`, `sheet-2.png` and so on. Returns them.
///
/// # Errors
/// [`SheetError`].
pub fn write_png(sheet: &Sheet, file: &Path) -> Result<Vec<PathBuf>, SheetError> {
    let mut written = Vec::with_capacity(sheet.pages.len());
    for (index, page) in sheet.pages.iter().enumerate() {
        let target = page_file(file, index);
        files::replace(&target, &png::png_bytes(page, png::DPI)?)?;
        written.push(target);
    }
    Ok(written)
}

/// The file of a page, counted from 0.
fn page_file(file: &Path, index: usize) -> PathBuf {
    if index == 0 {
        return file.to_owned();
    }
    let mut name: OsString = file.file_stem().unwrap_or_default().to_owned();
    name.push(format!("-{}.", index + 1));
    name.push(file.extension().unwrap_or_else(|| "png".as_ref()));
    file.with_file_name(name)
}
