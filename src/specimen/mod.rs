//! The specimen: the coin under study, as it is saved. Saving, autosave and the cabinet; never draws.

mod cabinet;
mod changes;
mod comparison;
mod demo;
mod edits;
mod error;
mod folder;
mod landmarks_table;
mod merging;
mod new_die;
mod other_photo;
mod record;
mod saving;
mod set_place;
mod settings;

pub use cabinet::{Cabinet, Entry, default_root};
pub use changes::changes_for;
pub use comparison::{
    Comparison, Conclusion, Difference, Finding, Found, OtherSpecimen, PairMeasurement, PairShift, SeenPair,
    Spot, WhichCoin,
};
pub use demo::{create_demo_specimen, create_worn_demo_specimen};
pub use edits::{ComparisonEdit, Edit, FeatureEdit, GivenVerdict, PhotoEdit, TextField};
pub use error::SpecimenError;
pub use folder::{
    Notice, OpenedSpecimen, PREVIOUS_RECORD_FILE, RECORD_FILE, SET_AS_USED_FILE, SpecimenFolder,
    THUMBNAIL_FILE, parse_specimen, write_specimen,
};
pub use landmarks_table::{
    FieldFault, LandmarksTable, Separator, TableError, parse_landmarks_table, read_landmarks_table,
};
/// The files by which a folder of the user's work is known: a specimen's or a set's.
pub const KEPT_BY: &[&str] = &[
    RECORD_FILE,
    PREVIOUS_RECORD_FILE,
    crate::reference::SET_FILE,
    crate::reference::PREVIOUS_SET_FILE,
];

pub use new_die::{NewDieError, die_from_specimen};
pub use other_photo::OtherPhotoError;
pub use record::{
    CannotTell, FactAnswer, FineShift, MeasureKind, Measurement, Ruling, SeenCrop, SetReference, SidePhoto,
    SpecimenRecord, Verdict,
};
pub use settings::{Settings, Theme, default_settings_file};
