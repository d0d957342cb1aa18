//! What a section asks the workshop to do.

use std::path::PathBuf;
use std::sync::Arc;

use super::Section;
use super::design::PlateRim;
use crate::app::model::bench::PlateKey;
use crate::app::model::question::Ask;
use crate::photo::Picture;
use crate::reference::merge::Choice;
use crate::reference::{DieId, Place, ReferenceSet, Side};

/// A change of the set, boxed so that any section can make one.
pub type SetChange = Box<dyn FnOnce(&mut ReferenceSet)>;

/// What a section asks for.
pub enum WorkshopAction {
    /// Change the set as one step of undo.
    Edit {
        /// What is undone, in words that follow "Undo".
        words: String,
        /// Edits in a row with the same number and words are one step.
        gesture: Option<u64>,
        /// The change.
        change: SetChange,
    },
    /// Begin a set of this title and open it.
    New(String),
    /// Open a set.
    Open(PathBuf),
    /// Ask for a set to open: its folder or its packed file.
    AskSet(Ask),
    /// Back to the start screen; the set stays in the workshop.
    Leave,
    /// Show a section.
    GoTo(Section),
    /// Bring a part of the set into view in its section.
    Choose(Place),
    /// Begin a die of a side from a picture; asks for its file.
    AddDie(Side),
    /// Add a plate to a die; asks for a file where none is given.
    AddPlate(Side, DieId, Option<PathBuf>),
    /// Look for the landmarks that a plate still lacks, by another plate.
    PlaceRest(PlateKey),
    /// Draw the rim on a plate as one step of undo.
    DrawRim {
        /// The plate's side.
        side: Side,
        /// The plate's file.
        file: String,
        /// What is undone, in words that follow "Undo".
        words: String,
        /// Edits in a row with the same number and words are one step.
        gesture: Option<u64>,
        /// The rim.
        rim: PlateRim,
    },
    /// Look for the rim on a plate, by its file.
    FindRim(Side, String, Arc<Picture>),
    /// Undo.
    Undo,
    /// Redo.
    Redo,
    /// Save now.
    Save,
    /// Pack the set into one file; asks for its name.
    Pack,
    /// Take in what another copy of the set changed; asks for the file where none is given.
    Merge(Option<PathBuf>),
    /// Take the merge in, each conflict as chosen.
    SettleMerge(Vec<Choice>),
    /// Leave the set as it is before the merge.
    DropMerge,
    /// List more of what there is to mend.
    ShowMoreFindings,
    /// Close the set and go back to the start screen.
    Close,
}

/// The actions of a frame.
#[derive(Default)]
pub struct Edits {
    actions: Vec<WorkshopAction>,
}

impl Edits {
    /// A change that is a step of undo of its own.
    pub fn step(&mut self, words: impl Into<String>, change: impl FnOnce(&mut ReferenceSet) + 'static) {
        self.actions.push(WorkshopAction::Edit {
            words: words.into(),
            gesture: None,
            change: Box::new(change),
        });
    }

    /// As [`Edits::step`], for a new part of `set`: returns what `add` will return, its name.
    pub fn add<T>(
        &mut self,
        words: &str,
        set: &ReferenceSet,
        add: impl Fn(&mut ReferenceSet) -> T + 'static,
    ) -> T {
        let made = add(&mut set.clone());
        self.step(words, move |set| {
            add(set);
        });
        made
    }

    /// A change that joins those before it of the same gesture: a typed word, a dragged number.
    pub fn continued(
        &mut self,
        words: impl Into<String>,
        gesture: u64,
        change: impl FnOnce(&mut ReferenceSet) + 'static,
    ) {
        self.actions.push(WorkshopAction::Edit {
            words: words.into(),
            gesture: Some(gesture),
            change: Box::new(change),
        });
    }

    /// Anything but a change of set or rim.
    pub fn ask(&mut self, action: WorkshopAction) {
        self.actions.push(action);
    }

    /// The actions, in the order asked for.
    #[must_use]
    pub fn into_actions(self) -> Vec<WorkshopAction> {
        self.actions
    }
}
