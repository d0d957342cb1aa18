//! Files dropped on the window: photos, specimens' folders, sets.

use std::path::{Path, PathBuf};

use super::window::{Screen, Window};
use crate::app::model::action::Action;
use crate::app::model::bench::Step;
use crate::app::model::intake::IntakeAction;
use crate::app::pages::compare::Beside;
use crate::reference::{SET_FILE, Side};
use crate::specimen::RECORD_FILE;

/// What was dropped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Dropped {
    /// A specimen's folder or its record.
    Specimen(PathBuf),
    /// A set's folder, its `set.ron`, or a packed set.
    Set(PathBuf),
    /// Anything else: read as a photo, which tells by itself whether it is one.
    Photo(PathBuf),
}

impl Dropped {
    /// Tells by the folder's content or the file's name.
    #[must_use]
    pub fn of(path: &Path) -> Self {
        let named = |name: &str| path.file_name().is_some_and(|n| n == name);
        let ending = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
        if path.join(RECORD_FILE).is_file() || named(RECORD_FILE) {
            Self::Specimen(path.to_owned())
        } else if path.join(SET_FILE).is_file()
            || named(SET_FILE)
            || matches!(ending.as_deref(), Some("dieset" | "zip"))
        {
            Self::Set(path.to_owned())
        } else {
            Self::Photo(path.to_owned())
        }
    }
}

/// The sides that photos dropped together are of: by a word in their names, else the side in view and then the other.
#[must_use]
pub fn sides_of(photos: &[PathBuf], first: Side) -> Vec<(Side, PathBuf)> {
    let by_name = |file: &Path| {
        let name = file.file_name()?.to_string_lossy().to_ascii_lowercase();
        let obverse = name.contains("obv") || name.contains("front");
        let reverse = name.contains("rev") || name.contains("back");
        match (obverse, reverse) {
            (true, false) => Some(Side::Obverse),
            (false, true) => Some(Side::Reverse),
            _ => None,
        }
    };
    let mut free = vec![first, first.other()];
    let mut sides = Vec::new();
    for photo in photos.iter().take(2) {
        let side = by_name(photo)
            .filter(|side| free.contains(side))
            .or_else(|| free.first().copied());
        if let Some(side) = side {
            free.retain(|s| *s != side);
            sides.push((side, photo.clone()));
        }
    }
    sides
}

impl Window {
    /// Whether a specimen is dropped to be compared with, and not to be opened.
    fn takes_other_coin(&self) -> bool {
        matches!(self.screen, Screen::Bench)
            && self.bench.as_ref().is_some_and(|b| b.step == Step::Compare)
            && self.pages.compare.beside == Beside::OtherCoin
    }

    /// Takes in what was dropped in this frame.
    pub(super) fn take_drops(&mut self, ctx: &egui::Context) {
        let files: Vec<PathBuf> = ctx.input(|i| {
            i.raw
                .dropped_files
                .iter()
                .map(|f| f.path().to_path_buf())
                .collect()
        });
        self.take_files(files);
    }

    /// Takes files in that were dropped on the window or named when it was started.
    pub(in crate::app) fn take_files(&mut self, files: Vec<PathBuf>) {
        let mut photos = Vec::new();
        for file in files {
            match Dropped::of(&file) {
                Dropped::Specimen(folder) if self.takes_other_coin() => {
                    self.push(Action::CompareWith(Some(folder)))
                }
                Dropped::Specimen(folder) => self.push(Action::OpenSpecimen(Some(folder))),
                Dropped::Set(place) if matches!(self.screen, Screen::Workshop) => {
                    self.drop_set_on_workshop(place)
                }
                Dropped::Set(place) => {
                    if !matches!(self.screen, Screen::NewSpecimen(_)) {
                        self.push(Action::NewSpecimen);
                    }
                    self.push(Action::Intake(IntakeAction::Set(Some(place))));
                }
                Dropped::Photo(file) => photos.push(file),
            }
        }
        if photos.is_empty() {
            return;
        }
        match &self.screen {
            Screen::Bench => {
                let first = self.bench.as_ref().map_or(Side::Obverse, |bench| bench.side);
                for (side, file) in sides_of(&photos, first) {
                    self.push(Action::ChoosePhoto(side, Some(file)));
                }
            }
            Screen::NewSpecimen(intake) => {
                let taken = intake.photos[Side::Obverse].file.is_some();
                let first = if taken { Side::Reverse } else { Side::Obverse };
                for (side, file) in sides_of(&photos, first) {
                    self.push(Action::Intake(IntakeAction::Photo(side, Some(file))));
                }
            }
            Screen::Workshop if self.workshop.is_some() => self.drop_pictures_on_workshop(photos),
            Screen::Start | Screen::Workshop => {
                self.push(Action::NewSpecimen);
                for (side, file) in sides_of(&photos, Side::Obverse) {
                    self.push(Action::Intake(IntakeAction::Photo(side, Some(file))));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn photos_find_their_sides() {
        let files = |names: &[&str]| names.iter().map(PathBuf::from).collect::<Vec<_>>();
        let sides = |names: &[&str], first| {
            sides_of(&files(names), first)
                .into_iter()
                .map(|(side, file)| (side, file.display().to_string()))
                .collect::<Vec<_>>()
        };
        assert_eq!(
            sides(&["coin_REV.jpg", "coin_obv.jpg"], Side::Obverse),
            [
                (Side::Reverse, "coin_REV.jpg".to_owned()),
                (Side::Obverse, "coin_obv.jpg".to_owned())
            ]
        );
        assert_eq!(
            sides(&["a.jpg", "b.jpg", "c.jpg"], Side::Reverse),
            [
                (Side::Reverse, "a.jpg".to_owned()),
                (Side::Obverse, "b.jpg".to_owned())
            ]
        );
    }

    #[test]
    fn what_is_dropped_is_told_by_its_content() {
        let folder = tempfile::tempdir().unwrap();
        let (set, specimen) = (folder.path().join("set"), folder.path().join("coin"));
        std::fs::create_dir_all(&set).unwrap();
        std::fs::create_dir_all(&specimen).unwrap();
        std::fs::write(set.join(SET_FILE), "").unwrap();
        std::fs::write(specimen.join(RECORD_FILE), "").unwrap();
        assert_eq!(Dropped::of(&set), Dropped::Set(set.clone()));
        assert_eq!(Dropped::of(&specimen), Dropped::Specimen(specimen.clone()));
        let pack = Path::new("other.DIESET");
        assert_eq!(Dropped::of(pack), Dropped::Set(pack.to_owned()));
        let photo = Path::new("photo.txt");
        assert_eq!(Dropped::of(photo), Dropped::Photo(photo.to_owned()));
    }
}
