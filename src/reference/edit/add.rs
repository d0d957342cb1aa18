//! New parts of a set, each with a name of its own that is not taken yet.

use std::collections::BTreeMap;

use crate::geometry::{PicturePoint, SidePoint};
use crate::reference::{
    Die, DieId, FactChoice, FactId, FactQuestion, Feature, FeatureId, Landmark, LandmarkName, Pairing, Plate,
    RarityBand, RarityId, ReferenceSet, Side, SideReference, State, StateId, Zone, ZoneId,
};

/// Where a new feature starts: a careful look is right nineteen times in twenty (common practice, no source).
const FIRST_RELIABILITY: f64 = 0.95;
/// Where the telling detail of a new zone starts, as a share of its shorter side; the author gives the true one.
const FIRST_DETAIL_SHARE: f64 = 0.08;

/// Adds a die with its plates; its name is the side's letter and a number.
pub fn add_die(set: &mut ReferenceSet, side: Side, plates: Vec<Plate>) -> DieId {
    let id = next_die_id(set.side(side), side);
    set.side_mut(side).dies.push(Die {
        id: id.clone(),
        note: String::new(),
        shows: BTreeMap::new(),
        plates,
    });
    id
}

/// The name that the next die of a side gets.
#[must_use]
pub fn next_die_id(dies: &SideReference, side: Side) -> DieId {
    let letter = match side {
        Side::Obverse => "O",
        Side::Reverse => "R",
    };
    DieId(fresh_name(letter, dies.dies.iter().map(|die| die.id.as_str())))
}

/// Adds a landmark at a position on the side, in mm, and places it on a plate at `point`, in px, where the plate is
/// there.
pub fn add_landmark(
    set: &mut ReferenceSet,
    side: Side,
    place_mm: SidePoint,
    (die, plate): (&DieId, usize),
    point: PicturePoint,
) -> LandmarkName {
    let part = set.side_mut(side);
    let taken = part.landmarks.iter().map(|landmark| landmark.name.as_str());
    let name = LandmarkName(fresh_name("landmark ", taken));
    part.landmarks.push(Landmark {
        name: name.clone(),
        place_mm,
        height: None,
        hint: String::new(),
    });
    if let Some(plate) = part.plate_mut(die, plate) {
        plate.landmarks.insert(name.clone(), point);
    }
    name
}

/// Adds a zone about a centre, its width and height in mm.
pub fn add_zone(set: &mut ReferenceSet, side: Side, centre_mm: SidePoint, size_mm: (f64, f64)) -> ZoneId {
    let zones = &mut set.side_mut(side).zones;
    let id = ZoneId(fresh_name("zone ", zones.iter().map(|zone| zone.id.as_str())));
    let detail_mm = size_mm.0.min(size_mm.1) * FIRST_DETAIL_SHARE;
    zones.push(Zone {
        id: id.clone(),
        title: String::new(),
        centre_mm,
        size_mm,
        height: None,
        telling_detail_mm: (detail_mm * 100.0).round().max(1.0) / 100.0,
    });
    id
}

/// Adds a feature of two states that is looked for in a zone.
pub fn add_feature(set: &mut ReferenceSet, side: Side, zone: ZoneId) -> FeatureId {
    let features = &mut set.side_mut(side).features;
    let taken = features.iter().map(|feature| feature.id.as_str());
    let id = FeatureId(fresh_name("feature ", taken));
    features.push(Feature {
        id: id.clone(),
        question: String::new(),
        zone,
        reliability: FIRST_RELIABILITY,
        states: vec![new_state("a"), new_state("b")],
    });
    id
}

/// Adds a state to a feature: its name is the first letter that is free.
pub fn add_state(feature: &mut Feature) {
    let free = |id: &String| feature.states.iter().all(|state| state.id.as_str() != id);
    let id = ('a'..='z').map(String::from).find(free);
    let id = id.unwrap_or_else(|| fresh_name("a", feature.states.iter().map(|state| state.id.as_str())));
    feature.states.push(new_state(&id));
}

fn new_state(id: &str) -> State {
    State {
        id: StateId::from(id),
        words: String::new(),
        stated: None,
    }
}

/// Adds a pairing of two dies that says nothing more of it yet.
pub fn add_pairing(set: &mut ReferenceSet, obverse: DieId, reverse: DieId) {
    set.pairings.push(Pairing {
        catalogue: String::new(),
        obverse,
        reverse,
        facts: BTreeMap::new(),
        rarity: None,
        estimated_known: None,
        note: String::new(),
    });
}

/// Adds a question on a fact; one without an id gets a name of its own.
pub fn add_fact(set: &mut ReferenceSet, id: Option<&str>, question: &str) {
    let taken = set.facts.iter().map(|fact| fact.id.as_str());
    let id = id.map_or_else(|| fresh_name("fact ", taken), str::to_owned);
    set.facts.push(FactQuestion {
        id: FactId(id),
        question: question.to_owned(),
        choices: Vec::new(),
    });
}

/// Adds an answer to a question.
pub fn add_answer(fact: &mut FactQuestion) {
    let taken = fact.choices.iter().map(|choice| choice.value.as_str());
    let value = fresh_name("answer ", taken);
    fact.choices.push(FactChoice {
        value,
        words: String::new(),
    });
}

/// Adds a rarity band.
pub fn add_rarity_band(set: &mut ReferenceSet) {
    let taken = set.rarity_bands.iter().map(|band| band.id.as_str());
    let id = RarityId(fresh_name("band ", taken));
    set.rarity_bands.push(RarityBand {
        id,
        meaning: String::new(),
        at_least: None,
        at_most: None,
    });
}

/// A new name that is not taken yet: `stem 1`, `stem 2` ...
fn fresh_name<'a>(stem: &str, taken: impl Iterator<Item = &'a str> + Clone) -> String {
    (1..)
        .map(|n| format!("{stem}{n}"))
        .find(|name| taken.clone().all(|t| t != name))
        .unwrap_or_else(|| stem.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fresh_names_fill_the_first_gap() {
        assert_eq!(fresh_name("O", ["O1", "O3"].into_iter()), "O2");
        assert_eq!(fresh_name("O", std::iter::empty()), "O1");
    }
}
