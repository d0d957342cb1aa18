//! The cabinet's small pictures on the graphics card, made when a row comes into view.

use std::collections::{BTreeSet, HashMap};
use std::path::PathBuf;

use egui::{ColorImage, TextureHandle, TextureId, TextureOptions};

use crate::pipeline::CabinetEntry;

/// The small pictures in use.
#[derive(Default)]
pub struct Thumbnails {
    textures: HashMap<PathBuf, TextureHandle>,
    demo: Option<[TextureHandle; 2]>,
    /// The specimens for which one was asked for since the program began, so that a photo that cannot be read is tried
    /// once.
    pub asked: BTreeSet<PathBuf>,
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
