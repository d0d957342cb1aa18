//! The keys of the Compare page.

use egui::{Key, Modifiers, Ui};

use super::ComparePage;
use super::header::step;
use super::instruments::Look;
use super::measure::Measuring;
use super::rulings::next_reason;
use super::scene::Scene;
use super::state_controls::{giving, none_to_tell, other_states, others_differ, taking_back, usual_reason};
use super::zoom::ZoneView;
use crate::app::model::page::Page;
use crate::specimen::Ruling;

const NUMBERS: [Key; 9] = [
    Key::Num1,
    Key::Num2,
    Key::Num3,
    Key::Num4,
    Key::Num5,
    Key::Num6,
    Key::Num7,
    Key::Num8,
    Key::Num9,
];

/// How far an arrow with Shift moves the view, as a share of what it shows.
const STEP: f64 = 0.1;
/// How much closer the plus key goes.
const CLOSER: f64 = 1.25;

/// Takes the keys, unless text is being typed.
pub fn keys(ui: &Ui, page: &mut Page<'_>, state: &mut ComparePage, scene: &Scene) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    view_keys(ui, state);
    let pressed = |key: Key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    let shifted = |key: Key| ui.input_mut(|i| i.consume_key(Modifiers::SHIFT, key));
    for (place, key) in NUMBERS.into_iter().enumerate().take(scene.states.len()) {
        if pressed(key) {
            state.focus = place;
        }
    }
    if pressed(Key::N) || pressed(Key::PageDown) {
        step(page, scene, 1);
    }
    if pressed(Key::P) || pressed(Key::PageUp) {
        step(page, scene, -1);
    }
    // Arrows move the keyboard's focus once a control has it.
    if ui.memory(|m| m.focused()).is_none() {
        if pressed(Key::ArrowDown) {
            step(page, scene, 1);
        }
        if pressed(Key::ArrowUp) {
            step(page, scene, -1);
        }
        let last = scene.states.len().saturating_sub(1);
        if pressed(Key::ArrowRight) {
            state.focus = (state.focus + 1).min(last);
        }
        if pressed(Key::ArrowLeft) {
            state.focus = state.focus.saturating_sub(1);
        }
    }
    if shifted(Key::C) {
        page.actions
            .push(none_to_tell(state, scene, usual_reason(state, scene)));
    }
    let Some(one) = scene.focused(state.focus) else {
        return;
    };
    if pressed(Key::A) {
        page.actions.push(giving(state, scene, one, Ruling::Agrees));
    }
    if pressed(Key::D) {
        page.actions.push(giving(state, scene, one, Ruling::Differs));
    }
    if pressed(Key::C) {
        let why = match one.cell.verdict.as_ref().map(|v| v.ruling) {
            Some(Ruling::CannotTell(why)) => next_reason(why),
            _ => usual_reason(state, scene),
        };
        page.actions
            .push(giving(state, scene, one, Ruling::CannotTell(why)));
    }
    if pressed(Key::X) && one.cell.verdict.is_some() {
        page.actions.push(taking_back(scene, one));
    }
    if pressed(Key::O) {
        let others = other_states(scene, &one.cell.view.state);
        let agrees = one
            .cell
            .verdict
            .as_ref()
            .is_some_and(|v| v.ruling == Ruling::Agrees);
        if agrees && !others.is_empty() {
            page.actions.push(others_differ(state, scene, &others));
        }
    }
}

/// The keys of looking, whatever stands beside the coin.
pub(super) fn view_keys(ui: &Ui, state: &mut ComparePage) {
    // Shift first: without it the plain arrow would answer both.
    let shifted = |key: Key| ui.input_mut(|i| i.consume_key(Modifiers::SHIFT, key));
    for (key, right, down) in [
        (Key::ArrowLeft, -STEP, 0.0),
        (Key::ArrowRight, STEP, 0.0),
        (Key::ArrowUp, 0.0, -STEP),
        (Key::ArrowDown, 0.0, STEP),
    ] {
        if shifted(key)
            && let Some(frame) = state.frame
        {
            state.view = state.view.moved_on(&frame, right, down);
        }
    }
    let pressed = |key: Key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    if pressed(Key::Plus) || pressed(Key::Equals) || shifted(Key::Plus) || shifted(Key::Equals) {
        state.view = state.view.closer(CLOSER);
    }
    if pressed(Key::Minus) {
        state.view = state.view.closer(1.0 / CLOSER);
    }
    if pressed(Key::Z) {
        state.view = ZoneView::default();
    }
    if pressed(Key::L) {
        state.light_evened = if state.light_evened > 0.0 { 0.0 } else { 1.0 };
    }
    if pressed(Key::V) {
        state.look = state.look.next();
    }
    if pressed(Key::S) {
        state.look = Look::SideBySide;
    }
    if pressed(Key::Space) && state.look == Look::Alternate {
        state.dials.swap();
    }
    if pressed(Key::M) {
        state.measuring = match state.measuring {
            None => Some(Measuring::default()),
            Some(_) => None,
        };
    }
    if pressed(Key::Escape) {
        state.measuring = None;
    }
}
