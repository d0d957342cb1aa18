//! Writing the files: each first to a temporary file beside its target, then renamed, so that a half-written sheet is
//! never found.

use std::ffi::OsString;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::display::Sheet;
use super::{pdf, png};

/// Why a sheet could not be written. Each message is one plain sentence for the user.
#[derive(Debug, thiserror::Error)]
pub enum SheetError {
    /// The file could not be written.
    #[error("The sheet {} could not be written: {reason}; choose another folder or free some space.", file.display())]
    Unwritable {
        /// The file.
        file: PathBuf,
        /// The system's reason.
        reason: String,
    },
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
    write_whole(file, &pdf::pdf_bytes(sheet)?)
}

/// Writes the sheet as PNG files of [`png::DPI`] dpi, one a page: `sheet.png`, `sheet-2.png` and so on. Returns them.
///
/// # Errors
/// [`SheetError`].
pub fn write_png(sheet: &Sheet, file: &Path) -> Result<Vec<PathBuf>, SheetError> {
    let mut written = Vec::with_capacity(sheet.pages.len());
    for (index, page) in sheet.pages.iter().enumerate() {
        let target = page_file(file, index);
        write_whole(&target, &png::png_bytes(page, png::DPI)?)?;
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

fn write_whole(file: &Path, bytes: &[u8]) -> Result<(), SheetError> {
    let fail = |error: std::io::Error| SheetError::Unwritable {
        file: file.to_owned(),
        reason: error.to_string(),
    };
    let folder = match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".sheet-");
    // A temporary file is private as a rule; a sheet is an ordinary document, for the user's umask to restrict.
    #[cfg(unix)]
    let ordinary = std::os::unix::fs::PermissionsExt::from_mode(0o666);
    #[cfg(unix)]
    builder.permissions(ordinary);
    let mut temporary = builder.tempfile_in(folder).map_err(fail)?;
    temporary.write_all(bytes).map_err(fail)?;
    temporary.as_file().sync_all().map_err(fail)?;
    temporary.persist(file).map_err(|error| fail(error.error))?;
    Ok(())
}
