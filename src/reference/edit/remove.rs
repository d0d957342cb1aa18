//! Taking a part out, with all that hangs on it.

use super::EditError;
use crate::reference::validate::Place;
use crate::reference::{ReferenceSet, Side, named};

/// What removing a part would take with it, one sentence each, without changing anything.
///
/// # Errors
/// [`EditError`] where the part is not there or cannot be removed.
pub fn consequences_of_removing(set: &ReferenceSet, place: &Place) -> Result<Vec<String>, EditError> {
    remove(&mut set.clone(), place)
}

/// Removes a part and what hangs on it; gives what went with it, one sentence each.
///
/// # Errors
/// [`EditError`]; the set is then as it was.
pub fn remove(set: &mut ReferenceSet, place: &Place) -> Result<Vec<String>, EditError> {
    let not_there = || EditError::NotThere { place: place.clone() };
    let mut told = Vec::new();
    match place {
        Place::Die(side, id) => {
            let dies = &mut set.side_mut(*side).dies;
            let index = dies.iter().position(|die| &die.id == id).ok_or_else(not_there)?;
            let die = dies.remove(index);
            if !die.plates.is_empty() {
                told.push(format!(
                    "{} of the die {id} no longer named by the set; the files stay.",
                    counted(die.plates.len(), "plate is", "plates are")
                ));
            }
            set.pairings.retain(|pairing| {
                let named = match side {
                    Side::Obverse => &pairing.obverse,
                    Side::Reverse => &pairing.reverse,
                };
                if named == id {
                    told.push(format!(
                        "The pairing {} goes with the die {id}.",
                        pairing.catalogue
                    ));
                }
                named != id
            });
        }
        Place::Feature(side, id) => {
            let side = set.side_mut(*side);
            let index = side
                .features
                .iter()
                .position(|f| &f.id == id)
                .ok_or_else(not_there)?;
            side.features.remove(index);
            let mut dies = 0;
            for die in &mut side.dies {
                dies += usize::from(die.shows.remove(id).is_some());
            }
            if dies > 0 {
                told.push(format!(
                    "What {} of the {} goes with it.",
                    counted(dies, "die shows", "dies show"),
                    named("feature", id)
                ));
            }
        }
        Place::State(side, feature_id, id) => {
            let side = set.side_mut(*side);
            let feature = side
                .features
                .iter_mut()
                .find(|f| &f.id == feature_id)
                .ok_or_else(not_there)?;
            let index = feature
                .states
                .iter()
                .position(|s| &s.id == id)
                .ok_or_else(not_there)?;
            feature.states.remove(index);
            for die in &mut side.dies {
                if die.shows.get(feature_id) == Some(id) {
                    die.shows.remove(feature_id);
                    told.push(format!(
                        "The set falls silent on the {} for the {}.",
                        named("feature", feature_id),
                        named("die", &die.id)
                    ));
                }
            }
        }
        Place::Zone(side, id) => {
            let reference = set.side_mut(*side);
            let index = reference
                .zones
                .iter()
                .position(|z| &z.id == id)
                .ok_or_else(not_there)?;
            reference.zones.remove(index);
            // A feature without a zone cannot be looked at.
            let features: Vec<_> = reference
                .features
                .iter()
                .filter(|feature| &feature.zone == id)
                .map(|feature| feature.id.clone())
                .collect();
            for feature in features {
                told.push(format!(
                    "The {} goes with the {}.",
                    named("feature", &feature),
                    named("zone", id)
                ));
                told.extend(remove(set, &Place::Feature(*side, feature))?);
            }
        }
        Place::Landmark(side, id) => {
            let side = set.side_mut(*side);
            let index = side
                .landmarks
                .iter()
                .position(|l| &l.name == id)
                .ok_or_else(not_there)?;
            side.landmarks.remove(index);
            let mut plates = 0;
            for plate in side.dies.iter_mut().flat_map(|die| &mut die.plates) {
                plates += usize::from(plate.landmarks.remove(id).is_some());
            }
            if plates > 0 {
                told.push(format!(
                    "The {} goes from {}, whose alignment changes.",
                    named("landmark", id),
                    counted(plates, "plate", "plates")
                ));
            }
        }
        Place::Plate(side, die_id, index) => {
            let die = set
                .side_mut(*side)
                .dies
                .iter_mut()
                .find(|d| &d.id == die_id)
                .ok_or_else(not_there)?;
            if *index >= die.plates.len() {
                return Err(not_there());
            }
            let plate = die.plates.remove(*index);
            told.push(format!("The file {} stays in the set's folder.", plate.file));
        }
        Place::PlateLandmark(side, die_id, index, name) => {
            let die = set
                .side_mut(*side)
                .dies
                .iter_mut()
                .find(|d| &d.id == die_id)
                .ok_or_else(not_there)?;
            let plate = die.plates.get_mut(*index).ok_or_else(not_there)?;
            plate.landmarks.remove(name).ok_or_else(not_there)?;
        }
        Place::Shows(side, die_id, feature) => {
            let die = set
                .side_mut(*side)
                .dies
                .iter_mut()
                .find(|d| &d.id == die_id)
                .ok_or_else(not_there)?;
            die.shows.remove(feature).ok_or_else(not_there)?;
        }
        Place::Fact(id) => {
            let index = set
                .facts
                .iter()
                .position(|fact| &fact.id == id)
                .ok_or_else(not_there)?;
            set.facts.remove(index);
            for pairing in &mut set.pairings {
                if pairing.facts.remove(id).is_some() {
                    told.push(format!(
                        "The pairing {} no longer states {id}.",
                        pairing.catalogue
                    ));
                }
            }
        }
        Place::RarityBand(id) => {
            let index = set
                .rarity_bands
                .iter()
                .position(|b| &b.id == id)
                .ok_or_else(not_there)?;
            set.rarity_bands.remove(index);
            for pairing in &mut set.pairings {
                if pairing.rarity.as_ref() == Some(id) {
                    pairing.rarity = None;
                    told.push(format!(
                        "The pairing {} has no rarity any more.",
                        pairing.catalogue
                    ));
                }
            }
        }
        Place::Pairing(index, _) => {
            if *index >= set.pairings.len() {
                return Err(not_there());
            }
            set.pairings.remove(*index);
        }
        Place::PriceSlope => {
            set.price_slope.take().ok_or_else(not_there)?;
        }
        Place::Set | Place::Measures | Place::Side(_) => {
            return Err(EditError::Impossible { place: place.clone() });
        }
    }
    Ok(told)
}

fn counted(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}
