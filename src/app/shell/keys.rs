//! The keys that work on every screen, and the list of all keys for the user.

use egui::{Key, Modifiers};

use super::overlay::Overlay;
use super::window::{Screen, Window};
use crate::app::model::action::Action;
use crate::app::model::bench::Step;
use crate::app::pages::workshop::WorkshopAction;
use crate::reference::Side;

/// The keys as the user reads them: a heading, then each key with what it does.
pub const LIST: &[(&str, &[(&str, &str)])] = &[
    (
        "Everywhere",
        &[
            ("Ctrl+N", "New specimen"),
            ("Ctrl+O", "Open a specimen"),
            ("Ctrl+S", "Save now"),
            ("Ctrl+Z", "Undo"),
            ("Ctrl+Shift+Z", "Redo"),
            ("Ctrl+1 to Ctrl+4", "Align, Compare, Standing, Sheet"),
            ("Ctrl+D", "The coin's other side"),
            ("F1", "These keys"),
        ],
    ),
    (
        "Align",
        &[
            ("Click", "Place the selected landmark"),
            ("Drag", "Move a landmark, or the photo"),
            ("Space or middle button, drag", "Move the photo"),
            ("Wheel, pinch", "Zoom at the pointer"),
            ("F, 1, 2", "Fit, 100 %, single pixels"),
            (
                "Arrow keys",
                "Move the selected landmark by 0.1 px, with Shift by 1 px",
            ),
            ("N, P", "Next and previous landmark"),
            ("Enter", "Place the landmark in the middle of the view"),
            ("S", "Snap the selected landmark"),
            ("Delete", "Take the selected landmark off"),
            ("R", "Show and correct the rim"),
            ("M, Z", "Magnifier, zones"),
        ],
    ),
    (
        "Compare",
        &[
            ("N, P", "Next and previous feature"),
            ("1 to 9", "A state"),
            ("A, D, C", "Agrees, differs, cannot tell"),
            ("O", "All other states differ"),
            ("X", "Take a verdict back"),
            ("Z", "The zone as a whole again"),
            (
                "Plus, minus, Shift with arrows",
                "Closer, farther, move all crops",
            ),
            ("V, S, L", "The next instrument, side by side, even light"),
            ("B", "Plates or another coin beside yours"),
            ("K", "With another coin: keep the place in view as a spot"),
        ],
    ),
    (
        "Reference sets, on a plate",
        &[
            ("Arrow keys", "Move the rim, landmark or zone that is selected"),
            ("Shift with arrow keys", "The same, ten times as far"),
            ("Alt with arrow keys", "Resize the selected zone"),
            (
                "Enter",
                "Place a landmark, or begin a zone, in the middle of the view",
            ),
            (
                "Delete",
                "Take the landmark off the plate; remove a zone that no feature uses",
            ),
            ("Escape", "Select nothing"),
        ],
    ),
];

impl Window {
    /// Answers the keys that work everywhere.
    pub(in crate::app) fn answer_keys(&mut self, ctx: &egui::Context) {
        let pressed = |modifiers, key| ctx.input_mut(|i| i.consume_key(modifiers, key));
        let (command, shift) = (Modifiers::COMMAND, Modifiers::COMMAND | Modifiers::SHIFT);
        if pressed(Modifiers::NONE, Key::F1) {
            self.overlay = match self.overlay {
                Overlay::Keys => Overlay::None,
                _ => Overlay::Keys,
            };
        }
        if !matches!(self.overlay, Overlay::None) {
            return;
        }
        if pressed(command, Key::N) {
            self.push(Action::NewSpecimen);
        }
        if pressed(command, Key::O) {
            self.push(Action::OpenSpecimen(None));
        }
        if matches!(self.screen, Screen::Workshop) {
            self.answer_workshop_keys(ctx);
            return;
        }
        if self.bench.is_none() || !matches!(self.screen, Screen::Bench) {
            return;
        }
        if pressed(command, Key::S) {
            self.push(Action::Save);
        }
        // While a text is being typed these keys undo the typing.
        if !ctx.text_edit_focused() {
            // Shift first: without it the plain key would answer both.
            if pressed(shift, Key::Z) || pressed(command, Key::Y) {
                self.push(Action::Redo);
            } else if pressed(command, Key::Z) {
                self.push(Action::Undo);
            }
        }
        for (step, key) in Step::ALL
            .into_iter()
            .zip([Key::Num1, Key::Num2, Key::Num3, Key::Num4])
        {
            if pressed(command, key) {
                self.push(Action::GoToStep(step));
            }
        }
        if pressed(command, Key::D) {
            let other = match self.bench.as_ref().map(|b| b.side) {
                Some(Side::Obverse) => Side::Reverse,
                _ => Side::Obverse,
            };
            self.push(Action::ShowSide(other));
        }
    }

    fn answer_workshop_keys(&mut self, ctx: &egui::Context) {
        let pressed = |modifiers, key| ctx.input_mut(|i| i.consume_key(modifiers, key));
        let (command, shift) = (Modifiers::COMMAND, Modifiers::COMMAND | Modifiers::SHIFT);
        let mut asked = Vec::new();
        if pressed(command, Key::S) {
            asked.push(WorkshopAction::Save);
        }
        // While a text is being typed these keys undo the typing.
        if !ctx.text_edit_focused() {
            if pressed(shift, Key::Z) || pressed(command, Key::Y) {
                asked.push(WorkshopAction::Redo);
            } else if pressed(command, Key::Z) {
                asked.push(WorkshopAction::Undo);
            }
        }
        self.apply_workshop(asked);
    }
}
