//! A side's landmarks, zones and features.

use std::collections::BTreeSet;

use super::finding::{Findings, Place};
use super::measures::HIGHEST_RELIEF_MM;
use crate::geometry::SidePoint;
use crate::reference::{Feature, Height, ReferenceSet, Side, StatedMeasure, Zone};

/// How far beyond the rim a landmark or a zone's corner may lie, as a share of the radius: flans are struck wide.
const RIM_ALLOWANCE: f64 = 0.1;
/// Landmarks nearer than this, in mm, are one and the same on any photo.
const SAME_PLACE_MM: f64 = 0.02;

pub(super) fn check(set: &ReferenceSet, side: Side, findings: &mut Findings) {
    let reference = set.side(side);
    let radius = set.measures.diameter_mm / 2.0 * (1.0 + RIM_ALLOWANCE);
    check_landmarks(set, side, radius, findings);
    let mut seen = BTreeSet::new();
    for zone in &reference.zones {
        if !seen.insert(&zone.id) {
            findings.error(
                Place::Zone(side, zone.id.clone()),
                "The zone's name stands twice.",
                "Rename one.",
            );
        }
        check_zone(zone, side, radius, findings);
        if !reference.features.iter().any(|feature| feature.zone == zone.id) {
            findings.hint(
                Place::Zone(side, zone.id.clone()),
                "No feature asks about this zone.",
                "Add a feature, or remove the zone.",
            );
        }
    }
    let mut seen = BTreeSet::new();
    for feature in &reference.features {
        if !seen.insert(&feature.id) {
            findings.error(
                Place::Feature(side, feature.id.clone()),
                "The feature's name stands twice.",
                "Rename one.",
            );
        }
        if reference.zone(&feature.zone).is_none() {
            findings.error(
                Place::Feature(side, feature.id.clone()),
                format!(
                    "It asks about the zone \u{201c}{}\u{201d}, which this side does not have.",
                    feature.zone
                ),
                "Choose one of the side's zones, or draw it.",
            );
        }
        check_feature(feature, side, findings);
    }
}

fn check_landmarks(set: &ReferenceSet, side: Side, radius: f64, findings: &mut Findings) {
    let reference = set.side(side);
    let mut seen = BTreeSet::new();
    for (index, landmark) in reference.landmarks.iter().enumerate() {
        let place = || Place::Landmark(side, landmark.name.clone());
        if landmark.name.as_str().trim().is_empty() {
            findings.error(place(), "A landmark has no name.", "Say in words where it is.");
        }
        if !seen.insert(&landmark.name) {
            findings.error(place(), "The landmark is named twice.", "Rename or remove one.");
        }
        if !within(landmark.place_mm, radius) {
            findings.error(
                place(),
                format!(
                    "The landmark lies outside the coin, at ({}, {}) mm.",
                    landmark.place_mm.x, landmark.place_mm.y
                ),
                "Places are in mm from the rim's centre, x right and y down.",
            );
        }
        check_height(landmark.height, place(), findings);
        if let Some(twin) = reference.landmarks[..index]
            .iter()
            .find(|other| (other.place_mm - landmark.place_mm).length() < SAME_PLACE_MM)
        {
            findings.warning(
                place(),
                format!("It lies at the same place as \u{201c}{}\u{201d}.", twin.name),
                "Remove one, or correct its place.",
            );
        }
    }
    if reference.landmarks.len() < 2 && !reference.dies.is_empty() {
        findings.warning(
            Place::Side(side),
            "The side has fewer than two landmarks, so no picture of it can be aligned.",
            "Add landmarks: points of the design that all dies share, spread over the coin.",
        );
    }
}

/// Whether a place lies in the circle; one that is no number does not.
fn within(place: SidePoint, radius: f64) -> bool {
    let distance = place.to_vector().length();
    distance.is_finite() && distance <= radius
}

fn check_zone(zone: &Zone, side: Side, radius: f64, findings: &mut Findings) {
    let place = || Place::Zone(side, zone.id.clone());
    let (width, height) = zone.size_mm;
    let sized = [width, height].iter().all(|v| v.is_finite() && *v > 0.0);
    if !sized {
        findings.error(
            place(),
            format!("Its size of {width} x {height} mm is not above zero."),
            "Draw it again.",
        );
    }
    let half = (width.abs() / 2.0, height.abs() / 2.0);
    let centre = zone.centre_mm;
    // The nearest and farthest points of the rectangle from the coin's centre.
    let nearest = SidePoint::new(
        (centre.x.abs() - half.0).max(0.0),
        (centre.y.abs() - half.1).max(0.0),
    );
    let farthest = SidePoint::new(centre.x.abs() + half.0, centre.y.abs() + half.1);
    if !centre.is_finite() || !within(nearest, radius) {
        findings.error(
            place(),
            "The zone lies outside the coin.",
            "Draw it again; places are in mm from the rim's centre.",
        );
    } else if !within(farthest, radius) {
        findings.hint(
            place(),
            "A corner of the zone reaches beyond the rim.",
            "That does no harm; make it smaller if it shows nothing there.",
        );
    }
    check_height(zone.height, place(), findings);
    let detail = zone.telling_detail_mm;
    if !(detail.is_finite() && detail > 0.0) {
        findings.error(
            place(),
            "The zone's telling detail is not above zero.",
            "Give the smallest detail that must be seen to tell the states apart, in mm.",
        );
    } else if sized && detail > width.min(height) {
        findings.error(
            place(),
            format!("The zone's telling detail of {detail} mm is larger than the zone."),
            "Give the smallest detail that must be seen, in mm, or enlarge the zone.",
        );
    }
}

fn check_feature(feature: &Feature, side: Side, findings: &mut Findings) {
    let place = || Place::Feature(side, feature.id.clone());
    if feature.id.as_str().trim().is_empty() {
        findings.error(place(), "A feature has no name.", "Give it a short one.");
    }
    if feature.question.trim().is_empty() {
        findings.warning(place(), "The feature asks nothing.", "Put its question in words.");
    }
    if !(feature.reliability > 0.5 && feature.reliability < 1.0) {
        findings.error(
            place(),
            format!(
                "Its reliability of {} does not lie above 0.5 and below 1.",
                feature.reliability
            ),
            "Say how likely a careful verdict on it is right: 0.9 is usual, 1 would mean never wrong.",
        );
    }
    if feature.states.len() < 2 {
        findings.warning(
            place(),
            "The feature has fewer than two states, so it tells nothing apart.",
            "Add the other state, if only in words.",
        );
    }
    let mut seen = BTreeSet::new();
    for state in &feature.states {
        let place = || Place::State(side, feature.id.clone(), state.id.clone());
        if !seen.insert(&state.id) {
            findings.error(place(), "The state's name stands twice.", "Rename one.");
        }
        let (value, tolerance) = match &state.stated {
            Some(
                StatedMeasure::DistanceMm { value, tolerance, .. }
                | StatedMeasure::AngleDeg { value, tolerance, .. },
            ) => (*value, *tolerance),
            None => continue,
        };
        if !(value.is_finite() && tolerance.is_finite() && tolerance > 0.0) {
            findings.error(
                place(),
                "Its stated measure has no tolerance above zero.",
                "Say how far a coin in this state may lie from the value.",
            );
        }
    }
}

/// Below the field lie incuse parts, above it the relief.
fn check_height(height: Option<Height>, place: Place, findings: &mut Findings) {
    let sane =
        |h: Height| h.mm.abs() <= HIGHEST_RELIEF_MM && (0.0..=HIGHEST_RELIEF_MM).contains(&h.deviation_mm);
    if height.is_some_and(|h| !sane(h)) {
        findings.error(
            place,
            format!(
                "The height or its deviation is beyond {HIGHEST_RELIEF_MM} mm, or the deviation below zero."
            ),
            "Give both in mm above the field, or leave the height out.",
        );
    }
}
