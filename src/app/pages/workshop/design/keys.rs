//! The plate's keys: arrows nudge what is selected, Enter places in the middle of the view.

use egui::{EventFilter, Key, Modifiers, Ui};

use super::actions;
use super::hand::Hand;
use super::plate::plate_id;
use super::state::{DesignState, Tool};
use crate::app::pages::workshop::edits::Edits;
use crate::flow::ZoneGrip;
use crate::geometry::{PictureVector, SideVector};
use crate::reference::{Place, ZoneId, edit};

/// An arrow key's nudge of a landmark, in plate px; of the rim ten times that.
const NUDGE_PX: f64 = 0.1;
/// An arrow key's nudge of a zone, in mm.
const NUDGE_MM: f64 = 0.05;
/// How many times farther a nudge goes with Shift.
const LARGE: f64 = 10.0;
/// The side of a zone that a key makes, in mm; it is then moved and resized.
const FIRST_ZONE_MM: f64 = 3.0;
/// Nudges farther apart than this, in s, are steps of undo of their own.
const ONE_GESTURE_S: f64 = 1.0;

/// A nudge: the direction on the screen, how many steps, and whether it resizes.
struct Nudge {
    right: f64,
    down: f64,
    resizes: bool,
}

/// Answers the keys that no other widget has a claim on.
pub fn keys(ui: &Ui, hand: &Hand<'_>, design: &mut DesignState, edits: &mut Edits) {
    // The arrows nudge and do not walk over the widgets; Tab still does.
    ui.memory_mut(|m| {
        m.set_focus_lock_filter(
            plate_id(),
            EventFilter {
                tab: false,
                horizontal_arrows: true,
                vertical_arrows: true,
                escape: true,
            },
        );
    });
    let focused = ui.memory(|m| m.focused());
    if focused.is_some_and(|id| id != plate_id()) || egui::Popup::is_any_open(ui.ctx()) {
        return;
    }
    for nudge in nudges(ui) {
        let now_s = ui.input(|i| i.time);
        move_selected(hand, design, &nudge, now_s, edits);
    }
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    if pressed(Key::Enter) {
        put_in_the_middle(hand, design, edits);
    }
    if pressed(Key::Escape) {
        match design.tool {
            Tool::Rim => {}
            Tool::Landmarks => design.landmark = None,
            Tool::Zones => design.zone = None,
        }
    }
    if pressed(Key::Delete) || pressed(Key::Backspace) {
        remove_selected(hand, design, edits);
    }
}

fn nudges(ui: &Ui) -> Vec<Nudge> {
    let (plain, shift, alt) = (Modifiers::NONE, Modifiers::SHIFT, Modifiers::ALT);
    let mut nudges = Vec::new();
    ui.input_mut(|i| {
        for (key, right, down) in [
            (Key::ArrowLeft, -1.0, 0.0),
            (Key::ArrowRight, 1.0, 0.0),
            (Key::ArrowUp, 0.0, -1.0),
            (Key::ArrowDown, 0.0, 1.0),
        ] {
            // The most modifiers first: without it the plain key would answer all.
            for (modifiers, times, resizes) in [
                (shift | alt, LARGE, true),
                (alt, 1.0, true),
                (shift, LARGE, false),
                (plain, 1.0, false),
            ] {
                for _ in 0..i.count_and_consume_key(modifiers, key) {
                    nudges.push(Nudge {
                        right: right * times,
                        down: down * times,
                        resizes,
                    });
                }
            }
        }
    });
    nudges
}

fn move_selected(hand: &Hand<'_>, design: &mut DesignState, nudge: &Nudge, now_s: f64, edits: &mut Edits) {
    // The keys mean directions on the screen, whichever way the view is turned.
    let camera = hand.sight.camera;
    let along: PictureVector = camera.picture_shift(nudge.right, nudge.down) * camera.zoom;
    let (plate, side) = (hand.subject.plate(), hand.subject.side);
    match design.tool {
        Tool::Rim => {
            let picture = hand.subject.picture;
            let mut draft = design.draft(&plate.file, picture.width(), picture.height());
            draft.rim.centre += along * (NUDGE_PX * 10.0);
            draft.rim.by_hand = true;
            let gesture = design.nudge_gesture("the rim", now_s, ONE_GESTURE_S);
            edits.rim("moving the rim", gesture, (side, &plate.file), draft);
        }
        Tool::Landmarks => {
            let Some((name, point)) = design
                .landmark
                .clone()
                .and_then(|name| Some((name.clone(), *plate.landmarks.get(&name)?)))
            else {
                return;
            };
            let gesture = design.nudge_gesture(name.as_str(), now_s, ONE_GESTURE_S);
            design.settle(&plate.file, &name);
            actions::move_landmark(hand, design, &name, point + along * NUDGE_PX, gesture, edits);
        }
        Tool::Zones => {
            let zone = design.zone.as_ref().and_then(|id| hand.set.side(side).zone(id));
            let (Some(zone), Some(frame)) = (zone, hand.frame) else {
                return;
            };
            let middle = frame.point_in_picture(zone.centre_mm);
            let towards = frame.point_on_side(middle + along) - zone.centre_mm;
            let steps = nudge.right.abs().max(nudge.down.abs());
            // Along the nearer axis of the side, so that the measures stay round on a plate that lies askew.
            let by = if towards.x.abs() >= towards.y.abs() {
                SideVector::new(towards.x.signum(), 0.0)
            } else {
                SideVector::new(0.0, towards.y.signum())
            } * (steps * NUDGE_MM);
            let grip = if nudge.resizes {
                ZoneGrip { across: 1, down: 1 }
            } else {
                ZoneGrip::WHOLE
            };
            let gesture = design.nudge_gesture(zone.id.as_str(), now_s, ONE_GESTURE_S);
            actions::shape_zone(side, &zone.id, grip.pulled(zone, by), gesture, edits);
        }
    }
}

fn put_in_the_middle(hand: &Hand<'_>, design: &mut DesignState, edits: &mut Edits) {
    let middle = hand.sight.camera.centre;
    match (design.tool, hand.frame) {
        (Tool::Landmarks, _) => hand.put_landmark(design, middle, edits),
        (Tool::Zones, Some(frame)) => {
            let place = frame.point_on_side(middle);
            let half = SideVector::new(FIRST_ZONE_MM, FIRST_ZONE_MM) / 2.0;
            let corners = (
                frame.point_in_picture(place - half),
                frame.point_in_picture(place + half),
            );
            if let Some(made) = actions::new_zone(hand.set, hand.subject.side, frame, corners, edits) {
                design.zone = Some(made);
            }
        }
        _ => {}
    }
}

fn remove_selected(hand: &Hand<'_>, design: &mut DesignState, edits: &mut Edits) {
    let side = hand.subject.side;
    match design.tool {
        Tool::Rim => {}
        Tool::Landmarks => {
            if let Some(name) = design.landmark.clone() {
                actions::take_off(side, hand.subject.key(), name, edits);
            }
        }
        Tool::Zones => {
            // Features go with their zone: that is asked for by the button, which says so, and not by a key.
            let free = |zone: &ZoneId| {
                let features = &hand.set.side(side).features;
                features.iter().all(|feature| feature.zone != *zone)
            };
            if let Some(zone) = design.zone.clone().filter(free) {
                let place = Place::Zone(side, zone);
                edits.step(format!("removing {place}"), move |set| {
                    // It can only fail where the set changed since; it is then as it was.
                    let _ = edit::remove(set, &place);
                });
            }
        }
    }
}
