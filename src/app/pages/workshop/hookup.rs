//! The workshop's part of the window: opening and saving sets, checking them, taking plates in. Every slow piece is a
//! job for a worker.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::checks::SideUsefulness;
use super::design::PlateRim;
use super::edits::WorkshopAction;
use super::plates::PlatesFor;
use super::state::{Section, Workshop};
use crate::app::model::action::Action;
use crate::app::model::message::Message;
use crate::app::model::store;
use crate::app::shell::dialogs::Ask;
use crate::app::shell::window::{Pages, Screen, Window};
use crate::files;
use crate::photo::Watch;
use crate::reference::{self, OpenSet, SetSource, Side, Sides, open_set, pack, save_set, validate};
use crate::specimen::changes_for;

/// Findings listed at once, and how many more each time the rest is asked for.
pub(super) const MORE_FINDINGS: usize = 60;
/// Seconds without an edit after which the set is saved by itself.
const AUTOSAVE_AFTER_S: f64 = 2.0;

impl Window {
    /// Makes an empty set in a folder of its own and opens it in the workshop.
    pub fn new_set(&mut self, folder: PathBuf, title: String) {
        self.workers.slow(move || {
            let set = reference::blank_set(&title);
            let result = if folder.join(reference::SET_FILE).exists() {
                Err(format!(
                    "There is a set in {} already: choose another name or open that one.",
                    folder.display()
                ))
            } else {
                save_set(&folder, &set).map_err(|error| error.to_string())
            };
            Message::Then(Box::new(move |window| match result {
                Ok(()) => window.put_in_workshop(Workshop::new(folder, set)),
                Err(sentence) => window.notices.problem(sentence),
            }))
        });
    }

    /// Opens a set in the workshop. A packed or built-in set is first unpacked into a folder of its own.
    pub fn open_in_workshop(&mut self, place: PathBuf) {
        let sets = self.sets_folder();
        let name = place.file_name().unwrap_or(place.as_os_str()).to_string_lossy();
        self.run_task(format!("Opening {name}"), move |watch| {
            let result = open_to_edit(&place, &sets, watch);
            Box::new(move |window| match result {
                Ok(open) => {
                    if let Some(note) = open.note {
                        window.notices.problem(note);
                    }
                    if let SetSource::Folder(folder) = open.source {
                        window.put_in_workshop(Workshop::new(folder, open.set));
                    }
                }
                Err(sentence) => window.notices.problem(sentence),
            })
        });
    }

    /// The folder in which new sets are made.
    #[must_use]
    pub fn sets_folder(&self) -> PathBuf {
        let cabinet = self.cabinet_folder();
        cabinet.parent().unwrap_or(Path::new("")).join("Dietell sets")
    }

    pub(super) fn put_in_workshop(&mut self, workshop: Workshop) {
        self.settings.opened_set(&workshop.folder);
        self.keep_settings();
        self.workshop = Some(workshop);
        self.screen = Screen::Workshop;
    }

    /// Carries out what the workshop's views asked for.
    pub(in crate::app) fn apply_workshop(&mut self, actions: Vec<WorkshopAction>) {
        for action in actions {
            let Some(workshop) = &mut self.workshop else {
                return;
            };
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
                WorkshopAction::FindRim(side, file, picture) => self.find_plate_rim(side, file, picture),
                WorkshopAction::PlaceRest(plate) => self.place_rest(plate),
                WorkshopAction::Undo => workshop.undo(),
                WorkshopAction::Redo => workshop.redo(),
                WorkshopAction::Save => self.save_workshop(),
                WorkshopAction::Close => self.close_workshop(),
                WorkshopAction::AddDie(side) => self.ask(Ask::Photo, "", move |window, file| {
                    window.add_plates(side, PlatesFor::NewDies, vec![file]);
                }),
                WorkshopAction::AddPlate(side, die, Some(file)) => {
                    self.add_plates(side, PlatesFor::Die(die), vec![file]);
                }
                WorkshopAction::AddPlate(side, die, None) => self.ask(Ask::Photo, "", move |window, file| {
                    window.apply_workshop(vec![WorkshopAction::AddPlate(side, die, Some(file))]);
                }),
                WorkshopAction::Pack => self.pack_workshop(),
                WorkshopAction::Merge(Some(file)) => self.merge_workshop(file),
                WorkshopAction::Merge(None) => self.ask(Ask::PackedSet, "", |window, file| {
                    window.apply_workshop(vec![WorkshopAction::Merge(Some(file))]);
                }),
                WorkshopAction::SettleMerge(choices) => self.settle_merge(choices),
                WorkshopAction::DropMerge => workshop.merge = None,
                WorkshopAction::ShowMoreFindings => workshop.findings_shown += MORE_FINDINGS,
            }
        }
    }

    /// A set dropped on the workshop: opened where none is open, else offered to be merged.
    pub(in crate::app) fn drop_set_on_workshop(&mut self, place: PathBuf) {
        if self.workshop.is_some() {
            self.apply_workshop(vec![WorkshopAction::Merge(Some(place))]);
        } else {
            self.open_in_workshop(place);
        }
    }

    /// Pictures dropped on the workshop become plates of the die in view.
    pub(in crate::app) fn drop_pictures_on_workshop(&mut self, pictures: Vec<PathBuf>) {
        let section = self.workshop.as_ref().map(|workshop| workshop.section);
        let Some((side, die)) = self.workshop.as_ref().and_then(Workshop::die_in_view) else {
            if let Some(Section::Dies(side) | Section::Design(side)) = section {
                self.add_plates(side, PlatesFor::NewDies, pictures);
                return;
            }
            self.notices
                .problem("Open the dies of the side that the pictures show, then drop them again.");
            return;
        };
        self.add_plates(side, PlatesFor::Die(die), pictures);
    }

    /// Brings the set on the bench up to date with the one in the workshop, where they are the same, and says what
    /// changed for the coin.
    pub(in crate::app) fn follow_set(&mut self) {
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
            let set = Arc::clone(&bench.set);
            self.workers.slow(move || {
                let kept = store::keep_set(&folder, &set);
                Message::Then(Box::new(move |window| {
                    if let Err(sentence) = kept {
                        window.notices.problem(sentence);
                    }
                }))
            });
        }
        self.plates.clear();
        self.pages = Pages::default();
        self.tell(notes);
    }

    fn close_workshop(&mut self) {
        self.save_workshop();
        self.workshop = None;
        self.screen = Screen::Start;
        self.push(Action::GoToStart);
    }

    /// Saves the set in the workshop if it changed.
    pub(in crate::app) fn save_workshop(&mut self) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        if !workshop.is_unsaved() || workshop.saving == Some(workshop.history.revision()) {
            return;
        }
        let revision = workshop.history.revision();
        workshop.saving = Some(revision);
        let (folder, set) = (workshop.folder.clone(), workshop.set().clone());
        let disk = workshop.disk.clone();
        self.workers.slow(move || {
            let result = disk.save(&folder, &set, revision);
            Message::Then(Box::new(move |window| {
                if let Err(sentence) = &result {
                    window.notices.problem(sentence.as_str());
                }
                let Some(workshop) = &mut window.workshop else {
                    return;
                };
                if workshop.folder == folder {
                    workshop.saving = None;
                    if result.is_ok() {
                        workshop.saved_revision = revision;
                    }
                }
            }))
        });
    }

    /// Saves the set in the workshop on this thread: before the window closes.
    ///
    /// # Errors
    /// One sentence for the user.
    pub(in crate::app) fn save_workshop_now(&mut self) -> Result<(), String> {
        let Some(workshop) = self.workshop.as_mut().filter(|w| w.is_unsaved()) else {
            return Ok(());
        };
        let revision = workshop.history.revision();
        workshop.disk.save(&workshop.folder, workshop.set(), revision)?;
        workshop.saved_revision = revision;
        Ok(())
    }

    /// The workshop's share of a frame's housekeeping: autosave, checks, plates to read.
    pub(in crate::app) fn tend_workshop(&mut self, now_s: f64) -> Option<f64> {
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
    fn find_plate_rim(&mut self, side: Side, file: String, picture: Arc<crate::photo::Picture>) {
        self.workers.slow(move || {
            let result = store::find_rim(&picture);
            Message::Then(Box::new(move |window| match (result, &mut window.workshop) {
                (Ok(rim), Some(workshop)) => {
                    let design = &workshop.design[side];
                    let rotation_deg = design.rims.get(&file).map_or(0.0, |drawn| drawn.rotation_deg);
                    let words = "finding the rim".to_owned();
                    workshop.draw_rim(side, file, words, None, PlateRim { rim, rotation_deg });
                }
                (Err(sentence), _) => window.notices.problem(sentence),
                (Ok(_), None) => {}
            }))
        });
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
        self.workers.background(move || {
            let findings = validate(&set, Some(&SetSource::Folder(folder.clone())));
            let usefulness = Sides::each(|side| SideUsefulness::of(set.side(side)));
            Message::Then(Box::new(move |window| {
                if let Some(workshop) = window.workshop.as_mut().filter(|w| w.folder == folder) {
                    workshop.findings = Some(findings);
                    workshop.usefulness = Some(usefulness);
                    workshop.checked = Some(revision);
                    workshop.is_checking = false;
                }
            }))
        });
    }

    fn read_workshop_plates(&mut self) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let source = SetSource::Folder(workshop.folder.clone());
        for (file, watch) in workshop.plates.take_wanted() {
            let source = source.clone();
            let folder = workshop.folder.clone();
            self.workers.slow(move || {
                let result = store::read_plate(&source, &file, &watch);
                Message::Then(Box::new(move |window| {
                    if watch.is_cancelled() {
                        return;
                    }
                    if let Some(workshop) = window.workshop.as_mut().filter(|w| w.folder == folder) {
                        workshop
                            .plates
                            .accept(file, result.map(|picture| (picture, None)));
                    }
                }))
            });
        }
    }
}

/// Opens a set for changing: a folder as it is, anything else as a copy in a new folder under `sets`.
pub(super) fn open_to_edit(place: &Path, sets: &Path, watch: &Watch) -> Result<OpenSet, String> {
    let open = open_set(place).map_err(|error| error.to_string())?;
    if matches!(open.source, SetSource::Folder(_)) {
        return Ok(open);
    }
    files::make_folder(sets, sets).map_err(|error| error.to_string())?;
    let folder = free_folder(sets, &folder_name(&open.set.title));
    pack::copy_set(&open, &folder, watch).map_err(|error| error.to_string())
}

/// A name for a set's folder: its title without what file systems refuse.
#[must_use]
pub fn folder_name(title: &str) -> String {
    files::plain_name(title, &['-', '_'], " ", "set")
}

/// `name` in `folder`, or `name 2`, `name 3` ... where that is taken.
#[must_use]
pub fn free_folder(folder: &Path, name: &str) -> PathBuf {
    (1u32..)
        .map(|n| {
            folder.join(if n == 1 {
                name.to_owned()
            } else {
                format!("{name} {n}")
            })
        })
        .find(|path| !path.exists())
        .unwrap_or_else(|| folder.join(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folder_names_are_plain() {
        assert_eq!(folder_name("Orlevay: five varn / 412?"), "Orlevay five varn 412");
        assert_eq!(folder_name("../.."), "set");
    }
}
