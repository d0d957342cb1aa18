//! The edits of the design section.

use super::super::edits::Edits;
use super::super::fields::fresh_name;
use crate::flow;
use crate::geometry::{PictureFromSide, PicturePoint};
use crate::reference::{DieId, Landmark, LandmarkName, Plate, ReferenceSet, Side, Zone, ZoneId};

/// The smallest zone that a drag makes, in mm; less is a slip of the hand.
const SMALLEST_ZONE_MM: f64 = 0.2;
/// Where the telling detail of a new zone starts, as a share of its shorter side; the author gives the true one.
const FIRST_DETAIL_SHARE: f64 = 0.08;

/// Makes a landmark where the plate was clicked; its place on the side follows from the plate's frame.
pub fn new_landmark(
    set: &ReferenceSet,
    side: Side,
    plate: (DieId, usize),
    frame: &PictureFromSide,
    at: PicturePoint,
    edits: &mut Edits,
) -> LandmarkName {
    let taken = set.side(side).landmarks.iter().map(|l| l.name.as_str());
    let name = LandmarkName(fresh_name("landmark ", taken));
    let landmark = Landmark {
        name: name.clone(),
        place_mm: flow::place_at(frame, at),
        hint: String::new(),
    };
    let made = name.clone();
    edits.step("the new landmark", move |set| {
        set.side_mut(side).landmarks.push(landmark);
        with_plate(set, side, &plate, |plate| {
            plate.landmarks.insert(made, at);
        });
    });
    name
}

/// Places landmarks on a plate as one step of undo.
pub fn place(
    side: Side,
    plate: (DieId, usize),
    points: Vec<(LandmarkName, PicturePoint)>,
    edits: &mut Edits,
) {
    edits.step("placing on the plate", move |set| {
        with_plate(set, side, &plate, |plate| plate.landmarks.extend(points));
    });
}

/// Moves a landmark on a plate as part of a drag.
pub fn drag_landmark(
    side: Side,
    plate: (DieId, usize),
    name: LandmarkName,
    to: PicturePoint,
    gesture: u64,
    edits: &mut Edits,
) {
    edits.continued_as("moving the landmark", gesture, move |set| {
        with_plate(set, side, &plate, |plate| {
            plate.landmarks.insert(name, to);
        });
    });
}

/// Makes a zone between two corners on the plate.
pub fn new_zone(
    set: &ReferenceSet,
    side: Side,
    frame: &PictureFromSide,
    corners: (PicturePoint, PicturePoint),
    edits: &mut Edits,
) {
    let (centre_mm, size_mm) = flow::zone_between(frame, corners.0, corners.1);
    let shorter = size_mm.0.min(size_mm.1);
    if shorter < SMALLEST_ZONE_MM {
        return;
    }
    let id = ZoneId(fresh_name(
        "zone ",
        set.side(side).zones.iter().map(|z| z.id.as_str()),
    ));
    edits.step("the new zone", move |set| {
        set.side_mut(side).zones.push(Zone {
            id,
            title: String::new(),
            centre_mm,
            size_mm,
            telling_detail_mm: (shorter * FIRST_DETAIL_SHARE * 100.0).round() / 100.0,
        });
    });
}

/// Changes one plate of the set, where it is still there.
pub fn with_plate(
    set: &mut ReferenceSet,
    side: Side,
    plate: &(DieId, usize),
    change: impl FnOnce(&mut Plate),
) {
    let die = set.side_mut(side).dies.iter_mut().find(|d| d.id == plate.0);
    if let Some(plate) = die.and_then(|d| d.plates.get_mut(plate.1)) {
        change(plate);
    }
}
