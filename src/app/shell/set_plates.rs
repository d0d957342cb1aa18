//! Taking pictures into the set in the workshop as plates, one or many at once.

use std::path::PathBuf;

use super::window::Window;
use crate::app::model::done::{Done, PlatesFor};
use crate::app::pages::workshop::{copy_plate, new_plate};
use crate::files;
use crate::reference::{DieId, Place, Plate, ReferenceSet, Side, edit};

impl Window {
    /// Copies pictures into the set's folder as plates of a side, all as one step of undo.
    pub(super) fn add_plates(&mut self, side: Side, target: PlatesFor, files: Vec<PathBuf>) {
        let Some(workshop) = &self.workshop else { return };
        let (folder, ticket) = (workshop.folder.clone(), workshop.ticket.clone());
        let words = match files.as_slice() {
            [file] => format!("Reading {}", files::file_name(file)),
            files => format!("Reading {} pictures", files.len()),
        };
        self.run_task(words, ticket, move |watch| {
            let mut plates = Vec::new();
            let mut refused = Vec::new();
            let all = files.len();
            for (done, file) in files.iter().enumerate() {
                watch.report(done as f32 / all as f32);
                if watch.is_cancelled() {
                    break;
                }
                match copy_plate(&folder, file) {
                    Ok(plate_file) => plates.push(new_plate(plate_file, file)),
                    Err(problem) => refused.push(problem.to_string()),
                }
            }
            Done::PlatesCopied {
                side,
                target,
                plates,
                refused,
                stopped_of: watch.is_cancelled().then_some(all),
            }
        });
    }

    pub(super) fn take_plates(
        &mut self,
        side: Side,
        target: &PlatesFor,
        plates: Vec<Plate>,
        refused: Vec<String>,
        stopped_of: Option<usize>,
    ) {
        if let Some(all) = stopped_of {
            let words = format!("Stopped: {} of {all} pictures were taken in.", plates.len());
            self.notices.done(words);
        }
        self.tell(refused);
        if plates.is_empty() {
            return;
        }
        match target {
            PlatesFor::Die(die) => self.extend_die(side, die, plates),
            PlatesFor::NewDies => self.begin_dies(side, plates),
        }
    }

    fn extend_die(&mut self, side: Side, die: &DieId, plates: Vec<Plate>) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let there = workshop.set().side(side).die(die);
        let first = Place::Plate(side, die.clone(), there.map_or(0, |d| d.plates.len()));
        workshop.add_plates(side, die, plates);
        workshop.choose(&first);
    }

    fn begin_dies(&mut self, side: Side, plates: Vec<Plate>) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let words = match plates.len() {
            1 => "the new die".to_owned(),
            n => format!("the {n} new dies"),
        };
        let first = edit::next_die_id(workshop.set().side(side), side);
        let change = move |set: &mut ReferenceSet| {
            for plate in plates {
                edit::add_die(set, side, vec![plate]);
            }
        };
        workshop.edit(words, None, Box::new(change));
        workshop.die[side] = Some(first.clone());
        workshop.choose(&Place::Plate(side, first, 0));
    }
}
