//! The Sheet page: what is printed beside the attribution, a preview of the pages, and the export.

mod export;
mod fields;
mod make;
mod preview;

use egui::{CentralPanel, Frame, Margin, Panel, TextureHandle, Ui};

use crate::app::model::done::{MadeSheet, SheetRequest};
use crate::app::pages::Page;
use crate::app::widgets::theme::palette;
use crate::photo::Watch;
use crate::sheet::Paper;

pub use export::{SheetExport, done_words, file_name};

/// What the page remembers.
#[derive(Default)]
pub struct SheetPage {
    /// The paper.
    pub paper: Paper,
    /// How the pages are fitted into the preview.
    fit: preview::Fit,
    /// The last sheet made, and what of.
    made: Option<MadeSheet>,
    /// Its pages as textures, made when they are first drawn.
    textures: Vec<Option<TextureHandle>>,
    /// What is being made.
    making: Option<(SheetRequest, Watch)>,
    /// What the user stopped; not begun again until something changes.
    stopped: Option<SheetRequest>,
    /// What is being written.
    pub exporting: Option<Watch>,
    /// Numbers the gestures of typing.
    gesture: u64,
}

impl std::fmt::Debug for SheetPage {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("SheetPage")
            .field("paper", &self.paper)
            .field("pages", &self.page_count())
            .finish_non_exhaustive()
    }
}

impl SheetPage {
    /// How many pages the last sheet made has; none before the first.
    #[must_use]
    pub fn page_count(&self) -> Option<usize> {
        self.made.as_ref().map(|made| made.sheet.pages.len())
    }

    /// Takes a sheet in that was made for the preview.
    pub fn accept(&mut self, made: MadeSheet) {
        // A page begun anew has no such work under way.
        if !self
            .making
            .as_ref()
            .is_some_and(|(request, _)| *request == made.request)
        {
            return;
        }
        self.making = None;
        self.textures = vec![None; made.pages.len()];
        self.made = Some(made);
    }
}

/// Draws the page.
pub fn sheet_ui(ui: &mut Ui, state: &mut SheetPage, page: &mut Page<'_>) {
    Panel::left("sheet-fields")
        .resizable(true)
        .default_size(280.0)
        .size_range(220.0..=420.0)
        .show(ui, |ui| fields::fields_ui(ui, state, page));
    make::keep_fresh(state, page);
    CentralPanel::default()
        .frame(Frame::NONE.fill(palette(ui).well).inner_margin(Margin::same(0)))
        .show(ui, |ui| preview::preview_ui(ui, state));
}
