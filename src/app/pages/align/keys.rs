//! The Align page's keys.

use egui::{Key, Modifiers};

use super::place;
use super::state::AlignPage;
use crate::app::model::action::Action;
use crate::app::model::page::Page;
use crate::app::model::snapping::Snapping;
use crate::app::widgets::camera::Camera;
use crate::app::widgets::nudge::nudges;
use crate::app::widgets::pane;
use crate::geometry::PictureVector;

/// An arrow key's nudge, in picture px; ten times as far with Shift.
const NUDGE_PX: f64 = 0.1;

/// The id of the photo's pane, which takes the keys while it has the focus.
pub fn photo_id() -> egui::Id {
    egui::Id::unique("align/photo")
}

/// Answers the keys that no other widget has a claim on.
pub fn keys(ui: &mut egui::Ui, state: &mut AlignPage, page: &mut Page<'_>) {
    if !pane::has_keys(ui, photo_id()) {
        return;
    }
    let side = page.bench.side;
    // The keys mean directions on the screen, whichever way the view is turned.
    let turn = state.photo_views[side].turn_deg();
    let (sin, cos) = turn.to_radians().sin_cos();
    for nudge in nudges(ui) {
        let (x, y) = (nudge.right * NUDGE_PX, nudge.down * NUDGE_PX);
        let by = PictureVector::new(cos * x + sin * y, -sin * x + cos * y);
        place::nudge(state, page, by, ui.input(|i| i.time));
    }
    let key = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    if key(Key::Delete) || key(Key::Backspace) {
        place::remove_selected(state, page);
    }
    if key(Key::N) {
        step_selection(state, page, 1);
    }
    if key(Key::P) {
        step_selection(state, page, -1);
    }
    if key(Key::R) {
        state.rim = state.rim.other();
    }
    if key(Key::F) {
        state.photo_views[side].fit();
    }
    for (number, zoom) in [(Key::Num1, 1.0), (Key::Num2, super::photo::PIXELS)] {
        if key(number)
            && let Some(sight) = state.seen[side]
        {
            state.photo_views[side].look(Camera { zoom, ..sight.camera });
        }
    }
    if key(Key::S)
        && let Some(name) = place::to_snap(state, page)
    {
        page.push(Action::Snap(side, Snapping::Placed(name)));
    }
    if key(Key::M) {
        state.lens = state.lens.other();
    }
    if key(Key::Z) {
        state.zones = state.zones.other();
    }
    if key(Key::Escape) {
        state.select(side, None);
    }
}

fn step_selection(state: &mut AlignPage, page: &Page<'_>, by: isize) {
    let side = page.bench.side;
    let landmarks = &page.bench.set.side(side).landmarks;
    let count = isize::try_from(landmarks.len()).unwrap_or(0);
    if count == 0 {
        return;
    }
    let at = state
        .selected(side)
        .and_then(|name| landmarks.iter().position(|l| &l.name == name))
        .and_then(|i| isize::try_from(i).ok());
    let next = match at {
        Some(i) => (i + by).rem_euclid(count),
        None if by > 0 => 0,
        None => count - 1,
    };
    let name = usize::try_from(next)
        .ok()
        .and_then(|i| landmarks.get(i))
        .map(|l| l.name.clone());
    state.select(side, name);
}
