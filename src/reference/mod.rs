//! The reference set: one coinage with its dies, plates, landmarks, zones, features and known pairings. Reads,
//! writes, validates and packs it; never draws.

mod blank;
mod demo;
pub mod edit;
mod error;
mod file;
mod history;
mod ids;
mod limits;
pub mod merge;
mod model;
mod on_disk;
mod open;
pub mod pack;
mod set_files;
mod sides;
pub mod usefulness;
pub mod validate;
mod words;

pub use blank::blank_set;
pub use demo::{DemoCoin, demo_coins, demo_file, demo_landmarks, demo_photo, demo_set};
pub use error::SetError;
pub use file::{
    LockedSet, PREVIOUS_SET_FILE, SET_FILE, parse_set, parse_set_bytes, save_set, take_in_plate, write_set,
};
pub use history::common_base;
pub use ids::{DieId, FactId, FeatureId, LandmarkName, RarityId, StateId, ZoneId};
pub use model::{
    Die, FactChoice, FactQuestion, Feature, Height, Landmark, Measures, Pairing, Plate, PriceSlope,
    RarityBand, ReferenceSet, SideReference, State, StatedMeasure, UnlistedShares, Zone,
};
pub use on_disk::{SavedSet, SetOnDisk};
pub use open::{OpenSet, SetSource, open_set};
pub use set_files::SetFiles;
pub use sides::{Side, Sides};
pub use validate::{Finding, Place, Severity, validate};
pub use words::named;
