//! The workshop's state: the set with its past, and what is in view. Knows no egui.

use std::path::PathBuf;

use super::edits::SetChange;
use crate::app::history::{EditLabel, History};
use crate::reference::{DieId, ReferenceSet, Side};

/// The sections of the workshop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Section {
    /// Title, measures, facts, rarity bands, price slope, cautions.
    #[default]
    Coinage,
    /// A side's landmarks and zones, drawn on its plates.
    Design(Side),
    /// A side's features with their states.
    Features(Side),
    /// A side's dies with their plates, and the table of what each shows.
    Dies(Side),
    /// The known pairings.
    Pairings,
    /// What is inconsistent, and which features are worth looking at.
    Checks,
}

impl Section {
    /// All sections in the order in which a set is made.
    pub const ALL: [Section; 9] = [
        Section::Coinage,
        Section::Design(Side::Obverse),
        Section::Features(Side::Obverse),
        Section::Dies(Side::Obverse),
        Section::Design(Side::Reverse),
        Section::Features(Side::Reverse),
        Section::Dies(Side::Reverse),
        Section::Pairings,
        Section::Checks,
    ];

    /// The section's name on the screen.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Section::Coinage => "Coinage".to_owned(),
            Section::Design(side) => format!("{} design", capital(side)),
            Section::Features(side) => format!("{} features", capital(side)),
            Section::Dies(side) => format!("{} dies", capital(side)),
            Section::Pairings => "Pairings".to_owned(),
            Section::Checks => "Checks".to_owned(),
        }
    }
}

/// The side's word with a capital.
#[must_use]
pub fn capital(side: Side) -> &'static str {
    match side {
        Side::Obverse => "Obverse",
        Side::Reverse => "Reverse",
    }
}

/// The set being made.
pub struct Workshop {
    /// Its folder.
    pub folder: PathBuf,
    /// The set with its past.
    pub history: History<ReferenceSet>,
    /// The revision that was last saved.
    pub saved_revision: u64,
    /// The section in view.
    pub section: Section,
    /// The die in view on each side.
    pub die: [Option<DieId>; 2],
    /// The pairing in view, by its place in the list.
    pub pairing: Option<usize>,
}

impl Workshop {
    /// Opens a set that lies in `folder`.
    #[must_use]
    pub fn new(folder: PathBuf, set: ReferenceSet) -> Self {
        Self {
            folder,
            history: History::new(set),
            saved_revision: 0,
            section: Section::Coinage,
            die: [None, None],
            pairing: None,
        }
    }

    /// The set as it is.
    #[must_use]
    pub fn set(&self) -> &ReferenceSet {
        self.history.now()
    }

    /// Changes the set as one step of undo.
    pub fn edit(&mut self, words: String, gesture: Option<u64>, change: SetChange) {
        self.history.edit(EditLabel { words, gesture }, change);
    }

    /// Whether the set was changed since it was saved.
    #[must_use]
    pub fn is_unsaved(&self) -> bool {
        self.history.revision() != self.saved_revision
    }
}
