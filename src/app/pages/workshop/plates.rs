//! Taking pictures into the set as plates, one or many at once.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::app::shell::window::Window;
use crate::files::{self, limits::MOST_PICTURE_BYTES};
use crate::photo::{ReadLimits, Watch, read_picture_file};
use crate::reference::{DieId, Place, Plate, ReferenceSet, Side, edit, take_in_plate};

/// What pictures become.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PlatesFor {
    /// Plates of one die.
    Die(DieId),
    /// A new die each.
    NewDies,
}

impl Window {
    /// Copies pictures into the set's folder as plates of a side, all as one step of undo.
    pub(super) fn add_plates(&mut self, side: Side, target: PlatesFor, files: Vec<PathBuf>) {
        let Some(workshop) = &self.workshop else { return };
        let folder = workshop.folder.clone();
        let words = match files.as_slice() {
            [file] => format!("Reading {}", files::file_name(file)),
            files => format!("Reading {} pictures", files.len()),
        };
        self.run_task(words, move |watch| {
            let mut plates = Vec::new();
            let mut refused = Vec::new();
            let all = files.len();
            for (done, file) in files.iter().enumerate() {
                watch.report(done as f32 / all as f32);
                if watch.is_cancelled() {
                    break;
                }
                // A watch of its own: the picture's progress is not that of all.
                match copy_plate(&folder, file) {
                    Ok(plate_file) => plates.push(new_plate(plate_file, file)),
                    Err(sentence) => refused.push(sentence),
                }
            }
            let stopped = watch.is_cancelled();
            Box::new(move |window: &mut Window| {
                let taken = plates.len();
                let here = window.workshop.as_ref().is_some_and(|w| w.folder == folder);
                if here && !plates.is_empty() {
                    window.take_plates(side, &target, plates);
                }
                window.tell(refused);
                if stopped {
                    window
                        .notices
                        .done(format!("Stopped: {taken} of {all} pictures were taken in."));
                }
            })
        });
    }

    fn take_plates(&mut self, side: Side, target: &PlatesFor, plates: Vec<Plate>) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        match target {
            PlatesFor::Die(die) => {
                let there = workshop.set().side(side).die(die);
                let first = Place::Plate(side, die.clone(), there.map_or(0, |d| d.plates.len()));
                workshop.add_plates(side, die, plates);
                workshop.choose(&first);
            }
            PlatesFor::NewDies => {
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
    }
}

/// Copies a picture byte for byte into the set's folder; its path in the set.
fn copy_plate(folder: &Path, file: &Path) -> Result<String, String> {
    // Read first: what cannot be shown is no plate.
    read_picture_file(file, &ReadLimits::default(), &Watch::default()).map_err(|error| error.to_string())?;
    let bytes = files::read(file, MOST_PICTURE_BYTES).map_err(|error| error.to_string())?;
    take_in_plate(folder, &files::file_name(file), &bytes).map_err(|error| error.to_string())
}

fn new_plate(file: String, original: &Path) -> Plate {
    Plate {
        file,
        landmarks: BTreeMap::new(),
        source: files::file_name(original),
        rights: String::new(),
    }
}
