//! Everything that a set is checked for: what stands in it, and whether its plates agree.

use std::path::Path;

use super::align_plate;
use crate::align::{Design, MarkFault, Misplaced, Unlike, check_marks, compare_designs};
use crate::photo::{ReadLimits, Watch, read_picture};
use crate::reference::validate::{Finding, Place, Severity, validate};
use crate::reference::{Die, Plate, ReferenceSet, SetSource, Side};

/// How far a check goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// What stands in the set: quick, after every change of it.
    Text,
    /// Every plate's picture too, which are read one after the other.
    Pictures,
}

/// Checks a set; `plates` tells where its pictures are. Errors come first, then warnings, then hints.
#[must_use]
pub fn check_set(set: &ReferenceSet, plates: Option<&SetSource>, depth: Depth) -> Vec<Finding> {
    let mut findings = validate(set, plates);
    for side in Side::BOTH {
        let known = plates_of(set, side);
        let faults = check_marks_of(set, side, &known, &mut findings);
        if let (Some(source), Depth::Pictures) = (plates, depth) {
            // Where marks are wrong the picture is not looked at where it should be.
            let sound = known.iter().zip(&faults).filter(|(_, faults)| faults.is_empty());
            let sound: Vec<_> = sound.map(|(known, _)| *known).collect();
            check_designs_of(set, side, source, &sound, &mut findings);
        }
    }
    findings.sort_by_key(|finding| finding.severity);
    findings
}

/// A plate with its die and its number among the die's, from 0.
type Known<'a> = (&'a Die, usize, &'a Plate);

fn plates_of(set: &ReferenceSet, side: Side) -> Vec<Known<'_>> {
    let dies = set.side(side).dies.iter();
    dies.flat_map(|die| (0..).zip(&die.plates).map(move |(n, plate)| (die, n, plate)))
        .collect()
}

/// Compares the pictures of a side. A plate that cannot be read or aligned is named by other checks.
fn check_designs_of(
    set: &ReferenceSet,
    side: Side,
    source: &SetSource,
    plates: &[Known<'_>],
    findings: &mut Vec<Finding>,
) {
    let radius_mm = set.measures.diameter_mm / 2.0;
    let design = |plate: &Plate| {
        let alignment = align_plate(set, side, plate).ok()?;
        let bytes = source.file_bytes(&plate.file).ok()?;
        let name = Path::new(&plate.file);
        let picture = read_picture(name, &bytes, &ReadLimits::default(), &Watch::default()).ok()?;
        Some(Design::of(&picture, &alignment.picture_from_side, radius_mm))
    };
    let designs: Vec<_> = plates.iter().map(|(_, _, plate)| design(plate)).collect();
    for ((die, index, _), unlike) in plates.iter().zip(compare_designs(&designs)) {
        if let Some(unlike) = unlike {
            findings.push(unlike_finding(Place::Plate(side, die.id.clone(), *index), unlike));
        }
    }
}

fn unlike_finding(place: Place, unlike: Unlike) -> Finding {
    let (sentence, remedy) = match unlike {
        Unlike::Mirrored => (
            "The picture shows the design of the other plates mirrored.",
            "Mirror the picture, and place its landmarks again.",
        ),
        Unlike::UpsideDown => (
            "Where its landmarks put it, the picture shows the design of the other plates upside down.",
            "Place its landmarks again: the picture was turned after they were placed.",
        ),
        Unlike::Other => (
            "Where its landmarks put it, the picture does not show what the other plates of this side do.",
            "Check that the file is the one on which the landmarks were placed, and of this side.",
        ),
    };
    Finding::new(Severity::Error, place, sentence, remedy)
}

/// Compares the landmarks of a side's plates; the faults of each.
fn check_marks_of(
    set: &ReferenceSet,
    side: Side,
    plates: &[Known<'_>],
    findings: &mut Vec<Finding>,
) -> Vec<Vec<MarkFault>> {
    let marks: Vec<_> = plates.iter().map(|(_, _, plate)| &plate.landmarks).collect();
    let faults = check_marks(&set.side(side).landmarks, &set.measures, &marks);
    findings.extend(faults.misplaced.iter().map(|m| misplaced(side, m)));
    for ((die, index, _), faults) in plates.iter().zip(&faults.on_plates) {
        for fault in faults {
            let place = match fault {
                MarkFault::SwappedAxes(name)
                | MarkFault::Exchanged(name, _)
                | MarkFault::Off { name, .. } => {
                    Place::PlateLandmark(side, die.id.clone(), *index, name.clone())
                }
                MarkFault::Mirrored | MarkFault::UpsideDown | MarkFault::NoView => {
                    Place::Plate(side, die.id.clone(), *index)
                }
            };
            findings.push(on_plate_finding(place, fault));
        }
    }
    faults.on_plates
}

fn misplaced(side: Side, found: &Misplaced) -> Finding {
    let place = Place::Landmark(side, found.name.clone());
    if found.swapped {
        return Finding::new(
            Severity::Error,
            place,
            "All plates show the landmark where its x and y, swapped, would put it.",
            "Swap the two numbers of its place in mm.",
        );
    }
    let (x, y) = (found.off_mm.x, found.off_mm.y);
    Finding::new(
        Severity::Error,
        place,
        format!("All plates show the landmark ({x:+.2}, {y:+.2}) mm from where the set has it."),
        "Correct its place on the side, or place it again on the plates.",
    )
}

fn on_plate_finding(place: Place, fault: &MarkFault) -> Finding {
    let (severity, sentence, remedy) = match fault {
        MarkFault::SwappedAxes(_) => (
            Severity::Error,
            "The landmark's x and y are swapped: the other way round it lies where the others put it."
                .to_owned(),
            "Swap the two numbers.",
        ),
        MarkFault::Exchanged(_, other) => (
            Severity::Error,
            format!("It lies where \u{201c}{other}\u{201d} belongs, and that one where this belongs."),
            "Exchange the two.",
        ),
        MarkFault::Off { off_px, .. } => (
            Severity::Error,
            format!("The landmark lies {off_px:.0} px from where the plate's others put it."),
            "Place it again, or take it off the plate.",
        ),
        MarkFault::Mirrored => (
            Severity::Error,
            "The plate's landmarks fit a mirrored coin.".to_owned(),
            "Check whether the picture is mirrored, or x and y are swapped or y counted upwards in all of them.",
        ),
        MarkFault::UpsideDown => (
            Severity::Warning,
            "The plate lies upside down, and the others of its side upright.".to_owned(),
            "Check that the picture was not turned after its landmarks were placed; zones are shown upright either way.",
        ),
        MarkFault::NoView => (
            Severity::Error,
            "The plate's landmarks fit no view of this side.".to_owned(),
            "Check that the picture is of this side and that each name is at its own point.",
        ),
    };
    Finding::new(severity, place, sentence, remedy)
}
