//! The bench: the open specimen with its set, its loaded pictures and what is derived from them. Knows no egui.

use std::path::PathBuf;
use std::sync::Arc;

use super::history::{EditLabel, History};
use super::other_coin::OtherSlot;
use super::picture_slot::PictureSlot;
use super::store::SharedFolder;
use super::ticket::Ticket;
use crate::evidence::Prior;
use crate::photo::Watch;
use crate::pipeline::{Album, Computed, PictureCache};
pub use crate::pipeline::{Computed as Derived, PlateKey};
use crate::reference::{FeatureId, ReferenceSet, SetSource, Side, Sides};
use crate::specimen::{Edit, SpecimenRecord};

/// The steps of the job, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Step {
    /// Choose the photos and place landmarks.
    #[default]
    Align,
    /// Compare zone by zone and give verdicts.
    Compare,
    /// Read the standing and the outcome.
    Standing,
    /// Look at the sheet and export it.
    Sheet,
}

impl Step {
    /// All steps.
    pub const ALL: [Step; 4] = [Step::Align, Step::Compare, Step::Standing, Step::Sheet];

    /// The step's name on the screen.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Step::Align => "Align",
            Step::Compare => "Compare",
            Step::Standing => "Standing",
            Step::Sheet => "Sheet",
        }
    }
}

/// The open specimen.
pub struct Bench {
    /// Which opening of a specimen it is.
    pub ticket: Ticket,
    /// Its folder; none in tests that keep nothing.
    pub folder: Option<SharedFolder>,
    /// The set it is compared with.
    pub set: Arc<ReferenceSet>,
    /// The record with its past.
    pub history: History<SpecimenRecord>,
    /// The revision that was last saved.
    pub saved_revision: u64,
    /// The photos.
    pub photos: Sides<PictureSlot>,
    /// The files that the photos in memory were read from, as the record names them.
    pub photo_files: Sides<Option<String>>,
    /// Its folder's path.
    pub folder_path: Option<PathBuf>,
    /// The other coin that it is compared with.
    pub other: OtherSlot,
    /// Where the set's plates are read from; none where they are not at hand.
    pub plate_source: Option<SetSource>,
    /// The step in view.
    pub step: Step,
    /// The side in view.
    pub side: Side,
    /// The feature in view, for each side.
    pub feature: Sides<Option<FeatureId>>,
    /// The prior that the user chose.
    pub prior: Prior,
    /// What the search for each photo's rim came to, where it found none.
    pub rim_said: Sides<Option<String>>,
    /// The photos whose rim was looked for.
    pub rim_asked: Sides<Option<String>>,
    /// The pictures that were read, for all workers.
    pub pictures: Arc<PictureCache>,
    /// The revision of the record and what was computed from it.
    derived: Option<(u64, Derived)>,
}

impl Bench {
    /// Opens a record on the bench, its photos still to be read.
    #[must_use]
    pub fn new(
        ticket: Ticket,
        folder: Option<SharedFolder>,
        set: Arc<ReferenceSet>,
        record: SpecimenRecord,
    ) -> Self {
        let folder_path = folder.as_ref().map(|f| super::store::peek(f).path().to_owned());
        Self {
            ticket,
            folder,
            set,
            history: History::new(record),
            saved_revision: 0,
            photos: Sides::default(),
            photo_files: Sides::default(),
            folder_path,
            other: OtherSlot::None,
            plate_source: None,
            step: Step::Align,
            side: Side::Obverse,
            feature: Sides::default(),
            prior: Prior::Equal,
            rim_said: Sides::default(),
            rim_asked: Sides::default(),
            pictures: Arc::default(),
            derived: None,
        }
    }

    /// The ticket for work that is of use for the record as it is and no later.
    #[must_use]
    pub fn ticket_now(&self) -> Ticket {
        self.ticket.at_revision(self.history.revision())
    }

    /// The record as it is.
    #[must_use]
    pub fn record(&self) -> &SpecimenRecord {
        self.history.now()
    }

    /// Applies an edit to the record as one step of undo; edits in a row of the same gesture are one step.
    pub fn apply(&mut self, edit: Edit, gesture: Option<u64>) {
        let words = edit.words();
        self.edit(&words, gesture, |record| edit.apply(record));
    }

    /// Changes the record as one step of undo.
    pub fn edit(&mut self, words: &str, gesture: Option<u64>, change: impl FnOnce(&mut SpecimenRecord)) {
        let label = EditLabel {
            words: words.to_owned(),
            gesture,
        };
        self.history.edit(label, change);
    }

    /// What follows from the record; only what its change touched is computed again.
    pub fn derived(&mut self) -> &Derived {
        let revision = self.history.revision();
        let derived = match self.derived.take() {
            Some((of, derived)) if of == revision => derived,
            before => Computed::after(
                before.as_ref().map(|(_, derived)| derived),
                &self.set,
                self.history.now(),
                self.prior,
            ),
        };
        &self.derived.insert((revision, derived)).1
    }

    /// The pictures of the specimen and its set; `watch` gets the progress of each reading and can cancel it.
    #[must_use]
    pub fn album(&self, watch: &Watch) -> Album {
        Album {
            cache: Arc::clone(&self.pictures),
            folder: self.folder.as_ref().map(super::store::peek),
            source: self.plate_source.clone(),
            watch: watch.clone(),
        }
    }

    /// Forgets what was derived, after the prior or the set changed.
    pub fn invalidate(&mut self) {
        self.derived = None;
    }
}
