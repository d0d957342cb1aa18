//! A coin that fits no listed die begins a new one: its photo becomes the die's first plate, and the workshop opens.

use std::sync::Arc;

use super::hookup::open_to_edit;
use super::state::{Section, Workshop};
use crate::app::model::action::Action;
use crate::app::model::store;
use crate::app::shell::window::{Pages, Window};
use crate::files::{self, limits::MOST_PICTURE_BYTES};
use crate::reference::{DieId, SetSource, Side, edit, save_set, take_in_plate};
use crate::specimen::{SetReference, die_from_specimen};

impl Window {
    /// Begins a die of a side from the coin on the bench and opens it in the workshop. A set that is built in or packed
    /// is first copied into a folder of its own.
    pub(in crate::app) fn new_die_from_specimen(&mut self, side: Side) {
        self.push(Action::Save);
        // The set may be open in the workshop: what was changed there must not be lost.
        if let Err(sentence) = self.save_workshop_now() {
            self.notices.problem(sentence);
            return;
        }
        let sets = self.sets_folder();
        let Some(bench) = &self.bench else { return };
        let (Some(source), Some(folder)) = (bench.plate_source.clone(), bench.folder.clone()) else {
            return;
        };
        let record = bench.record().clone();
        let opened = self.opened;
        self.run_task("Beginning the new die", move |watch| {
            let made = || -> Result<(Workshop, DieId), String> {
                let photo = record.photo(side).ok_or_else(|| {
                    format!("Choose the {} photo first: it becomes the plate.", side.word())
                })?;
                let file = store::peek(&folder)
                    .photo_path(photo)
                    .map_err(|error| error.to_string())?;
                let bytes = files::read(&file, MOST_PICTURE_BYTES).map_err(|error| error.to_string())?;
                let mut open = open_to_edit(&source.place(), &sets, watch)?;
                let SetSource::Folder(set_folder) = &open.source else {
                    return Err("The set could not be copied into a folder to change it.".to_owned());
                };
                let plate = take_in_plate(set_folder, &photo.original_name, &bytes)
                    .map_err(|error| error.to_string())?;
                let id = edit::next_die_id(open.set.side(side), side);
                let die = die_from_specimen(&open.set, &record, side, id.clone(), &plate)
                    .map_err(|error| error.to_string())?;
                open.set.side_mut(side).dies.push(die);
                save_set(set_folder, &open.set).map_err(|error| error.to_string())?;
                Ok((Workshop::new(set_folder.clone(), open.set), id))
            };
            let result = made();
            let copied = !matches!(source, SetSource::Folder(_));
            Box::new(move |window: &mut Window| match result {
                Ok((mut workshop, die)) => {
                    workshop.section = Section::Dies(side);
                    workshop.die[side] = Some(die.clone());
                    let copied = copied && window.opened == opened && window.use_set(&workshop);
                    window.put_in_workshop(workshop);
                    let more = if copied {
                        " The set was copied into your own sets, and the coin now uses the copy."
                    } else {
                        ""
                    };
                    window.notices.done(format!(
                        "Die {die} begins with this coin\u{2019}s photo and the states you agreed to.{more}"
                    ));
                }
                Err(sentence) => window.notices.problem(sentence),
            })
        });
    }

    /// Has the coin on the bench use the set in the workshop; it changes its record, beside the steps of undo.
    fn use_set(&mut self, workshop: &Workshop) -> bool {
        let Some(bench) = &mut self.bench else {
            return false;
        };
        let Some(folder) = bench.folder.clone() else {
            return false;
        };
        let open = workshop.open_set();
        let reference = SetReference::to(&open, store::peek(&folder).path());
        bench.history.amend(|record| record.set = reference.clone());
        bench.plate_source = Some(open.source);
        bench.set = Arc::new(open.set);
        bench.invalidate();
        self.plates.clear();
        self.pages = Pages::default();
        self.push(Action::Save);
        true
    }
}
