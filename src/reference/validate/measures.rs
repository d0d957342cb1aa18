//! The set's head: names, measures, facts, rarity bands, price slope.

use std::collections::BTreeSet;

use super::finding::{Findings, Place};
use crate::reference::{ReferenceSet, UnlistedShares};

/// Diameters of struck coins and medals in mm; beyond lies a slip of the pen. Common practice, no source.
const USUAL_DIAMETER_MM: std::ops::RangeInclusive<f64> = 4.0..=150.0;

/// Relief of struck coins and medals in mm; beyond lies a slip of the pen. Common practice, no source.
pub(super) const HIGHEST_RELIEF_MM: f64 = 5.0;

pub(super) fn check(set: &ReferenceSet, findings: &mut Findings) {
    if set.id.trim().is_empty() {
        findings.error(
            Place::Set,
            "The set has no id, so a shared copy cannot be known again.",
            "Give it one that will stay the same.",
        );
    }
    if set.title.trim().is_empty() {
        findings.warning(Place::Set, "The set has no title.", "Give it one.");
    }
    check_measures(set, findings);
    check_facts(set, findings);
    check_rarity(set, findings);
    check_slope(set, findings);
    check_unlisted(set, findings);
}

fn check_unlisted(set: &ReferenceSet, findings: &mut Findings) {
    let shares = set.unlisted;
    for (what, share) in [
        ("unlisted pairings", shares.pairing),
        ("unlisted obverse dies", shares.obverse_die),
        ("unlisted reverse dies", shares.reverse_die),
    ] {
        if !(UnlistedShares::LEAST..=UnlistedShares::GREATEST).contains(&share) {
            findings.error(
                Place::Set,
                format!("The share of coins with {what}, {share}, is not one that can be used."),
                format!(
                    "Give a share from {} to {}, or leave it out.",
                    UnlistedShares::LEAST,
                    UnlistedShares::GREATEST
                ),
            );
        }
    }
}

fn check_measures(set: &ReferenceSet, findings: &mut Findings) {
    let measures = &set.measures;
    let diameter = measures.diameter_mm;
    if !(diameter.is_finite() && diameter > 0.0) {
        findings.error(
            Place::Measures,
            format!("The diameter of {diameter} mm is no size of a coin."),
            "Give the nominal diameter in mm.",
        );
    } else if !USUAL_DIAMETER_MM.contains(&diameter) {
        findings.warning(
            Place::Measures,
            format!("The diameter of {diameter} mm is unusual for a coin."),
            "Check that it is given in mm.",
        );
    }
    let relief = measures.relief_mm;
    if relief.is_some_and(|r| !(r.is_finite() && (0.0..=HIGHEST_RELIEF_MM).contains(&r))) {
        findings.error(
            Place::Measures,
            format!("The relief is not between 0 and {HIGHEST_RELIEF_MM} mm."),
            "Give how far the highest relief stands above the field, in mm, or leave it out.",
        );
    }
    if measures.weight_g.is_some_and(|w| !(w.is_finite() && w > 0.0)) {
        findings.error(
            Place::Measures,
            "The weight is not above zero.",
            "Give it in g, or leave it out.",
        );
    }
    if measures
        .weight_tolerance_g
        .is_some_and(|t| !(t.is_finite() && t >= 0.0))
    {
        findings.error(
            Place::Measures,
            "The weight's tolerance is below zero.",
            "Give it in g, or leave it out.",
        );
    }
    if measures.weight_tolerance_g.is_some() && measures.weight_g.is_none() {
        findings.warning(
            Place::Measures,
            "The weight has a tolerance and no value.",
            "Give the nominal weight in g.",
        );
    }
    if measures.die_axis_deg.is_some_and(|a| !(0.0..360.0).contains(&a)) {
        findings.error(
            Place::Measures,
            "The die axis does not lie between 0 and 360 degrees.",
            "Give it in degrees: 0 for medal turn, 180 for coin turn.",
        );
    }
}

fn check_facts(set: &ReferenceSet, findings: &mut Findings) {
    let mut seen = BTreeSet::new();
    for fact in &set.facts {
        let place = || Place::Fact(fact.id.clone());
        if fact.id.as_str().trim().is_empty() {
            findings.error(place(), "A fact has no name.", "Give it a short one.");
        }
        if !seen.insert(&fact.id) {
            findings.error(place(), "The fact stands twice.", "Rename or remove one.");
        }
        if fact.choices.is_empty() {
            findings.warning(
                place(),
                "The fact has no answers to choose from.",
                "Add its choices, or remove it.",
            );
        }
        let mut values = BTreeSet::new();
        for choice in &fact.choices {
            if !values.insert(&choice.value) {
                findings.error(
                    place(),
                    format!("The answer \u{201c}{}\u{201d} stands twice.", choice.value),
                    "Remove one.",
                );
            }
        }
    }
}

fn check_rarity(set: &ReferenceSet, findings: &mut Findings) {
    let mut seen = BTreeSet::new();
    for band in &set.rarity_bands {
        let place = || Place::RarityBand(band.id.clone());
        if !seen.insert(&band.id) {
            findings.error(place(), "The rarity band stands twice.", "Rename or remove one.");
        }
        if let (Some(least), Some(most)) = (band.at_least, band.at_most)
            && least > most
        {
            findings.error(
                place(),
                format!(
                    "At least {least} are thought to exist and at most {most}, which contradict each other."
                ),
                "Exchange or correct the two numbers.",
            );
        }
        if band.meaning.trim().is_empty() {
            findings.warning(
                place(),
                "The rarity band has no meaning in words.",
                "Say how many are thought to exist, and by whom.",
            );
        }
    }
}

fn check_slope(set: &ReferenceSet, findings: &mut Findings) {
    let Some(slope) = &set.price_slope else { return };
    if slope.steps.len() < 2 {
        findings.warning(
            Place::PriceSlope,
            "The price slope has fewer than two grades, so it tells nothing.",
            "Add grades from worst to best, or remove the slope.",
        );
    }
    if slope
        .steps
        .iter()
        .any(|(_, factor)| !(factor.is_finite() && *factor > 0.0))
    {
        findings.error(
            Place::PriceSlope,
            "A multiple of the price is not above zero.",
            "Give each grade its price as a multiple of the first.",
        );
    }
    if slope.steps.windows(2).any(|pair| pair[1].1 < pair[0].1) {
        findings.warning(
            Place::PriceSlope,
            "The price falls from a grade to a better one.",
            "Order the grades from worst to best, or check the multiples.",
        );
    }
    let mut grades = BTreeSet::new();
    if let Some((twice, _)) = slope.steps.iter().find(|(grade, _)| !grades.insert(grade)) {
        findings.error(
            Place::PriceSlope,
            format!("The grade \u{201c}{twice}\u{201d} stands twice."),
            "Remove one.",
        );
    }
    if slope.source.trim().is_empty() {
        findings.hint(
            Place::PriceSlope,
            "The price slope does not say where it comes from.",
            "Name its source.",
        );
    }
}
