//! The other coin beside the one on the bench: opened by a worker, its photos read when they are looked at.

use std::path::PathBuf;
use std::sync::Arc;

use super::window::{Screen, Window};
use crate::app::model::bench::Step;
use crate::app::model::done::{Done, Outcome};
use crate::app::model::other_coin::{OtherCoin, OtherSlot};
use crate::app::model::picture_slot::PictureSlot;
use crate::app::model::store;
use crate::app::model::ticket::Subject;
use crate::app::pages::compare::Beside;
use crate::photo::{Picture, Watch};
use crate::pipeline::{self, Album, Pictures};
use crate::problem::Problem;
use crate::reference::Side;

impl Window {
    /// Opens a specimen beside the one on the bench, in place of the one before.
    pub(super) fn compare_with(&mut self, folder: PathBuf) {
        self.put_other_away();
        let Some(bench) = &mut self.bench else { return };
        let ticket = self.openings.open(Subject::OtherCoin);
        bench.other = OtherSlot::Opening(ticket.clone(), folder.clone());
        self.pages.compare.beside = Beside::OtherCoin;
        let (own, set) = (bench.folder.as_ref().map(store::peek), Arc::clone(&bench.set));
        self.workers
            .slow(move || ticket.with(Done::OtherOpened(OtherCoin::open(&set, own.as_ref(), &folder))));
    }

    pub(super) fn take_other(&mut self, opened: Outcome<Box<OtherCoin>>) {
        let Some(bench) = &mut self.bench else { return };
        let Some(ticket) = bench.other.ticket().cloned() else {
            return;
        };
        bench.other = match opened {
            Ok(coin) => OtherSlot::Ready(ticket, coin),
            Err(problem) => OtherSlot::Failed(problem),
        };
    }

    /// Opens the second demo coin beside the one on the bench.
    pub(super) fn compare_with_demo(&mut self) {
        let Some(bench) = &self.bench else { return };
        let (cabinet, ticket) = (self.cabinet_folder(), bench.ticket.clone());
        self.workers
            .slow(move || ticket.with(Done::DemoCoinMade(pipeline::second_demo(&cabinet))));
    }

    /// Puts the other coin away and stops what is being read of it.
    pub(super) fn put_other_away(&mut self) {
        let Some(bench) = &mut self.bench else { return };
        if let Some(coin) = bench.other.coin() {
            coin.give_up();
        }
        bench.other = OtherSlot::None;
    }

    /// Reads the other coin's photo of the side in view, once it is looked at.
    pub(super) fn hand_out_other_photo(&mut self) {
        let looked_at =
            matches!(self.screen, Screen::Bench) && self.pages.compare.beside == Beside::OtherCoin;
        let Some(bench) = self
            .bench
            .as_mut()
            .filter(|b| looked_at && b.step == Step::Compare)
        else {
            return;
        };
        let side = bench.side;
        let OtherSlot::Ready(ticket, coin) = &mut bench.other else {
            return;
        };
        let slot = &mut coin.photos[side];
        let (PictureSlot::Empty, Some(photo)) = (&*slot, coin.record.photo(side)) else {
            return;
        };
        let watch = Watch::default();
        *slot = PictureSlot::Loading(watch.clone());
        let photo = photo.clone();
        let album = Album {
            cache: Arc::clone(&bench.pictures),
            folder: Some(coin.folder.clone()),
            source: None,
            watch: watch.clone(),
        };
        let ticket = ticket.until_cancelled(&watch);
        self.workers.slow(move || {
            let read = album.photo(side, &photo).map_err(Problem::from);
            ticket.with(Done::OtherPhoto(side, read))
        });
    }

    pub(super) fn take_other_photo(&mut self, side: Side, read: Outcome<Arc<Picture>>) {
        if let Some(coin) = self.bench.as_mut().and_then(|b| b.other.coin_mut()) {
            coin.photos[side] = PictureSlot::from(read);
        }
    }

    /// Stops reading the other coin's photo of a side; it can be asked for again.
    pub(super) fn cancel_other_photo(&mut self, side: Side) {
        if let Some(coin) = self.bench.as_mut().and_then(|b| b.other.coin_mut())
            && let slot @ PictureSlot::Loading(_) = &mut coin.photos[side]
        {
            slot.cancel();
            *slot = PictureSlot::Failed(Problem::new("Reading the photo was stopped."));
        }
    }

    /// Reads the other coin's photo of a side again after it was stopped or failed.
    pub(super) fn read_other_again(&mut self, side: Side) {
        if let Some(coin) = self.bench.as_mut().and_then(|b| b.other.coin_mut()) {
            coin.photos[side] = PictureSlot::Empty;
        }
    }
}
