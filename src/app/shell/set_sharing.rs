//! Handing the set in the workshop to another collector as one file, and taking in what came back.

use std::path::PathBuf;

use super::window::Window;
use crate::app::model::done::{Done, Outcome};
use crate::app::model::question::{Ask, Purpose};
use crate::app::pages::workshop::PendingMerge;
use crate::problem::Problem;
use crate::reference::merge::{Choice, OpenMerge, merge_open};
use crate::reference::{ReferenceSet, open_set, pack};

/// What raising the edition is called in undo.
const RAISED: &str = "the raised edition";

impl Window {
    /// Asks where the set is to be packed.
    pub(super) fn ask_pack(&mut self) {
        let Some(workshop) = &self.workshop else { return };
        let name = workshop.folder.file_name();
        let name = name.map_or_else(|| "set".into(), |n| n.to_string_lossy().into_owned());
        self.ask(
            Ask::PackFile,
            &format!("{name}.{}", pack::PACK_ENDING),
            Purpose::Pack,
        );
    }

    /// Packs the set into one file; what is shared is an edition of its own.
    pub(super) fn pack_workshop(&mut self, file: PathBuf) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        workshop.edit(RAISED.to_owned(), None, Box::new(|set| set.edition += 1));
        let (open, ticket) = (workshop.open_set(), workshop.ticket.clone());
        self.save_workshop();
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        self.run_task(format!("Packing {name}"), ticket, move |watch| {
            let packed =
                pack::pack(&open, &file, crate::files::Replacing::Ours, watch).map_err(Problem::from);
            Done::Packed(open.set.edition, file, packed)
        });
    }

    /// An edition that was packed in no file is not one: the number goes back, where nothing was changed since.
    pub(super) fn take_back_edition(&mut self, edition: u32) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let last = workshop.history.undo_words() == Some(RAISED);
        if last && workshop.set().edition == edition {
            workshop.undo();
        }
    }

    /// Says whether an edition was packed; that is of use whatever set is open by then.
    pub(super) fn tell_packed(
        &mut self,
        edition: u32,
        file: &std::path::Path,
        packed: Outcome<Option<String>>,
    ) {
        match packed {
            Ok(note) => {
                self.notices.done(format!(
                    "Edition {edition} is packed in {}. Send that one file.",
                    file.display()
                ));
                note.into_iter().for_each(|note| self.notices.problem(note));
            }
            Err(sentence) => self.notices.problem(sentence),
        }
    }

    /// Compares the set with another copy of it and, where both changed the same part, asks.
    pub(super) fn merge_workshop(&mut self, file: PathBuf) {
        let Some(workshop) = &self.workshop else { return };
        let (mine, ticket) = (workshop.open_set(), workshop.ticket_now());
        self.run_task("Comparing with the other copy", ticket, move |watch| {
            let found = open_set(&file)
                .map_err(Problem::from)
                .and_then(|theirs| Ok(merge_open(&mine, &theirs, watch)?));
            Done::MergeFound(found)
        });
    }

    pub(super) fn take_merge(&mut self, found: Outcome<OpenMerge>) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        if let Ok(open) = &found {
            open.uncompared
                .iter()
                .for_each(|sentence| self.notices.problem(sentence.as_str()));
        }
        match found {
            Ok(open) if open.merge.conflicts.is_empty() && open.merge.taken.is_empty() => self
                .notices
                .done("The other copy has nothing that this one lacks."),
            Ok(open) => {
                let choices = vec![Choice::Mine; open.merge.conflicts.len()];
                workshop.merge = Some(PendingMerge { open, choices });
            }
            Err(sentence) => self.notices.problem(sentence),
        }
    }

    /// Brings the other copy's pictures in and puts the merged set together.
    pub(super) fn settle_merge(&mut self, choices: Vec<Choice>) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let Some(PendingMerge { open, .. }) = workshop.merge.take() else {
            return;
        };
        let (folder, ticket) = (workshop.folder.clone(), workshop.ticket_now());
        self.run_task(
            "Taking in the other copy\u{2019}s pictures",
            ticket,
            move |watch| {
                let settled = open.merge.settle(&choices).map_err(Problem::from);
                Done::MergeSettled(settled.and_then(|set| {
                    open.bring_plates(&set, &folder, watch)?;
                    Ok(set)
                }))
            },
        );
    }

    /// Takes the merged set in, as one step of undo.
    pub(super) fn take_settled(&mut self, settled: Outcome<ReferenceSet>) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        match settled {
            Ok(merged) => {
                workshop.edit("the merge".to_owned(), None, Box::new(move |set| *set = merged));
                self.notices
                    .done("The other copy's changes are taken in. Undo takes them out again.");
            }
            Err(sentence) => self.notices.problem(sentence),
        }
    }
}
