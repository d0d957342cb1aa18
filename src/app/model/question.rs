//! What the user is asked to choose a path for, and what is then done with it.

use super::ticket::Subject;
use crate::reference::{DieId, Side};

/// What the user is asked to choose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ask {
    /// A photo to read.
    Photo,
    /// A specimen's folder.
    SpecimenFolder,
    /// A reference set's folder.
    SetFolder,
    /// A reference set packed in one file.
    PackedSet,
    /// A folder to hold the cabinet.
    CabinetFolder,
    /// Where to write the sheet, as PDF or PNG.
    SheetFile,
    /// Where to write a packed set.
    PackFile,
}

/// What a chosen path is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    /// The specimen to open.
    OpenSpecimen,
    /// The other coin to compare with.
    CompareWith,
    /// The photo of a side of the open specimen.
    Photo(Side),
    /// Where the sheet is written.
    Sheet,
    /// The cabinet's folder.
    Cabinet,
    /// The set of the specimen being put together.
    IntakeSet,
    /// The photo of a side of the specimen being put together.
    IntakePhoto(Side),
    /// The set to open in the workshop.
    OpenSet,
    /// The first plate of a new die of a side.
    NewDie(Side),
    /// A plate of a die.
    Plate(Side, DieId),
    /// Where the set in the workshop is packed.
    Pack,
    /// The copy to merge into the set in the workshop.
    Merge,
}

impl Purpose {
    /// What must still be open for the path to be of use.
    #[must_use]
    pub fn subject(&self) -> Subject {
        match self {
            Self::OpenSpecimen | Self::Cabinet | Self::OpenSet => Subject::Window,
            Self::CompareWith | Self::Photo(_) | Self::Sheet => Subject::Specimen,
            Self::IntakeSet | Self::IntakePhoto(_) => Subject::Intake,
            Self::NewDie(_) | Self::Plate(..) | Self::Pack | Self::Merge => Subject::Set,
        }
    }
}
