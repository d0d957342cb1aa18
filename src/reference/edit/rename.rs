//! Renaming a part wherever it is named.

use std::collections::BTreeMap;

use super::EditError;
use crate::files::limits;
use crate::reference::validate::Place;
use crate::reference::{ReferenceSet, Side, SideReference};

/// Renames a die, feature, state, zone, landmark, fact, rarity band or pairing (its catalogue number), here and
/// wherever the set refers to it. Specimens that name it keep the old name.
///
/// # Errors
/// [`EditError`]; the set is then as it was.
pub fn rename(set: &mut ReferenceSet, place: &Place, name: &str) -> Result<(), EditError> {
    may_rename(set, place, name)?;
    let name = name.trim();
    let renaming = Renaming { place, name };
    match place {
        Place::Die(side, id) => renaming.die(set, *side, id.as_str()),
        Place::Feature(side, id) => renaming.feature(set.side_mut(*side), id.as_str()),
        Place::State(side, feature, id) => {
            let side = set.side_mut(*side);
            let found = side.features.iter_mut().find(|f| &f.id == feature);
            let states = &mut found.ok_or_else(|| renaming.not_there())?.states;
            renaming.take(states.iter_mut().map(|state| &mut state.id.0), id.as_str())?;
            for shown in side.dies.iter_mut().filter_map(|die| die.shows.get_mut(feature)) {
                renaming.refer(&mut shown.0, id.as_str());
            }
            Ok(())
        }
        Place::Zone(side, id) => {
            let side = set.side_mut(*side);
            renaming.take(side.zones.iter_mut().map(|zone| &mut zone.id.0), id.as_str())?;
            for feature in &mut side.features {
                renaming.refer(&mut feature.zone.0, id.as_str());
            }
            Ok(())
        }
        Place::Landmark(side, id) => {
            let side = set.side_mut(*side);
            renaming.take(
                side.landmarks.iter_mut().map(|landmark| &mut landmark.name.0),
                id.as_str(),
            )?;
            for plate in side.dies.iter_mut().flat_map(|die| &mut die.plates) {
                rename_key(&mut plate.landmarks, id, name.into());
            }
            Ok(())
        }
        Place::Fact(id) => {
            renaming.take(set.facts.iter_mut().map(|fact| &mut fact.id.0), id.as_str())?;
            for pairing in &mut set.pairings {
                rename_key(&mut pairing.facts, id, name.into());
            }
            Ok(())
        }
        Place::RarityBand(id) => {
            renaming.take(
                set.rarity_bands.iter_mut().map(|band| &mut band.id.0),
                id.as_str(),
            )?;
            for rarity in set
                .pairings
                .iter_mut()
                .filter_map(|pairing| pairing.rarity.as_mut())
            {
                renaming.refer(&mut rarity.0, id.as_str());
            }
            Ok(())
        }
        Place::Pairing(index, _) => {
            let pairing = set.pairings.get_mut(*index).ok_or_else(|| renaming.not_there())?;
            name.clone_into(&mut pairing.catalogue);
            Ok(())
        }
        Place::Set => {
            name.clone_into(&mut set.title);
            Ok(())
        }
        _ => Err(EditError::Impossible { place: place.clone() }),
    }
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

    /// Renames among the names of one list, where [`may_rename`] found the old one and the new one free.
    fn take<'n>(&self, mut names: impl Iterator<Item = &'n mut String>, old: &str) -> Result<(), EditError> {
        let found = names.find(|name| name.as_str() == old);
        self.name.clone_into(found.ok_or_else(|| self.not_there())?);
        Ok(())
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

    fn refer(&self, reference: &mut String, old: &str) {
        if reference == old {
            self.name.clone_into(reference);
        }
    }

    fn die(&self, set: &mut ReferenceSet, side: Side, old: &str) -> Result<(), EditError> {
        self.take(set.side_mut(side).dies.iter_mut().map(|die| &mut die.id.0), old)?;
        for pairing in &mut set.pairings {
            let die = match side {
                Side::Obverse => &mut pairing.obverse,
                Side::Reverse => &mut pairing.reverse,
            };
            self.refer(&mut die.0, old);
        }
        Ok(())
    }

    fn feature(&self, side: &mut SideReference, old: &str) -> Result<(), EditError> {
        self.take(side.features.iter_mut().map(|feature| &mut feature.id.0), old)?;
        for die in &mut side.dies {
            rename_key(&mut die.shows, &old.into(), self.name.into());
        }
        Ok(())
    }
}

fn rename_key<K: Ord, V>(map: &mut BTreeMap<K, V>, old: &K, new: K) {
    if let Some(value) = map.remove(old) {
        map.insert(new, value);
    }
}
