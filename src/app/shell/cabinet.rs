//! The cabinet's list, and the small pictures in it.

use std::path::Path;
use std::sync::Arc;

use super::window::Window;
use crate::app::model::done::{Done, Outcome};
use crate::app::model::ticket::Ticket;
use crate::pipeline::{self, CabinetEntry};
use crate::problem::Problem;

impl Window {
    /// Has the small pictures made that specimens in the list lack, in the background.
    pub(super) fn make_missing_thumbnails(&mut self) {
        /// At a time: each costs the reading of a photo.
        const MOST: usize = 24;
        let asked = &mut self.thumbnails.asked;
        // Asked for once each, so that those that cannot be made do not stand in the way of the others.
        let lacking = (self.cabinet.iter())
            .filter(|e| e.thumbnail.is_none() && !e.faulty && asked.insert(e.folder.clone()));
        for entry in lacking.take(MOST) {
            let folder = entry.folder.clone();
            self.workers.background(move || {
                let made = pipeline::missing_thumbnail(&folder);
                Ticket::window().with(Done::SmallPicture(folder, made))
            });
        }
    }

    pub(super) fn take_small_picture(&mut self, folder: &Path, made: Option<Arc<image::RgbImage>>) {
        let entry = self.cabinet.iter_mut().find(|e| e.folder == folder);
        if let (Some(entry), Some(made)) = (entry, made) {
            entry.thumbnail = Some(made);
        }
    }

    /// Reads the cabinet's list anew.
    pub(super) fn read_cabinet(&self) {
        let folder = self.cabinet_folder();
        self.workers.slow(move || {
            let list = pipeline::list_cabinet(&folder).map_err(Problem::from);
            Ticket::window().with(Done::Cabinet(list))
        });
    }

    pub(super) fn take_cabinet(&mut self, list: Outcome<Vec<CabinetEntry>>) {
        match list {
            Ok(entries) => {
                if entries.is_empty() && self.demo_pictures.is_none() {
                    self.read_demo_pictures();
                }
                self.cabinet = entries;
                self.thumbnails.clear();
                self.make_missing_thumbnails();
            }
            Err(sentence) => self.notices.problem(sentence),
        }
    }
}
