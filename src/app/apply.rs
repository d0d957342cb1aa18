//! Carrying out what the views ask for.

use std::path::PathBuf;

use super::action::Action;
use super::bench::{PictureSlot, index};
use super::dialogs::Ask;
use super::message::{Message, QuickKey};
use super::store::{self, NewSpecimen};
use super::view;
use super::window::{Screen, Window};
use crate::photo::Watch;
use crate::reference::Side;

impl Window {
    /// Carries one action out.
    pub fn apply(&mut self, action: Action) {
        match action {
            Action::GoToStart => {
                self.screen = Screen::Start;
                self.read_cabinet();
            }
            Action::OpenDemo => {
                let cabinet = self.cabinet_folder();
                self.workers
                    .slow(move || Message::Opened(store::open_demo(&cabinet)));
            }
            Action::NewSpecimen => self.screen = Screen::NewSpecimen(NewSpecimen::default()),
            Action::OpenSpecimen(Some(folder)) => {
                self.workers
                    .slow(move || Message::Opened(store::open_specimen(&folder)));
            }
            Action::OpenSpecimen(None) => self.ask(Ask::SpecimenFolder, "", |window, folder| {
                window.push(Action::OpenSpecimen(Some(folder)));
            }),
            Action::ChoosePhoto(side, Some(file)) => self.add_photo(side, file),
            Action::ChoosePhoto(side, None) => self.ask(Ask::Photo, "", move |window, file| {
                window.push(Action::ChoosePhoto(side, Some(file)));
            }),
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
            Action::Edit {
                words,
                gesture,
                change,
            } => {
                if let Some(bench) = &mut self.bench {
                    bench.edit(&words, gesture, change);
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
            Action::ExportSheet(Some(file)) => view::sheet::export(self, file),
            Action::ExportSheet(None) => {
                let name = self.bench.as_ref().map(|b| b.record().title.clone());
                let name = view::sheet::file_name(&name.unwrap_or_default(), "pdf");
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

    fn save(&mut self) {
        let Some(bench) = &self.bench else { return };
        let Some(folder) = bench.folder.clone() else {
            return;
        };
        let (record, opened) = (bench.record().clone(), self.opened);
        let revision = bench.history.revision();
        self.workers.slow(move || Message::Saved {
            opened,
            revision,
            result: store::save(&folder, &record),
        });
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
    pub(super) fn keep_settings(&mut self) {
        if let Some(file) = &self.settings_file
            && let Err(error) = self.settings.save(file)
        {
            self.notices.problem(error.to_string());
        }
    }
}
