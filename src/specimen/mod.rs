//! The specimen: the coin under study, as it is saved. Saving, autosave and the cabinet; never draws.

mod record;

pub use record::{
    CannotTell, FactAnswer, FineShift, MeasureKind, Measurement, Ruling, SeenCrop, SetReference, SidePhoto,
    SpecimenRecord, Verdict,
};
