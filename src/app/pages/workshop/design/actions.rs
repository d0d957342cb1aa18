//! The edits of the design section.

use super::hand::Hand;
use super::state::DesignState;
use crate::app::pages::workshop::edits::Edits;
use crate::app::pages::workshop::fields::fresh_name;
use crate::flow;
use crate::geometry::{PictureFromSide, PicturePoint, SidePoint};
use crate::reference::{DieId, Landmark, LandmarkName, Plate, ReferenceSet, Side, Zone, ZoneId};

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

/// Moves a landmark on a plate as part of a gesture. A landmark that stands on this plate alone is defined by it, so
/// its place on the side follows, by the plate's transform without it.
pub fn move_landmark(
    hand: &Hand<'_>,
    design: &DesignState,
    name: &LandmarkName,
    to: PicturePoint,
    gesture: u64,
    edits: &mut Edits,
) {
    let (side, plate) = (hand.subject.side, hand.subject.key());
    let here = hand.subject.plate();
    let elsewhere = hand
        .set
        .side(side)
        .dies
        .iter()
        .flat_map(|die| &die.plates)
        .any(|other| other.file != here.file && other.landmarks.contains_key(name));
    let place_mm = if elsewhere {
        None
    } else {
        let mut without = here.clone();
        without.landmarks.remove(name);
        let frame = design.frame(hand.set, side, &without);
        frame.map(|frame| flow::place_at(&frame, to))
    };
    let name = name.clone();
    edits.continued_as("moving the landmark", gesture, move |set| {
        let landmarks = &mut set.side_mut(side).landmarks;
        if let (Some(place_mm), Some(landmark)) = (place_mm, landmarks.iter_mut().find(|l| l.name == name)) {
            landmark.place_mm = place_mm;
        }
        with_plate(set, side, &plate, |plate| {
            plate.landmarks.insert(name, to);
        });
    });
}

/// Takes a landmark off a plate; the side keeps it.
pub fn take_off(side: Side, plate: (DieId, usize), name: LandmarkName, edits: &mut Edits) {
    edits.step("taking the landmark off the plate", move |set| {
        with_plate(set, side, &plate, |plate| {
            plate.landmarks.remove(&name);
        });
    });
}

/// Moves or resizes a zone as part of a gesture: its centre and size.
pub fn shape_zone(
    side: Side,
    zone: &ZoneId,
    (centre_mm, size_mm): (SidePoint, (f64, f64)),
    gesture: u64,
    edits: &mut Edits,
) {
    let id = zone.clone();
    edits.continued_as("the change of the zone", gesture, move |set| {
        if let Some(zone) = set.side_mut(side).zones.iter_mut().find(|z| z.id == id) {
            (zone.centre_mm, zone.size_mm) = (centre_mm, size_mm);
        }
    });
}

/// Makes a zone between two corners on the plate; none where they span less than a zone may, a slip of the hand.
pub fn new_zone(
    set: &ReferenceSet,
    side: Side,
    frame: &PictureFromSide,
    corners: (PicturePoint, PicturePoint),
    edits: &mut Edits,
) -> Option<ZoneId> {
    let (centre_mm, size_mm) = flow::zone_between(frame, corners.0, corners.1);
    let shorter = size_mm.0.min(size_mm.1);
    if shorter < flow::SMALLEST_ZONE_MM {
        return None;
    }
    let id = ZoneId(fresh_name(
        "zone ",
        set.side(side).zones.iter().map(|z| z.id.as_str()),
    ));
    let made = id.clone();
    edits.step("the new zone", move |set| {
        set.side_mut(side).zones.push(Zone {
            id,
            title: String::new(),
            centre_mm,
            size_mm,
            telling_detail_mm: (shorter * FIRST_DETAIL_SHARE * 100.0).round().max(1.0) / 100.0,
        });
    });
    Some(made)
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
