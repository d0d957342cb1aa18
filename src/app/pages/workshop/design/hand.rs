//! What a press, a drag and a click on the plate do, by the tool in hand.

use egui::{CursorIcon, Key, PointerButton, Pos2, Response, Ui};

use super::plate::Subject;
use super::state::{DesignState, Drag, Tool, ZoneDrag};
use crate::app::pages::workshop::edits::Edits;
use crate::app::widgets::camera::Sight;
use crate::app::widgets::pane::PrimaryDrag;
use crate::app::widgets::picture_marks as marks;
use crate::app::widgets::rim::{RimDrag, dragged, handle_under};
use crate::geometry::{PictureFromSide, PicturePoint, SidePoint};
use crate::pipeline::ZoneGrip;
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
    /// What the section remembers.
    pub design: &'a mut DesignState,
    /// What is asked for.
    pub edits: &'a mut Edits,
}

impl Hand<'_> {
    /// Follows the pointer; says whether a drag is left for panning.
    pub fn follow(&mut self, ui: &Ui, response: &Response) -> PrimaryDrag {
        if response.drag_started_by(PointerButton::Primary)
            && let (Some(origin), false) = ui.input(|i| (i.pointer.press_origin(), i.key_down(Key::Space)))
        {
            self.design.drag = self.begin(origin);
        }
        let position = response.interact_pointer_pos();
        if let Some(position) = position.filter(|_| response.clicked()) {
            match self.design.tool {
                Tool::Rim => {}
                Tool::Landmarks => self.click_landmark(position),
                Tool::Zones => self.design.zone = self.zone_under(position).map(|zone| zone.id.clone()),
            }
        }
        let Some(drag) = self.design.drag.clone() else {
            if let Some(cursor) = response.hover_pos().and_then(|position| self.cursor(position)) {
                ui.set_cursor_icon(cursor);
            }
            return PrimaryDrag::Pans;
        };
        let point = position.map(|position| self.sight.picture_point(position));
        if response.dragged_by(PointerButton::Primary) {
            if let Some(point) = point {
                self.carry(&drag, point);
            }
            ui.set_cursor_icon(CursorIcon::Crosshair);
        } else {
            if let (Drag::NewZone(corner), Some(point)) = (&drag, point) {
                self.new_zone((*corner, point));
            }
            self.design.drag = None;
        }
        PrimaryDrag::IsTaken
    }

    fn begin(&mut self, origin: Pos2) -> Option<Drag> {
        let from = self.sight.picture_point(origin);
        match self.design.tool {
            Tool::Rim => {
                let before = self.subject.rim(self.design).rim;
                let handle = handle_under(&before, self.sight, origin)?;
                let gesture = self.design.gestures.begin();
                Some(Drag::Rim(RimDrag {
                    handle,
                    gesture,
                    before,
                    from,
                }))
            }
            Tool::Landmarks => {
                let placed = self.subject.plate().landmarks.iter();
                let (name, point) = marks::nearest(self.sight, origin, placed)?;
                self.design.landmark = Some(name.clone());
                let gesture = self.design.gestures.begin();
                // From the pointer to the mark, so that it does not jump.
                Some(Drag::Landmark(name.clone(), gesture, point - from))
            }
            Tool::Zones => {
                let frame = self.frame?;
                let Some((zone, grip)) = self.grip_under(origin) else {
                    return Some(Drag::NewZone(from));
                };
                Some(Drag::Zone(Box::new(ZoneDrag {
                    start: zone.clone(),
                    grip,
                    from: frame.point_on_side(from),
                    gesture: self.design.gestures.begin(),
                })))
            }
        }
    }

    fn carry(&mut self, drag: &Drag, point: PicturePoint) {
        match drag {
            Drag::Rim(drag) => {
                let rim = self.subject.rim(self.design).with(dragged(drag, point));
                self.edits.rim("moving the rim", drag.gesture, self.subject, rim);
            }
            Drag::Landmark(name, gesture, grip) => self.move_landmark(name, point + *grip, *gesture),
            Drag::Zone(drag) => {
                if let Some(frame) = self.frame {
                    let by = frame.point_on_side(point) - drag.from;
                    self.shape_zone(&drag.start.id, drag.grip.pulled(&drag.start, by), drag.gesture);
                }
            }
            Drag::NewZone(_) => {}
        }
    }

    fn click_landmark(&mut self, position: Pos2) {
        let placed = self.subject.plate().landmarks.iter();
        match marks::nearest(self.sight, position, placed) {
            Some((name, _)) => self.design.landmark = Some(name.clone()),
            None => self.put_landmark(self.sight.picture_point(position)),
        }
    }

    /// The selected zone's grip under a screen position: a handle, or the whole within its outline.
    fn grip_under(&self, position: Pos2) -> Option<(&Zone, ZoneGrip)> {
        let zone = self
            .set
            .side(self.subject.side)
            .zone(self.design.zone.as_ref()?)?;
        let distance = |place: SidePoint| Some(self.screen(place)?.distance(position));
        let handle = ZoneGrip::OUTLINE
            .into_iter()
            .filter_map(|grip| Some((grip, distance(grip.place(zone))?)))
            .filter(|(_, distance)| *distance < REACH)
            .min_by(|a, b| a.1.total_cmp(&b.1));
        // In a zone drawn small on the screen the handles would leave no room to move it by.
        match handle {
            Some((grip, there)) if there <= distance(zone.centre_mm)? => Some((zone, grip)),
            _ => marks::in_zone(self.place(position)?, zone).then_some((zone, ZoneGrip::WHOLE)),
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

    fn cursor(&self, position: Pos2) -> Option<CursorIcon> {
        match self.design.tool {
            Tool::Zones => Some(match self.grip_under(position)?.1 {
                ZoneGrip::WHOLE => CursorIcon::Move,
                _ => CursorIcon::Grab,
            }),
            _ => None,
        }
    }

    fn place(&self, position: Pos2) -> Option<SidePoint> {
        Some(self.frame?.point_on_side(self.sight.picture_point(position)))
    }

    fn screen(&self, place: SidePoint) -> Option<Pos2> {
        Some(self.sight.position(self.frame?.point_in_picture(place)))
    }
}
