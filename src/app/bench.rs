//! The bench: the open specimen with its set, its loaded pictures and what is derived from them. Knows no egui.

use std::sync::Arc;

use super::history::{EditLabel, History};
use super::store::SharedFolder;
use crate::align::{AlignError, Alignment};
use crate::evidence::{Prior, Standing, standing};
use crate::flow;
use crate::photo::{Picture, Watch};
use crate::reference::{DieId, FeatureId, ReferenceSet, SetSource, Side};
use crate::specimen::SpecimenRecord;

/// A picture that is not there yet, there, or not to be had.
#[derive(Debug, Clone, Default)]
pub enum PictureSlot {
    /// No photo chosen.
    #[default]
    Empty,
    /// Being read.
    Loading(Watch),
    /// In memory.
    Ready(Arc<Picture>),
    /// Unreadable; the sentence for the user.
    Failed(String),
}

impl PictureSlot {
    /// The picture, where it is there.
    #[must_use]
    pub fn picture(&self) -> Option<&Arc<Picture>> {
        match self {
            PictureSlot::Ready(picture) => Some(picture),
            _ => None,
        }
    }
}

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

/// What follows from the record; made anew whenever its revision changes.
#[derive(Debug, Clone)]
pub struct Derived {
    /// The record's revision that it belongs to.
    pub revision: u64,
    /// The photos' alignments, obverse and reverse; none where there is no photo.
    pub alignments: [Option<Result<Arc<Alignment>, AlignError>>; 2],
    /// The standing.
    pub standing: Arc<Standing>,
}

/// The open specimen.
pub struct Bench {
    /// Its folder; none in tests that keep nothing.
    pub folder: Option<SharedFolder>,
    /// The set it is compared with.
    pub set: Arc<ReferenceSet>,
    /// The record with its past.
    pub history: History<SpecimenRecord>,
    /// The revision that was last saved.
    pub saved_revision: u64,
    /// The photos, obverse and reverse.
    pub photos: [PictureSlot; 2],
    /// The files that the photos in memory were read from, as the record names them.
    pub photo_files: [Option<String>; 2],
    /// Where the set's plates are read from; none where they are not at hand.
    pub plate_source: Option<SetSource>,
    /// The step in view.
    pub step: Step,
    /// The side in view.
    pub side: Side,
    /// The feature in view, for each side.
    pub feature: [Option<FeatureId>; 2],
    /// The prior that the user chose.
    pub prior: Prior,
    derived: Option<Derived>,
}

/// Names a plate: the side, the die and the plate's number, counted from 0.
pub type PlateKey = (Side, DieId, usize);

/// A side's place in arrays of two.
#[must_use]
pub fn index(side: Side) -> usize {
    match side {
        Side::Obverse => 0,
        Side::Reverse => 1,
    }
}

/// A side's name on the screen.
#[must_use]
pub fn title(side: Side) -> &'static str {
    match side {
        Side::Obverse => "Obverse",
        Side::Reverse => "Reverse",
    }
}

impl Bench {
    /// Opens a record on the bench, its photos still to be read.
    #[must_use]
    pub fn new(folder: Option<SharedFolder>, set: Arc<ReferenceSet>, record: SpecimenRecord) -> Self {
        Self {
            folder,
            set,
            history: History::new(record),
            saved_revision: 0,
            photos: [PictureSlot::Empty, PictureSlot::Empty],
            photo_files: [None, None],
            plate_source: None,
            step: Step::Align,
            side: Side::Obverse,
            feature: [None, None],
            prior: Prior::Equal,
            derived: None,
        }
    }

    /// The record as it is.
    #[must_use]
    pub fn record(&self) -> &SpecimenRecord {
        self.history.now()
    }

    /// Changes the record as one step of undo.
    pub fn edit(&mut self, words: &str, gesture: Option<u64>, change: impl FnOnce(&mut SpecimenRecord)) {
        let label = EditLabel {
            words: words.to_owned(),
            gesture,
        };
        self.history.edit(label, change);
    }

    /// What follows from the record, made anew if it changed.
    pub fn derived(&mut self) -> &Derived {
        let revision = self.history.revision();
        if self.derived.as_ref().is_none_or(|d| d.revision != revision) {
            self.derived = None;
        }
        let (set, record, prior) = (&self.set, self.history.now(), self.prior);
        self.derived.get_or_insert_with(|| Derived {
            revision,
            alignments: Side::BOTH.map(|side| {
                record
                    .photo(side)
                    .map(|photo| flow::align_photo(set, side, photo).map(Arc::new))
            }),
            standing: Arc::new(standing(
                set,
                &record.facts,
                record.weight_g,
                &record.verdicts,
                prior,
            )),
        })
    }

    /// Forgets what was derived, after the prior or the set changed.
    pub fn invalidate(&mut self) {
        self.derived = None;
    }
}
