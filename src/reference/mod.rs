//! The reference set: one coinage with its dies, plates, landmarks, zones, features and known pairings. Reads,
//! writes, validates and packs it; never draws.

mod ids;
mod model;

pub use ids::{DieId, FactId, FeatureId, LandmarkName, RarityId, StateId, ZoneId};
pub use model::{
    Die, FactChoice, FactQuestion, Feature, Landmark, Measures, Pairing, Plate, PriceSlope, RarityBand,
    ReferenceSet, Side, SideReference, State, StatedMeasure, Zone,
};
