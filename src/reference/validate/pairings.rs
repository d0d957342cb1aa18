//! The pairings.

use std::collections::BTreeMap;

use super::finding::{Findings, Place};
use crate::reference::{Pairing, ReferenceSet, Side};

pub(super) fn check(set: &ReferenceSet, findings: &mut Findings) {
    let mut numbers = BTreeMap::new();
    let mut dies = BTreeMap::new();
    for (index, pairing) in set.pairings.iter().enumerate() {
        let place = || Place::Pairing(index, pairing.catalogue.clone());
        if pairing.catalogue.trim().is_empty() {
            findings.warning(
                place(),
                "The pairing has no catalogue number.",
                "Give it one; it is the result that the user reads.",
            );
        } else if numbers.insert(pairing.catalogue.as_str(), index).is_some() {
            findings.warning(
                place(),
                format!(
                    "The catalogue number \u{201c}{}\u{201d} stands twice.",
                    pairing.catalogue
                ),
                "Give each pairing a number of its own.",
            );
        }
        if let Some(first) = dies.insert((&pairing.obverse, &pairing.reverse), index) {
            let first = set.pairings.get(first).map_or("", |p| p.catalogue.as_str());
            findings.warning(
                place(),
                format!(
                    "The dies {} and {} are paired twice, first as \u{201c}{first}\u{201d}.",
                    pairing.obverse, pairing.reverse
                ),
                "Put both in one pairing, with all its dates and mint marks.",
            );
        }
        for (side, die) in [
            (Side::Obverse, &pairing.obverse),
            (Side::Reverse, &pairing.reverse),
        ] {
            if set.side(side).die(die).is_none() {
                findings.error(
                    place(),
                    format!(
                        "The pairing names the {} die \u{201c}{die}\u{201d}, which the set does not have.",
                        side.word()
                    ),
                    "Add the die, or name one that is there.",
                );
            }
        }
        check_facts(set, pairing, &place, findings);
        if let Some(rarity) = &pairing.rarity
            && set.rarity_band(rarity).is_none()
        {
            findings.error(
                place(),
                format!("The pairing's rarity \u{201c}{rarity}\u{201d} has no band that says what it means."),
                "Add the band, or choose one that is there.",
            );
        }
        if pairing
            .estimated_known
            .is_some_and(|n| !(n.is_finite() && n > 0.0))
        {
            findings.error(
                place(),
                "The estimate of how many exist is not above zero.",
                "Give a number above zero, or leave it out.",
            );
        }
    }
}

fn check_facts(set: &ReferenceSet, pairing: &Pairing, place: &dyn Fn() -> Place, findings: &mut Findings) {
    for (fact, values) in &pairing.facts {
        let Some(question) = set.facts.iter().find(|question| &question.id == fact) else {
            findings.error(
                place(),
                format!(
                    "The pairing states the fact \u{201c}{fact}\u{201d}, which the set does not ask for."
                ),
                "Add the fact to the set, or take it out of the pairing.",
            );
            continue;
        };
        if values.is_empty() {
            findings.warning(
                place(),
                format!("The pairing is known with no value of \u{201c}{fact}\u{201d} at all, so no coin can be of it."),
                "Add the values, or take the fact out of the pairing.",
            );
        }
        for value in values {
            if !question.choices.iter().any(|choice| &choice.value == value) {
                findings.error(
                    place(),
                    format!("\u{201c}{value}\u{201d} is not one of the choices of \u{201c}{fact}\u{201d}."),
                    "Add it to the fact's choices, or correct the pairing.",
                );
            }
        }
    }
}
