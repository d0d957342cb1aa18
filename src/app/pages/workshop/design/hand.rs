//! What a press, a drag and a click on the plate do, by the tool in hand.

use egui::{CursorIcon, Key, PointerButton, Pos2, Response, Ui};

use super::actions;
use super::plate::Subject;
use super::state::{DesignState, Drag, Tool, ZoneDrag};
use crate::app::pages::align::marks;
use crate::app::pages::workshop::edits::Edits;
use crate::app::widgets::camera::Sight;
use crate::app::widgets::pane::PrimaryDrag;
use crate::flow::ZoneGrip;
use crate::geometry::{PictureFromSide, PicturePoint, PictureVector, SidePoint};
use crate::reference::{ReferenceSet, Zone};

/// How near a press must be to a handle, in points.
const REACH: f32 = 12.0;

/// What the hand works on in this frame.
pub struct Hand<'a> {
    /// The set.
    pub set: &'a ReferenceSet,
    /// The plate in view.
    pub subject: &'a Subject<'a>,
    /// How it is seen.
    pub sight: &'a Sight,
    /// Its transform, where it has one.
    pub frame: Option<&'a PictureFromSide>,
}

impl Hand<'_> {
    /// Follows the pointer; says whether a drag is left for panning.
    pub fn follow(
        &self,
        ui: &Ui,
        design: &mut DesignState,
        response: &Response,
        edits: &mut Edits,
    ) -> PrimaryDrag {
        let pressed = ui
            .input(|i| i.pointer.press_origin())
            .filter(|_| response.drag_started_by(PointerButton::Primary));
        if let Some(origin) = pressed.filter(|_| !ui.input(|i| i.key_down(Key::Space))) {
            design.drag = self.begin(design, origin);
        }
        if response.clicked()
            && let Some(position) = response.interact_pointer_pos()
        {
            match design.tool {
                Tool::Rim => {}
                Tool::Landmarks => self.click_landmark(design, position, edits),
                Tool::Zones => design.zone = self.zone_under(position).map(|zone| zone.id.clone()),
            }
        }
        let Some(drag) = design.drag.clone() else {
            if let Some(position) = response.hover_pos()
                && let Some(cursor) = self.cursor(design, position)
            {
                ui.set_cursor_icon(cursor);
            }
            return PrimaryDrag::Pans;
        };
        let point = response
            .interact_pointer_pos()
            .map(|position| self.sight.picture_point(position));
        if response.dragged_by(PointerButton::Primary) {
            if let Some(point) = point {
                self.carry(design, &drag, point, edits);
            }
            ui.set_cursor_icon(CursorIcon::Crosshair);
        } else {
            if let (Drag::NewZone(corner), Some(point), Some(frame)) = (&drag, point, self.frame)
                && let Some(made) =
                    actions::new_zone(self.set, self.subject.side, frame, (*corner, point), edits)
            {
                design.zone = Some(made);
            }
            design.drag = None;
        }
        PrimaryDrag::IsTaken
    }

    fn begin(&self, design: &mut DesignState, origin: Pos2) -> Option<Drag> {
        match design.tool {
            Tool::Rim => {
                let picture = self.subject.picture;
                let rim = design
                    .draft(&self.subject.plate().file, picture.width(), picture.height())
                    .rim;
                let centre = self.sight.position(rim.centre);
                #[expect(clippy::cast_possible_truncation, reason = "screen coordinates are f32")]
                let radius = (rim.long_px * self.sight.points_per_px()) as f32;
                let distance = centre.distance(origin);
                if distance < REACH {
                    Some(Drag::RimCentre(design.new_gesture()))
                } else if (distance - radius).abs() < REACH {
                    Some(Drag::RimEdge(design.new_gesture()))
                } else {
                    None
                }
            }
            Tool::Landmarks => {
                let placed = self.subject.plate().landmarks.iter();
                let (name, point) = marks::nearest(self.sight, origin, placed)?;
                let name = name.clone();
                design.landmark = Some(name.clone());
                // From the pointer to the mark, so that it does not jump.
                let grip: PictureVector = point - self.sight.picture_point(origin);
                Some(Drag::Landmark(name, design.new_gesture(), grip))
            }
            Tool::Zones => {
                let frame = self.frame?;
                let Some((zone, grip)) = self.grip_under(design, origin) else {
                    return Some(Drag::NewZone(self.sight.picture_point(origin)));
                };
                Some(Drag::Zone(Box::new(ZoneDrag {
                    start: zone.clone(),
                    grip,
                    from: frame.point_on_side(self.sight.picture_point(origin)),
                    gesture: design.new_gesture(),
                })))
            }
        }
    }

    fn carry(&self, design: &mut DesignState, drag: &Drag, point: PicturePoint, edits: &mut Edits) {
        let (picture, file) = (self.subject.picture, &self.subject.plate().file);
        let mut draft = design.draft(file, picture.width(), picture.height());
        let gesture = match drag {
            Drag::RimCentre(gesture) => {
                draft.rim.centre = point;
                *gesture
            }
            Drag::RimEdge(gesture) => {
                let radius = (point - draft.rim.centre).length().max(1.0);
                draft.rim.long_px = radius;
                draft.rim.short_px = radius;
                *gesture
            }
            Drag::Landmark(name, gesture, grip) => {
                design.settle(file, name);
                actions::move_landmark(self, design, name, point + *grip, *gesture, edits);
                return;
            }
            Drag::Zone(drag) => {
                if let Some(frame) = self.frame {
                    let by = frame.point_on_side(point) - drag.from;
                    let measures = drag.grip.pulled(&drag.start, by);
                    actions::shape_zone(self.subject.side, &drag.start.id, measures, drag.gesture, edits);
                }
                return;
            }
            Drag::NewZone(_) => return,
        };
        draft.rim.by_hand = true;
        edits.rim("moving the rim", gesture, (self.subject.side, file), draft);
    }

    fn click_landmark(&self, design: &mut DesignState, position: Pos2, edits: &mut Edits) {
        let placed = &self.subject.plate().landmarks;
        if let Some((name, _)) = marks::nearest(self.sight, position, placed.iter()) {
            design.landmark = Some(name.clone());
            return;
        }
        self.put_landmark(design, self.sight.picture_point(position), edits);
    }

    /// Places the landmark that waits for its place here, or makes a new one.
    pub fn put_landmark(&self, design: &mut DesignState, point: PicturePoint, edits: &mut Edits) {
        let (side, subject) = (self.subject.side, self.subject);
        let placed = &subject.plate().landmarks;
        let part = self.set.side(side);
        let waiting = design
            .landmark
            .clone()
            .filter(|name| part.landmark(name).is_some() && !placed.contains_key(name));
        match waiting {
            Some(name) => {
                // Go on to the next that is missing, so that a plate is done click by click.
                let missing = part.landmarks.iter().map(|l| &l.name);
                design.landmark = missing
                    .filter(|n| **n != name && !placed.contains_key(*n))
                    .map(Clone::clone)
                    .next()
                    .or(Some(name.clone()));
                actions::place(side, subject.key(), vec![(name, point)], edits);
            }
            // A new one needs a frame, from which its place in mm follows.
            None => {
                if let Some(frame) = self.frame {
                    let made = actions::new_landmark(self.set, side, subject.key(), frame, point, edits);
                    design.landmark = Some(made);
                }
            }
        }
    }

    /// The selected zone's grip under a screen position: a handle, or the whole within its outline.
    fn grip_under(&self, design: &DesignState, position: Pos2) -> Option<(&Zone, ZoneGrip)> {
        let zone = self.set.side(self.subject.side).zone(design.zone.as_ref()?)?;
        let at = |grip: ZoneGrip| self.screen(grip.place(zone)).map(|p| p.distance(position));
        let handle = ZoneGrip::OUTLINE
            .into_iter()
            .filter_map(|grip| Some((grip, at(grip)?)))
            .filter(|(_, distance)| *distance < REACH)
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(grip, _)| grip);
        let inside = || marks::in_zone(self.place(position)?, zone).then_some(ZoneGrip::WHOLE);
        // In a zone drawn small on the screen the handles would leave no room to move it by.
        let middle = self.screen(zone.centre_mm)?.distance(position);
        match handle {
            Some(grip) if at(grip)? <= middle => Some((zone, grip)),
            _ => inside().map(|grip| (zone, grip)),
        }
    }

    /// The smallest zone under a screen position.
    fn zone_under(&self, position: Pos2) -> Option<&Zone> {
        let place = self.place(position)?;
        let zones = self.set.side(self.subject.side).zones.iter();
        zones
            .filter(|zone| marks::in_zone(place, zone))
            .min_by(|a, b| (a.size_mm.0 * a.size_mm.1).total_cmp(&(b.size_mm.0 * b.size_mm.1)))
    }

    fn cursor(&self, design: &DesignState, position: Pos2) -> Option<CursorIcon> {
        if design.tool != Tool::Zones {
            return None;
        }
        let (_, grip) = self.grip_under(design, position)?;
        Some(if grip == ZoneGrip::WHOLE {
            CursorIcon::Move
        } else {
            CursorIcon::Grab
        })
    }

    fn place(&self, position: Pos2) -> Option<SidePoint> {
        Some(self.frame?.point_on_side(self.sight.picture_point(position)))
    }

    fn screen(&self, place: SidePoint) -> Option<Pos2> {
        Some(self.sight.position(self.frame?.point_in_picture(place)))
    }
}
