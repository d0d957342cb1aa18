//! Carrying out what the views ask for.

use std::path::PathBuf;

use super::dialogs::Ask;
use super::overlay::{Confirm, Overlay};
use super::window::{Screen, Window};
use crate::app::model::action::Action;
use crate::app::model::bench::{PictureSlot, index};
use crate::app::model::message::{Message, QuickKey};
use crate::app::model::store;
use crate::app::pages;
use crate::photo::Watch;
use crate::reference::Side;

impl Window {
    /// Carries one action out.
    pub fn apply(&mut self, action: Action) {
        match action {
            Action::Nothing => {}
            Action::GoToStart => {
                self.save_or_say();
                self.screen = Screen::Start;
                self.read_cabinet();
            }
            Action::NewDieFromSpecimen(side) => self.new_die_from_specimen(side),
            Action::GoToWorkshop => self.screen = Screen::Workshop,
            Action::OpenDemo => {
                if self.save_or_say() {
                    let cabinet = self.cabinet_folder();
                    self.workers
                        .slow(move || Message::Opened(store::open_demo(&cabinet)));
                }
            }
            Action::NewSpecimen => self.new_draft(None),
            Action::Draft(action) => self.draft(action),
            Action::OpenSpecimen(Some(folder)) => {
                if self.save_or_say() {
                    self.workers
                        .slow(move || Message::Opened(store::open_specimen(&folder)));
                }
            }
            Action::OpenSpecimen(None) => self.ask(Ask::SpecimenFolder, "", |window, folder| {
                window.push(Action::OpenSpecimen(Some(folder)));
            }),
            Action::ReadCabinet => self.read_cabinet(),
            Action::CompareWith(Some(folder)) => self.compare_with(folder),
            Action::CompareWith(None) => self.ask(Ask::SpecimenFolder, "", |window, folder| {
                window.push(Action::CompareWith(Some(folder)));
            }),
            Action::CompareWithDemo => self.compare_with_demo(),
            Action::PutOtherAway => self.put_other_away(),
            Action::CancelOtherPhoto(side) => self.cancel_other_photo(side),
            Action::ReadOtherAgain(side) => self.read_other_again(side),
            Action::ChoosePhoto(side, Some(file)) => self.choose_photo(side, file),
            Action::TakePhoto(side, file) => self.add_photo(side, file),
            Action::ChoosePhoto(side, None) => self.ask(Ask::Photo, "", move |window, file| {
                window.push(Action::ChoosePhoto(side, Some(file)));
            }),
            Action::Snap(side, what) => self.snap(side, what),
            Action::FindRim(side) => self.find_rim(side),
            Action::CancelPhoto(side) => {
                if let Some(bench) = &mut self.bench
                    && let PictureSlot::Loading(watch) = &bench.photos[index(side)]
                {
                    watch.cancel();
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
                    bench.feature[index(side)] = Some(feature);
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
            Action::ExportSheet(Some(file)) => pages::sheet::export(self, file),
            Action::ExportSheet(None) => {
                let name = self.bench.as_ref().map(|b| b.record().title.clone());
                let name = pages::sheet::file_name(&name.unwrap_or_default(), "pdf");
                self.ask(Ask::SheetFile, &name, |window, file| {
                    window.push(Action::ExportSheet(Some(file)));
                });
            }
            Action::Say(text) => self.notices.done(text),
            Action::Complain(text) => self.notices.problem(text),
            Action::Quick(name, job) => self.workers.quick(QuickKey::Page(name), job),
            Action::Slow(job) => self.workers.slow(job),
            Action::Ask(ask, name, then) => self.ask(ask, &name, then),
        }
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
        let Some(folder) = bench.folder.clone() else {
            return;
        };
        let watch = Watch::default();
        bench.photos[index(side)] = PictureSlot::Loading(watch.clone());
        let opened = self.opened;
        self.workers.slow(move || Message::PhotoAdded {
            opened,
            side,
            result: store::add_photo(&store::peek(&folder), side, &file, &watch),
        });
    }

    /// Writes the settings; a failure is said once.
    pub(in crate::app) fn keep_settings(&mut self) {
        if let Some(file) = &self.settings_file
            && let Err(error) = self.settings.save(file)
        {
            self.notices.problem(error.to_string());
        }
    }

    /// Looks for the rim in a side's photo, off this thread.
    pub(in crate::app) fn find_rim(&mut self, side: Side) {
        let Some(bench) = &mut self.bench else { return };
        let Some(picture) = bench.photos[index(side)].picture().cloned() else {
            return;
        };
        let (opened, file) = (self.opened, bench.photo_files[index(side)].clone());
        bench.rim_asked[index(side)].clone_from(&file);
        bench.rim_said[index(side)] = Some("being looked for\u{2026}".to_owned());
        self.workers.slow(move || {
            let found = store::find_rim(&picture);
            Message::Then(Box::new(move |window| {
                let same = window.opened == opened;
                let Some(bench) = window.bench.as_mut().filter(|_| same) else {
                    return;
                };
                if bench.photo_files[index(side)] != file {
                    return;
                }
                match found {
                    Ok(rim) => {
                        bench.rim_said[index(side)] = None;
                        // The program's own addition is no step of undo; a rim drawn meanwhile stays.
                        bench.history.amend(|record| {
                            if let Some(photo) = record.photo_mut(side)
                                && Some(&photo.file) == file.as_ref()
                            {
                                photo.rim.get_or_insert(rim);
                            }
                        });
                        if side == Side::Obverse {
                            window.make_thumbnail();
                        }
                    }
                    Err(sentence) => bench.rim_said[index(side)] = Some(sentence),
                }
            }))
        });
    }

    /// Reads the demo coin's photos for the start screen, small.
    pub(in crate::app) fn read_demo_pictures(&self) {
        self.workers.slow(|| {
            let pictures = store::demo_pictures();
            Message::Then(Box::new(move |window| window.demo_pictures = pictures))
        });
    }
}
