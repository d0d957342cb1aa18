//! The user's settings, kept between runs.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

/// Light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum ThemeChoice {
    /// As the system has it.
    #[default]
    System,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

impl ThemeChoice {
    /// All, in the order offered.
    pub const ALL: [ThemeChoice; 3] = [ThemeChoice::System, ThemeChoice::Light, ThemeChoice::Dark];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            ThemeChoice::System => "As the system",
            ThemeChoice::Light => "Light",
            ThemeChoice::Dark => "Dark",
        }
    }
}

/// The settings. Unknown or missing fields are let pass: a setting is never worth an error.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Light or dark.
    pub theme: ThemeChoice,
    /// The size of everything, 1 as the system has it.
    pub scale: f32,
    /// The folder of all specimens; the usual place where none.
    pub cabinet: Option<PathBuf>,
    /// Specimens opened lately, newest first.
    pub recent_specimens: Vec<PathBuf>,
    /// Reference sets used lately, newest first: folders and packed files.
    pub recent_sets: Vec<PathBuf>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            theme: ThemeChoice::System,
            scale: 1.0,
            cabinet: None,
            recent_specimens: Vec::new(),
            recent_sets: Vec::new(),
        }
    }
}

impl Settings {
    /// The most recent files kept.
    const MOST_RECENT: usize = 12;
    /// The scales offered.
    pub const SCALES: [f32; 6] = [0.85, 1.0, 1.15, 1.3, 1.5, 2.0];

    /// Reads them; defaults where there are none or they are unreadable.
    #[must_use]
    pub fn read(file: &Path) -> Self {
        let mut read: Self = std::fs::read_to_string(file)
            .ok()
            .and_then(|text| ron::from_str(&text).ok())
            .unwrap_or_default();
        if !read.scale.is_finite() || !(0.5..=3.0).contains(&read.scale) {
            read.scale = 1.0;
        }
        read
    }

    /// Writes them.
    ///
    /// # Errors
    /// The system's, where the folder cannot be made or written to.
    pub fn write(&self, file: &Path) -> std::io::Result<()> {
        if let Some(folder) = file.parent() {
            std::fs::create_dir_all(folder)?;
        }
        let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default())
            .map_err(std::io::Error::other)?;
        let new = file.with_extension("ron.new");
        std::fs::write(&new, text)?;
        std::fs::rename(&new, file)
    }

    /// Puts a specimen at the front of the recent ones.
    pub fn note_specimen(&mut self, folder: &Path) {
        to_front(&mut self.recent_specimens, folder);
    }

    /// Puts a set at the front of the recent ones.
    pub fn note_set(&mut self, place: &Path) {
        to_front(&mut self.recent_sets, place);
    }
}

fn to_front(list: &mut Vec<PathBuf>, path: &Path) {
    list.retain(|p| p != path);
    list.insert(0, path.to_owned());
    list.truncate(Settings::MOST_RECENT);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_come_back_and_nonsense_gives_defaults() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("deep/settings.ron");
        let mut settings = Settings {
            theme: ThemeChoice::Dark,
            ..Settings::default()
        };
        settings.note_specimen(Path::new("/a"));
        settings.note_specimen(Path::new("/b"));
        settings.note_specimen(Path::new("/a"));
        settings.write(&file).unwrap();
        assert_eq!(Settings::read(&file), settings);
        assert_eq!(settings.recent_specimens, [Path::new("/a"), Path::new("/b")]);
        std::fs::write(&file, "(scale: 90.0, colour: 3)").unwrap();
        assert_eq!(Settings::read(&file), Settings::default());
    }
}
