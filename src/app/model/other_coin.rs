//! The other coin: a second specimen of the set that stands beside the one on the bench. One at a time, its photos read
//! when they are looked at, by a worker.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::bench::{PictureSlot, Step, index};
use super::message::Message;
use super::store;
use crate::align::{AlignError, Alignment};
use crate::app::shell::window::{Screen, Window};
use crate::flow;
use crate::photo::Watch;
use crate::reference::{ReferenceSet, Side};
use crate::specimen::{OtherSpecimen, SpecimenFolder, SpecimenRecord};

/// A specimen opened beside the one on the bench. Nothing of it is ever changed.
pub struct OtherCoin {
    folder: SpecimenFolder,
    /// Its folder as the record on the bench names it.
    place: String,
    /// Its record.
    pub record: SpecimenRecord,
    /// Its photos' alignments by the bench's set, obverse and reverse; none where there is no photo.
    pub alignments: [Option<Result<Arc<Alignment>, AlignError>>; 2],
    /// Its photos, obverse and reverse, as far as they were looked at.
    pub photos: [PictureSlot; 2],
    /// What the user should know of it, each one sentence.
    pub notes: Vec<String>,
}

/// What stands beside the coin on the bench.
#[derive(Default)]
pub enum OtherSlot {
    /// Nothing chosen.
    #[default]
    None,
    /// Being opened.
    Opening {
        /// Its folder.
        folder: PathBuf,
        /// Stops it.
        watch: Watch,
    },
    /// It cannot be compared; the sentence for the user.
    Failed(String),
    /// There.
    Ready(Box<OtherCoin>),
}

impl OtherSlot {
    /// The coin, where it is there.
    #[must_use]
    pub fn coin(&self) -> Option<&OtherCoin> {
        match self {
            Self::Ready(coin) => Some(coin),
            _ => None,
        }
    }
}

impl OtherCoin {
    /// Opens a specimen of `set` beside the one in the folder `own`; runs on a worker.
    ///
    /// # Errors
    /// One sentence for the user.
    pub fn open(
        set: &ReferenceSet,
        own: Option<&SpecimenFolder>,
        folder: &Path,
    ) -> Result<Box<Self>, String> {
        let opened = SpecimenFolder::open(folder).map_err(|error| error.to_string())?;
        let notes = opened.notices.iter().map(ToString::to_string).collect();
        let (folder, record) = (opened.folder, opened.record);
        let same = |own: &SpecimenFolder| {
            let real = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_owned());
            real(own.path()) == real(folder.path())
        };
        if own.is_some_and(same) {
            return Err("That is this coin itself: choose another specimen.".to_owned());
        }
        if record.set.id != set.id {
            return Err(format!(
                "\u{201c}{}\u{201d} is a coin of the set \u{201c}{}\u{201d} and this one of \u{201c}{}\u{201d}: only \
                 coins of one set share the landmarks by which they are laid on each other.",
                record.title, record.set.title, set.title
            ));
        }
        let alignments = Side::BOTH.map(|side| {
            let photo = record.photo(side)?;
            Some(flow::align_photo(set, side, photo).map(Arc::new))
        });
        Ok(Box::new(Self {
            place: own.map_or_else(
                || folder.path().display().to_string(),
                |own| own.place_of(folder.path()),
            ),
            folder,
            record,
            alignments,
            photos: [PictureSlot::Empty, PictureSlot::Empty],
            notes,
        }))
    }

    /// Its folder.
    #[must_use]
    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Its folder as the record on the bench names it.
    #[must_use]
    pub fn place(&self) -> &str {
        &self.place
    }

    /// How a comparison of a side names it.
    #[must_use]
    pub fn named(&self, side: Side) -> OtherSpecimen {
        let photo = self.record.photo(side);
        OtherSpecimen {
            title: self.record.title.clone(),
            place: self.place.clone(),
            photo: photo.map_or_else(String::new, |photo| photo.shown_name().to_owned()),
            sha256: photo.map_or_else(String::new, |photo| photo.sha256.clone()),
        }
    }

    fn give_up(&self) {
        for slot in &self.photos {
            if let PictureSlot::Loading(watch) = slot {
                watch.cancel();
            }
        }
    }
}

impl Window {
    /// Opens a specimen beside the one on the bench, in place of the one before.
    pub(in crate::app) fn compare_with(&mut self, folder: PathBuf) {
        self.put_other_away();
        let Some(bench) = &mut self.bench else { return };
        let watch = Watch::default();
        bench.other = OtherSlot::Opening {
            folder: folder.clone(),
            watch: watch.clone(),
        };
        self.pages.compare.beside = crate::app::pages::compare::Beside::OtherCoin;
        let own = bench.folder.as_ref().map(store::peek);
        let (set, opened) = (Arc::clone(&bench.set), self.opened);
        self.workers.slow(move || {
            let result = OtherCoin::open(&set, own.as_ref(), &folder);
            Message::Then(Box::new(move |window| {
                let ours = window.opened == opened && !watch.is_cancelled();
                if let Some(bench) = window.bench.as_mut().filter(|_| ours) {
                    bench.other = match result {
                        Ok(coin) => OtherSlot::Ready(coin),
                        Err(sentence) => OtherSlot::Failed(sentence),
                    };
                }
            }))
        });
    }

    /// Opens the second demo coin beside the one on the bench.
    pub(in crate::app) fn compare_with_demo(&mut self) {
        let (cabinet, opened) = (self.cabinet_folder(), self.opened);
        self.workers.slow(move || {
            let made = store::second_demo(&cabinet);
            Message::Then(Box::new(move |window| match made {
                Ok(folder) if window.opened == opened => window.compare_with(folder),
                Ok(_) => {}
                Err(sentence) => window.notices.problem(sentence),
            }))
        });
    }

    /// Puts the other coin away and stops what is being read of it.
    pub(in crate::app) fn put_other_away(&mut self) {
        let Some(bench) = &mut self.bench else { return };
        match &bench.other {
            OtherSlot::Opening { watch, .. } => watch.cancel(),
            OtherSlot::Ready(coin) => coin.give_up(),
            OtherSlot::None | OtherSlot::Failed(_) => {}
        }
        bench.other = OtherSlot::None;
    }

    /// Reads the other coin's photo of the side in view, once it is looked at.
    pub(in crate::app) fn hand_out_other_photo(&mut self) {
        let looked_at = matches!(self.screen, Screen::Bench)
            && self.pages.compare.beside == crate::app::pages::compare::Beside::OtherCoin;
        let Some(bench) = self
            .bench
            .as_mut()
            .filter(|b| looked_at && b.step == Step::Compare)
        else {
            return;
        };
        let side = bench.side;
        let OtherSlot::Ready(coin) = &mut bench.other else {
            return;
        };
        let slot = &mut coin.photos[index(side)];
        let (PictureSlot::Empty, Some(photo)) = (&*slot, coin.record.photo(side)) else {
            return;
        };
        let watch = Watch::default();
        *slot = PictureSlot::Loading(watch.clone());
        let (folder, photo, opened) = (coin.folder.clone(), photo.clone(), self.opened);
        self.workers.slow(move || {
            let result = store::read_photo_in(&folder, &photo, &watch);
            Message::Then(Box::new(move |window| {
                let same = window.opened == opened;
                let Some(OtherSlot::Ready(coin)) =
                    window.bench.as_mut().filter(|_| same).map(|b| &mut b.other)
                else {
                    return;
                };
                if coin.folder.path() == folder.path() && !watch.is_cancelled() {
                    coin.photos[index(side)] = match result {
                        Ok(picture) => PictureSlot::Ready(picture),
                        Err(sentence) => PictureSlot::Failed(sentence),
                    };
                }
            }))
        });
    }

    /// Stops reading the other coin's photo of a side; it can be asked for again.
    pub(in crate::app) fn cancel_other_photo(&mut self, side: Side) {
        let Some(OtherSlot::Ready(coin)) = self.bench.as_mut().map(|b| &mut b.other) else {
            return;
        };
        let slot = &mut coin.photos[index(side)];
        if let PictureSlot::Loading(watch) = slot {
            watch.cancel();
            *slot = PictureSlot::Failed("Reading the photo was stopped.".to_owned());
        }
    }

    /// Reads the other coin's photo of a side again after it was stopped or failed.
    pub(in crate::app) fn read_other_again(&mut self, side: Side) {
        if let Some(OtherSlot::Ready(coin)) = self.bench.as_mut().map(|b| &mut b.other) {
            coin.photos[index(side)] = PictureSlot::Empty;
        }
    }
}
