//! The system's file dialogs behind a small trait, so that tests and machines without them do without.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

use crate::app::model::done::Job;
use crate::app::model::question::Ask;

/// Asks the user for a file or folder.
pub trait Dialogs {
    /// A job that asks and returns what was chosen; run off the UI thread, since the user may take their time.
    fn ask(&self, ask: Ask, suggested_name: &str) -> Job<Option<PathBuf>>;
}

/// The system's own dialogs.
#[derive(Debug, Default)]
pub struct SystemDialogs;

impl Dialogs for SystemDialogs {
    fn ask(&self, ask: Ask, suggested_name: &str) -> Job<Option<PathBuf>> {
        let name = suggested_name.to_owned();
        Box::new(move || {
            let dialog = rfd::FileDialog::new();
            match ask {
                Ask::Photo => dialog
                    .set_title("Choose a photo")
                    .add_filter(
                        "Photos (JPEG, PNG, TIFF, WebP)",
                        &[
                            "jpg", "jpeg", "png", "tif", "tiff", "webp", "JPG", "JPEG", "PNG", "TIF", "TIFF",
                        ],
                    )
                    .add_filter("All files", &["*"])
                    .pick_file(),
                Ask::SpecimenFolder => dialog.set_title("Open a specimen's folder").pick_folder(),
                Ask::SetFolder => dialog.set_title("Choose a reference set's folder").pick_folder(),
                Ask::PackedSet => dialog
                    .set_title("Choose a packed reference set")
                    .add_filter("Reference set", &["dieset", "zip"])
                    .add_filter("All files", &["*"])
                    .pick_file(),
                Ask::CabinetFolder => dialog.set_title("Choose the cabinet's folder").pick_folder(),
                Ask::SheetFile => dialog
                    .set_title("Export the sheet")
                    .set_file_name(name)
                    .add_filter("PDF", &["pdf"])
                    .add_filter("PNG", &["png"])
                    .save_file(),
                Ask::PackFile => dialog
                    .set_title("Pack the reference set")
                    .set_file_name(name)
                    .add_filter("Reference set", &["dieset"])
                    .save_file(),
            }
        })
    }
}

/// Dialogs that answer from a list made beforehand, oldest first; for tests. An empty list answers "cancelled".
#[derive(Debug, Clone, Default)]
pub struct ScriptedDialogs {
    answers: Arc<Mutex<Vec<PathBuf>>>,
}

impl ScriptedDialogs {
    /// Adds an answer to the end of the list.
    pub fn answer(&self, path: PathBuf) {
        self.answers
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .push(path);
    }
}

impl Dialogs for ScriptedDialogs {
    fn ask(&self, _ask: Ask, _suggested_name: &str) -> Job<Option<PathBuf>> {
        let answers = Arc::clone(&self.answers);
        Box::new(move || {
            let mut answers = answers.lock().unwrap_or_else(PoisonError::into_inner);
            (!answers.is_empty()).then(|| answers.remove(0))
        })
    }
}
