//! The keys while another coin stands beside yours.

use egui::{Key, Modifiers, Ui};

use super::findings::{giving, taking_back, usual_reason};
use super::header::step;
use super::list::keep_place;
use super::scene::PairScene;
use crate::app::model::page::Page;
use crate::app::pages::compare::ComparePage;
use crate::app::pages::compare::keys::view_keys;
use crate::app::pages::compare::rulings::next_reason;
use crate::specimen::{Difference, Found};

/// Takes the keys, unless text is being typed.
pub fn keys(ui: &Ui, page: &mut Page<'_>, state: &mut ComparePage, scene: &PairScene) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    view_keys(ui, state);
    let pressed = |key: Key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    let no_focus = ui.memory(|m| m.focused()).is_none();
    if pressed(Key::N) || pressed(Key::PageDown) || (no_focus && pressed(Key::ArrowDown)) {
        step(state, scene, 1);
    }
    if pressed(Key::P) || pressed(Key::PageUp) || (no_focus && pressed(Key::ArrowUp)) {
        step(state, scene, -1);
    }
    let now = scene.finding().and_then(|f| f.found);
    if pressed(Key::A) {
        page.actions.push(giving(state, scene, Found::Same));
    }
    if pressed(Key::D) {
        let kind = match now {
            Some(Found::Differs(kind)) => kind.next(),
            _ => Difference::NotSaid,
        };
        page.actions.push(giving(state, scene, Found::Differs(kind)));
    }
    if pressed(Key::C) {
        let why = match now {
            Some(Found::CannotTell(why)) => next_reason(why),
            _ => usual_reason(state),
        };
        page.actions.push(giving(state, scene, Found::CannotTell(why)));
    }
    if pressed(Key::X) && now.is_some() {
        page.actions.push(taking_back(scene));
    }
    if pressed(Key::K) {
        keep_place(page, state, scene);
    }
}
