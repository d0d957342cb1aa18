//! Handing the workers what a frame asked for: canvases to draw, plates and photos to read, rims to look for.

use std::sync::Arc;

use super::deliver::{Arrived, QuickKey};
use super::window::Window;
use crate::app::model::bench::PlateKey;
use crate::app::model::done::Done;
use crate::app::model::picture_slot::PictureSlot;
use crate::app::model::shelf::ReadPlate;
use crate::app::model::store;
use crate::app::model::ticket::Ticket;
use crate::app::widgets::canvas;
use crate::photo::Watch;
use crate::pipeline::{self, Album, Missing, PictureKey, Pictures};
use crate::problem::Problem;
use crate::reference::{ReferenceSet, Side};

impl Window {
    /// Hands the workers what the frame asked for: canvases to draw, plates and photos to read.
    pub(super) fn hand_out(&mut self) {
        for (key, shown) in self.canvases.take_requests() {
            self.workers.quick(QuickKey::Canvas(key.clone()), move || {
                Arrived::Drawn(Box::new(canvas::draw(key, shown)))
            });
        }
        self.hand_out_plates();
        self.hand_out_photos();
        self.hand_out_other_photo();
        self.look_for_rims();
    }

    fn hand_out_plates(&mut self) {
        let wanted = self.plates.take_wanted();
        let Some(bench) = &self.bench else { return };
        for (key, watch) in wanted {
            let (set, album) = (Arc::clone(&bench.set), bench.album(&watch));
            let ticket = bench.ticket.until_cancelled(&watch);
            self.workers.slow(move || {
                let result = read_plate(&set, &album, &key).map_err(Problem::from);
                ticket.with(Done::Plate(key, result))
            });
        }
    }

    /// Looks for the rim in photos on which nothing was placed yet, once for each.
    fn look_for_rims(&mut self) {
        for side in Side::BOTH {
            let Some(bench) = &self.bench else { return };
            let fresh = bench
                .record()
                .photo(side)
                .is_some_and(|photo| photo.rim.is_none() && photo.landmarks.is_empty());
            if fresh
                && bench.photos[side].picture().is_some()
                && bench.rim_asked[side] != bench.photo_files[side]
            {
                self.find_rim(side);
            }
        }
    }

    /// Makes the cabinet's small picture of the obverse, off this thread.
    pub(super) fn make_thumbnail(&self) {
        let Some(bench) = &self.bench else { return };
        if let (Some(folder), Some(photo), Some(picture)) = (
            &bench.folder,
            &bench.record().obverse,
            bench.photos.obverse.picture(),
        ) {
            let (folder, photo, picture) = (Arc::clone(folder), photo.clone(), Arc::clone(picture));
            self.workers.slow(move || {
                pipeline::keep_thumbnail(&store::peek(&folder), &photo, &picture);
                Ticket::window().with(Done::Nothing)
            });
        }
    }

    /// Reads the photos that the record names and memory does not hold: after opening, undo and redo.
    pub(super) fn hand_out_photos(&mut self) {
        let Some(bench) = &mut self.bench else { return };
        for side in Side::BOTH {
            let wanted = bench.record().photo(side).map(|p| p.file.clone());
            if wanted == bench.photo_files[side] {
                continue;
            }
            bench.photos[side].cancel();
            let photo = bench.record().photo(side).cloned();
            bench.photo_files[side] = wanted;
            let Some(photo) = photo else {
                bench.photos[side] = PictureSlot::Empty;
                continue;
            };
            if let Some(picture) = bench.pictures.get(&PictureKey::photo(&photo)) {
                bench.photos[side] = PictureSlot::Ready(picture);
                continue;
            }
            let watch = Watch::default();
            bench.photos[side] = PictureSlot::Loading(watch.clone());
            if bench.folder.is_none() {
                continue;
            }
            let (album, ticket) = (bench.album(&watch), bench.ticket.clone());
            self.workers.slow(move || {
                let read = album.photo(side, &photo).map_err(Problem::from);
                ticket.with(Done::PhotoRead(side, photo.file, read))
            });
        }
    }
}

/// Reads and aligns a plate; runs on a worker.
fn read_plate(set: &ReferenceSet, album: &Album, key: &PlateKey) -> Result<ReadPlate, Missing> {
    let plate = pipeline::listed_plate(set, key)?;
    let picture = album.plate(plate)?;
    let alignment = pipeline::align_plate(set, key.0, plate).map(Arc::new);
    Ok((picture, Some(alignment)))
}
