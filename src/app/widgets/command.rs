//! Commands as data: what is asked for, in which words and by which keys. The keys are answered, and the list of keys
//! for the user is made, from one table, so that the list cannot lack one.

use egui::{Context, Event, Key, KeyboardShortcut, ModifierNames, Modifiers};

/// A command of the window or of a page.
#[derive(Debug, Clone, Copy)]
pub struct Command<C: 'static> {
    /// What is asked for.
    pub asks: C,
    /// What it does, as menus and the list of keys say it. Neighbours in a table with the same words are one line of
    /// the list.
    pub words: &'static str,
    /// The keys that ask for it, the one to be shown first.
    pub keys: &'static [KeyboardShortcut],
}

/// A key alone.
#[must_use]
pub const fn plain(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}

/// A key with Shift.
#[must_use]
pub const fn shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::SHIFT, key)
}

/// A key with Ctrl, or the system's own key for commands.
#[must_use]
pub const fn ctrl(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}

/// A key with Ctrl and Shift.
#[must_use]
pub const fn ctrl_shift(key: Key) -> KeyboardShortcut {
    let modifiers = Modifiers {
        shift: true,
        ..Modifiers::COMMAND
    };
    KeyboardShortcut::new(modifiers, key)
}

/// The commands whose keys were pressed since the last frame, once a press. A command that does not apply leaves its
/// keys to others.
pub fn pressed<C: Copy>(ctx: &Context, commands: &[Command<C>], applies: impl Fn(C) -> bool) -> Vec<C> {
    let mut asked = Vec::new();
    ctx.input_mut(|input| {
        input.events.retain(|event| {
            let Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } = event
            else {
                return true;
            };
            let is_key = |k: &KeyboardShortcut| k.logical_key == *key && modifiers.matches_exact(k.modifiers);
            let command = commands
                .iter()
                .find(|command| command.keys.iter().any(is_key) && applies(command.asks));
            asked.extend(command.map(|command| command.asks));
            command.is_none()
        });
    });
    asked
}

/// The key of a command as the user reads it; empty where it has none.
#[must_use]
pub fn key_words<C>(command: &Command<C>) -> String {
    command.keys.first().map_or_else(String::new, one_key)
}

fn one_key(key: &KeyboardShortcut) -> String {
    key.format(&ModifierNames::NAMES, cfg!(target_os = "macos"))
}

/// A part of the list of keys: a heading, and what the user does with what it does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Help {
    /// Where it holds.
    pub heading: &'static str,
    /// Each line.
    pub lines: Vec<(String, &'static str)>,
}

impl Help {
    /// An empty one.
    #[must_use]
    pub fn new(heading: &'static str) -> Self {
        Self {
            heading,
            lines: Vec::new(),
        }
    }

    /// With a line that is no command: what the pointer or a held key does.
    #[must_use]
    pub fn input(mut self, input: &str, words: &'static str) -> Self {
        self.lines.push((input.to_owned(), words));
        self
    }

    /// With a line for each command that has a key.
    #[must_use]
    pub fn commands<C>(mut self, commands: &[Command<C>]) -> Self {
        for same in commands.chunk_by(|a, b| a.words == b.words) {
            let keys: Vec<&KeyboardShortcut> = same.iter().flat_map(|command| command.keys).collect();
            if !keys.is_empty() {
                self.lines.push((all_keys(&keys), same[0].words));
            }
        }
        self
    }
}

/// Several keys for one thing: the first and last of a row of digits, arrows as what they are.
fn all_keys(keys: &[&KeyboardShortcut]) -> String {
    const ARROWS: [Key; 4] = [Key::ArrowLeft, Key::ArrowRight, Key::ArrowUp, Key::ArrowDown];
    let words: Vec<String> = keys.iter().map(|key| one_key(key)).collect();
    match words.as_slice() {
        [first, _, .., last] if keys[0].logical_key == Key::Num1 => format!("{first} to {last}"),
        [first, ..] if keys.len() == 4 && keys.iter().all(|key| ARROWS.contains(&key.logical_key)) => {
            let arrow = keys[0].logical_key.name();
            format!("{}Arrow keys", first.trim_end_matches(arrow))
        }
        _ => words.join(", "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: &[Command<u8>] = &[
        Command {
            asks: 1,
            words: "Left or right",
            keys: &[plain(Key::C)],
        },
        Command {
            asks: 2,
            words: "Left or right",
            keys: &[shift(Key::C), plain(Key::Plus)],
        },
        Command {
            asks: 3,
            words: "Undo",
            keys: &[ctrl_shift(Key::Z)],
        },
    ];

    fn press(modifiers: Modifiers, key: Key, applies: impl Fn(u8) -> bool) -> (Vec<u8>, usize) {
        let ctx = Context::default();
        let mut asked = (Vec::new(), 0);
        let input = egui::RawInput {
            events: vec![Event::Key {
                key,
                physical_key: None,
                pressed: true,
                repeat: false,
                modifiers,
            }],
            ..Default::default()
        };
        let output = ctx.run_ui(input, |ui| {
            asked = (pressed(ui.ctx(), TABLE, &applies), ui.input(|i| i.events.len()));
        });
        output.drop_without_applying_deltas();
        asked
    }

    #[test]
    fn a_key_asks_for_its_command_with_its_modifiers_alone() {
        assert_eq!(press(Modifiers::NONE, Key::C, |_| true), (vec![1], 0));
        assert_eq!(press(Modifiers::SHIFT, Key::C, |_| true), (vec![2], 0));
        assert_eq!(press(Modifiers::COMMAND, Key::Z, |_| true), (vec![], 1));
        assert_eq!(press(Modifiers::NONE, Key::C, |_| false), (vec![], 1));
    }

    #[test]
    fn the_list_has_every_command_with_a_key() {
        let help = Help::new("Everywhere").input("Wheel", "Zoom").commands(TABLE);
        let lines: Vec<_> = help
            .lines
            .iter()
            .map(|(keys, words)| (keys.as_str(), *words))
            .collect();
        assert_eq!(
            lines[..2],
            [("Wheel", "Zoom"), ("C, Shift+C, Plus", "Left or right")]
        );
        assert_eq!(lines[2].1, "Undo");
        const DIGITS: &[Command<u8>] = &[Command {
            asks: 0,
            words: "A state",
            keys: &[plain(Key::Num1), plain(Key::Num2), plain(Key::Num3)],
        }];
        let help = Help::new("Digits").commands(DIGITS);
        assert_eq!(help.lines[0].0, "1 to 3");
    }
}
