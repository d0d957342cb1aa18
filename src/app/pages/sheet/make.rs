//! Making the sheet off the UI thread: gathering, laying out, painting its pages.

use std::sync::Arc;

use egui::ColorImage;

use super::SheetPage;
use crate::app::model::action::Action;
use crate::app::model::bench::Bench;
use crate::app::model::done::{Done, MadeSheet, Outcome, SheetRequest};
use crate::app::pages::Page;
use crate::photo::Watch;
use crate::pipeline::{Album, Computed, PictureKey, Study};
use crate::reference::{ReferenceSet, Sides};
use crate::sheet::{self, Paper, Sheet, SheetOptions};
use crate::specimen::SpecimenRecord;

/// The preview's resolution: an A4 page some 1,100 px wide, sharp in a usual window.
const PREVIEW_DPI: f64 = 130.0;

/// Begins a new sheet where the last is not of what is on the bench and none is on its way.
pub fn keep_fresh(state: &mut SheetPage, page: &mut Page<'_>) {
    let request = SheetRequest {
        revision: page.bench.history.revision(),
        prior: page.bench.prior,
        paper: state.paper,
        photos_there: Sides::each(|side| page.bench.photos[side].picture().is_some()),
    };
    let done = state.made.as_ref().is_some_and(|made| made.request == request);
    let stopped = state.stopped.as_ref() == Some(&request);
    if done || stopped || state.making.is_some() {
        return;
    }
    state.stopped = None;
    let watch = Watch::default();
    let mut work = Work::of(page.bench, state.paper, &watch);
    state.making = Some((request.clone(), watch.clone()));
    let ticket = page.bench.ticket.until_cancelled(&watch);
    page.push(Action::slow(ticket, move || {
        let sheet = work.sheet();
        let pages: Vec<_> = if watch.is_cancelled() {
            Vec::new()
        } else {
            sheet.pages.iter().map(paint).collect()
        };
        Done::SheetMade(MadeSheet {
            request,
            sheet: Arc::new(sheet),
            pages,
        })
    }));
}

/// Stops what is being made.
pub fn stop(state: &mut SheetPage) {
    if let Some((request, watch)) = state.making.take() {
        watch.cancel();
        state.stopped = Some(request);
    }
}

fn paint(page: &sheet::Page) -> Outcome<Arc<ColorImage>> {
    let map = sheet::paint_page(page, PREVIEW_DPI)?;
    let size = [map.width() as usize, map.height() as usize];
    Ok(Arc::new(ColorImage::from_rgba_premultiplied(size, map.data())))
}

/// All that a sheet is made from, taken off the bench so that a worker can use it.
pub struct Work {
    set: Arc<ReferenceSet>,
    record: SpecimenRecord,
    computed: Computed,
    options: SheetOptions,
    album: Album,
}

impl Work {
    /// Takes what is on the bench; `watch` gets the progress and stops it.
    pub fn of(bench: &mut Bench, paper: Paper, watch: &Watch) -> Self {
        let computed = bench.derived().clone();
        let album = bench.album(watch);
        // What is in memory need not be read again.
        for (side, slot) in bench.photos.iter() {
            if let (Some(photo), Some(picture)) = (bench.record().photo(side), slot.picture()) {
                album.cache.keep(PictureKey::photo(photo), Arc::clone(picture));
            }
        }
        Self {
            computed,
            set: Arc::clone(&bench.set),
            record: bench.record().clone(),
            options: SheetOptions {
                paper,
                made_on: jiff::Zoned::now().date().to_string(),
            },
            album,
        }
    }

    /// Makes the sheet; an incomplete one once cancelled.
    pub fn sheet(&mut self) -> Sheet {
        let study = Study::with(&self.set, &self.record, self.computed.clone(), &self.album);
        sheet::compose(&sheet::gather(&study, &self.album.watch), &self.options)
    }
}
