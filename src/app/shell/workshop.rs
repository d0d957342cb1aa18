//! The set in the workshop: opening, making, saving and checking it. Every slow piece is a job for a worker.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::pages::Pages;
use super::window::{Screen, Window};
use crate::align::{self, Rim};
use crate::app::model::done::{Done, Outcome, PlatesFor};
use crate::app::model::question::{Ask, Purpose};
use crate::app::model::set_checks::SideUsefulness;
use crate::app::model::shelf::PlateShelf;
use crate::app::model::store;
use crate::app::model::ticket::Subject;
use crate::app::pages::workshop::{
    MORE_FINDINGS, PlateRim, Section, Workshop, WorkshopAction, folder_name, free_folder, open_to_edit,
};
use crate::photo::Picture;
use crate::pipeline;
use crate::problem::Problem;
use crate::reference::{self, OpenSet, SavedSet, SetSource, Side, Sides, save_set};
use crate::specimen::changes_for;

/// Seconds without an edit after which the set is saved by itself.
const AUTOSAVE_AFTER_S: f64 = 2.0;

impl Window {
    /// Makes an empty set in a folder of its own and opens it in the workshop.
    fn new_set(&mut self, title: &str) {
        let folder = free_folder(&self.sets_folder(), &folder_name(title));
        let set = reference::blank_set(title);
        self.set_to_open = self.openings.open(Subject::SetToOpen);
        let ticket = self.set_to_open.clone();
        self.workers.slow(move || {
            let result = if folder.join(reference::SET_FILE).exists() {
                Err(Problem::new(format!(
                    "There is a set in {} already: choose another name or open that one.",
                    folder.display()
                )))
            } else {
                save_set(&folder, &set).map_err(Problem::from)
            };
            ticket.with(Done::SetOpened(result.map(|()| OpenSet {
                set,
                source: SetSource::Folder(folder),
                note: None,
            })))
        });
    }

    /// Opens a set in the workshop. A packed or built-in set is first unpacked into a folder of its own.
    pub fn open_in_workshop(&mut self, place: PathBuf) {
        let sets = self.sets_folder();
        let name = place.file_name().unwrap_or(place.as_os_str()).to_string_lossy();
        self.set_to_open = self.openings.open(Subject::SetToOpen);
        let ticket = self.set_to_open.clone();
        let pictures = Arc::clone(&self.pictures);
        self.run_task(format!("Opening {name}"), ticket, move |watch| {
            // Its files may have been changed since they were last read.
            pictures.clear();
            Done::SetOpened(open_to_edit(&place, &sets, watch))
        });
    }

    /// The folder in which new sets are made.
    pub(super) fn sets_folder(&self) -> PathBuf {
        let cabinet = self.cabinet_folder();
        cabinet.parent().unwrap_or(Path::new("")).join("Dietell sets")
    }

    /// Takes a set into the workshop, that before it saved.
    pub(super) fn take_set(&mut self, opened: Outcome<OpenSet>) {
        let put = opened.and_then(|open| self.put_in_workshop(open).map(|_| ()));
        if let Err(sentence) = put {
            self.notices.problem(sentence);
        }
    }

    /// As [`Window::take_set`]; the set that is then there.
    ///
    /// # Errors
    /// A problem where the set before it cannot be saved or the new one lies in no folder.
    pub(super) fn put_in_workshop(&mut self, open: OpenSet) -> Outcome<&mut Workshop> {
        let SetSource::Folder(folder) = open.source else {
            return Err(Problem::new(
                "The set could not be copied into a folder to change it.",
            ));
        };
        self.save_workshop_now()?;
        if let Some(note) = open.note {
            self.notices.problem(note);
        }
        self.settings.opened_set(&folder);
        self.keep_settings();
        self.screen = Screen::Workshop;
        let ticket = self.openings.open(Subject::Set);
        let plates = PlateShelf::new(Arc::clone(&self.pictures));
        Ok((self.workshop).insert(Workshop::new(ticket, folder, open.set, plates)))
    }

    /// Carries out what the workshop's views asked for.
    pub(super) fn apply_workshop(&mut self, actions: Vec<WorkshopAction>) {
        for action in actions {
            match action {
                WorkshopAction::New(title) => self.new_set(&title),
                WorkshopAction::Open(place) => self.open_in_workshop(place),
                WorkshopAction::AskSet(ask) => self.ask(ask, "", Purpose::OpenSet),
                WorkshopAction::Leave => self.go_to_start(),
                WorkshopAction::Close => self.close_workshop(),
                WorkshopAction::Save => self.save_workshop(),
                WorkshopAction::FindRim(side, file, picture) => self.find_plate_rim(side, file, picture),
                WorkshopAction::PlaceRest(plate) => self.place_rest(plate),
                WorkshopAction::AddDie(side) => self.ask(Ask::Photo, "", Purpose::NewDie(side)),
                WorkshopAction::AddPlate(side, die, Some(file)) => {
                    self.add_plates(side, PlatesFor::Die(die), vec![file]);
                }
                WorkshopAction::AddPlate(side, die, None) => {
                    self.ask(Ask::Photo, "", Purpose::Plate(side, die));
                }
                WorkshopAction::Pack => self.ask_pack(),
                WorkshopAction::Merge(Some(file)) => self.merge_workshop(file),
                WorkshopAction::Merge(None) => self.ask(Ask::PackedSet, "", Purpose::Merge),
                WorkshopAction::SettleMerge(choices) => self.settle_merge(choices),
                in_the_set => {
                    if let Some(workshop) = &mut self.workshop {
                        change(workshop, in_the_set);
                    }
                }
            }
        }
    }

    /// A set dropped on the workshop: opened where none is open, else offered to be merged.
    pub(super) fn drop_set_on_workshop(&mut self, place: PathBuf) {
        if self.workshop.is_some() {
            self.merge_workshop(place);
        } else {
            self.open_in_workshop(place);
        }
    }

    /// Pictures dropped on the workshop become plates of the die in view.
    pub(super) fn drop_pictures_on_workshop(&mut self, pictures: Vec<PathBuf>) {
        let Some(workshop) = &self.workshop else { return };
        match (workshop.die_in_view(), workshop.section) {
            (Some((side, die)), _) => self.add_plates(side, PlatesFor::Die(die), pictures),
            (None, Section::Dies(side) | Section::Design(side)) => {
                self.add_plates(side, PlatesFor::NewDies, pictures);
            }
            _ => self
                .notices
                .problem("Open the dies of the side that the pictures show, then drop them again."),
        }
    }

    /// Brings the set on the bench up to date with the one in the workshop, where they are the same, and says what
    /// changed for the coin.
    pub(super) fn follow_set(&mut self) {
        let (Some(workshop), Some(bench)) = (&self.workshop, &mut self.bench) else {
            return;
        };
        let same = bench.plate_source == Some(SetSource::Folder(workshop.folder.clone()));
        if !same || *bench.set == *workshop.set() {
            return;
        }
        let old = std::mem::replace(&mut bench.set, Arc::new(workshop.set().clone()));
        bench.invalidate();
        let notes = changes_for(bench.record(), &old, &bench.set);
        if let Some(folder) = bench.folder.clone() {
            let (set, ticket) = (Arc::clone(&bench.set), bench.ticket.clone());
            self.workers
                .slow(move || ticket.with(Done::SetKept(store::keep_set(&folder, &set))));
        }
        self.plates.clear();
        self.pages = Pages::default();
        self.tell(notes);
    }

    fn close_workshop(&mut self) {
        self.save_workshop();
        self.workshop = None;
        self.go_to_start();
    }

    /// Saves the set in the workshop if it changed.
    pub(super) fn save_workshop(&mut self) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let revision = workshop.history.revision();
        if !workshop.is_unsaved() || workshop.saving == Some(revision) {
            return;
        }
        workshop.saving = Some(revision);
        let set = workshop.set().clone();
        let (disk, ticket) = (workshop.disk.clone(), workshop.ticket.clone());
        self.workers
            .slow(move || ticket.with(Done::SetSaved(revision, disk.save(&set, revision))));
    }

    pub(super) fn take_set_saved(&mut self, revision: u64, result: Outcome<SavedSet>) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        workshop.saving = None;
        match result {
            Ok(saved) => {
                workshop.saved_revision = revision;
                if let Some(note) = saved.note() {
                    self.notices.problem(note);
                }
                // Where the set was changed since, the next saving puts the two together again.
                if let SavedSet::Together(set) | SavedSet::OtherKept(set, _) = saved
                    && workshop.history.revision() == revision
                {
                    let words = "what another window or program changed".to_owned();
                    workshop.edit(words, None, Box::new(move |now| *now = *set));
                }
            }
            Err(sentence) => self.notices.problem(sentence),
        }
    }

    /// Saves the set in the workshop on this thread: before the window closes or another set takes its place.
    ///
    /// # Errors
    /// A problem for the user.
    pub(super) fn save_workshop_now(&mut self) -> Outcome<()> {
        let Some(workshop) = self.workshop.as_mut().filter(|w| w.is_unsaved()) else {
            return Ok(());
        };
        let revision = workshop.history.revision();
        workshop.disk.save(workshop.set(), revision)?;
        workshop.saved_revision = revision;
        Ok(())
    }

    /// The workshop's share of a frame's housekeeping: autosave, checks, plates to read.
    pub(super) fn tend_workshop(&mut self, now_s: f64) -> Option<f64> {
        let workshop = self.workshop.as_mut()?;
        let wait = workshop.autosave_wait_s(now_s, AUTOSAVE_AFTER_S);
        if wait.is_some_and(|wait| wait <= 0.0) {
            self.save_workshop();
        }
        self.check_workshop();
        self.read_workshop_plates();
        wait.filter(|wait| *wait > 0.0)
    }

    /// Looks for the rim on a plate and draws it there; where none is found, says so.
    fn find_plate_rim(&self, side: Side, file: String, picture: Arc<Picture>) {
        let Some(workshop) = &self.workshop else { return };
        let ticket = workshop.ticket.clone();
        self.workers.slow(move || {
            let found = align::find_rim(&picture).map(|found| found.rim);
            ticket.with(Done::PlateRim(side, file, found.map_err(Problem::from)))
        });
    }

    pub(super) fn take_plate_rim(&mut self, side: Side, file: String, result: Outcome<Rim>) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        match result {
            Ok(rim) => {
                let drawn = workshop.design[side].rims.get(&file);
                let rotation_deg = drawn.map_or(0.0, |drawn| drawn.rotation_deg);
                let words = "finding the rim".to_owned();
                workshop.draw_rim(side, file, words, None, PlateRim { rim, rotation_deg });
            }
            Err(sentence) => self.notices.problem(sentence),
        }
    }

    fn check_workshop(&mut self) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        // One check at a time: a check reads every plate's file, and typing makes a revision a letter.
        let revision = workshop.history.revision();
        if workshop.is_checking || workshop.checked == Some(revision) {
            return;
        }
        workshop.is_checking = true;
        let (set, folder) = (workshop.set().clone(), workshop.folder.clone());
        let ticket = workshop.ticket.clone();
        self.workers.background(move || {
            ticket.with(Done::SetChecked {
                revision,
                findings: pipeline::check_set(&set, Some(&SetSource::Folder(folder)), pipeline::Depth::Text),
                usefulness: Sides::each(|side| SideUsefulness::of(set.side(side))),
            })
        });
    }

    fn read_workshop_plates(&mut self) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        for (file, watch) in workshop.plates.take_wanted() {
            let (album, ticket) = (workshop.album(&watch), workshop.ticket.until_cancelled(&watch));
            self.workers.slow(move || {
                let read = album.plate_file(&file).map_err(Problem::from);
                ticket.with(Done::SetPlate(file, read))
            });
        }
    }
}

/// Carries out what changes the set in the workshop or what is in view of it, and nothing else.
fn change(workshop: &mut Workshop, action: WorkshopAction) {
    match action {
        WorkshopAction::Edit {
            words,
            gesture,
            change,
        } => workshop.edit(words, gesture, change),
        WorkshopAction::DrawRim {
            side,
            file,
            words,
            gesture,
            rim,
        } => workshop.draw_rim(side, file, words, gesture, rim),
        WorkshopAction::GoTo(section) => workshop.section = section,
        WorkshopAction::Choose(place) => workshop.choose(&place),
        WorkshopAction::Undo => workshop.undo(),
        WorkshopAction::Redo => workshop.redo(),
        WorkshopAction::DropMerge => workshop.merge = None,
        WorkshopAction::ShowMoreFindings => workshop.findings_shown += MORE_FINDINGS,
        _ => {}
    }
}
