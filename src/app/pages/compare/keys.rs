//! The keys of the Compare page.

use egui::{Key, Modifiers, Ui};

use super::ComparePage;
use super::header::step;
use super::instruments::Look;
use super::measure::Measuring;
use super::scene::{FeatureSubject, InView, SpotSubject, Subject};
use super::zoom::ZoneView;
use super::{findings, verdicts};
use crate::specimen::{Difference, Found, MeasureKind, Ruling};

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

fn pressed(ui: &Ui, key: Key) -> bool {
    ui.input_mut(|i| i.consume_key(Modifiers::NONE, key))
}

fn shifted(ui: &Ui, key: Key) -> bool {
    ui.input_mut(|i| i.consume_key(Modifiers::SHIFT, key))
}

/// Takes the keys, unless text is being typed.
pub fn keys(ui: &Ui, row: &mut InView<'_, '_>) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    view_keys(ui, row.state);
    // Arrows move the keyboard's focus once a control has it.
    let free = ui.memory(|m| m.focused()).is_none();
    if pressed(ui, Key::N) || pressed(ui, Key::PageDown) || (free && pressed(ui, Key::ArrowDown)) {
        step(row, 1);
    }
    if pressed(ui, Key::P) || pressed(ui, Key::PageUp) || (free && pressed(ui, Key::ArrowUp)) {
        step(row, -1);
    }
    match &row.scene.subject {
        Subject::Feature(of) => {
            focus_keys(ui, row.state, of, free);
            verdict_keys(ui, row, of);
        }
        Subject::Spot(of) => finding_keys(ui, row, of),
    }
}

/// The keys that choose the state in focus.
fn focus_keys(ui: &Ui, state: &mut ComparePage, of: &FeatureSubject, free: bool) {
    for (index, key) in NUMBERS.into_iter().enumerate().take(of.states.len()) {
        if pressed(ui, key) {
            state.focus = index;
        }
    }
    if free && pressed(ui, Key::ArrowRight) {
        state.focus = (state.focus + 1).min(of.states.len().saturating_sub(1));
    }
    if free && pressed(ui, Key::ArrowLeft) {
        state.focus = state.focus.saturating_sub(1);
    }
}

/// The keys that judge the state in focus.
fn verdict_keys(ui: &Ui, row: &mut InView<'_, '_>, of: &FeatureSubject) {
    let usual = Ruling::CannotTell(row.usual_reason());
    if shifted(ui, Key::C) {
        let all: Vec<usize> = (0..of.states.len()).collect();
        verdicts::give(row, of, &all, usual);
    }
    let index = row.focused();
    let Some(cell) = of.states.get(index) else {
        return;
    };
    let given = cell.verdict.as_ref().map(|v| v.ruling);
    if pressed(ui, Key::A) {
        verdicts::give(row, of, &[index], Ruling::Agrees);
    }
    if pressed(ui, Key::D) {
        verdicts::give(row, of, &[index], Ruling::Differs);
    }
    if pressed(ui, Key::C) {
        let ruling = match given {
            Some(Ruling::CannotTell(why)) => Ruling::CannotTell(why.next()),
            _ => usual,
        };
        verdicts::give(row, of, &[index], ruling);
    }
    if pressed(ui, Key::X) && given.is_some() {
        verdicts::take_back(row, of, index);
    }
    if pressed(ui, Key::O) && given == Some(Ruling::Agrees) {
        let others = verdicts::others_not_judged(of, index);
        if !others.is_empty() {
            verdicts::give(row, of, &others, Ruling::Differs);
        }
    }
}

/// The keys that say what both coins show at the spot.
fn finding_keys(ui: &Ui, row: &mut InView<'_, '_>, of: &SpotSubject) {
    let now = of.finding().and_then(|f| f.found);
    let mut said = None;
    if pressed(ui, Key::A) {
        said = Some(Found::Same);
    }
    if pressed(ui, Key::D) {
        said = Some(Found::Differs(match now {
            Some(Found::Differs(kind)) => kind.next(),
            _ => Difference::NotSaid,
        }));
    }
    if pressed(ui, Key::C) {
        said = Some(Found::CannotTell(match now {
            Some(Found::CannotTell(why)) => why.next(),
            _ => row.usual_reason(),
        }));
    }
    if let Some(found) = said {
        findings::find(row, of, found);
    }
    if pressed(ui, Key::X) && now.is_some() {
        findings::take_back(row, of);
    }
    if pressed(ui, Key::K) {
        findings::keep_place(row.page, row.state, of);
    }
}

/// The keys of looking, whatever stands beside the coin.
fn view_keys(ui: &Ui, state: &mut ComparePage) {
    // Shift first: without it the plain arrow would answer both.
    for (key, right, down) in [
        (Key::ArrowLeft, -STEP, 0.0),
        (Key::ArrowRight, STEP, 0.0),
        (Key::ArrowUp, 0.0, -STEP),
        (Key::ArrowDown, 0.0, STEP),
    ] {
        if shifted(ui, key)
            && let Some(frame) = state.frame
        {
            state.view = state.view.moved_on(&frame, right, down);
        }
    }
    if pressed(ui, Key::Plus)
        || pressed(ui, Key::Equals)
        || shifted(ui, Key::Plus)
        || shifted(ui, Key::Equals)
    {
        state.view = state.view.closer(CLOSER);
    }
    if pressed(ui, Key::Minus) {
        state.view = state.view.closer(1.0 / CLOSER);
    }
    if pressed(ui, Key::Z) {
        state.view = ZoneView::default();
    }
    if pressed(ui, Key::L) {
        state.light_evened = if state.light_evened > 0.0 { 0.0 } else { 1.0 };
    }
    if pressed(ui, Key::V) {
        state.look = state.look.next();
    }
    if pressed(ui, Key::S) {
        state.look = Look::SideBySide;
    }
    if pressed(ui, Key::Space) && state.look == Look::Alternate {
        state.dials.swap();
    }
    if pressed(ui, Key::M) {
        state.measuring = match state.measuring {
            None => Some(Measuring::new(MeasureKind::Distance)),
            Some(_) => None,
        };
    }
    if pressed(ui, Key::Escape) {
        state.measuring = None;
    }
}
