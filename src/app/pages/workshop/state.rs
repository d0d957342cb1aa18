//! The workshop's state: the set with its past, and what is in view. Knows no egui.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use super::design::{DesignState, PlateRim, PlateRims};
use super::edits::SetChange;
use super::share::PendingMerge;
use crate::app::model::done::Outcome;
use crate::app::model::history::{EditLabel, History};
use crate::app::model::set_checks::SideUsefulness;
use crate::app::model::shelf::PlateShelf;
use crate::app::model::ticket::Ticket;
use crate::photo::Watch;
use crate::pipeline::Album;
use crate::reference::{
    DieId, Finding, Place, Plate, ReferenceSet, SavedSet, SetOnDisk, SetSource, Side, Sides,
};

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
            Section::Design(side) => format!("{} design", side.title()),
            Section::Features(side) => format!("{} features", side.title()),
            Section::Dies(side) => format!("{} dies", side.title()),
            Section::Pairings => "Pairings".to_owned(),
            Section::Checks => "Checks".to_owned(),
        }
    }
}

/// What is made in the workshop, as one step of undo changes it.
#[derive(Debug, Clone, PartialEq)]
pub struct Contents {
    /// The set.
    pub set: ReferenceSet,
    /// The rims drawn on plates, obverse and reverse, shared among the steps of undo. They are no part of the set's
    /// file: what is placed by them is.
    pub rims: Sides<Arc<PlateRims>>,
}

/// Findings listed at once, and how many more each time the rest is asked for.
pub const MORE_FINDINGS: usize = 60;

/// The set being made.
pub struct Workshop {
    /// Which opening of a set it is.
    pub ticket: Ticket,
    /// Its folder.
    pub folder: PathBuf,
    /// The set and the rims drawn on its plates, with their past.
    pub history: History<Contents>,
    /// The revision that was last saved.
    pub saved_revision: u64,
    /// The section in view.
    pub section: Section,
    /// The die in view on each side.
    pub die: Sides<Option<DieId>>,
    /// What the design sections remember, obverse and reverse.
    pub design: Sides<DesignState>,
    /// The pairing in view, by its place in the list.
    pub pairing: Option<usize>,
    /// What there is to mend, as last checked; none before the first check.
    pub findings: Option<Vec<Finding>>,
    /// How well its features tell its dies apart, as last checked.
    pub usefulness: Option<Sides<SideUsefulness>>,
    /// What came back from another collector and waits for the user's word.
    pub merge: Option<PendingMerge>,
    /// The revision that the findings are of.
    pub checked: Option<u64>,
    /// Whether a check is running.
    pub is_checking: bool,
    /// The revision that is being saved.
    pub saving: Option<u64>,
    /// The last revision that reached the disk, shared with the workers that save.
    pub disk: Disk,
    /// How many findings are listed.
    pub findings_shown: usize,
    /// The part of the set that the user asked to be taken to, until its section brought it into view.
    pub goal: Option<Place>,
    /// The plates that were looked at, by their file in the set.
    pub plates: PlateShelf<String>,
    /// When the set last changed, for saving by itself: the revision, and the window's seconds.
    quiet_since: Option<(u64, f64)>,
}

/// The set's file, written by one at a time and never by an older revision over a newer.
#[derive(Debug, Clone)]
pub struct Disk {
    newest: Arc<Mutex<(u64, SetOnDisk)>>,
}

impl Disk {
    fn opened(folder: &Path, set: &ReferenceSet) -> Self {
        Self {
            newest: Arc::new(Mutex::new((0, SetOnDisk::opened(folder, set)))),
        }
    }

    /// Saves a revision of the set, unless a newer one is there already, together with what another program changed.
    ///
    /// # Errors
    /// A problem for the user.
    pub fn save(&self, set: &ReferenceSet, revision: u64) -> Outcome<SavedSet> {
        let mut newest = self.newest.lock().unwrap_or_else(PoisonError::into_inner);
        // What is on disk already is not written again: a die begun from a coin may have been added to it since.
        if newest.0 >= revision {
            return Ok(SavedSet::AsGiven);
        }
        let saved = newest.1.save(set)?;
        newest.0 = revision;
        Ok(saved)
    }
}

impl Workshop {
    /// Opens a set that lies in `folder`, with an empty shelf for its plates.
    #[must_use]
    pub fn new(ticket: Ticket, folder: PathBuf, set: ReferenceSet, plates: PlateShelf<String>) -> Self {
        Self {
            ticket,
            disk: Disk::opened(&folder, &set),
            folder,
            history: History::weighed(
                Contents {
                    set,
                    rims: Sides::default(),
                },
                |contents| weight(&contents.set),
            ),
            saved_revision: 0,
            section: Section::Coinage,
            die: Sides::default(),
            design: Sides::default(),
            pairing: None,
            findings: None,
            usefulness: None,
            merge: None,
            checked: None,
            is_checking: false,
            saving: None,
            findings_shown: MORE_FINDINGS,
            goal: None,
            plates,
            quiet_since: None,
        }
    }

    /// The set's pictures; `watch` gets the progress of each reading and can cancel it.
    #[must_use]
    pub fn album(&self, watch: &Watch) -> Album {
        Album {
            cache: Arc::clone(self.plates.cache()),
            folder: None,
            source: Some(SetSource::Folder(self.folder.clone())),
            watch: watch.clone(),
        }
    }

    /// The ticket for work that is of use for the set as it is and no later.
    #[must_use]
    pub fn ticket_now(&self) -> Ticket {
        self.ticket.at_revision(self.history.revision())
    }

    /// The set as it is.
    #[must_use]
    pub fn set(&self) -> &ReferenceSet {
        &self.history.now().set
    }

    /// Takes in what the checks of a revision found.
    pub fn take_checks(&mut self, revision: u64, findings: Vec<Finding>, usefulness: Sides<SideUsefulness>) {
        self.findings = Some(findings);
        self.usefulness = Some(usefulness);
        self.checked = Some(revision);
        self.is_checking = false;
    }

    /// Changes the set as one step of undo.
    pub fn edit(&mut self, words: String, gesture: Option<u64>, change: SetChange) {
        let label = EditLabel { words, gesture };
        self.history.edit(label, |contents| change(&mut contents.set));
    }

    /// Draws the rim on a plate of a side, named by its file, as one step of undo.
    pub fn draw_rim(&mut self, side: Side, file: String, words: String, gesture: Option<u64>, rim: PlateRim) {
        let label = EditLabel { words, gesture };
        self.history.edit(label, |contents| {
            Arc::make_mut(&mut contents.rims[side]).insert(file, rim);
        });
        self.show_rims();
    }

    /// One step back.
    pub fn undo(&mut self) {
        self.history.undo();
        self.show_rims();
    }

    /// One step forward again.
    pub fn redo(&mut self) {
        self.history.redo();
        self.show_rims();
    }

    /// Gives the design sections the rims as they now are.
    fn show_rims(&mut self) {
        for (side, rims) in self.history.now().rims.iter() {
            self.design[side].rims = Arc::clone(rims);
        }
    }

    /// Whether the set was changed since it was saved.
    #[must_use]
    pub fn is_unsaved(&self) -> bool {
        self.history.revision() != self.saved_revision
    }

    /// Brings a part of the set into view, in the section already chosen.
    pub fn choose(&mut self, place: &Place) {
        match place {
            Place::Die(side, die) | Place::Shows(side, die, _) => self.die[*side] = Some(die.clone()),
            Place::Plate(side, die, number) => {
                self.design[*side].plate = Some((die.clone(), *number));
            }
            Place::PlateLandmark(side, die, number, landmark) => {
                let design = &mut self.design[*side];
                design.plate = Some((die.clone(), *number));
                design.select_landmark(landmark);
            }
            Place::Landmark(side, landmark) => self.design[*side].select_landmark(landmark),
            Place::Pairing(number, _) => self.pairing = Some(*number),
            _ => {}
        }
        self.goal = Some(place.clone());
    }

    /// The die that the section in view is about.
    #[must_use]
    pub fn die_in_view(&self) -> Option<(Side, DieId)> {
        match self.section {
            Section::Design(side) => {
                let (die, _) = self.design[side].plate_in(self.set().side(side))?;
                Some((side, die.id.clone()))
            }
            Section::Dies(side) => {
                let die = self.die[side].clone()?;
                self.set().side(side).die(&die).map(|die| (side, die.id.clone()))
            }
            _ => None,
        }
    }

    /// Adds plates to a die as one step of undo.
    pub fn add_plates(&mut self, side: Side, die: &DieId, plates: Vec<Plate>) {
        let die = die.clone();
        let words = match plates.len() {
            1 => "adding the plate".to_owned(),
            n => format!("adding {n} plates"),
        };
        let change = move |set: &mut ReferenceSet| {
            if let Some(die) = set.side_mut(side).die_mut(&die) {
                die.plates.extend(plates);
            }
        };
        self.edit(words, None, Box::new(change));
    }

    /// How long until the set should be saved by itself, in s; none where it is saved.
    pub fn autosave_wait_s(&mut self, now_s: f64, after_s: f64) -> Option<f64> {
        if !self.is_unsaved() || self.saving.is_some() {
            self.quiet_since = None;
            return None;
        }
        let revision = self.history.revision();
        let since = match self.quiet_since {
            Some((seen, since)) if seen == revision => since,
            _ => now_s,
        };
        self.quiet_since = Some((revision, since));
        Some(since + after_s - now_s)
    }
}

/// How many bytes a set takes, roughly: what its many parts take each.
fn weight(set: &ReferenceSet) -> usize {
    /// A landmark on a plate and an entry of the table of states: two short texts or a text and a point, in a tree.
    const ENTRY: usize = 120;
    /// Any other part: some texts and numbers.
    const PART: usize = 400;
    let sides = Side::BOTH.map(|side| {
        let part = set.side(side);
        let entries = |die: &crate::reference::Die| {
            let placed: usize = die.plates.iter().map(|plate| plate.landmarks.len()).sum();
            (placed + die.shows.len()) * ENTRY + (1 + die.plates.len()) * PART
        };
        let dies: usize = part.dies.iter().map(entries).sum();
        dies + (part.landmarks.len() + part.zones.len() + part.features.len()) * PART
    });
    sides.iter().sum::<usize>() + set.pairings.len() * PART
}
