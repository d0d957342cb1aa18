//! Values of a set's parts that other parts depend on: changed together.

use crate::geometry::{PicturePoint, SidePoint};
use crate::reference::{DieId, FactId, FeatureId, LandmarkName, ReferenceSet, Side, StateId, ZoneId};

/// Says which state a die shows of a feature; none where that is not known.
pub fn set_shown(
    set: &mut ReferenceSet,
    side: Side,
    die: &DieId,
    feature: FeatureId,
    state: Option<StateId>,
) {
    let Some(die) = set.side_mut(side).die_mut(die) else {
        return;
    };
    match state {
        Some(state) => die.shows.insert(feature, state),
        None => die.shows.remove(&feature),
    };
}

/// Changes the value of a question's answer, by their indices; pairings refer to the answer by its value, so they
/// follow.
pub fn set_answer(set: &mut ReferenceSet, fact: usize, answer: usize, value: &str) {
    let Some(fact) = set.facts.get_mut(fact) else {
        return;
    };
    let Some(choice) = fact.choices.get_mut(answer) else {
        return;
    };
    let old = std::mem::replace(&mut choice.value, value.to_owned());
    let known = set
        .pairings
        .iter_mut()
        .filter_map(|pairing| pairing.facts.get_mut(&fact.id));
    for known in known.flatten().filter(|known| **known == old) {
        value.clone_into(known);
    }
}

/// Says whether a pairing is known with an answer to a question. One that is known with none is known with any.
pub fn set_fact(set: &mut ReferenceSet, pairing: usize, fact: &FactId, value: String, is_known: bool) {
    let Some(pairing) = set.pairings.get_mut(pairing) else {
        return;
    };
    let values = pairing.facts.entry(fact.clone()).or_default();
    values.retain(|v| *v != value);
    if is_known {
        values.push(value);
    }
    if values.is_empty() {
        pairing.facts.remove(fact);
    }
}

/// Places a landmark on a plate of a die at `point`, in px. Where `place_mm` is given the landmark's position on the
/// side changes too: one that stands on this plate alone is defined by it.
pub fn move_landmark(
    set: &mut ReferenceSet,
    side: Side,
    (die, plate): (&DieId, usize),
    name: &LandmarkName,
    point: PicturePoint,
    place_mm: Option<SidePoint>,
) {
    let part = set.side_mut(side);
    if let (Some(place_mm), Some(landmark)) = (place_mm, part.landmark_mut(name)) {
        landmark.place_mm = place_mm;
    }
    if let Some(plate) = part.plate_mut(die, plate) {
        plate.landmarks.insert(name.clone(), point);
    }
}

/// Gives a zone its centre and its width and height, in mm.
pub fn shape_zone(set: &mut ReferenceSet, side: Side, zone: &ZoneId, shape_mm: (SidePoint, (f64, f64))) {
    if let Some(zone) = set.side_mut(side).zone_mut(zone) {
        (zone.centre_mm, zone.size_mm) = shape_mm;
    }
}
