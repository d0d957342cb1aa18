//! How large a set may be.

use std::path::Path;

use super::{ReferenceSet, SetError, Side};
use crate::files::limits::{MOST_NAME_CHARACTERS, MOST_PAIRINGS, MOST_PARTS, MOST_PLATES};

/// Checks counts and lengths of a set just read.
pub(super) fn check(set: &ReferenceSet, file: &Path) -> Result<(), SetError> {
    let limit = Limit { file };
    limit.count("pairings", set.pairings.len(), MOST_PAIRINGS)?;
    limit.count("facts", set.facts.len(), MOST_PARTS)?;
    limit.count("rarity bands", set.rarity_bands.len(), MOST_PARTS)?;
    limit.name("set's id", &set.id)?;
    for fact in &set.facts {
        limit.count("choices of one fact", fact.choices.len(), MOST_PARTS)?;
        limit.name("fact", fact.id.as_str())?;
    }
    for band in &set.rarity_bands {
        limit.name("rarity", band.id.as_str())?;
    }
    for pairing in &set.pairings {
        limit.name("catalogue number", &pairing.catalogue)?;
    }
    for side in Side::BOTH.map(|side| set.side(side)) {
        limit.count("landmarks on one side", side.landmarks.len(), MOST_PARTS)?;
        limit.count("zones on one side", side.zones.len(), MOST_PARTS)?;
        limit.count("features on one side", side.features.len(), MOST_PARTS)?;
        limit.count("dies on one side", side.dies.len(), MOST_PARTS)?;
        for landmark in &side.landmarks {
            limit.name("landmark", landmark.name.as_str())?;
        }
        for zone in &side.zones {
            limit.name("zone", zone.id.as_str())?;
        }
        for feature in &side.features {
            limit.name("feature", feature.id.as_str())?;
            limit.count("states of one feature", feature.states.len(), MOST_PARTS)?;
            for state in &feature.states {
                limit.name("state", state.id.as_str())?;
            }
        }
        for die in &side.dies {
            limit.name("die", die.id.as_str())?;
            limit.count("plates of one die", die.plates.len(), MOST_PLATES)?;
        }
    }
    Ok(())
}

struct Limit<'a> {
    file: &'a Path,
}

impl Limit<'_> {
    fn count(&self, what: &str, found: usize, most: usize) -> Result<(), SetError> {
        if found <= most {
            return Ok(());
        }
        Err(SetError::TooMany {
            file: self.file.to_owned(),
            what: what.to_owned(),
            found,
            most,
        })
    }

    fn name(&self, what: &str, name: &str) -> Result<(), SetError> {
        if name.len() <= MOST_NAME_CHARACTERS || name.chars().count() <= MOST_NAME_CHARACTERS {
            return Ok(());
        }
        Err(SetError::NameTooLong {
            file: self.file.to_owned(),
            what: what.to_owned(),
            start: crate::files::shorten(name),
            most: MOST_NAME_CHARACTERS,
        })
    }
}
