//! The Align page's keys.

use egui::Key;

use super::place;
use super::state::AlignPage;
use crate::app::model::action::Action;
use crate::app::model::snapping::Snapping;
use crate::app::pages::Page;
use crate::app::widgets::camera::Camera;
use crate::app::widgets::command::{Command, Help, plain, pressed};
use crate::app::widgets::nudge::nudges;
use crate::app::widgets::pane;
use crate::geometry::PictureVector;
use crate::reference::Side;

/// An arrow key's nudge, in picture px; ten times as far with Shift.
const NUDGE_PX: f64 = 0.1;

/// What the page's keys ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum AlignCommand {
    Next,
    Previous,
    PutInTheMiddle,
    Snap,
    Remove,
    Deselect,
    Rim,
    Lens,
    Zones,
    Fit,
    FullSize,
    SinglePixels,
}

use AlignCommand as A;

const COMMANDS: &[Command<AlignCommand>] = &[
    of(A::Next, "Next landmark", &[plain(Key::N)]),
    of(A::Previous, "Previous landmark", &[plain(Key::P)]),
    of(
        A::PutInTheMiddle,
        "Place the landmark in the middle of the view",
        &[plain(Key::Enter)],
    ),
    of(A::Snap, "Snap the selected landmark", &[plain(Key::S)]),
    of(
        A::Remove,
        "Take the selected landmark off",
        &[plain(Key::Delete), plain(Key::Backspace)],
    ),
    of(A::Deselect, "Select nothing", &[plain(Key::Escape)]),
    of(A::Rim, "Show and correct the rim", &[plain(Key::R)]),
    of(A::Lens, "Magnifier", &[plain(Key::M)]),
    of(A::Zones, "Zones", &[plain(Key::Z)]),
    of(A::Fit, "The whole photo", &[plain(Key::F)]),
    of(
        A::FullSize,
        "One photo pixel to one of the screen",
        &[plain(Key::Num1)],
    ),
    of(
        A::SinglePixels,
        "Close enough to see single pixels",
        &[plain(Key::Num2)],
    ),
];

const fn of(
    asks: AlignCommand,
    words: &'static str,
    keys: &'static [egui::KeyboardShortcut],
) -> Command<AlignCommand> {
    Command { asks, words, keys }
}

/// The page's part of the list of keys.
#[must_use]
pub fn help() -> Help {
    Help::new("Align")
        .input("Click", "Place the selected landmark")
        .input("Drag", "Move a landmark, or the photo")
        .input("Space or middle button, drag", "Move the photo")
        .input("Wheel, pinch", "Zoom at the pointer")
        .input(
            "Arrow keys",
            "Move the selected landmark by 0.1 px, with Shift by 1 px",
        )
        .commands(COMMANDS)
}

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
    let on_photo = ui.memory(|m| m.has_focus(photo_id()));
    for command in pressed(ui.ctx(), COMMANDS, |c| c != A::PutInTheMiddle || on_photo) {
        carry_out(command, state, page);
    }
}

fn carry_out(command: AlignCommand, state: &mut AlignPage, page: &mut Page<'_>) {
    let side = page.bench.side;
    match command {
        A::Next => step_selection(state, page, 1),
        A::Previous => step_selection(state, page, -1),
        A::PutInTheMiddle => {
            if let Some(sight) = state.seen[side] {
                let name = state.selected(side).cloned();
                place::place_selected(state, page, sight.camera.centre);
                state.select(side, name);
            }
        }
        A::Snap => {
            if let Some(name) = place::to_snap(state, page) {
                page.push(Action::Snap(side, Snapping::Placed(name)));
            }
        }
        A::Remove => place::remove_selected(state, page),
        A::Deselect => state.select(side, None),
        A::Rim => state.rim = state.rim.other(),
        A::Lens => state.lens = state.lens.other(),
        A::Zones => state.zones = state.zones.other(),
        A::Fit => state.photo_views[side].fit(),
        A::FullSize => zoom(state, side, 1.0),
        A::SinglePixels => zoom(state, side, super::photo::PIXELS),
    }
}

fn zoom(state: &mut AlignPage, side: Side, zoom: f64) {
    if let Some(sight) = state.seen[side] {
        state.photo_views[side].look(Camera { zoom, ..sight.camera });
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
