//! Carrying out what the views ask for.

use std::path::PathBuf;
use std::sync::Arc;

use super::deliver::QuickKey;
use super::overlay::{Confirm, Overlay};
use super::window::{Screen, Window};
use crate::align::{self, Rim};
use crate::app::model::action::Action;
use crate::app::model::done::{Done, Outcome};
use crate::app::model::picture_slot::PictureSlot;
use crate::app::model::question::{Ask, Purpose};
use crate::app::model::ticket::{Subject, Ticket};
use crate::app::pages::sheet::{SheetExport, file_name};
use crate::photo::Watch;
use crate::pipeline::{self, OpenedSpecimen};
use crate::problem::Problem;
use crate::reference::Side;

impl Window {
    /// Carries one action out.
    pub fn apply(&mut self, action: Action) {
        match action {
            Action::Nothing => {}
            Action::GoToStart => self.go_to_start(),
            Action::NewDieFromSpecimen(side) => self.new_die_from_specimen(side),
            Action::GoToWorkshop => self.screen = Screen::Workshop,
            Action::OpenDemo => {
                let cabinet = self.cabinet_folder();
                self.open_specimen(move || pipeline::open_demo(&cabinet));
            }
            Action::NewSpecimen => self.new_intake(),
            Action::Intake(action) => self.intake(action),
            Action::OpenSpecimen(Some(folder)) => {
                self.open_specimen(move || Ok(pipeline::open_specimen(&folder)?));
            }
            Action::OpenSpecimen(None) => self.ask(Ask::SpecimenFolder, "", Purpose::OpenSpecimen),
            Action::ReadCabinet => self.read_cabinet(),
            Action::CompareWith(Some(folder)) => self.compare_with(folder),
            Action::CompareWith(None) => self.ask(Ask::SpecimenFolder, "", Purpose::CompareWith),
            Action::CompareWithDemo => self.compare_with_demo(),
            Action::PutOtherAway => self.put_other_away(),
            Action::CancelOtherPhoto(side) => self.cancel_other_photo(side),
            Action::ReadOtherAgain(side) => self.read_other_again(side),
            Action::ChoosePhoto(side, Some(file)) => self.choose_photo(side, file),
            Action::TakePhoto(side, file) => self.add_photo(side, file),
            Action::ChoosePhoto(side, None) => self.ask(Ask::Photo, "", Purpose::Photo(side)),
            Action::Snap(side, what) => self.snap(side, what),
            Action::FindRim(side) => self.find_rim(side),
            Action::CancelPhoto(side) => {
                if let Some(bench) = &self.bench {
                    bench.photos[side].cancel();
                }
            }
            Action::GoToStep(step) => {
                if let Some(bench) = &mut self.bench {
                    bench.step = step;
                    self.screen = Screen::Bench;
                    self.follow_set();
                }
            }
            Action::ShowSide(side) => {
                if let Some(bench) = &mut self.bench {
                    bench.side = side;
                }
            }
            Action::ShowFeature(side, feature) => {
                if let Some(bench) = &mut self.bench {
                    bench.side = side;
                    bench.feature[side] = Some(feature);
                }
            }
            Action::UsePrior(prior) => {
                if let Some(bench) = &mut self.bench {
                    bench.prior = prior;
                    bench.invalidate();
                }
            }
            Action::Edit { edit, gesture } => {
                if let Some(bench) = &mut self.bench {
                    bench.apply(edit, gesture);
                }
            }
            Action::Undo => {
                if let Some(bench) = &mut self.bench {
                    bench.history.undo();
                }
            }
            Action::Redo => {
                if let Some(bench) = &mut self.bench {
                    bench.history.redo();
                }
            }
            Action::Save => self.save(),
            Action::CloseAnyway => {
                self.close_anyway = true;
                if let Some(ctx) = self.ctx() {
                    ctx.send_viewport_cmd(egui::ViewportCommand::Close);
                }
            }
            Action::KeepSettings => self.keep_settings(),
            Action::MoveCabinet(folder) => {
                self.settings.cabinet = Some(folder);
                self.keep_settings();
                self.read_cabinet();
            }
            Action::ExportSheet(Some(file)) => self.export_sheet(file),
            Action::ExportSheet(None) => {
                let title = self.bench.as_ref().map(|b| b.record().title.as_str());
                let name = file_name(title.unwrap_or_default(), "pdf");
                self.ask(Ask::SheetFile, &name, Purpose::Sheet);
            }
            Action::Complain(text) => self.notices.problem(text),
            Action::Quick(name, ticket, job) => {
                self.workers
                    .quick(QuickKey::Page(name), move || ticket.with(job()));
            }
            Action::Slow(ticket, job) => self.workers.slow(move || ticket.with(job())),
            Action::Ask(ask, name, purpose) => self.ask(ask, &name, purpose),
        }
    }

    /// Shows the start screen with the cabinet's list as it is now.
    pub(super) fn go_to_start(&mut self) {
        self.save_or_say();
        self.screen = Screen::Start;
        self.read_cabinet();
    }

    /// Opens a specimen, where the one on the bench can be saved; of several asked for the last is shown.
    fn open_specimen(&mut self, open: impl FnOnce() -> Outcome<OpenedSpecimen> + Send + 'static) {
        if self.save_or_say() {
            let pictures = Arc::clone(&self.pictures);
            self.specimen_to_open = self.openings.open(Subject::SpecimenToOpen);
            let ticket = self.specimen_to_open.clone();
            self.workers.slow(move || {
                // Its files may have been changed since they were last read.
                pictures.clear();
                let opened = open().map(|mut specimen| {
                    specimen.renew_kept_set();
                    Box::new(specimen)
                });
                ticket.with(Done::SpecimenOpened(opened))
            });
        }
    }

    fn export_sheet(&mut self, file: PathBuf) {
        let Some(bench) = &mut self.bench else { return };
        let ticket = bench.ticket.clone();
        let export = SheetExport::begin(&mut self.pages.sheet, bench, file);
        self.workers.slow(move || ticket.with(export.run()));
    }

    /// Saves before the specimen leaves the bench; where that fails it stays, and the user is told.
    fn save_or_say(&mut self) -> bool {
        match self.save_now() {
            Ok(()) => true,
            Err(sentence) => {
                self.notices.problem(sentence);
                false
            }
        }
    }

    /// Takes a photo in, after asking where landmarks would be lost.
    fn choose_photo(&mut self, side: Side, file: PathBuf) {
        let Some(bench) = &self.bench else { return };
        let placed = bench
            .record()
            .photo(side)
            .map_or(0, |photo| photo.landmarks.len());
        if placed == 0 {
            self.add_photo(side, file);
            return;
        }
        let landmarks = if placed == 1 {
            "its landmark".to_owned()
        } else {
            format!("its {placed} landmarks")
        };
        self.overlay = Overlay::Confirm(Box::new(Confirm {
            question: format!(
                "The {} photo has been worked on. With another photo {landmarks} will be lost; the verdicts stay. \
                 Undo brings the photo and its landmarks back.",
                side.word()
            ),
            yes: "Replace the photo",
            then: Action::TakePhoto(side, file),
        }));
    }

    fn add_photo(&mut self, side: Side, file: PathBuf) {
        let Some(bench) = &mut self.bench else { return };
        if bench.folder.is_none() {
            return;
        }
        let watch = Watch::default();
        let (album, ticket) = (bench.album(&watch), bench.ticket.clone());
        bench.photos[side] = PictureSlot::Loading(watch);
        self.workers
            .slow(move || ticket.with(Done::PhotoAdded(side, album.add_photo(side, &file))));
    }

    /// Writes the settings; a failure is said once.
    pub(super) fn keep_settings(&mut self) {
        if let Some(file) = &self.settings_file
            && let Err(error) = self.settings.save(file)
        {
            self.notices.problem(error.to_string());
        }
    }

    /// Looks for the rim in a side's photo, off this thread.
    pub(super) fn find_rim(&mut self, side: Side) {
        let Some(bench) = &mut self.bench else { return };
        let (Some(picture), Some(file)) = (
            bench.photos[side].picture().cloned(),
            bench.photo_files[side].clone(),
        ) else {
            return;
        };
        bench.rim_asked[side] = Some(file.clone());
        bench.rim_said[side] = Some("being looked for\u{2026}".to_owned());
        let ticket = bench.ticket.clone();
        self.workers.slow(move || {
            let found = align::find_rim(&picture).map(|found| found.rim);
            ticket.with(Done::PhotoRim(side, file, found.map_err(Problem::from)))
        });
    }

    pub(super) fn take_rim(&mut self, side: Side, file: &str, found: Outcome<Rim>) {
        let Some(bench) = &mut self.bench else { return };
        // The record may have moved on to another photo meanwhile.
        if bench.photo_files[side].as_deref() != Some(file) {
            return;
        }
        match found {
            Ok(rim) => {
                bench.rim_said[side] = None;
                // The program's own addition is no step of undo; a rim drawn meanwhile stays.
                bench.history.amend(|record| {
                    if let Some(photo) = record.photo_mut(side)
                        && photo.file == file
                    {
                        photo.rim.get_or_insert(rim);
                    }
                });
                if side == Side::Obverse {
                    self.make_thumbnail();
                }
            }
            Err(problem) => bench.rim_said[side] = Some(problem.to_string()),
        }
    }

    /// Reads the demo coin's photos for the start screen, small.
    pub(super) fn read_demo_pictures(&self) {
        self.workers.slow(|| {
            let pictures = pipeline::demo_pictures().map(|both| {
                both.map(|picture| {
                    let size = [picture.width() as usize, picture.height() as usize];
                    egui::ColorImage::from_rgba_unmultiplied(size, picture.as_raw())
                })
            });
            Ticket::window().with(Done::DemoPictures(pictures))
        });
    }
}
