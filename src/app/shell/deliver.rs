//! Taking in what the workers deliver.

use super::window::{Screen, Window};
use crate::app::model::bench::{PictureSlot, index};
use crate::app::model::message::Message;
use crate::reference::Side;
use crate::specimen::{Edit, PhotoEdit};

impl Window {
    /// Takes one result in.
    pub(in crate::app) fn deliver(&mut self, ctx: &egui::Context, message: Message) {
        match message {
            Message::Canvas(drawn) => self.canvases.accept(ctx, *drawn),
            Message::Plate { opened, key, result } if opened == self.opened => {
                self.plates.accept(key, result)
            }
            Message::PhotoRead {
                opened,
                side,
                file,
                result,
            } if opened == self.opened => {
                let Some(bench) = &mut self.bench else { return };
                // The record may have moved on to another photo meanwhile.
                if bench.photo_files[index(side)].as_ref() == Some(&file) {
                    bench.photos[index(side)] = match result {
                        Ok(picture) => PictureSlot::Ready(picture),
                        Err(sentence) => PictureSlot::Failed(sentence),
                    };
                    if side == Side::Obverse {
                        self.make_thumbnail();
                    }
                }
            }
            Message::PhotoAdded { opened, side, result } if opened == self.opened => {
                let Some(bench) = &mut self.bench else { return };
                match result {
                    Ok(added) => {
                        bench.photo_files[index(side)] = Some(added.photo.file.clone());
                        bench.photos[index(side)] = PictureSlot::Ready(added.picture);
                        bench.apply(Edit::Photo(side, PhotoEdit::Choose(Box::new(added.photo))), None);
                        if side == Side::Obverse {
                            self.make_thumbnail();
                        }
                    }
                    Err(sentence) => {
                        // Said in the photo's place where there was none; else the one before is read again.
                        bench.photo_files[index(side)] = None;
                        if bench.record().photo(side).is_some() {
                            self.notices.problem(sentence);
                        } else {
                            bench.photos[index(side)] = PictureSlot::Failed(sentence);
                        }
                    }
                }
            }
            Message::Opened(result) => match result {
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
                    if let Screen::NewSpecimen(draft) = &mut self.screen {
                        draft.beginning = None;
                    }
                }
            },
            Message::Saved {
                opened,
                revision,
                result,
            } if opened == self.opened => match (result, &mut self.bench) {
                (Ok(note), Some(bench)) => {
                    bench.saved_revision = revision;
                    self.autosave.saving = None;
                    if let Some(note) = note {
                        self.notices.problem(note);
                    }
                }
                (Err(sentence), _) => {
                    self.autosave.failed = Some(revision);
                    self.autosave.saving = None;
                    self.notices.problem(sentence);
                }
                (Ok(_), None) => {}
            },
            Message::Cabinet(result) => match result {
                Ok(entries) => {
                    if entries.is_empty() && self.demo_pictures.is_none() {
                        self.read_demo_pictures();
                    }
                    self.cabinet = entries;
                    self.thumbnails.clear();
                    self.make_missing_thumbnails();
                }
                Err(sentence) => self.notices.problem(sentence),
            },
            Message::Chosen(Some(path), then) => then(self, path),
            Message::Then(then) => then(self),
            // Results for a specimen that is no longer open, and dialogs that were cancelled.
            Message::Plate { .. }
            | Message::PhotoRead { .. }
            | Message::PhotoAdded { .. }
            | Message::Saved { .. }
            | Message::Chosen(None, _) => {}
        }
    }
}
