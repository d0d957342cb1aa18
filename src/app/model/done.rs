//! What comes back from the workers: plain data with the ticket that it was asked for with. Nothing here knows the
//! window, so that a result cannot reach what it is not for.

use std::path::PathBuf;
use std::sync::Arc;

use egui::ColorImage;

use super::bench::PlateKey;
use super::comparing::CompareResult;
use super::other_coin::OtherCoin;
use super::question::Purpose;
use super::set_checks::SideUsefulness;
use super::shelf::ReadPlate;
use super::snapping::Snapping;
use super::ticket::Ticket;
use crate::align::{Rim, Snap, SnapRefused};
use crate::evidence::Prior;
use crate::geometry::PicturePoint;
use crate::photo::Picture;
use crate::pipeline::{AddedPhoto, CabinetEntry, OpenedSpecimen};
use crate::problem::Problem;
use crate::reference::merge::OpenMerge;
use crate::reference::{DieId, Finding, LandmarkName, OpenSet, Plate, ReferenceSet, SavedSet, Side, Sides};
use crate::sheet::{Paper, Sheet};
use crate::specimen::SpecimenRecord;

/// Work that may be sent to another thread.
pub type Job<T> = Box<dyn FnOnce() -> T + Send>;

/// What was asked for, or why there is none.
pub type Outcome<T> = Result<T, Problem>;

/// A result on its way to the window.
pub struct Delivery {
    /// Whom it is for.
    pub ticket: Ticket,
    /// The long work that ends with it.
    pub task: Option<u64>,
    /// What it is.
    pub done: Done,
}

impl Ticket {
    /// A result with this ticket.
    #[must_use]
    pub fn with(self, done: Done) -> Delivery {
        Delivery {
            ticket: self,
            task: None,
            done,
        }
    }
}

/// What pictures taken into a set become.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PlatesFor {
    /// Plates of one die.
    Die(DieId),
    /// A new die each.
    NewDies,
}

/// What a sheet is made of, as far as it can change.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetRequest {
    /// The record's revision.
    pub revision: u64,
    /// The prior in use.
    pub prior: Prior,
    /// The paper.
    pub paper: Paper,
    /// Which photos were in memory.
    pub photos_there: Sides<bool>,
}

/// A sheet with its pages painted.
pub struct MadeSheet {
    /// What it was made of.
    pub request: SheetRequest,
    /// The sheet.
    pub sheet: Arc<Sheet>,
    /// Its pages as pictures; the problem where one could not be painted.
    pub pages: Vec<Outcome<Arc<ColorImage>>>,
}

/// What was done.
pub enum Done {
    /// Nothing that the window has to know.
    Nothing,
    /// The user chose a path, or cancelled.
    Chosen(Purpose, Option<PathBuf>),
    /// The cabinet's list is read.
    Cabinet(Outcome<Vec<CabinetEntry>>),
    /// The small picture of a specimen that had none, by its folder.
    SmallPicture(PathBuf, Option<Arc<image::RgbImage>>),
    /// The demo coin's photos, small.
    DemoPictures(Option<[ColorImage; 2]>),

    /// A specimen is opened or made.
    SpecimenOpened(Outcome<Box<OpenedSpecimen>>),
    /// The record of a revision is saved; with what the user should know of it.
    Saved(u64, Outcome<Option<String>>),
    /// The record as another program changed it since, where one did.
    ChangedElsewhere(Option<Box<SpecimenRecord>>),
    /// The set's text is kept with the specimen.
    SetKept(Outcome<()>),
    /// A photo of the record is read again from the specimen's folder, by its file there.
    PhotoRead(Side, String, Outcome<Arc<Picture>>),
    /// A new photo is copied into the specimen's folder and read.
    PhotoAdded(Side, Outcome<AddedPhoto>),
    /// The rim was looked for in a photo, by its file.
    PhotoRim(Side, String, Outcome<Rim>),
    /// A plate of the specimen's set is read and, where it has landmarks enough, aligned.
    Plate(PlateKey, Outcome<ReadPlate>),
    /// Landmarks were looked for on a photo.
    Snapped(Side, Snapping, Vec<(LandmarkName, Result<Snap, SnapRefused>)>),
    /// Something was found for the Compare page.
    Compared(CompareResult),
    /// The sheet is made for the preview.
    SheetMade(MadeSheet),
    /// The sheet is written to files; none where it was stopped.
    SheetWritten(Option<Outcome<Vec<PathBuf>>>),

    /// The second demo coin lies in the cabinet, in this folder.
    DemoCoinMade(Outcome<PathBuf>),
    /// The other coin is opened.
    OtherOpened(Outcome<Box<OtherCoin>>),
    /// A photo of the other coin is read.
    OtherPhoto(Side, Outcome<Arc<Picture>>),

    /// The set of the specimen being put together is opened; none names the built-in one.
    IntakeSet(Option<PathBuf>, Outcome<OpenSet>),
    /// A photo of the specimen being put together is read.
    IntakePhoto(Side, Outcome<Arc<Picture>>),

    /// A set is opened to be changed, or made.
    SetOpened(Outcome<OpenSet>),
    /// A die of a side was begun in the set from the open specimen.
    DieBegun {
        /// The side.
        side: Side,
        /// The specimen that it was begun from, where it has to use the set's copy from now on.
        for_specimen: Option<Ticket>,
        /// The set with the die.
        begun: Outcome<(OpenSet, DieId)>,
    },
    /// The set of a revision is saved.
    SetSaved(u64, Outcome<SavedSet>),
    /// The set of a revision is checked.
    SetChecked {
        /// The revision.
        revision: u64,
        /// What there is to mend.
        findings: Vec<Finding>,
        /// How well the features of each side tell its dies apart, obverse and reverse.
        usefulness: Sides<SideUsefulness>,
    },
    /// A plate of the set is read, by its file.
    SetPlate(String, Outcome<Arc<Picture>>),
    /// The rim was looked for on a plate, by its file.
    PlateRim(Side, String, Outcome<Rim>),
    /// The landmarks that a plate lacks were looked for.
    RestFound {
        /// The plate.
        plate: PlateKey,
        /// Its file.
        file: String,
        /// The set's revision when they were looked for.
        revision: u64,
        /// Those found, and how many were looked for.
        result: Outcome<(Vec<(LandmarkName, PicturePoint)>, usize)>,
    },
    /// Pictures are copied into the set's folder.
    PlatesCopied {
        /// The side.
        side: Side,
        /// What they become.
        target: PlatesFor,
        /// The plates.
        plates: Vec<Plate>,
        /// Why the others were not taken, each one sentence.
        refused: Vec<String>,
        /// How many there were, where the work was stopped.
        stopped_of: Option<usize>,
    },
    /// An edition of the set is packed in a file; with what the user should know of it.
    Packed(u32, PathBuf, Outcome<Option<String>>),
    /// The set is compared with another copy of it.
    MergeFound(Outcome<OpenMerge>),
    /// The merge is settled and its pictures are brought in.
    MergeSettled(Outcome<ReferenceSet>),
}
