//! The commands that hold on every screen: menus, buttons, keys and the list of keys are made from one table.

use egui::Key;

use super::overlay::Overlay;
use super::window::{Screen, Window};
use crate::app::model::action::Action;
use crate::app::model::bench::Step;
use crate::app::pages;
use crate::app::pages::workshop::WorkshopAction;
use crate::app::widgets::command::{Command, Help, ctrl, ctrl_shift, key_words, plain, pressed};
use crate::files::log;
use crate::reference::Side;

/// What may be asked for on every screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WindowCommand {
    /// Begin a specimen.
    NewSpecimen,
    /// Open one.
    OpenSpecimen,
    /// Save what is open.
    Save,
    /// Undo.
    Undo,
    /// Redo.
    Redo,
    /// Show a step.
    Step(Step),
    /// Show the coin's other side.
    OtherSide,
    /// Give the specimen another title.
    Rename,
    /// Choose the photo of a side.
    Photo(Side),
    /// Show the reference sets.
    Sets,
    /// Show the settings.
    Settings,
    /// Show the list of keys.
    Keys,
    /// Show the log.
    Log,
}

use WindowCommand as W;

/// The table.
const COMMANDS: &[Command<WindowCommand>] = &[
    of(W::NewSpecimen, "New specimen", &[ctrl(Key::N)]),
    of(W::OpenSpecimen, "Open a specimen", &[ctrl(Key::O)]),
    of(W::Save, "Save now", &[ctrl(Key::S)]),
    of(W::Undo, "Undo", &[ctrl(Key::Z)]),
    of(W::Redo, "Redo", &[ctrl_shift(Key::Z), ctrl(Key::Y)]),
    of(W::Step(Step::Align), "Align", &[ctrl(Key::Num1)]),
    of(W::Step(Step::Compare), "Compare", &[ctrl(Key::Num2)]),
    of(W::Step(Step::Standing), "Standing", &[ctrl(Key::Num3)]),
    of(W::Step(Step::Sheet), "Sheet", &[ctrl(Key::Num4)]),
    of(W::OtherSide, "The coin\u{2019}s other side", &[ctrl(Key::D)]),
    of(W::Rename, "Rename the specimen", &[]),
    of(W::Photo(Side::Obverse), "The obverse photo", &[]),
    of(W::Photo(Side::Reverse), "The reverse photo", &[]),
    of(W::Sets, "Reference sets", &[]),
    of(W::Settings, "Settings", &[]),
    of(W::Keys, "Keys", &[plain(Key::F1)]),
    of(W::Log, "The log", &[]),
];

/// The menu's groups.
pub(super) const MENU: [&[WindowCommand]; 3] = [
    &[W::NewSpecimen, W::OpenSpecimen],
    &[
        W::Save,
        W::Rename,
        W::Photo(Side::Obverse),
        W::Photo(Side::Reverse),
        W::Undo,
        W::Redo,
    ],
    &[W::Sets, W::Settings, W::Keys, W::Log],
];

const fn of(
    asks: WindowCommand,
    words: &'static str,
    keys: &'static [egui::KeyboardShortcut],
) -> Command<WindowCommand> {
    Command { asks, words, keys }
}

/// The key of a command as the user reads it; empty where it has none.
pub(super) fn key_of(command: WindowCommand) -> String {
    let known = COMMANDS.iter().find(|known| known.asks == command);
    known.map_or_else(String::new, key_words)
}

/// The list of keys, screen by screen.
pub(super) fn help() -> Vec<Help> {
    let mut parts = vec![Help::new("Everywhere").commands(COMMANDS), pages::align::help()];
    parts.extend(pages::compare::help());
    parts.push(pages::workshop::help());
    parts
}

impl Window {
    /// Answers the keys that hold on every screen.
    pub(super) fn answer_keys(&mut self, ctx: &egui::Context) {
        let covered = !matches!(self.overlay, Overlay::None);
        let typing = ctx.text_edit_focused();
        let asked = pressed(ctx, COMMANDS, |command| match command {
            W::Keys => true,
            // While a text is being typed these keys undo the typing.
            W::Undo | W::Redo if typing => false,
            _ => !covered && self.label(command).is_some(),
        });
        for command in asked {
            self.carry_out(command);
        }
    }

    /// How the menu names a command now; none where it does not apply.
    pub(super) fn label(&self, command: WindowCommand) -> Option<String> {
        let bench = self
            .bench
            .as_ref()
            .filter(|_| matches!(self.screen, Screen::Bench));
        let workshop = self
            .workshop
            .as_ref()
            .filter(|_| matches!(self.screen, Screen::Workshop));
        let undo = match (bench, workshop) {
            (Some(bench), _) => Some((bench.history.undo_words(), bench.history.redo_words())),
            (_, Some(workshop)) => Some((workshop.history.undo_words(), workshop.history.redo_words())),
            _ => None,
        };
        match command {
            W::NewSpecimen => Some("New specimen".to_owned()),
            W::OpenSpecimen => Some("Open specimen\u{2026}".to_owned()),
            W::Save => undo.map(|_| "Save now".to_owned()),
            W::Undo => undo.and_then(|(undo, _)| Some(format!("Undo {}", undo?))),
            W::Redo => undo.and_then(|(_, redo)| Some(format!("Redo {}", redo?))),
            W::Step(step) => bench.map(|_| step.words().to_owned()),
            W::OtherSide => bench.map(|_| "The coin\u{2019}s other side".to_owned()),
            W::Rename => bench.map(|_| "Rename the specimen\u{2026}".to_owned()),
            W::Photo(side) => bench.map(|bench| {
                let chosen = bench.record().photo(side).is_some();
                let what = if chosen { "Replace" } else { "Choose" };
                format!("{what} the {} photo\u{2026}", side.word())
            }),
            W::Sets => Some("Reference sets\u{2026}".to_owned()),
            W::Settings => Some("Settings\u{2026}".to_owned()),
            W::Keys => Some("Keys".to_owned()),
            W::Log => Some("Show the log".to_owned()),
        }
    }

    /// Carries a command out.
    pub(super) fn carry_out(&mut self, command: WindowCommand) {
        let in_workshop = matches!(self.screen, Screen::Workshop);
        let bench = self.bench.as_ref();
        match command {
            W::NewSpecimen => self.apply(Action::NewSpecimen),
            W::OpenSpecimen => self.apply(Action::OpenSpecimen(None)),
            W::Save if in_workshop => self.apply_workshop(vec![WorkshopAction::Save]),
            W::Undo if in_workshop => self.apply_workshop(vec![WorkshopAction::Undo]),
            W::Redo if in_workshop => self.apply_workshop(vec![WorkshopAction::Redo]),
            W::Save => self.apply(Action::Save),
            W::Undo => self.apply(Action::Undo),
            W::Redo => self.apply(Action::Redo),
            W::Step(step) => self.apply(Action::GoToStep(step)),
            W::OtherSide => {
                if let Some(other) = bench.map(|bench| bench.side.other()) {
                    self.apply(Action::ShowSide(other));
                }
            }
            W::Rename => {
                if let Some(title) = bench.map(|bench| bench.record().title.clone()) {
                    self.overlay = Overlay::Rename(title);
                }
            }
            W::Photo(side) => self.apply(Action::ChoosePhoto(side, None)),
            W::Sets => self.apply(Action::GoToWorkshop),
            W::Settings => self.overlay = Overlay::Settings,
            W::Log => self.overlay = Overlay::Log(log::for_a_report()),
            W::Keys => {
                self.overlay = match self.overlay {
                    Overlay::Keys => Overlay::None,
                    _ => Overlay::Keys,
                }
            }
        }
    }
}
