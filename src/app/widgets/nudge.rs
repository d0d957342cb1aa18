//! Arrow keys that move something a little, and the gestures by which edits in a row become one step of undo.

use egui::{Key, Modifiers, Ui};

/// How many times farther a nudge goes with Shift.
const LARGE: f64 = 10.0;
/// Nudges farther apart than this, in s, are steps of undo of their own.
const ONE_GESTURE_S: f64 = 1.0;

/// A press of an arrow key: steps to the right and down on the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nudge {
    /// To the right.
    pub right: f64,
    /// Down.
    pub down: f64,
    /// With Alt: what can be resized is resized and not moved.
    pub resizes: bool,
}

/// The arrow keys pressed since the last frame; with Shift they go farther.
pub fn nudges(ui: &Ui) -> Vec<Nudge> {
    let (plain, shift, alt) = (Modifiers::NONE, Modifiers::SHIFT, Modifiers::ALT);
    let mut nudges = Vec::new();
    for (key, right, down) in [
        (Key::ArrowLeft, -1.0, 0.0),
        (Key::ArrowRight, 1.0, 0.0),
        (Key::ArrowUp, 0.0, -1.0),
        (Key::ArrowDown, 0.0, 1.0),
    ] {
        // The most modifiers first: without it the plain key would answer all.
        for (modifiers, steps, resizes) in [
            (shift | alt, LARGE, true),
            (alt, 1.0, true),
            (shift, LARGE, false),
            (plain, 1.0, false),
        ] {
            let presses = ui.input_mut(|i| i.count_and_consume_key(modifiers, key));
            let (right, down) = (right * steps, down * steps);
            nudges.extend((0..presses).map(|_| Nudge { right, down, resizes }));
        }
    }
    nudges
}

/// Numbers gestures, so that each drag is a step of undo of its own and nudges in quick succession are one.
#[derive(Debug, Default)]
pub struct Gestures {
    count: u64,
    /// What was nudged last, by which gesture, and when in the window's seconds.
    nudged: Option<(String, u64, f64)>,
}

impl Gestures {
    /// A gesture number not used before.
    pub fn begin(&mut self) -> u64 {
        self.count += 1;
        self.count
    }

    /// The gesture of a nudge at `now_s`: that of the nudge before where it moved the same thing just now.
    pub fn nudge(&mut self, what: &str, now_s: f64) -> u64 {
        let gesture = match &self.nudged {
            Some((last, gesture, at_s)) if last == what && now_s - at_s < ONE_GESTURE_S => *gesture,
            _ => self.begin(),
        };
        self.nudged = Some((what.to_owned(), gesture, now_s));
        gesture
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nudges_in_quick_succession_are_one_gesture() {
        let mut gestures = Gestures::default();
        let first = gestures.nudge("stop", 10.0);
        assert_eq!(gestures.nudge("stop", 10.9), first);
        let other = gestures.nudge("letter", 11.0);
        assert_ne!(other, first);
        assert_ne!(gestures.nudge("letter", 12.5), other);
    }
}
