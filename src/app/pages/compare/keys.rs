//! The keys of the Compare page.

use egui::{Key, KeyboardShortcut, Ui};

use super::header::step;
use super::instruments::Look;
use super::measure::Measuring;
use super::scene::{FeatureSubject, InView, SpotSubject, Subject};
use super::zoom::ZoneView;
use super::{Beside, ComparePage, findings, verdicts};
use crate::app::pages::Page;
use crate::app::widgets::command::{Command, Help, plain, pressed, shift};
use crate::specimen::{Difference, Found, MeasureKind, Ruling};

/// How far an arrow with Shift moves the view, as a share of what it shows.
const STEP: f64 = 0.1;
/// How much closer the plus key goes.
const CLOSER: f64 = 1.25;

/// What the page's keys ask for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum CompareCommand {
    /// Plates or another coin beside yours.
    Beside,
    /// The facts in place of a feature.
    Facts,
    /// So many rows on.
    Row(isize),
    /// The same by an arrow.
    RowByArrow(isize),
    /// A state, counted from 0.
    State(usize),
    /// So many states on, by an arrow.
    StateByArrow(isize),
    Agrees,
    Differs,
    CannotTell,
    NoneToTell,
    OthersDiffer,
    TakeBack,
    KeepSpot,
    /// So many times as close.
    Closer(f64),
    /// The view moved to the right and down, as shares of what it shows.
    Move(f64, f64),
    WholeZone,
    EvenLight,
    NextLook,
    SideBySide,
    Swap,
    Measure,
    StopMeasuring,
}

use CompareCommand as C;

/// What fills the page.
const PAGE: &[Command<CompareCommand>] = &[
    of(C::Beside, "Plates or another coin beside yours", &[plain(Key::B)]),
    of(C::Facts, "The facts read off the coin", &[plain(Key::F)]),
];

/// Which row is in view.
const ROWS: &[Command<CompareCommand>] = &[
    of(
        C::Row(1),
        "Next feature or spot",
        &[plain(Key::N), plain(Key::PageDown)],
    ),
    of(C::RowByArrow(1), "Next feature or spot", &[plain(Key::ArrowDown)]),
    of(C::Row(-1), "The one before", &[plain(Key::P), plain(Key::PageUp)]),
    of(C::RowByArrow(-1), "The one before", &[plain(Key::ArrowUp)]),
];

/// The state in focus and its verdict.
const FEATURE: &[Command<CompareCommand>] = &[
    of(C::State(0), A_STATE, &[plain(Key::Num1)]),
    of(C::State(1), A_STATE, &[plain(Key::Num2)]),
    of(C::State(2), A_STATE, &[plain(Key::Num3)]),
    of(C::State(3), A_STATE, &[plain(Key::Num4)]),
    of(C::State(4), A_STATE, &[plain(Key::Num5)]),
    of(C::State(5), A_STATE, &[plain(Key::Num6)]),
    of(C::State(6), A_STATE, &[plain(Key::Num7)]),
    of(C::State(7), A_STATE, &[plain(Key::Num8)]),
    of(C::State(8), A_STATE, &[plain(Key::Num9)]),
    of(C::StateByArrow(-1), "The state beside", &[plain(Key::ArrowLeft)]),
    of(C::StateByArrow(1), "The state beside", &[plain(Key::ArrowRight)]),
    of(C::Agrees, "Agrees", &[plain(Key::A)]),
    of(C::Differs, "Differs", &[plain(Key::D)]),
    of(
        C::CannotTell,
        "Cannot tell; again for the next reason",
        &[plain(Key::C)],
    ),
    of(C::NoneToTell, "Cannot tell any of the states", &[shift(Key::C)]),
    of(C::OthersDiffer, "All other states differ", &[plain(Key::O)]),
    of(C::TakeBack, "Take a verdict back", &[plain(Key::X)]),
];
const A_STATE: &str = "A state";

/// What both coins show at a spot.
const SPOT: &[Command<CompareCommand>] = &[
    of(C::Agrees, "Both show the same", &[plain(Key::A)]),
    of(
        C::Differs,
        "They differ; again for the next kind",
        &[plain(Key::D)],
    ),
    of(
        C::CannotTell,
        "Cannot tell; again for the next reason",
        &[plain(Key::C)],
    ),
    of(C::TakeBack, "Take it back", &[plain(Key::X)]),
    of(
        C::KeepSpot,
        "Keep the position in view as a spot",
        &[plain(Key::K)],
    ),
];

/// How coin and plate are looked at.
const LOOKING: &[Command<CompareCommand>] = &[
    of(
        C::Closer(CLOSER),
        "Closer",
        &[
            plain(Key::Plus),
            plain(Key::Equals),
            shift(Key::Plus),
            shift(Key::Equals),
        ],
    ),
    of(C::Closer(1.0 / CLOSER), "Farther", &[plain(Key::Minus)]),
    of(C::Move(-STEP, 0.0), MOVE, &[shift(Key::ArrowLeft)]),
    of(C::Move(STEP, 0.0), MOVE, &[shift(Key::ArrowRight)]),
    of(C::Move(0.0, -STEP), MOVE, &[shift(Key::ArrowUp)]),
    of(C::Move(0.0, STEP), MOVE, &[shift(Key::ArrowDown)]),
    of(C::WholeZone, "The zone as a whole again", &[plain(Key::Z)]),
    of(C::NextLook, "The next instrument", &[plain(Key::V)]),
    of(C::SideBySide, "Side by side", &[plain(Key::S)]),
    of(
        C::Swap,
        "The other picture, where they alternate",
        &[plain(Key::Space)],
    ),
    of(C::EvenLight, "Even light", &[plain(Key::L)]),
    of(
        C::Measure,
        "Measure a distance, or stop measuring",
        &[plain(Key::M)],
    ),
    of(C::StopMeasuring, "Stop measuring", &[plain(Key::Escape)]),
];
const MOVE: &str = "Move all crops";

const fn of(
    asks: CompareCommand,
    words: &'static str,
    keys: &'static [KeyboardShortcut],
) -> Command<CompareCommand> {
    Command { asks, words, keys }
}

/// The page's part of the list of keys.
#[must_use]
pub fn help() -> Vec<Help> {
    vec![
        Help::new("Compare")
            .commands(PAGE)
            .commands(ROWS)
            .commands(FEATURE)
            .input("Wheel, drag", "Zoom at the pointer, move all crops")
            .commands(LOOKING),
        Help::new("Compare, with another coin").commands(SPOT),
    ]
}

/// Takes the keys that change what fills the page.
pub fn page_keys(ui: &Ui, page: &mut Page<'_>, state: &mut ComparePage) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    let plates = state.beside == Beside::Plates;
    for command in pressed(ui.ctx(), PAGE, |command| plates || command != C::Facts) {
        match (command, state.beside) {
            (C::Facts, _) => state.facts_shown = !state.facts_shown,
            (_, Beside::Plates) => state.put_beside(page, Beside::OtherCoin),
            (_, Beside::OtherCoin) => state.put_beside(page, Beside::Plates),
        }
    }
}

/// Takes the keys of a row, unless text is being typed.
pub fn keys(ui: &Ui, row: &mut InView<'_, '_>) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    let (look, measuring) = (row.state.look, row.state.measuring.is_some());
    let applies = |command| match command {
        C::Swap => look == Look::Alternate,
        C::StopMeasuring => measuring,
        _ => true,
    };
    for command in pressed(ui.ctx(), LOOKING, applies) {
        look_by(command, row.state);
    }
    // Arrows move the keyboard's focus once a control has it.
    let free = ui.memory(|m| m.focused()).is_none();
    let applies = |command| free || !matches!(command, C::RowByArrow(_) | C::StateByArrow(_));
    for command in pressed(ui.ctx(), ROWS, applies) {
        if let C::Row(by) | C::RowByArrow(by) = command {
            step(row, by);
        }
    }
    match &row.scene.subject {
        Subject::Feature(of) => {
            for command in pressed(ui.ctx(), FEATURE, applies) {
                judge_by(command, row, of);
            }
        }
        Subject::Spot(of) => {
            for command in pressed(ui.ctx(), SPOT, applies) {
                find_by(command, row, of);
            }
        }
    }
}

/// Chooses or judges the state in focus.
fn judge_by(command: CompareCommand, row: &mut InView<'_, '_>, of: &FeatureSubject) {
    let index = row.focused();
    let given = of.states.get(index).and_then(|cell| cell.verdict.as_ref());
    let given = given.map(|verdict| verdict.ruling);
    let usual = Ruling::CannotTell(row.usual_reason());
    let (states, ruling) = match command {
        C::State(asked) if asked < of.states.len() => {
            row.state.focus = asked;
            return;
        }
        C::StateByArrow(by) => {
            let last = of.states.len().saturating_sub(1);
            row.state.focus = row.state.focus.saturating_add_signed(by).min(last);
            return;
        }
        C::TakeBack if given.is_some() => {
            verdicts::take_back(row, of, index);
            return;
        }
        C::Agrees => (vec![index], Ruling::Agrees),
        C::Differs => (vec![index], Ruling::Differs),
        C::CannotTell => match given {
            Some(Ruling::CannotTell(why)) => (vec![index], Ruling::CannotTell(why.next())),
            _ => (vec![index], usual),
        },
        C::NoneToTell => ((0..of.states.len()).collect(), usual),
        C::OthersDiffer if given == Some(Ruling::Agrees) => {
            (verdicts::others_not_judged(of, index), Ruling::Differs)
        }
        _ => return,
    };
    if !states.is_empty() && index < of.states.len() {
        verdicts::give(row, of, &states, ruling);
    }
}

/// Says what both coins show at the spot.
fn find_by(command: CompareCommand, row: &mut InView<'_, '_>, of: &SpotSubject) {
    let now = of.finding().and_then(|f| f.found);
    let found = match (command, now) {
        (C::Agrees, _) => Found::Same,
        (C::Differs, Some(Found::Differs(kind))) => Found::Differs(kind.next()),
        (C::Differs, _) => Found::Differs(Difference::NotSaid),
        (C::CannotTell, Some(Found::CannotTell(why))) => Found::CannotTell(why.next()),
        (C::CannotTell, _) => Found::CannotTell(row.usual_reason()),
        (C::TakeBack, Some(_)) => {
            findings::take_back(row, of);
            return;
        }
        (C::KeepSpot, _) => {
            findings::keep_place(row.page, row.state, of);
            return;
        }
        _ => return,
    };
    findings::find(row, of, found);
}

/// Changes how coin and plate are looked at, whatever stands beside the coin.
fn look_by(command: CompareCommand, state: &mut ComparePage) {
    match command {
        C::Closer(times) => state.view = state.view.closer(times),
        C::Move(right, down) => {
            if let Some(frame) = state.frame {
                state.view = state.view.moved_on(&frame, right, down);
            }
        }
        C::WholeZone => state.view = ZoneView::default(),
        C::EvenLight => state.light_evened = if state.light_evened > 0.0 { 0.0 } else { 1.0 },
        C::NextLook => state.look = state.look.next(),
        C::SideBySide => state.look = Look::SideBySide,
        C::Swap => state.dials.swap(),
        C::Measure => {
            state.measuring = match state.measuring {
                None => Some(Measuring::new(MeasureKind::Distance)),
                Some(_) => None,
            };
        }
        C::StopMeasuring => state.measuring = None,
        _ => {}
    }
}
