//! Giving and taking back verdicts: changes of the record. Knows no egui.

use crate::crop::CropFrame;
use crate::geometry::PictureFromSide;
use crate::reference::{DieId, FeatureId, Side, StateId};
use crate::specimen::{CannotTell, Ruling, SeenCrop, SpecimenRecord, Verdict};

/// A verdict for each of some states of one feature, given at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Rulings {
    /// The side.
    pub side: Side,
    /// The feature.
    pub feature: FeatureId,
    /// The states with what is ruled and the crop seen for each.
    pub states: Vec<(StateId, Ruling, Option<SeenCrop>)>,
}

impl Rulings {
    /// Writes them into the record; an earlier note on a state stays.
    pub fn give(self, record: &mut SpecimenRecord) {
        for (state, ruling, seen) in self.states {
            let earlier = record
                .verdicts
                .iter_mut()
                .find(|v| v.side == self.side && v.feature == self.feature && v.state == state);
            match earlier {
                Some(verdict) => {
                    verdict.ruling = ruling;
                    verdict.seen = seen;
                }
                None => record.verdicts.push(Verdict {
                    side: self.side,
                    feature: self.feature.clone(),
                    state,
                    ruling,
                    note: String::new(),
                    seen,
                }),
            }
        }
    }
}

/// Takes the verdict on a state back.
pub fn take_back(record: &mut SpecimenRecord, side: Side, feature: &FeatureId, state: &StateId) {
    record
        .verdicts
        .retain(|v| !(v.side == side && v.feature == *feature && v.state == *state));
}

/// Sets the note of the verdict on a state.
pub fn set_note(record: &mut SpecimenRecord, side: Side, feature: &FeatureId, state: &StateId, note: String) {
    let verdict = record
        .verdicts
        .iter_mut()
        .find(|v| v.side == side && v.feature == *feature && v.state == *state);
    if let Some(verdict) = verdict {
        verdict.note = note;
    }
}

/// A transform by rows, as a record keeps it.
#[must_use]
pub fn matrix_rows(photo_from_side: &PictureFromSide) -> [f64; 9] {
    let m = photo_from_side.matrix();
    let mut rows = [0.0; 9];
    for (place, value) in rows.iter_mut().enumerate() {
        *value = m[(place / 3, place % 3)];
    }
    rows
}

/// The crop on the screen, to keep with a verdict.
#[must_use]
pub fn seen_crop(
    plate: Option<(DieId, usize)>,
    photo_from_side: &PictureFromSide,
    frame: &CropFrame,
    uncertainty_mm: f64,
    light_evened: f32,
) -> SeenCrop {
    SeenCrop {
        plate,
        photo_from_side: matrix_rows(photo_from_side),
        centre_mm: frame.centre,
        size_mm: frame.size_mm(),
        px_per_mm: frame.px_per_mm,
        uncertainty_mm,
        light_evened: f64::from(light_evened),
    }
}

/// The reason after `why` in the order offered, round again.
#[must_use]
pub fn next_reason(why: CannotTell) -> CannotTell {
    let place = CannotTell::ALL.iter().position(|w| *w == why).unwrap_or(0);
    CannotTell::ALL[(place + 1) % CannotTell::ALL.len()]
}
