//! The bench: the open specimen with its set, its loaded pictures and what is derived from them. Knows no egui.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use super::done::Outcome;
use super::history::{EditLabel, History};
use super::other_coin::OtherSlot;
use super::store::SharedFolder;
use super::ticket::Ticket;
use crate::align::{AlignError, Alignment};
use crate::evidence::{Prior, Standing, standing};
use crate::flow;
use crate::photo::{Picture, Watch};
use crate::reference::{DieId, FactId, FeatureId, ReferenceSet, SetSource, Side};
use crate::specimen::{Edit, FactAnswer, SidePhoto, SpecimenRecord, Verdict};

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

    /// Stops what is being read.
    pub fn cancel(&self) {
        if let PictureSlot::Loading(watch) = self {
            watch.cancel();
        }
    }
}

impl From<Outcome<Arc<Picture>>> for PictureSlot {
    fn from(read: Outcome<Arc<Picture>>) -> Self {
        match read {
            Ok(picture) => Self::Ready(picture),
            Err(sentence) => Self::Failed(sentence),
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
    /// How far each zone may be off on the photo alone: 95 % radii in mm, in the set's order; empty without an alignment.
    pub zone_radii_mm: [Arc<[f64]>; 2],
    /// The standing.
    pub standing: Arc<Standing>,
}

/// The parts of the record that something is derived from.
struct Sources {
    photos: [Option<SidePhoto>; 2],
    facts: BTreeMap<FactId, FactAnswer>,
    weight_g: Option<f64>,
    verdicts: Vec<Verdict>,
    prior: Prior,
}

impl Sources {
    fn of(record: &SpecimenRecord, prior: Prior) -> Self {
        Self {
            photos: Side::BOTH.map(|side| record.photo(side).cloned()),
            facts: record.facts.clone(),
            weight_g: record.weight_g,
            verdicts: record.verdicts.clone(),
            prior,
        }
    }

    fn same_evidence(&self, other: &Self) -> bool {
        self.facts == other.facts
            && self.weight_g == other.weight_g
            && self.verdicts == other.verdicts
            && self.prior == other.prior
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
    /// The photos, obverse and reverse.
    pub photos: [PictureSlot; 2],
    /// The files that the photos in memory were read from, as the record names them.
    pub photo_files: [Option<String>; 2],
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
    pub feature: [Option<FeatureId>; 2],
    /// The prior that the user chose.
    pub prior: Prior,
    /// What the search for each photo's rim came to, where it found none.
    pub rim_said: [Option<String>; 2],
    /// The photos whose rim was looked for.
    pub rim_asked: [Option<String>; 2],
    derived: Option<(Sources, Derived)>,
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
            photos: [PictureSlot::Empty, PictureSlot::Empty],
            photo_files: [None, None],
            folder_path,
            other: OtherSlot::None,
            plate_source: None,
            step: Step::Align,
            side: Side::Obverse,
            feature: [None, None],
            prior: Prior::Equal,
            rim_said: [None, None],
            rim_asked: [None, None],
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

    /// What follows from the record; only what its change touched is made anew.
    pub fn derived(&mut self) -> &Derived {
        let revision = self.history.revision();
        let old = match self.derived.take() {
            Some((sources, derived)) if derived.revision == revision => {
                return &self.derived.insert((sources, derived)).1;
            }
            old => old,
        };
        let (set, record) = (&self.set, self.history.now());
        let sources = Sources::of(record, self.prior);
        let alignments = Side::BOTH.map(|side| {
            let photo = record.photo(side)?;
            let kept = old
                .as_ref()
                .filter(|(before, _)| before.photos[index(side)].as_ref() == Some(photo))
                .and_then(|(_, derived)| derived.alignments[index(side)].clone());
            Some(kept.unwrap_or_else(|| flow::align_photo(set, side, photo).map(Arc::new)))
        });
        let zone_radii_mm = Side::BOTH.map(|side| match &alignments[index(side)] {
            Some(Ok(alignment)) => {
                let same = |d: &Derived| matches!(&d.alignments[index(side)], Some(Ok(a)) if Arc::ptr_eq(a, alignment));
                match old.as_ref().filter(|(_, derived)| same(derived)) {
                    Some((_, derived)) => Arc::clone(&derived.zone_radii_mm[index(side)]),
                    None => set
                        .side(side)
                        .zones
                        .iter()
                        .map(|zone| flow::zone_uncertainty(alignment, None, zone).radius95_mm)
                        .collect(),
                }
            }
            _ => Arc::default(),
        });
        let kept = old.as_ref().filter(|(before, _)| before.same_evidence(&sources));
        let standing = match kept {
            Some((_, derived)) => Arc::clone(&derived.standing),
            None => Arc::new(standing(
                set,
                &record.facts,
                record.weight_g,
                &record.verdicts,
                self.prior,
            )),
        };
        let derived = Derived {
            revision,
            alignments,
            zone_radii_mm,
            standing,
        };
        &self.derived.insert((sources, derived)).1
    }

    /// Forgets what was derived, after the prior or the set changed.
    pub fn invalidate(&mut self) {
        self.derived = None;
    }
}
