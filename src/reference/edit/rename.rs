//! Renaming a part wherever it is named.

use std::collections::BTreeMap;

use super::EditError;
use crate::files::limits;
use crate::reference::ReferenceSet;
use crate::reference::validate::Place;

/// Renames a die, feature, state, zone, landmark, fact, rarity band or pairing (its catalogue number), here and
/// wherever the set refers to it. Specimens that name it keep the old name.
///
/// # Errors
/// [`EditError`]; the set is then as it was.
pub fn rename(set: &mut ReferenceSet, place: &Place, name: &str) -> Result<(), EditError> {
    may_rename(set, place, name)?;
    let name = name.trim();
    let named = match place {
        Place::Die(side, id) => {
            for die in set.pairings.iter_mut().map(|pairing| pairing.die_mut(*side)) {
                refer(die, id, name);
            }
            set.side_mut(*side).die_mut(id).map(|die| &mut die.id.0)
        }
        Place::Feature(side, id) => {
            let part = set.side_mut(*side);
            for die in &mut part.dies {
                rename_key(&mut die.shows, id, name);
            }
            part.feature_mut(id).map(|feature| &mut feature.id.0)
        }
        Place::State(side, feature, id) => {
            let part = set.side_mut(*side);
            for shown in part.dies.iter_mut().filter_map(|die| die.shows.get_mut(feature)) {
                refer(shown, id, name);
            }
            let states = part.feature_mut(feature).map(|feature| &mut feature.states);
            let state = states.and_then(|states| states.iter_mut().find(|state| &state.id == id));
            state.map(|state| &mut state.id.0)
        }
        Place::Zone(side, id) => {
            let part = set.side_mut(*side);
            for feature in &mut part.features {
                refer(&mut feature.zone, id, name);
            }
            part.zone_mut(id).map(|zone| &mut zone.id.0)
        }
        Place::Landmark(side, id) => {
            let part = set.side_mut(*side);
            for plate in part.dies.iter_mut().flat_map(|die| &mut die.plates) {
                rename_key(&mut plate.landmarks, id, name);
            }
            part.landmark_mut(id).map(|landmark| &mut landmark.name.0)
        }
        Place::Fact(id) => {
            for pairing in &mut set.pairings {
                rename_key(&mut pairing.facts, id, name);
            }
            let fact = set.facts.iter_mut().find(|fact| &fact.id == id);
            fact.map(|fact| &mut fact.id.0)
        }
        Place::RarityBand(id) => {
            for rarity in set
                .pairings
                .iter_mut()
                .filter_map(|pairing| pairing.rarity.as_mut())
            {
                refer(rarity, id, name);
            }
            let band = set.rarity_bands.iter_mut().find(|band| &band.id == id);
            band.map(|band| &mut band.id.0)
        }
        Place::Pairing(index, _) => set.pairings.get_mut(*index).map(|pairing| &mut pairing.catalogue),
        Place::Set => Some(&mut set.title),
        _ => None,
    };
    let named = named.ok_or_else(|| EditError::NotThere { place: place.clone() })?;
    name.clone_into(named);
    Ok(())
}

/// Whether [`rename`] would do it, without a copy of the set: asked at every letter of a name being typed.
///
/// # Errors
/// What [`rename`] would refuse.
pub fn may_rename(set: &ReferenceSet, place: &Place, name: &str) -> Result<(), EditError> {
    let name = name.trim();
    if name.is_empty() || name.chars().count() > limits::MOST_NAME_CHARACTERS {
        return Err(EditError::BadName);
    }
    let renaming = Renaming { place, name };
    match place {
        Place::Die(side, id) => renaming.may_take(
            set.side(*side).dies.iter().map(|die| die.id.as_str()),
            id.as_str(),
        ),
        Place::Feature(side, id) => {
            let features = set.side(*side).features.iter();
            renaming.may_take(features.map(|feature| feature.id.as_str()), id.as_str())
        }
        Place::State(side, feature, id) => {
            let feature = set.side(*side).feature(feature);
            let states = feature.ok_or_else(|| renaming.not_there())?.states.iter();
            renaming.may_take(states.map(|state| state.id.as_str()), id.as_str())
        }
        Place::Zone(side, id) => renaming.may_take(
            set.side(*side).zones.iter().map(|zone| zone.id.as_str()),
            id.as_str(),
        ),
        Place::Landmark(side, id) => {
            let landmarks = set.side(*side).landmarks.iter();
            renaming.may_take(landmarks.map(|landmark| landmark.name.as_str()), id.as_str())
        }
        Place::Fact(id) => renaming.may_take(set.facts.iter().map(|fact| fact.id.as_str()), id.as_str()),
        Place::RarityBand(id) => {
            renaming.may_take(set.rarity_bands.iter().map(|band| band.id.as_str()), id.as_str())
        }
        Place::Pairing(index, _) => {
            let others = set.pairings.iter().enumerate().filter(|(i, _)| i != index);
            if set.pairings.get(*index).is_none() {
                return Err(renaming.not_there());
            }
            if others.map(|(_, pairing)| &pairing.catalogue).any(|c| c == name) {
                return Err(renaming.taken());
            }
            Ok(())
        }
        Place::Set => Ok(()),
        _ => Err(EditError::Impossible { place: place.clone() }),
    }
}

struct Renaming<'a> {
    place: &'a Place,
    name: &'a str,
}

impl Renaming<'_> {
    fn not_there(&self) -> EditError {
        EditError::NotThere {
            place: self.place.clone(),
        }
    }

    fn taken(&self) -> EditError {
        EditError::NameTaken {
            name: self.name.to_owned(),
        }
    }

    /// Whether the old name is in a list and the new one is free there.
    fn may_take<'n>(&self, names: impl Iterator<Item = &'n str>, old: &str) -> Result<(), EditError> {
        let mut is_there = false;
        for name in names {
            is_there |= name == old;
            if name == self.name && name != old {
                return Err(self.taken());
            }
        }
        if is_there { Ok(()) } else { Err(self.not_there()) }
    }
}

/// Has a reference to a part follow its new name.
fn refer<T: PartialEq + for<'n> From<&'n str>>(reference: &mut T, old: &T, new: &str) {
    if reference == old {
        *reference = new.into();
    }
}

fn rename_key<K: Ord + for<'n> From<&'n str>, V>(map: &mut BTreeMap<K, V>, old: &K, new: &str) {
    if let Some(value) = map.remove(old) {
        map.insert(new.into(), value);
    }
}
