//! Putting a specimen together: its set and photos are read by workers, and the folder is made at the end.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::window::{Screen, Window};
use crate::app::model::done::{Done, Outcome};
use crate::app::model::intake::{Intake, IntakeAction, IntakePhoto, SetSlot};
use crate::app::model::picture_slot::PictureSlot;
use crate::app::model::question::{Ask, Purpose};
use crate::app::model::ticket::Subject;
use crate::photo::{Picture, ReadLimits, Watch, read_picture_file};
use crate::pipeline;
use crate::problem::Problem;
use crate::reference::{OpenSet, SetSource, Side, Sides, open_set};

impl Window {
    /// Shows an empty intake.
    pub(super) fn new_intake(&mut self) {
        let ticket = self.openings.open(Subject::Intake);
        self.screen = Screen::NewSpecimen(Box::new(Intake::new(ticket)));
        // The set last used is likely that of the next coin.
        let last = self.settings.recent_sets.first();
        let place = last.filter(|place| place.exists()).cloned();
        self.intake(IntakeAction::Set(place));
    }

    fn intake_mut(&mut self) -> Option<&mut Intake> {
        match &mut self.screen {
            Screen::NewSpecimen(intake) => Some(intake),
            _ => None,
        }
    }

    /// Carries out what is done to the intake.
    pub(super) fn intake(&mut self, action: IntakeAction) {
        match action {
            IntakeAction::Set(place) => self.open_intake_set(place),
            IntakeAction::AskSet(ask) => self.ask(ask, "", Purpose::IntakeSet),
            IntakeAction::Photo(side, None) => self.ask(Ask::Photo, "", Purpose::IntakePhoto(side)),
            IntakeAction::Photo(side, Some(file)) => self.read_intake_photo(side, file),
            IntakeAction::NoPhoto(side) => {
                if let Some(intake) = self.intake_mut() {
                    intake.photos[side].slot.cancel();
                    intake.photos[side] = IntakePhoto::default();
                }
            }
            IntakeAction::Begin => self.begin(),
        }
    }

    fn open_intake_set(&mut self, place: Option<PathBuf>) {
        let Some(intake) = self.intake_mut() else { return };
        intake.place.clone_from(&place);
        intake.set = SetSlot::Opening;
        let ticket = intake.ticket.clone();
        self.workers.slow(move || {
            let opened = open_set(place.as_deref().unwrap_or(Path::new(SetSource::DEMO_WORD)));
            ticket.with(Done::IntakeSet(place, opened.map_err(Problem::from)))
        });
    }

    pub(super) fn take_intake_set(&mut self, place: Option<PathBuf>, opened: Outcome<OpenSet>) {
        // Another set may have been chosen meanwhile.
        if let Some(intake) = self.intake_mut().filter(|intake| intake.place == place) {
            intake.set = match opened {
                Ok(set) => SetSlot::Open(Arc::new(set)),
                Err(problem) => SetSlot::Failed(problem),
            };
        }
    }

    fn read_intake_photo(&mut self, side: Side, file: PathBuf) {
        let Some(intake) = self.intake_mut() else { return };
        if intake.title.is_empty() {
            intake.title = title_from(&file);
        }
        let watch = Watch::default();
        // What is still being read in its stead is no longer wanted.
        intake.photos[side].slot.cancel();
        intake.photos[side] = IntakePhoto {
            file: Some(file.clone()),
            slot: PictureSlot::Loading(watch.clone()),
        };
        let ticket = intake.ticket.until_cancelled(&watch);
        self.workers.slow(move || {
            let read = read_picture_file(&file, &ReadLimits::default(), &watch);
            let read = read.map(Arc::new).map_err(Problem::from);
            ticket.with(Done::IntakePhoto(side, read))
        });
    }

    pub(super) fn take_intake_photo(&mut self, side: Side, read: Outcome<Arc<Picture>>) {
        if let Ok(picture) = &read {
            self.tell_how_read(side, picture);
        }
        if let Some(intake) = self.intake_mut() {
            intake.photos[side].slot = PictureSlot::from(read);
        }
    }

    fn begin(&mut self) {
        let (cabinet, pictures) = (self.cabinet_folder(), Arc::clone(&self.pictures));
        let ticket = self.openings.open(Subject::SpecimenToOpen);
        let Some(intake) = self.intake_mut() else { return };
        if intake.missing().is_some() || intake.beginning {
            return;
        }
        let SetSlot::Open(set) = &intake.set else { return };
        let (set, title) = (Arc::clone(set), intake.title.trim().to_owned());
        intake.beginning = true;
        let photos = Sides::each(|side| {
            let photo = &intake.photos[side];
            photo.file.clone().zip(photo.slot.picture().cloned())
        });
        self.specimen_to_open = ticket.clone();
        self.workers.slow(move || {
            let made = pipeline::new_specimen(&cabinet, &title, &set, &photos, &pictures);
            ticket.with(Done::SpecimenOpened(made.map(Box::new)))
        });
    }
}

/// A first title: the photo's name without its ending.
fn title_from(file: &Path) -> String {
    file.file_stem()
        .map(|stem| stem.to_string_lossy().replace(['_', '-'], " "))
        .unwrap_or_default()
}
