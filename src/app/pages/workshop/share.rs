//! What another copy of the set changed, put before the user.

use egui::{Modal, RichText, ScrollArea, Ui};

use super::edits::{Edits, WorkshopAction};
use super::state::Workshop;
use crate::reference::merge::{Choice, CommonStart, OpenMerge};
use crate::reference::{OpenSet, SetSource};

/// A merge that waits for its user's word.
pub struct PendingMerge {
    /// The two versions put together.
    pub open: OpenMerge,
    /// For each conflict whose version to take; ours until the user says otherwise.
    pub choices: Vec<Choice>,
}

impl Workshop {
    /// The set as it is, with the folder that holds its plates.
    #[must_use]
    pub fn open_set(&self) -> OpenSet {
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
