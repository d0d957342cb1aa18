//! Handing the set to another collector as one file, and taking in what came back.

use egui::{Modal, RichText, ScrollArea, Ui};

use super::edits::{Edits, WorkshopAction};
use super::state::Workshop;
use crate::app::shell::dialogs::Ask;
use crate::app::shell::window::Window;
use crate::reference::merge::{Choice, CommonStart, OpenMerge, merge_open};
use crate::reference::{OpenSet, SetSource, open_set, pack};

/// What raising the edition is called in undo.
const RAISED: &str = "the raised edition";

/// A merge that waits for its user's word.
pub struct PendingMerge {
    /// The two versions put together.
    pub open: OpenMerge,
    /// For each conflict whose version to take; ours until the user says otherwise.
    pub choices: Vec<Choice>,
}

impl Window {
    /// Packs the set into one file of the user's choosing; what is shared is an edition of its own.
    pub(super) fn pack_workshop(&mut self) {
        let Some(workshop) = &self.workshop else { return };
        let name = workshop
            .folder
            .file_name()
            .map_or_else(|| "set".into(), |n| n.to_string_lossy().into_owned());
        let ask = format!("{name}.{}", pack::PACK_ENDING);
        self.ask(Ask::PackFile, &ask, move |window, file| {
            let Some(workshop) = &mut window.workshop else {
                return;
            };
            workshop.edit(RAISED.to_owned(), None, Box::new(|set| set.edition += 1));
            let open = workshop.open_set();
            window.save_workshop();
            let name = file.file_name().unwrap_or_default().to_string_lossy();
            window.run_task(format!("Packing {name}"), move |watch| {
                let result = pack::pack(&open, &file, watch);
                Box::new(move |window| match result {
                    Ok(note) => {
                        window.notices.done(format!(
                            "Edition {} is packed in {}. Send that one file.",
                            open.set.edition,
                            file.display()
                        ));
                        if let Some(note) = note {
                            window.notices.problem(note);
                        }
                    }
                    Err(error) => {
                        window.take_back_edition(open.set.edition);
                        window.notices.problem(error.to_string());
                    }
                })
            });
        });
    }

    /// An edition that was packed in no file is not one: the number goes back, where nothing was changed since.
    fn take_back_edition(&mut self, edition: u32) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let last = workshop.history.undo_words() == Some(RAISED);
        if last && workshop.set().edition == edition {
            workshop.undo();
        }
    }

    /// Compares the set with another copy of it and, where both changed the same part, asks.
    pub(super) fn merge_workshop(&mut self, file: std::path::PathBuf) {
        let Some(workshop) = &self.workshop else { return };
        let mine = workshop.open_set();
        self.run_task("Comparing with the other copy", move |watch| {
            let result = open_set(&file)
                .map_err(|error| error.to_string())
                .and_then(|theirs| merge_open(&mine, &theirs, watch).map_err(|error| error.to_string()));
            Box::new(move |window: &mut Window| match result {
                Ok(open) => {
                    let nothing = open.merge.conflicts.is_empty() && open.merge.taken.is_empty();
                    match &mut window.workshop {
                        _ if nothing => window
                            .notices
                            .done("The other copy has nothing that this one lacks."),
                        Some(workshop) => {
                            let choices = vec![Choice::Mine; open.merge.conflicts.len()];
                            workshop.merge = Some(PendingMerge { open, choices });
                        }
                        None => {}
                    }
                }
                Err(sentence) => window.notices.problem(sentence),
            })
        });
    }

    /// Takes the merged set in, as one step of undo.
    pub(super) fn settle_merge(&mut self, choices: Vec<Choice>) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let Some(pending) = workshop.merge.take() else {
            return;
        };
        let folder = workshop.folder.clone();
        self.run_task("Taking in the other copy\u{2019}s pictures", move |watch| {
            let result = pending
                .open
                .merge
                .settle(&choices)
                .map_err(|error| error.to_string())
                .and_then(|set| {
                    pending
                        .open
                        .bring_plates(&set, &folder, watch)
                        .map_err(|error| error.to_string())?;
                    Ok(set)
                });
            Box::new(move |window: &mut Window| match (result, &mut window.workshop) {
                (Ok(merged), Some(workshop)) if workshop.folder == folder => {
                    workshop.edit("the merge".to_owned(), None, Box::new(move |set| *set = merged));
                    window
                        .notices
                        .done("The other copy's changes are taken in. Undo takes them out again.");
                }
                (Err(sentence), _) => window.notices.problem(sentence),
                _ => {}
            })
        });
    }
}

impl Workshop {
    /// The set as it is, with the folder that holds its plates.
    pub(super) fn open_set(&self) -> OpenSet {
        OpenSet {
            set: self.set().clone(),
            source: SetSource::Folder(self.folder.clone()),
            note: None,
        }
    }
}

/// Shows what a merge would take in, and asks where both changed the same part.
pub fn merge_ui(ui: &mut Ui, pending: &mut PendingMerge, edits: &mut Edits) {
    let modal = Modal::new(egui::Id::unique("workshop/merge")).show(ui.ctx(), |ui| {
        ui.set_width(620.0);
        ui.heading("Changes in the other copy");
        if pending.open.common_start == CommonStart::Unknown {
            ui.label("The edition that both copies started from is not known here, so every difference is asked for.");
        }
        ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
            let merge = &pending.open.merge;
            if !merge.taken.is_empty() {
                ui.strong("Changed only in the other copy: taken in");
                for taken in &merge.taken {
                    ui.label(format!("{}: {}", taken.way, version(taken.theirs.as_deref())));
                }
                ui.add_space(8.0);
            }
            if !merge.conflicts.is_empty() {
                ui.strong("Changed in both: choose");
            }
            for (i, (conflict, choice)) in merge.conflicts.iter().zip(&mut pending.choices).enumerate() {
                ui.push_id(i, |ui| {
                    ui.label(conflict.way.to_string());
                    if let Some(before) = &conflict.before {
                        ui.label(RichText::new(format!("was: {before}")).weak());
                    }
                    ui.radio_value(choice, Choice::Mine, format!("this copy: {}", version(conflict.mine.as_deref())));
                    ui.radio_value(choice, Choice::Theirs, format!("the other: {}", version(conflict.theirs.as_deref())));
                    ui.add_space(4.0);
                });
            }
        });
        ui.separator();
        ui.horizontal(|ui| {
            if ui.button("Take in").clicked() {
                edits.ask(WorkshopAction::SettleMerge(pending.choices.clone()));
            }
            if ui.button("Leave the set as it is").clicked() {
                edits.ask(WorkshopAction::DropMerge);
            }
        });
    });
    if modal.should_close() {
        edits.ask(WorkshopAction::DropMerge);
    }
}

fn version(words: Option<&str>) -> String {
    /// The longest version shown, in characters; a whole die would fill the screen.
    const MOST: usize = 200;
    match words {
        None => "not there".to_owned(),
        Some(words) if words.chars().count() > MOST => words.chars().take(MOST).chain("…".chars()).collect(),
        Some(words) => words.to_owned(),
    }
}
