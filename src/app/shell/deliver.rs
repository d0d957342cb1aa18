//! Taking in what the workers deliver. Whether a result may be taken in is decided here and nowhere else.

use std::path::PathBuf;
use std::sync::Arc;

use super::window::{Screen, Window};
use crate::app::model::action::Action;
use crate::app::model::done::{Delivery, Done, Outcome, PlatesFor};
use crate::app::model::intake::IntakeAction;
use crate::app::model::picture_slot::PictureSlot;
use crate::app::model::question::Purpose;
use crate::app::model::ticket::{Subject, Ticket};
use crate::app::pages::sheet::done_words;
use crate::app::widgets::canvas::{CanvasKey, Drawn};
use crate::photo::Picture;
use crate::pipeline::{AddedPhoto, OpenedSpecimen};
use crate::reference::Side;
use crate::specimen::{Edit, PhotoEdit};

/// What a worker brings.
pub enum Arrived {
    /// A canvas is drawn; where the canvas shows something else by then it is drawn anew.
    Drawn(Box<Drawn>),
    /// A result.
    Done(Box<Delivery>),
}

impl From<Delivery> for Arrived {
    fn from(delivery: Delivery) -> Self {
        Self::Done(Box::new(delivery))
    }
}

/// Names a quick job: a newer one replaces one still waiting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum QuickKey {
    /// A canvas.
    Canvas(CanvasKey),
    /// A page's own work, by a name of the page's choosing.
    Page(String),
}

impl Window {
    /// The ticket of what is open of a subject, with the revision of its record.
    pub(super) fn open_now(&self, subject: Subject) -> Option<(Ticket, u64)> {
        let bench = self.bench.as_ref();
        let revision = bench.map_or(0, |bench| bench.history.revision());
        let (ticket, revision) = match subject {
            Subject::Window => return Some((Ticket::window(), 0)),
            Subject::SpecimenToOpen => (&self.specimen_to_open, 0),
            Subject::Specimen => (&bench?.ticket, revision),
            Subject::OtherCoin => (bench?.other.ticket()?, revision),
            Subject::Intake => match &self.screen {
                Screen::NewSpecimen(intake) => (&intake.ticket, 0),
                _ => return None,
            },
            Subject::SetToOpen => (&self.set_to_open, 0),
            Subject::Set => {
                let workshop = self.workshop.as_ref()?;
                (&workshop.ticket, workshop.history.revision())
            }
        };
        Some((ticket.clone(), revision))
    }

    /// Whether what a ticket was given for is still open, unchanged where that matters, and waited for.
    pub(super) fn is_current(&self, ticket: &Ticket) -> bool {
        self.open_now(ticket.subject())
            .is_some_and(|(open, revision)| ticket.is_current(&open, revision))
    }

    /// Takes in what a worker brings.
    pub(super) fn take_in(&mut self, ctx: &egui::Context, arrived: Arrived) {
        match arrived {
            Arrived::Drawn(drawn) => self.canvases.accept(ctx, *drawn),
            Arrived::Done(delivery) => self.deliver(*delivery),
        }
    }

    /// Takes one result in, or drops it where it is for something else than what is open.
    fn deliver(&mut self, delivery: Delivery) {
        let Delivery { ticket, task, done } = delivery;
        if let Some(task) = task {
            self.tasks.end(task);
        }
        if self.is_current(&ticket) {
            self.take(done);
        } else {
            self.drop_stale(&ticket, done);
        }
    }

    /// Drops a result that is for something else; what was written, or could not be, its user hears of all the same, as
    /// they do where a result came too late for what they have before them.
    fn drop_stale(&mut self, ticket: &Ticket, done: Done) {
        let only_changed = self.is_current(&ticket.at_any_revision());
        match done {
            Done::Saved(_, Err(sentence)) | Done::SetSaved(_, Err(sentence)) => self.notices.problem(sentence),
            Done::SheetWritten(written) => self.tell_written(written),
            Done::Packed(edition, file, packed) => self.tell_packed(edition, &file, packed),
            Done::MergeFound(_) | Done::MergeSettled(_) if only_changed => self.notices.problem(
                "The set was changed while it was compared with the other copy: take the other copy in again.",
            ),
            _ => {}
        }
    }

    fn take(&mut self, done: Done) {
        match done {
            Done::Nothing | Done::Chosen(_, None) => {}
            Done::Chosen(purpose, Some(path)) => self.take_path(purpose, path),
            Done::Cabinet(list) => self.take_cabinet(list),
            Done::SmallPicture(folder, picture) => self.take_small_picture(&folder, picture),
            Done::DemoPictures(pictures) => self.demo_pictures = pictures,

            Done::SpecimenOpened(result) => self.take_specimen(result),
            Done::Saved(revision, result) => self.take_saved(revision, result),
            Done::ChangedElsewhere(changed) => self.take_elsewhere(changed),
            Done::SetKept(result) => self.complain_of(result),
            Done::PhotoRead(side, file, result) => self.take_photo(side, &file, result),
            Done::PhotoAdded(side, result) => self.take_added_photo(side, result),
            Done::PhotoRim(side, file, result) => self.take_rim(side, &file, result),
            Done::Plate(key, result) => self.plates.accept(key, result),
            Done::Snapped(side, what, found) => self.take_snapped(side, &what, found),
            Done::Compared(found) => self.pages.compare.take_in(found),
            Done::SheetMade(made) => self.pages.sheet.accept(made),
            Done::SheetWritten(written) => {
                self.pages.sheet.exporting = None;
                self.tell_written(written);
            }

            Done::DemoCoinMade(Ok(folder)) => self.compare_with(folder),
            Done::DemoCoinMade(Err(sentence)) => self.notices.problem(sentence),
            Done::OtherOpened(opened) => self.take_other(opened),
            Done::OtherPhoto(side, read) => self.take_other_photo(side, read),

            Done::IntakeSet(place, opened) => self.take_intake_set(place, opened),
            Done::IntakePhoto(side, read) => self.take_intake_photo(side, read),

            Done::SetOpened(opened) => self.take_set(opened),
            Done::DieBegun {
                side,
                for_specimen,
                begun,
            } => self.take_new_die(side, for_specimen, begun),
            Done::SetSaved(revision, result) => self.take_set_saved(revision, result),
            Done::SetChecked {
                revision,
                findings,
                usefulness,
            } => {
                if let Some(workshop) = &mut self.workshop {
                    workshop.take_checks(revision, findings, usefulness);
                }
            }
            Done::SetPlate(file, read) => {
                if let Some(workshop) = &mut self.workshop {
                    workshop.plates.accept(file, read.map(|picture| (picture, None)));
                }
            }
            Done::PlateRim(side, file, result) => self.take_plate_rim(side, file, result),
            Done::RestFound {
                plate,
                file,
                revision,
                result,
            } => self.take_rest(plate, file, revision, result),
            Done::PlatesCopied {
                side,
                target,
                plates,
                refused,
                stopped_of,
            } => self.take_plates(side, &target, plates, refused, stopped_of),
            Done::Packed(edition, file, packed) => {
                if packed.is_err() {
                    self.take_back_edition(edition);
                }
                self.tell_packed(edition, &file, packed);
            }
            Done::MergeFound(found) => self.take_merge(found),
            Done::MergeSettled(settled) => self.take_settled(settled),
        }
    }

    /// Goes on with a path that the user chose.
    fn take_path(&mut self, purpose: Purpose, path: PathBuf) {
        match purpose {
            Purpose::OpenSpecimen => self.apply(Action::OpenSpecimen(Some(path))),
            Purpose::CompareWith => self.compare_with(path),
            Purpose::Photo(side) => self.apply(Action::ChoosePhoto(side, Some(path))),
            Purpose::Sheet => self.apply(Action::ExportSheet(Some(path))),
            Purpose::Cabinet => self.apply(Action::MoveCabinet(path)),
            Purpose::IntakeSet => self.intake(IntakeAction::Set(Some(path))),
            Purpose::IntakePhoto(side) => self.intake(IntakeAction::Photo(side, Some(path))),
            Purpose::OpenSet => self.open_in_workshop(path),
            Purpose::NewDie(side) => self.add_plates(side, PlatesFor::NewDies, vec![path]),
            Purpose::Plate(side, die) => self.add_plates(side, PlatesFor::Die(die), vec![path]),
            Purpose::Pack => self.pack_workshop(path),
            Purpose::Merge => self.merge_workshop(path),
        }
    }

    /// Says what went wrong, where something did.
    pub(super) fn complain_of(&mut self, result: Outcome<()>) {
        if let Err(sentence) = result {
            self.notices.problem(sentence);
        }
    }

    fn take_photo(&mut self, side: Side, file: &str, read: Outcome<Arc<Picture>>) {
        let Some(bench) = &mut self.bench else { return };
        // The record may have moved on to another photo meanwhile.
        if bench.photo_files[side].as_deref() == Some(file) {
            bench.photos[side] = PictureSlot::from(read);
            if side == Side::Obverse {
                self.make_thumbnail();
            }
        }
    }

    /// Says what the user should know of how a new photo was read.
    pub(super) fn tell_how_read(&mut self, side: Side, picture: &Picture) {
        for note in picture.notes() {
            self.notices.problem(format!("The {} photo: {note}", side.word()));
        }
    }

    fn take_added_photo(&mut self, side: Side, result: Outcome<AddedPhoto>) {
        let Some(bench) = &mut self.bench else { return };
        match result {
            Ok(added) => {
                bench.photo_files[side] = Some(added.photo.file.clone());
                bench.photos[side] = PictureSlot::Ready(Arc::clone(&added.picture));
                bench.apply(Edit::Photo(side, PhotoEdit::Choose(Box::new(added.photo))), None);
                self.tell_how_read(side, &added.picture);
                if side == Side::Obverse {
                    self.make_thumbnail();
                }
            }
            Err(sentence) => {
                // Said in the photo's place where there was none; else the one before is read again.
                bench.photo_files[side] = None;
                if bench.record().photo(side).is_some() {
                    self.notices.problem(sentence);
                } else {
                    bench.photos[side] = PictureSlot::Failed(sentence);
                }
            }
        }
    }

    fn take_specimen(&mut self, opened: Outcome<Box<OpenedSpecimen>>) {
        // What was changed while it was being opened must not be lost.
        let opened = opened.and_then(|specimen| self.save_now().map(|()| specimen));
        match opened {
            Ok(specimen) => {
                if let Some(folder) = &specimen.folder {
                    self.settings.opened_specimen(folder.path());
                }
                if let Some(source) = &specimen.source {
                    self.settings.opened_set(&source.place());
                }
                self.keep_settings();
                self.put_on_bench(*specimen);
                self.make_thumbnail();
            }
            Err(sentence) => {
                self.notices.problem(sentence);
                if let Screen::NewSpecimen(intake) = &mut self.screen {
                    intake.beginning = false;
                }
            }
        }
    }

    fn take_saved(&mut self, revision: u64, result: Outcome<Option<String>>) {
        self.autosave.saving = None;
        match (result, &mut self.bench) {
            (Ok(note), Some(bench)) => {
                bench.saved_revision = revision;
                if let Some(note) = note {
                    self.notices.problem(note);
                }
            }
            (Err(sentence), _) => {
                self.autosave.failed = Some(revision);
                self.notices.problem(sentence);
            }
            (Ok(_), None) => {}
        }
    }

    fn tell_written(&mut self, written: Option<Outcome<Vec<PathBuf>>>) {
        match written {
            None => self.notices.done("The export was stopped; nothing was written."),
            Some(Ok(files)) => self.notices.done(done_words(&files)),
            Some(Err(sentence)) => self.notices.problem(sentence),
        }
    }
}
