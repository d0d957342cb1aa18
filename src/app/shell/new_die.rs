//! A coin that fits no listed die begins a new one: its photo becomes the die's first plate, and the workshop opens.

use std::sync::Arc;

use super::pages::Pages;
use super::window::{Screen, Window};
use crate::app::model::action::Action;
use crate::app::model::done::{Done, Outcome};
use crate::app::model::store;
use crate::app::model::ticket::Ticket;
use crate::app::pages::workshop::{Section, Workshop, open_to_edit};
use crate::files::{self, limits::MOST_PICTURE_BYTES};
use crate::problem::Problem;
use crate::reference::{
    DieId, LockedSet, OpenSet, ReferenceSet, SetSource, Side, edit, open_set, take_in_plate,
};
use crate::specimen::{SetReference, SpecimenFolder, SpecimenRecord, die_from_specimen};

impl Window {
    /// Begins a die of a side from the coin on the bench and opens it in the workshop. A set that is built in or packed
    /// is first copied into a folder of its own.
    pub(super) fn new_die_from_specimen(&mut self, side: Side) {
        self.save();
        // The set may be open in the workshop: what was changed there must not be lost.
        if let Err(sentence) = self.save_workshop_now() {
            self.notices.problem(sentence);
            return;
        }
        let sets = self.sets_folder();
        let Some(bench) = &self.bench else { return };
        let (Some(source), Some(folder)) = (bench.plate_source.clone(), &bench.folder) else {
            return;
        };
        let (record, folder) = (bench.record().clone(), store::peek(folder));
        // A set that is copied is another one from now on, for the coin as well.
        let for_specimen = (!matches!(source, SetSource::Folder(_))).then(|| bench.ticket.clone());
        self.run_task("Beginning the new die", Ticket::window(), move |watch| {
            let begun = open_to_edit(&source.place(), &sets, watch)
                .and_then(|open| begin_die(&folder, &record, side, open));
            Done::DieBegun {
                side,
                for_specimen,
                begun,
            }
        });
    }

    pub(super) fn take_new_die(
        &mut self,
        side: Side,
        for_specimen: Option<Ticket>,
        begun: Outcome<(OpenSet, DieId)>,
    ) {
        let put = begun.and_then(|(open, die)| {
            let copied = for_specimen.is_some_and(|ticket| self.is_current(&ticket)) && self.use_set(&open);
            let workshop = self.open_with_die(open, side, &die)?;
            workshop.section = Section::Dies(side);
            workshop.die[side] = Some(die.clone());
            Ok((die, copied))
        });
        match put {
            Ok((die, copied)) => {
                let more = if copied {
                    " The set was copied into your own sets, and the coin now uses the copy."
                } else {
                    ""
                };
                self.notices.done(format!(
                    "Die {die} begins with this coin\u{2019}s photo and the states you agreed to.{more}"
                ));
            }
            Err(sentence) => self.notices.problem(sentence),
        }
    }

    /// Opens a set with its new die. Where it is in the workshop already the die joins it there, as what was changed
    /// meanwhile must not be lost.
    fn open_with_die(&mut self, open: OpenSet, side: Side, die: &DieId) -> Outcome<&mut Workshop> {
        let here = |workshop: &Workshop| open.source == SetSource::Folder(workshop.folder.clone());
        if !self.workshop.as_ref().is_some_and(here) {
            return self.put_in_workshop(open);
        }
        self.screen = Screen::Workshop;
        let workshop = self
            .workshop
            .as_mut()
            .ok_or_else(|| Problem::new("The set was closed."))?;
        if workshop.set().side(side).die(die).is_some() {
            return Err(Problem::new(format!(
                "A die {die} was begun in the set meanwhile: begin the die from the coin again."
            )));
        }
        let begun = open.set.side(side).die(die).cloned();
        let add = move |set: &mut ReferenceSet| set.side_mut(side).dies.extend(begun);
        workshop.edit("the new die".to_owned(), None, Box::new(add));
        Ok(workshop)
    }

    /// Has the coin on the bench use a set; it changes its record, beside the steps of undo.
    fn use_set(&mut self, open: &OpenSet) -> bool {
        let Some(bench) = &mut self.bench else {
            return false;
        };
        let Some(folder) = &bench.folder else {
            return false;
        };
        let reference = match SetReference::to(open, store::peek(folder).path()) {
            Ok(reference) => reference,
            Err(error) => {
                self.notices.problem(error.to_string());
                return false;
            }
        };
        bench.history.amend(|record| record.set = reference.clone());
        bench.plate_source = Some(open.source.clone());
        bench.set = Arc::new(open.set.clone());
        bench.invalidate();
        self.plates.clear();
        self.pages = Pages::default();
        self.push(Action::Save);
        true
    }
}

/// Adds a die with the specimen's photo as its plate to a set and saves it; runs on a worker.
fn begin_die(
    folder: &SpecimenFolder,
    record: &SpecimenRecord,
    side: Side,
    open: OpenSet,
) -> Outcome<(OpenSet, DieId)> {
    let photo = record.photo(side).ok_or_else(|| {
        Problem::new(format!(
            "Choose the {} photo first: it becomes the plate.",
            side.word()
        ))
    })?;
    let file = folder.photo_path(photo)?;
    let bytes = files::read(&file, MOST_PICTURE_BYTES)?;
    let SetSource::Folder(set_folder) = &open.source.clone() else {
        return Err(Problem::new(
            "The set could not be copied into a folder to change it.",
        ));
    };
    // Another window may be changing the set: the die joins its newest version.
    let locked = LockedSet::lock(set_folder)?;
    let mut open = open_set(set_folder)?;
    let plate = take_in_plate(set_folder, &photo.original_name, &bytes)?;
    let id = edit::next_die_id(open.set.side(side), side);
    let die = die_from_specimen(&open.set, record, side, id.clone(), &plate)?;
    open.set.side_mut(side).dies.push(die);
    locked.save(&open.set)?;
    Ok((open, id))
}
