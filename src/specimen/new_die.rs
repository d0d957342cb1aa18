//! A die of a set, begun from a specimen that fits none.

use super::{Ruling, SpecimenRecord};
use crate::reference::{Die, DieId, Plate, ReferenceSet, Side};

/// What can go wrong when a die is begun.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NewDieError {
    /// The name is taken.
    #[error("The {} die {die} is already in the set: choose another name.", side.word())]
    NameTaken {
        /// The side.
        side: Side,
        /// The name.
        die: DieId,
    },
    /// The specimen has no photo of that side.
    #[error("The specimen has no {} photo to begin a die from.", side.word())]
    NoPhoto {
        /// The side.
        side: Side,
    },
}

/// Begins a die from a specimen: its photo becomes the first plate, with the landmarks placed on it that the set
/// knows, and the states that the user agreed to become what the die shows. `plate_file` is the path, in the set, that
/// the photo's bytes will have there.
///
/// # Errors
/// [`NewDieError`].
pub fn die_from_specimen(
    set: &ReferenceSet,
    record: &SpecimenRecord,
    side: Side,
    id: DieId,
    plate_file: &str,
) -> Result<Die, NewDieError> {
    let reference = set.side(side);
    if reference.die(&id).is_some() {
        return Err(NewDieError::NameTaken { side, die: id });
    }
    let photo = record.photo(side).ok_or(NewDieError::NoPhoto { side })?;
    let landmarks = photo
        .landmarks
        .iter()
        .filter(|(name, _)| reference.landmark(name).is_some())
        .map(|(name, point)| (name.clone(), *point))
        .collect();
    let shows = record
        .verdicts
        .iter()
        .filter(|verdict| verdict.side == side && verdict.ruling == Ruling::Agrees)
        .filter(|verdict| {
            let feature = reference.feature(&verdict.feature);
            feature.is_some_and(|feature| feature.state(&verdict.state).is_some())
        })
        .map(|verdict| (verdict.feature.clone(), verdict.state.clone()))
        .collect();
    Ok(Die {
        id,
        note: format!("Begun from the specimen \u{201c}{}\u{201d}.", record.title),
        shows,
        plates: vec![Plate {
            file: plate_file.to_owned(),
            landmarks,
            source: format!("Photo of the specimen \u{201c}{}\u{201d}.", record.title),
            rights: String::new(),
        }],
    })
}
