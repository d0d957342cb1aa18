//! The plate's keys: arrows nudge what is selected, Enter places in the middle of the view.

use egui::{Key, Ui};

use super::hand::Hand;
use super::plate::plate_id;
use super::state::Tool;
use crate::app::widgets::command::{Command, Help, plain, pressed};
use crate::app::widgets::nudge::{Nudge, nudges};
use crate::app::widgets::pane;
use crate::geometry::{PictureVector, SideVector};
use crate::pipeline::ZoneGrip;
use crate::reference::{Place, edit};

/// An arrow key's nudge of a landmark, in plate px; of the rim ten times that.
const NUDGE_PX: f64 = 0.1;
/// An arrow key's nudge of a zone, in mm.
const NUDGE_MM: f64 = 0.05;
/// The side of a zone that a key makes, in mm; it is then moved and resized.
const FIRST_ZONE_MM: f64 = 3.0;

/// What the plate's keys ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum PlateCommand {
    PutInTheMiddle,
    Remove,
    Deselect,
}

const COMMANDS: &[Command<PlateCommand>] = &[
    Command {
        asks: PlateCommand::PutInTheMiddle,
        words: "Place a landmark, or begin a zone, in the middle of the view",
        keys: &[plain(Key::Enter)],
    },
    Command {
        asks: PlateCommand::Remove,
        words: "Take the landmark off the plate; remove a zone that no feature uses",
        keys: &[plain(Key::Delete), plain(Key::Backspace)],
    },
    Command {
        asks: PlateCommand::Deselect,
        words: "Select nothing",
        keys: &[plain(Key::Escape)],
    },
];

/// The plate's part of the list of keys.
#[must_use]
pub fn help() -> Help {
    Help::new("Reference sets, on a plate")
        .input("Arrow keys", "Move the rim, landmark or zone that is selected")
        .input("Shift with arrow keys", "The same, ten times as far")
        .input("Alt with arrow keys", "Resize the selected zone")
        .commands(COMMANDS)
}

impl Hand<'_> {
    /// Answers the keys that no other widget has a claim on.
    pub fn keys(&mut self, ui: &Ui) {
        if !pane::has_keys(ui, plate_id()) {
            return;
        }
        for nudge in nudges(ui) {
            self.nudge(&nudge, ui.input(|i| i.time));
        }
        for command in pressed(ui.ctx(), COMMANDS, |_| true) {
            match command {
                PlateCommand::PutInTheMiddle => self.put_in_the_middle(),
                PlateCommand::Remove => self.remove_selected(),
                PlateCommand::Deselect => match self.design.tool {
                    Tool::Rim => {}
                    Tool::Landmarks => self.design.landmark = None,
                    Tool::Zones => self.design.zone = None,
                },
            }
        }
    }

    fn nudge(&mut self, nudge: &Nudge, now_s: f64) {
        // The keys mean directions on the screen, whichever way the view is turned.
        let camera = self.sight.camera;
        let along = camera.picture_shift(nudge.right, nudge.down) * camera.zoom;
        match self.design.tool {
            Tool::Rim => {
                let mut rim = self.subject.rim(self.design);
                rim.rim.centre += along * (NUDGE_PX * 10.0);
                rim.rim.by_hand = true;
                let gesture = self.design.gestures.nudge("the rim", now_s);
                self.edits.rim("moving the rim", gesture, self.subject, rim);
            }
            Tool::Landmarks => {
                let Some(name) = self.design.landmark.clone() else {
                    return;
                };
                if let Some(point) = self.subject.plate().landmarks.get(&name) {
                    let gesture = self.design.gestures.nudge(name.as_str(), now_s);
                    self.move_landmark(&name, *point + along * NUDGE_PX, gesture);
                }
            }
            Tool::Zones => self.nudge_zone(nudge, along, now_s),
        }
    }

    fn nudge_zone(&mut self, nudge: &Nudge, along: PictureVector, now_s: f64) {
        let zone = self.design.zone.as_ref();
        let zone = zone.and_then(|id| self.set.side(self.subject.side).zone(id));
        let (Some(zone), Some(frame)) = (zone, self.frame) else {
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
        let gesture = self.design.gestures.nudge(zone.id.as_str(), now_s);
        self.shape_zone(&zone.id, grip.pulled(zone, by), gesture);
    }

    fn put_in_the_middle(&mut self) {
        let middle = self.sight.camera.centre;
        match (self.design.tool, self.frame) {
            (Tool::Landmarks, _) => self.put_landmark(middle),
            (Tool::Zones, Some(frame)) => {
                let place = frame.point_on_side(middle);
                let half = SideVector::new(FIRST_ZONE_MM, FIRST_ZONE_MM) / 2.0;
                self.new_zone((
                    frame.point_in_picture(place - half),
                    frame.point_in_picture(place + half),
                ));
            }
            _ => {}
        }
    }

    fn remove_selected(&mut self) {
        let side = self.subject.side;
        match self.design.tool {
            Tool::Rim => {}
            Tool::Landmarks => {
                if let Some(name) = self.design.landmark.clone() {
                    let (key, words) = (self.subject.key(), "taking the landmark off the plate");
                    self.edits.take_off(key, [name].into(), words);
                }
            }
            Tool::Zones => {
                // Features go with their zone: that is asked for by the button, which says so, and not by a key.
                let place = self.design.zone.clone().map(|zone| Place::Zone(side, zone));
                if let Some(place) = place
                    && edit::consequences_of_removing(self.set, &place).is_ok_and(|more| more.is_empty())
                {
                    self.edits.remove(place);
                }
            }
        }
    }
}
