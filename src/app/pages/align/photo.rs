//! The photo with its landmarks and zones.

use std::sync::Arc;

use egui::{Key, PointerButton, Role, Ui, WidgetInfo};

use super::keys::photo_id;
use super::state::{AlignPage, Drag, Shows};
use crate::align::Alignment;
use crate::app::model::action::Action;
use crate::app::model::picture_slot::PictureSlot;
use crate::app::pages::Page;
use crate::app::pages::align::{lens, place, rim};
use crate::app::widgets::camera::{Camera, Sight};
use crate::app::widgets::pane::{self, FitTo, PrimaryDrag};
use crate::app::widgets::picture_marks::{self as marks, MarkKind};
use crate::app::widgets::theme::{Palette, palette};
use crate::geometry::{PicturePoint, SidePoint};
use crate::photo::Picture;
use crate::pipeline;
use crate::reference::Side;

/// Draws the side's photo with its tools.
pub fn photo_ui(ui: &mut Ui, state: &mut AlignPage, page: &mut Page<'_>) {
    let side = page.bench.side;
    let Some(picture) = page.bench.photos[side].picture().cloned() else {
        return;
    };
    let derived = page.bench.derived();
    let zone_radii_mm = Arc::clone(&derived.zone_radii_mm[side]);
    let alignment = derived.alignments[side].clone().and_then(Result::ok);
    let p = palette(ui);
    let bar = |id: &str| {
        (
            egui::Id::unique(id),
            egui::Frame::new().fill(p.panel).inner_margin(4),
        )
    };
    let (id, frame) = bar("align/tools");
    // The bars are drawn before the picture is, so the buttons work on what was seen in the last frame.
    let seen = state.seen[side];
    egui::Panel::top(id).frame(frame).show(ui, |ui| {
        tools_ui(ui, state, page, alignment.as_deref(), seen);
    });
    let (id, frame) = bar("align/status");
    let frame = frame.inner_margin(egui::Margin::symmetric(8, 4));
    let pointer = state.pointer;
    egui::Panel::bottom(id).frame(frame).show(ui, |ui| {
        status_ui(ui, alignment.as_deref(), seen, pointer);
    });
    egui::CentralPanel::no_frame().show(ui, |ui| {
        let aligned = alignment.as_deref().map(|alignment| (alignment, &*zone_radii_mm));
        pane_ui(ui, &p, state, page, &picture, aligned);
    });
}

/// The alignment, and how far each zone may be off on the photo: 95 % radii in mm, in the set's order.
type Aligned<'a> = (&'a Alignment, &'a [f64]);

fn pane_ui(
    ui: &mut Ui,
    p: &Palette,
    state: &mut AlignPage,
    page: &mut Page<'_>,
    picture: &Arc<Picture>,
    aligned: Option<Aligned<'_>>,
) {
    let side = page.bench.side;
    let response = pane::pane(ui, photo_id(), &format!("{} photo", side.title()));
    let rect = response.rect;
    pane::keep_arrows(ui, photo_id());
    let fit = fit_to(page, side, picture);
    let sight = state.photo_views[side].sight(ui, rect, fit);
    let drag = follow_drag(ui, state, page, &response, &sight);
    let sight = state.photo_views[side].navigate(ui, &response, sight, drag);
    state.seen[side] = Some(sight);
    page.canvases
        .show_picture(ui, &format!("photo/{}", side.word()), picture, &sight);
    paint_marks(ui, p, state, page, &sight, aligned);
    follow_pointer(ui, state, page, &response, &sight, picture);
    pane::outline_focus(ui, &response);
}

/// The coin fills the pane where its rim is known, else the whole photo does.
fn fit_to(page: &Page<'_>, side: Side, picture: &Picture) -> FitTo {
    /// Room about the rim, as a share of its diameter.
    const ROOM: f64 = 1.08;
    match page.bench.record().photo(side).and_then(|photo| photo.rim) {
        Some(rim) => FitTo {
            centre: rim.centre,
            size: (2.0 * rim.long_px * ROOM, 2.0 * rim.long_px * ROOM),
        },
        None => FitTo::whole(picture),
    }
}

/// Begins, carries on and ends the dragging of a landmark.
fn follow_drag(
    ui: &Ui,
    state: &mut AlignPage,
    page: &mut Page<'_>,
    response: &egui::Response,
    sight: &Sight,
) -> PrimaryDrag {
    let side = page.bench.side;
    let begun = response.drag_started_by(PointerButton::Primary) && !ui.input(|i| i.key_down(Key::Space));
    let origin = ui.input(|i| i.pointer.press_origin()).filter(|_| begun);
    if let Some(origin) = origin {
        state.rim_drag = rim::grab(state, page, sight, origin);
        if state.rim_drag.is_some() {
            // A view that fits the rim would follow it, and run away from the pointer.
            state.photo_views[side].look(sight.camera);
        }
    }
    if let Some(drag) = state.rim_drag {
        if response.dragged_by(PointerButton::Primary) {
            if let Some(position) = response.interact_pointer_pos() {
                rim::drag_to(page, &drag, sight.picture_point(position));
            }
        } else {
            state.rim_drag = None;
        }
        return PrimaryDrag::IsTaken;
    }
    if let Some(origin) = origin
        && let Some(photo) = page.bench.record().photo(side)
        && let Some((name, point)) = marks::nearest(sight, origin, photo.landmarks.iter())
    {
        let name = name.clone();
        let gesture = state.gestures.begin();
        let grip = point - sight.picture_point(origin);
        state.select(side, Some(name.clone()));
        state.drag = Some(Drag { name, gesture, grip });
    }
    let Some(drag) = state.drag.clone() else {
        return PrimaryDrag::Pans;
    };
    if response.dragged_by(PointerButton::Primary) {
        if let Some(position) = response.interact_pointer_pos() {
            place::move_to(
                page,
                &drag.name,
                sight.picture_point(position) + drag.grip,
                drag.gesture,
            );
        }
        ui.set_cursor_icon(egui::CursorIcon::None);
    } else {
        state.drag = None;
    }
    PrimaryDrag::IsTaken
}

fn paint_marks(
    ui: &Ui,
    p: &Palette,
    state: &AlignPage,
    page: &Page<'_>,
    sight: &Sight,
    aligned: Option<Aligned<'_>>,
) {
    let side = page.bench.side;
    let Some(photo) = page.bench.record().photo(side) else {
        return;
    };
    let reference = page.bench.set.side(side);
    let painter = ui.painter_at(sight.rect);
    if state.zones == Shows::Yes
        && let Some((alignment, zone_radii_mm)) = aligned
    {
        let hovered = ui
            .input(|i| i.pointer.hover_pos())
            .filter(|position| sight.rect.contains(*position))
            .map(|position| {
                alignment
                    .picture_from_side
                    .point_on_side(sight.picture_point(position))
            });
        for (zone, &radius95_mm) in reference.zones.iter().zip(zone_radii_mm) {
            let labelled = hovered.is_some_and(|place| marks::in_zone(place, zone));
            let wide = zone.size_mm.0
                * alignment.picture_from_side.px_per_mm(zone.centre_mm)
                * sight.points_per_px();
            let title = (labelled || wide >= LABELLED_FROM_POINTS).then_some(zone.title.as_str());
            let transform = pipeline::zone_transform(alignment, photo, zone);
            marks::zone(&painter, p, sight, &transform, zone, radius95_mm, title);
        }
    }
    if state.rim == Shows::Yes
        && let Some(found) = &photo.rim
    {
        crate::app::widgets::rim::paint_rim(&painter, p, sight, found);
    }
    for (number, landmark) in (1..).zip(&reference.landmarks) {
        let Some(point) = photo.landmarks.get(&landmark.name) else {
            continue;
        };
        let disagrees =
            aligned.is_some_and(|(a, _)| a.landmarks.iter().any(|l| l.name == landmark.name && l.disagrees));
        let selected = state.selected(side) == Some(&landmark.name);
        let kind = match (selected, disagrees) {
            (true, true) => MarkKind::SelectedDisagrees,
            (true, false) => MarkKind::Selected,
            (false, true) => MarkKind::Disagrees,
            (false, false) => MarkKind::Quiet,
        };
        marks::landmark(&painter, p, sight.position(*point), number, kind);
    }
    // Shown for as long as the landmark stays where it was snapped to.
    if let Some(s) = state.snapped.as_ref().filter(|s| s.side == side)
        && photo.landmarks.get(&s.name) == Some(&s.to)
    {
        let (from, to) = (sight.position(s.from), sight.position(s.to));
        marks::snapped(&painter, p, from, to, (s.to - s.from).length());
    }
}

/// Zones narrower than this on the screen show their title only under the pointer.
const LABELLED_FROM_POINTS: f64 = 110.0;

/// Clicks, the lens and the status line's point.
fn follow_pointer(
    ui: &Ui,
    state: &mut AlignPage,
    page: &mut Page<'_>,
    response: &egui::Response,
    sight: &Sight,
    picture: &Arc<Picture>,
) {
    let side = page.bench.side;
    let Some(position) = response.interact_pointer_pos().or(response.hover_pos()) else {
        state.pointer = None;
        return;
    };
    let mut point = sight.picture_point(position);
    state.pointer = Some(point);
    if response.clicked_by(PointerButton::Primary) {
        let hit = page.bench.record().photo(side).and_then(|photo| {
            marks::nearest(sight, position, photo.landmarks.iter()).map(|(name, _)| name.clone())
        });
        match hit {
            Some(name) => state.select(side, Some(name)),
            None => place::place_selected(state, page, point),
        }
    }
    let placing = state.selected(side).is_some() && place::selected_point(state, page).is_none();
    if let Some(drag) = &state.drag {
        point += drag.grip;
    } else if placing && response.hovered() && !response.dragged() {
        ui.set_cursor_icon(egui::CursorIcon::Crosshair);
    }
    if !response.dragged() && response.hovered() && rim::is_under(state, page, sight, position) {
        ui.set_cursor_icon(egui::CursorIcon::Grab);
    }
    let panning = response.dragged() && state.drag.is_none();
    if state.lens == Shows::Yes && !panning && (placing || state.drag.is_some()) {
        lens::lens_ui(ui, state, sight, picture, sight.position(point), point);
    }
}

fn tools_ui(
    ui: &mut Ui,
    state: &mut AlignPage,
    page: &mut Page<'_>,
    alignment: Option<&Alignment>,
    sight: Option<Sight>,
) {
    let side = page.bench.side;
    let view = &mut state.photo_views[side];
    ui.horizontal(|ui| {
        if ui
            .selectable_label(view.fits(), "Fit")
            .on_hover_text("Show the whole coin (F)")
            .clicked()
        {
            view.fit();
        }
        if let Some(sight) = sight {
            let at = |zoom: f64| Camera { zoom, ..sight.camera };
            let is = |zoom: f64| (sight.camera.zoom / zoom - 1.0).abs() < 1e-6;
            if ui
                .selectable_label(is(1.0), "100 %")
                .on_hover_text("One photo pixel on one screen pixel (1)")
                .clicked()
            {
                view.look(at(1.0));
            }
            if ui
                .selectable_label(is(PIXELS), "Pixels")
                .on_hover_text("Close enough to see single pixels")
                .clicked()
            {
                view.look(at(PIXELS));
            }
            ui.separator();
            let upright = alignment.map(|a| -a.picture_from_side.rotation_deg(SidePoint::origin()));
            for (text, name, by) in [
                ("\u{21ba}", "Turn the view left", -90.0),
                ("\u{21bb}", "Turn the view right", 90.0),
            ] {
                let button = ui.button(text).on_hover_text(name);
                button.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
                if button.clicked() {
                    view.turn_to(view.turn_deg() + by);
                }
            }
            let button = ui
                .add_enabled(upright.is_some(), egui::Button::new("Upright"))
                .on_hover_text("Turn the view so that the design stands upright")
                .on_disabled_hover_text("Place two landmarks first");
            if let (true, Some(turn)) = (button.clicked(), upright) {
                view.turn_to(turn);
            }
        }
        ui.separator();
        let marked = page.bench.record().photo(side).is_some_and(|p| p.rim.is_some());
        let shown = marked && state.rim == Shows::Yes;
        let button = ui
            .add_enabled(marked, egui::Button::selectable(shown, "Rim"))
            .on_hover_text(
                "Show the rim on the photo, and drag it or its handles to the coin\u{2019}s edge (R)",
            )
            .on_disabled_hover_text("No rim is marked yet: find or draw it under Alignment, at the right");
        if button.clicked() {
            state.rim = state.rim.other();
        }
        for (shows, text, hint) in [
            (&mut state.zones, "Zones", "Show the zones on the photo (Z)"),
            (&mut state.lens, "Magnifier", "Show a lens beside the pointer (M)"),
        ] {
            if ui
                .selectable_label(*shows == Shows::Yes, text)
                .on_hover_text(hint)
                .clicked()
            {
                *shows = shows.other();
            }
        }
        // On a narrow page the menu has it.
        if ui.available_width() < 130.0 {
            return;
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.button("Replace photo\u{2026}").clicked() {
                page.push(Action::ChoosePhoto(side, None));
            }
        });
    });
}

/// The scale of the "Pixels" button, in screen pixels per photo pixel.
pub const PIXELS: f64 = 12.0;

fn status_ui(
    ui: &mut Ui,
    alignment: Option<&Alignment>,
    sight: Option<Sight>,
    pointer: Option<PicturePoint>,
) {
    let p = palette(ui);
    ui.horizontal(|ui| {
        if let Some(sight) = sight {
            ui.label(format!("Zoom {:.0} %", sight.camera.zoom * 100.0));
        }
        if let Some(a) = alignment {
            let middle = SidePoint::origin();
            ui.separator();
            ui.label(format!("{:.1} px/mm", a.picture_from_side.px_per_mm(middle)))
                .on_hover_text("How many photo pixels show a millimetre of the coin, at its centre");
            ui.separator();
            ui.label(format!(
                "turned {:.1}\u{b0}",
                a.picture_from_side.rotation_deg(middle)
            ));
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if let Some(point) = pointer {
                let mut text = format!("{:.1}, {:.1} px", point.x, point.y);
                if let Some(a) = alignment {
                    let place = a.picture_from_side.point_on_side(point);
                    text = format!("{:.2}, {:.2} mm   {text}", place.x, place.y);
                }
                ui.colored_label(p.quiet, text);
            }
        });
    });
}

/// What stands in the photo's place while there is none.
pub fn no_photo_ui(ui: &mut Ui, page: &mut Page<'_>) {
    let side = page.bench.side;
    let slot = page.bench.photos[side].clone();
    let p = palette(ui);
    ui.vertical_centered(|ui| {
        ui.add_space((ui.available_height() * 0.35).max(0.0));
        match slot {
            PictureSlot::Empty | PictureSlot::Ready(_) => {
                ui.heading(format!("No {} photo yet", side.word()));
                ui.colored_label(p.quiet, "Drop a JPEG, PNG, TIFF or WebP here, or");
                ui.add_space(8.0);
                if ui
                    .button(format!("Choose the {} photo\u{2026}", side.word()))
                    .clicked()
                {
                    page.push(Action::ChoosePhoto(side, None));
                }
            }
            PictureSlot::Loading(watch) => {
                ui.label(format!("Reading the {} photo\u{2026}", side.word()));
                let bar = egui::ProgressBar::new(watch.progress()).desired_width(240.0);
                ui.add(bar);
                ui.add_space(8.0);
                if ui.button("Cancel").clicked() {
                    page.push(Action::CancelPhoto(side));
                }
                ui.ctx()
                    .request_repaint_after(std::time::Duration::from_millis(60));
            }
            PictureSlot::Failed(problem) => {
                ui.set_max_width(480.0);
                ui.colored_label(p.bad, problem.to_string());
                ui.add_space(8.0);
                if ui.button("Choose another photo\u{2026}").clicked() {
                    page.push(Action::ChoosePhoto(side, None));
                }
            }
        }
    });
}
