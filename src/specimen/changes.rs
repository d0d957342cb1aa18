//! What a newer edition of a set changes for a specimen that was attributed with an older one.

use std::collections::BTreeSet;

use super::{SpecimenRecord, Spot};
use crate::reference::{ReferenceSet, Side, SideReference};

/// What changed between two editions of a set, as far as it touches the record's facts, verdicts and photos or the
/// dies that they were weighed against. One sentence each, gravest first; empty where nothing does.
#[must_use]
pub fn changes_for(record: &SpecimenRecord, old: &ReferenceSet, new: &ReferenceSet) -> Vec<String> {
    let mut changes = Changes::default();
    if old.id != new.id {
        changes.say(format!(
            "The set \u{201c}{}\u{201d} is not the one that the coin was attributed with (\u{201c}{}\u{201d}).",
            new.title, old.title
        ));
    }
    if (old.measures.diameter_mm - new.measures.diameter_mm).abs() > f64::EPSILON {
        changes.say(format!(
            "The nominal diameter was {} mm and is {} mm now: all scales change with it.",
            old.measures.diameter_mm, new.measures.diameter_mm
        ));
    }
    for side in Side::BOTH {
        let (old_side, new_side) = (old.side(side), new.side(side));
        changes.verdicts(record, side, old_side, new_side);
        changes.landmarks(record, side, old_side, new_side);
        changes.findings(record, side, new_side);
        changes.dies(side, old_side, new_side);
        changes.features(side, old_side, new_side);
    }
    changes.facts(record, old, new);
    changes.pairings(old, new);
    changes.sentences
}

#[derive(Default)]
struct Changes {
    sentences: Vec<String>,
}

impl Changes {
    fn say(&mut self, sentence: String) {
        if !self.sentences.contains(&sentence) {
            self.sentences.push(sentence);
        }
    }

    /// Findings against other coins that lost their zone.
    fn findings(&mut self, record: &SpecimenRecord, side: Side, new: &SideReference) {
        let spots = record
            .comparisons
            .iter()
            .filter(|c| c.side == side)
            .flat_map(|c| &c.findings)
            .map(|f| &f.spot);
        for spot in spots {
            if let Spot::Zone(zone) = spot
                && new.zone(zone).is_none()
            {
                self.say(format!(
                    "What you found against another coin at the {} zone \u{201c}{zone}\u{201d} stands on the sheet \
                     only: the zone is gone.",
                    side.word()
                ));
            }
        }
    }

    /// Verdicts that lost their feature or state, or whose question or zone changed.
    fn verdicts(&mut self, record: &SpecimenRecord, side: Side, old: &SideReference, new: &SideReference) {
        let word = side.word();
        for verdict in record.verdicts.iter().filter(|verdict| verdict.side == side) {
            let (feature, state) = (&verdict.feature, &verdict.state);
            let Some(now) = new.feature(feature) else {
                self.say(format!(
                    "Your verdict on the {word} feature \u{201c}{feature}\u{201d} no longer counts: the feature is gone."
                ));
                continue;
            };
            let Some(state_now) = now.state(state) else {
                self.say(format!(
                    "Your verdict on the state \u{201c}{state}\u{201d} of the {word} feature \u{201c}{feature}\u{201d} no \
                     longer counts: the state is gone."
                ));
                continue;
            };
            let Some(before) = old.feature(feature) else {
                continue;
            };
            if before.question != now.question
                || before
                    .state(state)
                    .is_some_and(|state| state.words != state_now.words)
            {
                self.say(format!(
                    "The words of the {word} feature \u{201c}{feature}\u{201d} changed since your verdict: check that it still \
                     fits."
                ));
            }
            if before.zone != now.zone || old.zone(&before.zone) != new.zone(&now.zone) {
                self.say(format!(
                    "The zone of the {word} feature \u{201c}{feature}\u{201d} changed since your verdict: look at it again."
                ));
            }
            if (before.reliability - now.reliability).abs() > f64::EPSILON {
                self.say(format!(
                    "The {word} feature \u{201c}{feature}\u{201d} now counts as {} reliable, {} before.",
                    now.reliability, before.reliability
                ));
            }
        }
    }

    fn landmarks(&mut self, record: &SpecimenRecord, side: Side, old: &SideReference, new: &SideReference) {
        let Some(photo) = record.photo(side) else { return };
        for name in photo.landmarks.keys() {
            match (old.landmark(name), new.landmark(name)) {
                (_, None) => self.say(format!(
                    "The {} landmark \u{201c}{name}\u{201d} is gone from the set, so yours no longer counts.",
                    side.word()
                )),
                (Some(before), Some(now)) if before.place_mm != now.place_mm => self.say(format!(
                    "The {} landmark \u{201c}{name}\u{201d} moved in the set: the alignment changes.",
                    side.word()
                )),
                _ => {}
            }
        }
    }

    fn dies(&mut self, side: Side, old: &SideReference, new: &SideReference) {
        let word = side.word();
        for die in &old.dies {
            let Some(now) = new.die(&die.id) else {
                self.say(format!("The {word} die {} is gone from the set.", die.id));
                continue;
            };
            let features: BTreeSet<_> = die.shows.keys().chain(now.shows.keys()).collect();
            for feature in features {
                let words = |shown: Option<&crate::reference::StateId>| {
                    shown.map_or_else(
                        || "not said".to_owned(),
                        |state| format!("\u{201c}{state}\u{201d}"),
                    )
                };
                if die.shows.get(feature) != now.shows.get(feature) {
                    self.say(format!(
                        "What the {word} die {} shows of \u{201c}{feature}\u{201d} was {} and is {} now.",
                        die.id,
                        words(die.shows.get(feature)),
                        words(now.shows.get(feature))
                    ));
                }
            }
        }
        for die in new.dies.iter().filter(|die| old.die(&die.id).is_none()) {
            self.say(format!(
                "The {word} die {} is new in the set: compare the coin with it.",
                die.id
            ));
        }
    }

    fn features(&mut self, side: Side, old: &SideReference, new: &SideReference) {
        for feature in new.features.iter().filter(|f| old.feature(&f.id).is_none()) {
            self.say(format!(
                "The {} feature \u{201c}{}\u{201d} is new in the set: it can be judged, too.",
                side.word(),
                feature.id
            ));
        }
    }

    fn facts(&mut self, record: &SpecimenRecord, old: &ReferenceSet, new: &ReferenceSet) {
        for fact in record.facts.keys() {
            if !new.facts.iter().any(|question| &question.id == fact) {
                self.say(format!(
                    "The set no longer asks for \u{201c}{fact}\u{201d}, so your answer no longer counts."
                ));
            }
        }
        for question in &new.facts {
            if !old.facts.iter().any(|before| before.id == question.id) {
                self.say(format!("The set now asks for \u{201c}{}\u{201d}.", question.id));
            }
        }
    }

    /// Pairings are known again by their dies, since catalogue numbers may change.
    fn pairings(&mut self, old: &ReferenceSet, new: &ReferenceSet) {
        let find = |set: &'_ ReferenceSet, like: &crate::reference::Pairing| {
            set.pairings
                .iter()
                .position(|p| p.obverse == like.obverse && p.reverse == like.reverse)
        };
        for before in &old.pairings {
            let Some(now) = find(new, before).and_then(|index| new.pairings.get(index)) else {
                self.say(format!(
                    "The pairing {} ({} with {}) is gone from the set.",
                    before.catalogue, before.obverse, before.reverse
                ));
                continue;
            };
            if before.catalogue != now.catalogue {
                self.say(format!(
                    "The pairing of {} with {} was {} and is {} now.",
                    now.obverse, now.reverse, before.catalogue, now.catalogue
                ));
            }
            if before.rarity != now.rarity {
                let words = |rarity: &Option<crate::reference::RarityId>| {
                    rarity
                        .as_ref()
                        .map_or_else(|| "not said".to_owned(), ToString::to_string)
                };
                self.say(format!(
                    "The rarity of the pairing {} was {} and is {} now.",
                    now.catalogue,
                    words(&before.rarity),
                    words(&now.rarity)
                ));
            }
            if before.facts != now.facts {
                self.say(format!(
                    "The dates or other facts with which the pairing {} is known changed.",
                    now.catalogue
                ));
            }
        }
        for pairing in new.pairings.iter().filter(|pairing| find(old, pairing).is_none()) {
            self.say(format!(
                "The pairing {} ({} with {}) is new in the set.",
                pairing.catalogue, pairing.obverse, pairing.reverse
            ));
        }
    }
}
