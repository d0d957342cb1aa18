//! The Align page's keys.

use egui::{Key, Modifiers};

use super::place;
use super::state::AlignPage;
use crate::app::model::action::Action;
use crate::app::model::bench::index;
use crate::app::model::page::Page;
use crate::app::shell::snapping::Snapping;
use crate::app::widgets::camera::Camera;
use crate::geometry::PictureVector;

/// An arrow key's nudge, in picture px.
const NUDGE_PX: f64 = 0.1;
/// With Shift, in picture px.
const LARGE_NUDGE_PX: f64 = 1.0;

/// The id of the photo's pane, which takes the keys while it has the focus.
pub fn photo_id() -> egui::Id {
    egui::Id::unique("align/photo")
}

/// Answers the keys that no other widget has a claim on.
pub fn keys(ui: &mut egui::Ui, state: &mut AlignPage, page: &mut Page<'_>) {
    let focused = ui.memory(|m| m.focused());
    if focused.is_some_and(|id| id != photo_id()) || egui::Popup::is_any_open(ui.ctx()) {
        return;
    }
    let (pressed, now_s) = ui.input_mut(|i| {
        let mut pressed = Vec::new();
        for (key, x, y) in [
            (Key::ArrowLeft, -1.0, 0.0),
            (Key::ArrowRight, 1.0, 0.0),
            (Key::ArrowUp, 0.0, -1.0),
            (Key::ArrowDown, 0.0, 1.0),
        ] {
            for _ in 0..i.count_and_consume_key(Modifiers::SHIFT, key) {
                pressed.push((x * LARGE_NUDGE_PX, y * LARGE_NUDGE_PX));
            }
            for _ in 0..i.count_and_consume_key(Modifiers::NONE, key) {
                pressed.push((x * NUDGE_PX, y * NUDGE_PX));
            }
        }
        (pressed, i.time)
    });
    let side = page.bench.side;
    // The keys mean directions on the screen, whichever way the view is turned.
    let i = index(side);
    let turn = state.photo_views[i].turn_deg();
    let (sin, cos) = turn.to_radians().sin_cos();
    let (x, y) = pressed.iter().fold((0.0, 0.0), |(x, y), p| (x + p.0, y + p.1));
    if x != 0.0 || y != 0.0 {
        let by = PictureVector::new(cos * x + sin * y, -sin * x + cos * y);
        place::nudge(state, page, by, now_s);
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
        state.photo_views[i].fit();
    }
    for (number, zoom) in [(Key::Num1, 1.0), (Key::Num2, super::photo::PIXELS)] {
        if key(number)
            && let Some(sight) = state.seen[i]
        {
            state.photo_views[i].look(Camera { zoom, ..sight.camera });
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
