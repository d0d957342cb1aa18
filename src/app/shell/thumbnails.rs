//! The cabinet's small pictures on the graphics card, made when a row comes into view.

use std::collections::{BTreeSet, HashMap};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{ColorImage, TextureHandle, TextureId, TextureOptions};

use super::window::Window;
use crate::app::model::done::{Done, Outcome};
use crate::app::model::store::{self, CabinetEntry};
use crate::app::model::ticket::Ticket;

/// The small pictures in use.
#[derive(Default)]
pub struct Thumbnails {
    textures: HashMap<PathBuf, TextureHandle>,
    demo: Option<[TextureHandle; 2]>,
    /// The specimens for which one was asked for since the program began, so that a photo that cannot be read is tried
    /// once.
    asked: BTreeSet<PathBuf>,
}

impl Thumbnails {
    /// An entry's small picture, where it has one.
    pub fn texture(&mut self, ctx: &egui::Context, entry: &CabinetEntry) -> Option<TextureId> {
        let picture = entry.thumbnail.as_ref()?;
        let texture = self.textures.entry(entry.folder.clone()).or_insert_with(|| {
            let size = [picture.width() as usize, picture.height() as usize];
            let image = ColorImage::from_rgb(size, picture.as_raw());
            ctx.load_texture("thumbnail", image, TextureOptions::LINEAR)
        });
        Some(texture.id())
    }

    /// The demo coin's two sides.
    pub fn demo(&mut self, ctx: &egui::Context, pictures: &[ColorImage; 2]) -> [TextureId; 2] {
        let textures = self.demo.get_or_insert_with(|| {
            pictures
                .each_ref()
                .map(|picture| ctx.load_texture("demo", picture.clone(), TextureOptions::LINEAR))
        });
        textures.each_ref().map(TextureHandle::id)
    }

    /// Gives all up, for a list read anew.
    pub fn clear(&mut self) {
        self.textures.clear();
    }
}

impl Window {
    /// Has the small pictures made that specimens in the list lack, in the background.
    pub(in crate::app) fn make_missing_thumbnails(&mut self) {
        /// At a time: each costs the reading of a photo.
        const MOST: usize = 24;
        let asked = &mut self.thumbnails.asked;
        // Asked for once each, so that those that cannot be made do not stand in the way of the others.
        let lacking = (self.cabinet.iter())
            .filter(|e| e.thumbnail.is_none() && !e.faulty && asked.insert(e.folder.clone()));
        for entry in lacking.take(MOST) {
            let folder = entry.folder.clone();
            self.workers.background(move || {
                let made = store::missing_thumbnail(&folder);
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
        self.workers
            .slow(move || Ticket::window().with(Done::Cabinet(store::list_cabinet(&folder))));
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
