//! Making the sheet off the UI thread: gathering, laying out, painting its pages.

use std::collections::HashMap;
use std::sync::Arc;

use egui::ColorImage;

use super::SheetPage;
use crate::app::model::action::Action;
use crate::app::model::bench::{Bench, PlateKey, index};
use crate::app::model::done::{Done, MadeSheet, SheetRequest};
use crate::app::model::page::Page;
use crate::app::model::shelf::PlateShelf;
use crate::app::model::store;
use crate::evidence::{Prior, Standing};
use crate::photo::{Picture, ReadLimits, Watch, read_picture_file};
use crate::reference::{DieId, ReferenceSet, SetSource, Side};
use crate::sheet::{self, Paper, Pictures, Sheet, SheetOptions};
use crate::specimen::{OtherSpecimen, SpecimenFolder, SpecimenRecord};

/// The preview's resolution: an A4 page some 1,100 px wide, sharp in a usual window.
const PREVIEW_DPI: f64 = 130.0;

/// Begins a new sheet where the last is not of what is on the bench and none is on its way.
pub fn keep_fresh(state: &mut SheetPage, page: &mut Page<'_>) {
    let request = SheetRequest {
        revision: page.bench.history.revision(),
        prior: page.bench.prior,
        paper: state.paper,
        photos_there: Side::BOTH.map(|side| page.bench.photos[index(side)].picture().is_some()),
    };
    let done = state.made.as_ref().is_some_and(|made| made.request == request);
    let stopped = state.stopped.as_ref() == Some(&request);
    if done || stopped || state.making.is_some() {
        return;
    }
    state.stopped = None;
    let watch = Watch::default();
    let mut work = Work::of(page.bench, page.plates, state.paper, watch.clone());
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

fn paint(page: &sheet::Page) -> Result<Arc<ColorImage>, String> {
    let map = sheet::paint_page(page, PREVIEW_DPI).map_err(|error| error.to_string())?;
    let size = [map.width() as usize, map.height() as usize];
    Ok(Arc::new(ColorImage::from_rgba_premultiplied(size, map.data())))
}

/// All that a sheet is made from, taken off the bench so that a worker can use it.
pub struct Work {
    set: Arc<ReferenceSet>,
    record: SpecimenRecord,
    standing: Arc<Standing>,
    prior: Prior,
    options: SheetOptions,
    pictures: SheetPictures,
}

impl Work {
    /// Takes what is on the bench.
    pub fn of(bench: &mut Bench, plates: &PlateShelf, paper: Paper, watch: Watch) -> Self {
        let plates_in_memory = plate_keys(&bench.set)
            .into_iter()
            .filter_map(|key| Some((key.clone(), Arc::clone(plates.peek(&key)?.slot.picture()?))))
            .collect();
        Self {
            standing: Arc::clone(&bench.derived().standing),
            set: Arc::clone(&bench.set),
            record: bench.record().clone(),
            prior: bench.prior,
            options: SheetOptions {
                paper,
                made_on: jiff::Zoned::now().date().to_string(),
            },
            pictures: SheetPictures {
                photos: Side::BOTH.map(|side| bench.photos[index(side)].picture().cloned()),
                plates: plates_in_memory,
                own: bench.folder.as_ref().map(store::peek),
                others: other_in_memory(bench),
                set: Arc::clone(&bench.set),
                source: bench.plate_source.clone(),
                read: Vec::new(),
                asked: 0,
                expected: crops_expected(&bench.set),
                watch,
            },
        }
    }

    /// Makes the sheet; an empty sort of one once cancelled.
    pub fn sheet(&mut self) -> Sheet {
        let content = sheet::gather(
            &self.set,
            &self.record,
            &self.standing,
            self.prior,
            &mut self.pictures,
        );
        sheet::compose(&content, &self.options)
    }
}

fn plate_keys(set: &ReferenceSet) -> Vec<PlateKey> {
    Side::BOTH
        .into_iter()
        .flat_map(|side| {
            set.side(side)
                .dies
                .iter()
                .flat_map(move |die| (0..die.plates.len()).map(move |n| (side, die.id.clone(), n)))
        })
        .collect()
}

/// Names another coin's photo: its side and its hash.
type OtherKey = (Side, String);

/// The other coin's photos on the bench.
fn other_in_memory(bench: &Bench) -> Vec<(OtherKey, Arc<Picture>)> {
    let Some(coin) = bench.other.coin() else {
        return Vec::new();
    };
    Side::BOTH
        .into_iter()
        .filter_map(|side| {
            let picture = coin.photos[index(side)].picture()?;
            Some((
                (side, coin.record.photo(side)?.sha256.clone()),
                Arc::clone(picture),
            ))
        })
        .collect()
}

/// How often a plate will be asked for, for the progress: once a state.
fn crops_expected(set: &ReferenceSet) -> usize {
    Side::BOTH
        .into_iter()
        .flat_map(|side| &set.side(side).features)
        .map(|feature| feature.states.len())
        .sum()
}

/// The pictures for a sheet: what is in memory, and what is not read from the set.
struct SheetPictures {
    photos: [Option<Arc<Picture>>; 2],
    plates: HashMap<PlateKey, Arc<Picture>>,
    /// The specimen's folder, from which other coins are found.
    own: Option<SpecimenFolder>,
    /// Other coins' photos: what the bench holds, then the one read last.
    others: Vec<(OtherKey, Arc<Picture>)>,
    set: Arc<ReferenceSet>,
    source: Option<SetSource>,
    /// Plates read for this sheet, the latest last: neighbouring features mostly show the same ones.
    read: Vec<(PlateKey, Arc<Picture>)>,
    asked: usize,
    expected: usize,
    watch: Watch,
}

impl SheetPictures {
    /// Plates of 12 MP kept at a time.
    const MOST_KEPT: usize = 6;

    fn read(&self, key: &PlateKey) -> Result<Arc<Picture>, String> {
        let (side, die, number) = key;
        let plate = self
            .set
            .side(*side)
            .die(die)
            .and_then(|d| d.plates.get(*number))
            .ok_or_else(|| format!("The set has no plate {} of die {die}.", number + 1))?;
        let source = self
            .source
            .as_ref()
            .ok_or_else(|| format!("The plate of die {die} is not at hand."))?;
        store::read_plate(source, &plate.file, &self.watch)
    }
}

impl Pictures for SheetPictures {
    fn photo(&mut self, side: Side) -> Result<Arc<Picture>, String> {
        self.photos[index(side)]
            .clone()
            .ok_or_else(|| format!("The {} photo is not there.", side.word()))
    }

    fn plate(&mut self, side: Side, die: &DieId, plate: usize) -> Result<Arc<Picture>, String> {
        if self.watch.is_cancelled() {
            return Err("Stopped.".to_owned());
        }
        self.asked += 1;
        self.watch.report(self.asked as f32 / self.expected.max(1) as f32);
        let key: PlateKey = (side, die.clone(), plate);
        if let Some(picture) = self.plates.get(&key) {
            return Ok(Arc::clone(picture));
        }
        if let Some((_, picture)) = self.read.iter().find(|(k, _)| *k == key) {
            return Ok(Arc::clone(picture));
        }
        let picture = self.read(&key)?;
        if self.read.len() >= Self::MOST_KEPT {
            self.read.remove(0);
        }
        self.read.push((key, Arc::clone(&picture)));
        Ok(picture)
    }

    fn other_photo(&mut self, side: Side, other: &OtherSpecimen) -> Result<Arc<Picture>, String> {
        if self.watch.is_cancelled() {
            return Err("Stopped.".to_owned());
        }
        let key: OtherKey = (side, other.sha256.clone());
        if let Some((_, picture)) = self.others.iter().find(|(k, _)| *k == key) {
            return Ok(Arc::clone(picture));
        }
        let own = self
            .own
            .as_ref()
            .ok_or_else(|| "The other coin is not at hand.".to_owned())?;
        let file = own.other_photo(side, other).map_err(|error| error.to_string())?;
        let picture = read_picture_file(&file, &ReadLimits::default(), &self.watch)
            .map(Arc::new)
            .map_err(|error| error.to_string())?;
        // One at a time: the findings of one comparison are gathered in a row.
        self.others = vec![(key, Arc::clone(&picture))];
        Ok(picture)
    }
}
