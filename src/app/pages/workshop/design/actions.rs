//! The edits of the design section.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::hand::Hand;
use super::plate::Subject;
use super::state::PlateRim;
use crate::app::model::bench::PlateKey;
use crate::app::pages::workshop::edits::{Edits, WorkshopAction};
use crate::geometry::{PictureFromSide, PicturePoint, SidePoint};
use crate::pipeline;
use crate::reference::{LandmarkName, ZoneId, edit};

impl Edits {
    /// The rim drawn on a plate, as part of a gesture.
    pub fn rim(&mut self, words: &str, gesture: u64, subject: &Subject<'_>, rim: PlateRim) {
        self.ask(WorkshopAction::DrawRim {
            side: subject.side,
            file: subject.plate().file.clone(),
            words: words.to_owned(),
            gesture: Some(gesture),
            rim,
        });
    }

    /// Looks for the rim on a plate.
    pub fn find_rim(&mut self, subject: &Subject<'_>) {
        let (file, picture) = (subject.plate().file.clone(), Arc::clone(subject.picture));
        self.ask(WorkshopAction::FindRim(subject.side, file, picture));
    }

    /// Takes landmarks off a plate; the side keeps them.
    pub fn take_off(
        &mut self,
        (side, die, plate): PlateKey,
        names: BTreeSet<LandmarkName>,
        words: &'static str,
    ) {
        self.step(words, move |set| {
            if let Some(plate) = set.side_mut(side).plate_mut(&die, plate) {
                plate.landmarks.retain(|name, _| !names.contains(name));
            }
        });
    }
}

impl Hand<'_> {
    /// Places the landmark that waits for its position here, or makes a new one.
    pub fn put_landmark(&mut self, point: PicturePoint) {
        let placed = &self.subject.plate().landmarks;
        let part = self.set.side(self.subject.side);
        let waiting = self.design.landmark.clone();
        let waiting = waiting.filter(|name| part.landmark(name).is_some() && !placed.contains_key(name));
        match (waiting, self.frame) {
            (Some(name), _) => {
                // Go on to the next that is missing, so that a plate is done click by click.
                let mut missing = part.landmarks.iter().map(|landmark| &landmark.name);
                let next = missing.find(|other| **other != name && !placed.contains_key(*other));
                self.design.landmark = Some(next.unwrap_or(&name).clone());
                let (side, die, plate) = self.subject.key();
                self.edits.step("placing on the plate", move |set| {
                    edit::move_landmark(set, side, (&die, plate), &name, point, None);
                });
            }
            // A new one needs a frame, from which its position in mm follows.
            (None, Some(frame)) => self.new_landmark(frame, point),
            (None, None) => {}
        }
    }

    fn new_landmark(&mut self, frame: &PictureFromSide, point: PicturePoint) {
        let (side, die, plate) = self.subject.key();
        let place_mm = pipeline::place_at(frame, point);
        let made = self.edits.add("the new landmark", self.set, move |set| {
            edit::add_landmark(set, side, place_mm, (&die, plate), point)
        });
        self.design.landmark = Some(made);
    }

    /// Moves a landmark on the plate as part of a gesture. A landmark that stands on this plate alone is defined by it,
    /// so its position on the side follows, by the plate's transform without it. It is no proposal any more.
    pub fn move_landmark(&mut self, name: &LandmarkName, to: PicturePoint, gesture: u64) {
        let (side, plate) = (self.subject.side, self.subject.plate());
        self.design.settle(&plate.file, name);
        let mut plates = self.set.side(side).dies.iter().flat_map(|die| &die.plates);
        let elsewhere = plates.any(|other| other.file != plate.file && other.landmarks.contains_key(name));
        let place_mm = (!elsewhere).then(|| {
            let mut without = plate.clone();
            without.landmarks.remove(name);
            let frame = self.design.frame(self.set, side, &without)?;
            Some(pipeline::place_at(&frame, to))
        });
        let (name, (_, die, plate)) = (name.clone(), self.subject.key());
        self.edits.continued("moving the landmark", gesture, move |set| {
            edit::move_landmark(set, side, (&die, plate), &name, to, place_mm.flatten());
        });
    }

    /// Moves or resizes a zone as part of a gesture: its centre and size.
    pub fn shape_zone(&mut self, zone: &ZoneId, shape_mm: (SidePoint, (f64, f64)), gesture: u64) {
        let (side, zone) = (self.subject.side, zone.clone());
        self.edits
            .continued("the change of the zone", gesture, move |set| {
                edit::shape_zone(set, side, &zone, shape_mm);
            });
    }

    /// Makes a zone between two corners on the plate and selects it; none where they span less than a zone may, a slip
    /// of the hand.
    pub fn new_zone(&mut self, corners: (PicturePoint, PicturePoint)) {
        let Some(frame) = self.frame else { return };
        let (centre_mm, size_mm) = pipeline::zone_between(frame, corners.0, corners.1);
        if size_mm.0.min(size_mm.1) < pipeline::SMALLEST_ZONE_MM {
            return;
        }
        let side = self.subject.side;
        let made = self.edits.add("the new zone", self.set, move |set| {
            edit::add_zone(set, side, centre_mm, size_mm)
        });
        self.design.zone = Some(made);
    }
}
