//! Removing a part, with all that hangs on it.

use super::EditError;
use crate::reference::validate::Place;
use crate::reference::{
    DieId, FactId, FeatureId, LandmarkName, RarityId, ReferenceSet, Side, StateId, ZoneId, named,
};

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
    let told = match place {
        Place::Die(side, id) => die(set, *side, id),
        Place::Feature(side, id) => feature(set, *side, id),
        Place::State(side, feature, id) => state(set, *side, feature, id),
        Place::Zone(side, id) => zone(set, *side, id),
        Place::Landmark(side, id) => landmark(set, *side, id),
        Place::Plate(side, die, number) => plate(set, *side, die, *number),
        Place::PlateLandmark(side, die, number, name) => {
            let plate = set.side_mut(*side).plate_mut(die, *number);
            alone(plate.and_then(|plate| plate.landmarks.remove(name)))
        }
        Place::Shows(side, die, feature) => {
            let die = set.side_mut(*side).die_mut(die);
            alone(die.and_then(|die| die.shows.remove(feature)))
        }
        Place::Fact(id) => fact(set, id),
        Place::RarityBand(id) => rarity_band(set, id),
        Place::Pairing(index, _) => alone((*index < set.pairings.len()).then(|| set.pairings.remove(*index))),
        Place::PriceSlope => alone(set.price_slope.take()),
        Place::Set | Place::Measures | Place::Side(_) => {
            return Err(EditError::Impossible { place: place.clone() });
        }
    };
    told.ok_or_else(|| EditError::NotThere { place: place.clone() })
}

/// Nothing goes with what was removed; none where nothing was.
fn alone<T>(removed: Option<T>) -> Option<Vec<String>> {
    removed.map(|_| Vec::new())
}

/// Takes the first part that `is_it` out of a list.
fn take<T>(parts: &mut Vec<T>, is_it: impl Fn(&T) -> bool) -> Option<T> {
    let index = parts.iter().position(is_it)?;
    Some(parts.remove(index))
}

fn die(set: &mut ReferenceSet, side: Side, id: &DieId) -> Option<Vec<String>> {
    let die = take(&mut set.side_mut(side).dies, |die| &die.id == id)?;
    let mut told = Vec::new();
    if !die.plates.is_empty() {
        told.push(format!(
            "{} of the die {id} no longer named by the set; the files stay.",
            counted(die.plates.len(), "plate is", "plates are")
        ));
    }
    let gone = set.pairings.extract_if(.., |pairing| pairing.die(side) == id);
    told.extend(gone.map(|pairing| format!("The pairing {} goes with the die {id}.", pairing.catalogue)));
    Some(told)
}

fn feature(set: &mut ReferenceSet, side: Side, id: &FeatureId) -> Option<Vec<String>> {
    let part = set.side_mut(side);
    take(&mut part.features, |feature| &feature.id == id)?;
    let shown = part.dies.iter_mut().filter_map(|die| die.shows.remove(id));
    Some(match shown.count() {
        0 => Vec::new(),
        dies => vec![format!(
            "What {} of the {} goes with it.",
            counted(dies, "die shows", "dies show"),
            named("feature", id)
        )],
    })
}

fn state(set: &mut ReferenceSet, side: Side, feature: &FeatureId, id: &StateId) -> Option<Vec<String>> {
    let part = set.side_mut(side);
    take(&mut part.feature_mut(feature)?.states, |state| &state.id == id)?;
    let dies = part
        .dies
        .iter_mut()
        .filter(|die| die.shows.get(feature) == Some(id));
    let told = dies.map(|die| {
        die.shows.remove(feature);
        let (feature, die) = (named("feature", feature), named("die", &die.id));
        format!("The set falls silent on the {feature} for the {die}.")
    });
    Some(told.collect())
}

fn zone(set: &mut ReferenceSet, side: Side, id: &ZoneId) -> Option<Vec<String>> {
    let part = set.side_mut(side);
    take(&mut part.zones, |zone| &zone.id == id)?;
    // A feature without a zone cannot be looked at.
    let features = part.features.iter().filter(|feature| &feature.zone == id);
    let features: Vec<_> = features.map(|feature| feature.id.clone()).collect();
    let mut told = Vec::new();
    for gone in features {
        let (name, zone) = (named("feature", &gone), named("zone", id));
        told.push(format!("The {name} goes with the {zone}."));
        told.extend(feature(set, side, &gone)?);
    }
    Some(told)
}

fn landmark(set: &mut ReferenceSet, side: Side, id: &LandmarkName) -> Option<Vec<String>> {
    let part = set.side_mut(side);
    take(&mut part.landmarks, |landmark| &landmark.name == id)?;
    let plates = part.dies.iter_mut().flat_map(|die| &mut die.plates);
    Some(
        match plates.filter_map(|plate| plate.landmarks.remove(id)).count() {
            0 => Vec::new(),
            plates => vec![format!(
                "The {} goes from {}, whose alignment changes.",
                named("landmark", id),
                counted(plates, "plate", "plates")
            )],
        },
    )
}

fn plate(set: &mut ReferenceSet, side: Side, die: &DieId, number: usize) -> Option<Vec<String>> {
    let plates = &mut set.side_mut(side).die_mut(die)?.plates;
    let plate = (number < plates.len()).then(|| plates.remove(number))?;
    Some(vec![format!(
        "The file {} stays in the set's folder.",
        plate.file
    )])
}

fn fact(set: &mut ReferenceSet, id: &FactId) -> Option<Vec<String>> {
    take(&mut set.facts, |fact| &fact.id == id)?;
    let pairings = set.pairings.iter_mut().filter_map(|pairing| {
        pairing.facts.remove(id)?;
        Some(format!(
            "The pairing {} no longer states {id}.",
            pairing.catalogue
        ))
    });
    Some(pairings.collect())
}

fn rarity_band(set: &mut ReferenceSet, id: &RarityId) -> Option<Vec<String>> {
    take(&mut set.rarity_bands, |band| &band.id == id)?;
    let pairings = set.pairings.iter_mut();
    let pairings = pairings.filter(|pairing| pairing.rarity.as_ref() == Some(id));
    let told = pairings.map(|pairing| {
        pairing.rarity = None;
        format!("The pairing {} has no rarity any more.", pairing.catalogue)
    });
    Some(told.collect())
}

fn counted(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}
