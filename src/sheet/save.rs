//! Writing the files: each first to a temporary file beside its target, then renamed, so that a half-written sheet is
//! never found.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use super::display::Sheet;
use super::error::SheetError;
use super::{pdf, png};
use crate::files::{self, OutKind, Replacing};
use crate::specimen::KEPT_BY;

/// A sheet's files.
const PDF: OutKind = OutKind {
    endings: &["pdf"],
    is_ours: |bytes| {
        bytes.starts_with(b"%PDF") && memchr::memmem::find(bytes, pdf::MAKER.as_bytes()).is_some()
    },
    kept_by: KEPT_BY,
};
const PNG: OutKind = OutKind {
    endings: &["pdf", "png"],
    is_ours: png::is_our_png,
    kept_by: KEPT_BY,
};

/// Writes by the file's ending: `.pdf`, or `.png` with one file a page of [`png::DPI`] dpi, `sheet.png`, `sheet-2.png`
/// and so on. Returns the files written; where one of them may not be replaced none is written.
///
/// # Errors
/// [`SheetError`].
pub fn write_sheet(sheet: &Sheet, file: &Path, replacing: Replacing) -> Result<Vec<PathBuf>, SheetError> {
    let is_pdf = file
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("pdf"));
    if is_pdf {
        PDF.check(file, replacing)?;
        files::replace(file, &pdf::pdf_bytes(sheet)?)?;
        return Ok(vec![file.to_owned()]);
    }
    let files: Vec<PathBuf> = (0..sheet.pages.len())
        .map(|index| page_file(file, index))
        .collect();
    for file in &files {
        PNG.check(file, replacing)?;
    }
    for (page, file) in sheet.pages.iter().zip(&files) {
        files::replace(file, &png::png_bytes(page, png::DPI)?)?;
    }
    Ok(files)
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
