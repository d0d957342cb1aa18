//! The plate under pan and zoom with the rim, landmarks and zones drawn on it.

use std::sync::Arc;

use egui::{Align2, Color32, CursorIcon, DragValue, Panel, PointerButton, Pos2, Role, Sense, Ui, WidgetInfo};

use super::super::edits::{Edits, WorkshopAction};
use super::actions;
use super::state::{DesignState, Drag, Tool};
use crate::app::camera::Sight;
use crate::app::canvas::{Canvases, Shown, Treatment};
use crate::app::theme::{Palette, palette};
use crate::app::view::align::marks::{self, MarkKind};
use crate::app::view::paint;
use crate::app::view::pane::{FitTo, PrimaryDrag};
use crate::flow;
use crate::geometry::{PictureFromSide, PicturePoint, SidePoint, SideVector};
use crate::photo::Picture;
use crate::reference::{Die, Plate, ReferenceSet, Side};

/// The plate that is drawn on.
pub struct Subject<'a> {
    /// Its side.
    pub side: Side,
    /// Its die.
    pub die: &'a Die,
    /// Its number among the die's plates, from 0.
    pub number: usize,
    /// Its picture.
    pub picture: &'a Arc<Picture>,
}

impl Subject<'_> {
    fn plate(&self) -> &Plate {
        &self.die.plates[self.number]
    }

    fn key(&self) -> (crate::reference::DieId, usize) {
        (self.die.id.clone(), self.number)
    }
}

/// Draws the tools and the plate.
pub fn plate_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    design: &mut DesignState,
    canvases: &mut Canvases,
    subject: &Subject<'_>,
    edits: &mut Edits,
) {
    let frame = design.frame(set, subject.side, subject.plate());
    Panel::top("design tools").show(ui, |ui| tools_ui(ui, set, design, subject, frame.as_ref(), edits));
    let p = palette(ui);
    let rect = ui.available_rect_before_wrap();
    ui.advance_cursor_after_rect(rect);
    ui.painter().rect_filled(rect, 0.0, p.well);
    let response = ui.interact(rect, ui.scope_id().with("plate"), Sense::click_and_drag());
    response
        .widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Plate of die {}", subject.die.id)));
    let picture = subject.picture;
    let view = design.views.entry(subject.plate().file.clone()).or_default();
    let sight = view.sight(ui, rect, FitTo::whole(picture));
    let primary = follow_drag(ui, set, design, subject, &response, &sight, frame.as_ref(), edits);
    let view = design.views.entry(subject.plate().file.clone()).or_default();
    let sight = view.navigate(ui, &response, sight, primary);
    design.sight = Some(sight);
    canvases.show(
        ui,
        rect,
        &format!("workshop/{}", subject.plate().file),
        Shown {
            picture: Arc::clone(picture),
            picture_from_canvas: sight.picture_from_canvas(),
            size_px: sight.size_px(),
            treatment: Treatment::default(),
        },
    );
    paint_ui(ui, &p, set, design, subject, &sight, frame.as_ref());
}

fn tools_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    design: &mut DesignState,
    subject: &Subject<'_>,
    frame: Option<&PictureFromSide>,
    edits: &mut Edits,
) {
    ui.horizontal_wrapped(|ui| {
        for tool in Tool::ALL {
            if ui.selectable_label(design.tool == tool, tool.words()).clicked() {
                design.tool = tool;
            }
        }
        ui.separator();
        let (picture, file) = (subject.picture, &subject.plate().file);
        match design.tool {
            Tool::Rim => {
                let mut draft = design.draft(file, picture.width(), picture.height());
                if ui.button("Find the rim").clicked() {
                    edits.ask(WorkshopAction::FindRim(
                        subject.side,
                        file.clone(),
                        Arc::clone(picture),
                    ));
                }
                let label = ui.label("Turned clockwise by");
                let turn = DragValue::new(&mut draft.turn_deg)
                    .suffix("°")
                    .speed(0.1)
                    .fixed_decimals(1)
                    .range(-180.0..=180.0);
                if ui.add(turn).labelled_by(label.id).changed() {
                    design.drafts.insert(file.clone(), draft);
                }
            }
            Tool::Landmarks => {
                let missing = frame.map(|frame| {
                    flow::proposed_landmarks(
                        set.side(subject.side),
                        &subject.plate().landmarks,
                        frame,
                        picture.width(),
                        picture.height(),
                    )
                });
                let words = "Place two landmarks by hand first; the rest can then be proposed.";
                let rest = missing.filter(|m| !m.is_empty() && subject.plate().landmarks.len() >= 2);
                let button = ui.add_enabled(rest.is_some(), egui::Button::new("Place the rest"));
                if let (true, Some(rest)) = (button.on_disabled_hover_text(words).clicked(), rest) {
                    actions::place(subject.side, subject.key(), rest, edits);
                }
            }
            Tool::Zones => {}
        }
        if ui.button("Fit").on_hover_text("Show the whole plate").clicked()
            && let Some(view) = design.views.get_mut(file)
        {
            view.fit();
        }
    });
    let begun = !set.side(subject.side).landmarks.is_empty();
    let guidance = if frame.is_none() && design.tool == Tool::Landmarks && begun {
        "Choose a landmark at the left and click where it is on this plate; after two the rest can be proposed."
    } else if frame.is_none() && design.tool != Tool::Rim {
        "Mark the rim first, so that a place on the plate has a measure in mm."
    } else {
        design.tool.guidance()
    };
    ui.weak(guidance);
}

#[expect(
    clippy::too_many_arguments,
    reason = "one gesture touches all that the section shows"
)]
fn follow_drag(
    ui: &Ui,
    set: &ReferenceSet,
    design: &mut DesignState,
    subject: &Subject<'_>,
    response: &egui::Response,
    sight: &Sight,
    frame: Option<&PictureFromSide>,
    edits: &mut Edits,
) -> PrimaryDrag {
    let pressed = ui
        .input(|i| i.pointer.press_origin())
        .filter(|_| response.drag_started_by(PointerButton::Primary));
    if let Some(origin) = pressed.filter(|_| !ui.input(|i| i.key_down(egui::Key::Space))) {
        design.drag = begin_drag(design, subject, sight, origin, frame);
    }
    if response.clicked()
        && design.tool == Tool::Landmarks
        && let Some(position) = response.interact_pointer_pos()
    {
        click_landmark(set, design, subject, sight, position, frame, edits);
    }
    let Some(drag) = design.drag.clone() else {
        return PrimaryDrag::Pans;
    };
    let point = response
        .interact_pointer_pos()
        .map(|position| sight.picture_point(position));
    if response.dragged_by(PointerButton::Primary) {
        if let Some(point) = point {
            carry_drag(design, subject, &drag, point, edits);
        }
        ui.set_cursor_icon(CursorIcon::Crosshair);
    } else {
        if let (Drag::Zone(corner), Some(point), Some(frame)) = (&drag, point, frame) {
            actions::new_zone(set, subject.side, frame, (*corner, point), edits);
        }
        design.drag = None;
    }
    PrimaryDrag::IsTaken
}

fn begin_drag(
    design: &mut DesignState,
    subject: &Subject<'_>,
    sight: &Sight,
    origin: Pos2,
    frame: Option<&PictureFromSide>,
) -> Option<Drag> {
    /// How near a press must be to a handle, in points.
    const REACH: f32 = 14.0;
    match design.tool {
        Tool::Rim => {
            let picture = subject.picture;
            let rim = design
                .draft(&subject.plate().file, picture.width(), picture.height())
                .rim;
            let centre = sight.position(rim.centre);
            #[expect(clippy::cast_possible_truncation, reason = "screen coordinates are f32")]
            let radius = (rim.long_px * sight.points_per_px()) as f32;
            let distance = centre.distance(origin);
            if distance < REACH {
                Some(Drag::RimCentre)
            } else if (distance - radius).abs() < REACH {
                Some(Drag::RimEdge)
            } else {
                None
            }
        }
        Tool::Landmarks => {
            let (name, _) = marks::nearest(sight, origin, subject.plate().landmarks.iter())?;
            let name = name.clone();
            design.landmark = Some(name.clone());
            Some(Drag::Landmark(name, design.new_gesture()))
        }
        Tool::Zones => frame.map(|_| Drag::Zone(sight.picture_point(origin))),
    }
}

fn carry_drag(
    design: &mut DesignState,
    subject: &Subject<'_>,
    drag: &Drag,
    point: PicturePoint,
    edits: &mut Edits,
) {
    let (picture, file) = (subject.picture, &subject.plate().file);
    let mut draft = design.draft(file, picture.width(), picture.height());
    match drag {
        Drag::RimCentre => draft.rim.centre = point,
        Drag::RimEdge => {
            let radius = (point - draft.rim.centre).length().max(1.0);
            draft.rim.long_px = radius;
            draft.rim.short_px = radius;
        }
        Drag::Landmark(name, gesture) => {
            actions::drag_landmark(subject.side, subject.key(), name.clone(), point, *gesture, edits);
            return;
        }
        Drag::Zone(_) => return,
    }
    draft.rim.by_hand = true;
    design.drafts.insert(file.clone(), draft);
}

fn click_landmark(
    set: &ReferenceSet,
    design: &mut DesignState,
    subject: &Subject<'_>,
    sight: &Sight,
    position: Pos2,
    frame: Option<&PictureFromSide>,
    edits: &mut Edits,
) {
    let placed = &subject.plate().landmarks;
    if let Some((name, _)) = marks::nearest(sight, position, placed.iter()) {
        design.landmark = Some(name.clone());
        return;
    }
    let point = sight.picture_point(position);
    let waiting = design
        .landmark
        .clone()
        .filter(|name| set.side(subject.side).landmark(name).is_some() && !placed.contains_key(name));
    match waiting {
        Some(name) => {
            // Go on to the next that is missing, so that a plate is done click by click.
            let missing = set.side(subject.side).landmarks.iter().map(|l| &l.name);
            design.landmark = missing
                .filter(|n| **n != name && !placed.contains_key(*n))
                .map(Clone::clone)
                .next()
                .or(Some(name.clone()));
            actions::place(subject.side, subject.key(), vec![(name, point)], edits);
        }
        // A new one needs a frame, from which its place in mm follows.
        None => {
            if let Some(frame) = frame {
                let plate = subject.key();
                let made = actions::new_landmark(set, subject.side, plate, frame, point, edits);
                design.landmark = Some(made);
            }
        }
    }
}

fn paint_ui(
    ui: &Ui,
    p: &Palette,
    set: &ReferenceSet,
    design: &DesignState,
    subject: &Subject<'_>,
    sight: &Sight,
    frame: Option<&PictureFromSide>,
) {
    let painter = ui.painter_at(sight.rect);
    let part = set.side(subject.side);
    if let Some(frame) = frame {
        for zone in &part.zones {
            let (w, h) = (zone.size_mm.0 / 2.0, zone.size_mm.1 / 2.0);
            let corners = [(-w, -h), (w, -h), (w, h), (-w, h)]
                .map(|(x, y)| sight.position(frame.point_in_picture(zone.centre_mm + SideVector::new(x, y))));
            paint::outline(&painter, &corners, 1.0, p.on_picture);
            if design.tool != Tool::Zones {
                continue;
            }
            let words = if zone.title.is_empty() {
                zone.id.as_str()
            } else {
                &zone.title
            };
            let top = corners
                .iter()
                .fold(corners[0], |a, b| if b.y < a.y { *b } else { a });
            paint::chip(&painter, top, Align2::LEFT_BOTTOM, words, p.on_picture);
        }
    }
    if design.tool == Tool::Rim {
        paint_rim(&painter, p, set, design, subject, sight);
    }
    for (i, landmark) in part.landmarks.iter().enumerate() {
        if let Some(point) = subject.plate().landmarks.get(&landmark.name) {
            let kind = if design.landmark.as_ref() == Some(&landmark.name) {
                MarkKind::Selected
            } else {
                MarkKind::Quiet
            };
            marks::landmark(&painter, p, sight.position(*point), i + 1, kind);
        }
    }
    if let (Some(Drag::Zone(corner)), Some(pointer)) = (&design.drag, ui.input(|i| i.pointer.hover_pos())) {
        let rect = egui::Rect::from_two_pos(sight.position(*corner), pointer);
        let corners = [
            rect.left_top(),
            rect.right_top(),
            rect.right_bottom(),
            rect.left_bottom(),
        ];
        paint::outline(&painter, &corners, 1.5, Color32::WHITE);
    }
}

/// The rim with its centre, and a line from the centre to where the design's top is.
fn paint_rim(
    painter: &egui::Painter,
    p: &Palette,
    set: &ReferenceSet,
    design: &DesignState,
    subject: &Subject<'_>,
    sight: &Sight,
) {
    const SEGMENTS: u32 = 96;
    let draft = design.draft(
        &subject.plate().file,
        subject.picture.width(),
        subject.picture.height(),
    );
    let Ok(frame) = flow::frame_from_rim(&draft.rim, draft.turn_deg, set.measures.diameter_mm) else {
        return;
    };
    let radius = set.measures.diameter_mm / 2.0;
    let at = |place: SidePoint| sight.position(frame.point_in_picture(place));
    let ring: Vec<Pos2> = (0..SEGMENTS)
        .map(|i| {
            let (sin, cos) = (f64::from(i) / f64::from(SEGMENTS) * std::f64::consts::TAU).sin_cos();
            at(SidePoint::new(radius * cos, radius * sin))
        })
        .collect();
    paint::outline(painter, &ring, 1.5, p.on_picture);
    let centre = at(SidePoint::new(0.0, 0.0));
    paint::ring(painter, centre, 6.0, 1.5, p.on_picture);
    let top = at(SidePoint::new(0.0, -radius));
    paint::line(painter, centre, top, 1.0, p.on_picture);
    paint::chip(painter, top, Align2::CENTER_BOTTOM, "up", p.on_picture);
}
