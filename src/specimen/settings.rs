//! The user's settings and the list of specimens opened lately, in the system's folder for such files.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::SpecimenError;
use crate::files;
use crate::files::text::{Document, TextError, read_document, write_document};

/// The most specimens and sets in the lists of recent ones.
const MOST_RECENT: usize = 20;

/// Dark or light.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Theme {
    /// As the system has it.
    #[default]
    System,
    /// Dark.
    Dark,
    /// Light.
    Light,
}

/// What is remembered between sessions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// The version of the file format.
    pub format: u32,
    /// Dark or light.
    #[serde(default)]
    pub theme: Theme,
    /// The size of the window's text and controls against the usual, 1 for as they are.
    #[serde(default = "usual_zoom")]
    pub zoom: f32,
    /// The folder of all specimens; the default where none.
    #[serde(default)]
    pub cabinet: Option<PathBuf>,
    /// Specimens opened lately, the last first.
    #[serde(default)]
    pub recent_specimens: Vec<PathBuf>,
    /// Sets opened lately, the last first; `demo` for the built-in one.
    #[serde(default)]
    pub recent_sets: Vec<PathBuf>,
}

fn usual_zoom() -> f32 {
    1.0
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            format: Settings::FORMAT,
            theme: Theme::default(),
            zoom: usual_zoom(),
            cabinet: None,
            recent_specimens: Vec::new(),
            recent_sets: Vec::new(),
        }
    }
}

impl Document for Settings {
    const NEWEST_FORMAT: u32 = Settings::FORMAT;
    const MOST_BYTES: u64 = files::limits::MOST_SETTINGS_BYTES;
}

/// Where the settings are kept; none on a system without a home folder.
#[must_use]
pub fn default_settings_file() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "Dietell").map(|dirs| dirs.config_dir().join("settings.ron"))
}

impl Settings {
    /// The version of the file format.
    pub const FORMAT: u32 = 1;

    /// Reads the settings; the usual ones where there is no file yet.
    ///
    /// # Errors
    /// [`SpecimenError::Text`] for a broken file: the caller shows it and goes on with the usual ones.
    pub fn read(file: &Path) -> Result<Self, SpecimenError> {
        match read_document(file) {
            Ok(settings) => Ok(settings),
            Err(TextError::Read(error)) if error.is_missing() => Ok(Self::default()),
            Err(error) => Err(error.into()),
        }
    }

    /// Saves the settings, making the folder where it is not there.
    ///
    /// # Errors
    /// [`SpecimenError::Write`].
    pub fn save(&self, file: &Path) -> Result<(), SpecimenError> {
        let text = write_document(self)?;
        if let Some(folder) = file.parent() {
            files::make_folder(folder, file)?;
        }
        Ok(files::replace(file, text.as_bytes())?)
    }

    /// Puts a specimen at the head of the recent ones.
    pub fn opened_specimen(&mut self, folder: &Path) {
        to_front(&mut self.recent_specimens, folder);
    }

    /// Puts a set at the head of the recent ones.
    pub fn opened_set(&mut self, place: &Path) {
        to_front(&mut self.recent_sets, place);
    }
}

fn to_front(list: &mut Vec<PathBuf>, place: &Path) {
    list.retain(|other| other != place);
    list.insert(0, place.to_owned());
    list.truncate(MOST_RECENT);
}
