//! The bar at the window's top: the specimen, the four steps and the side in view.

use crate::app::action::Action;
use crate::app::bench::Step;
use crate::app::window::{Screen, Window};
use crate::reference::Side;

/// Draws the bar.
pub fn top_bar_ui(ui: &mut egui::Ui, window: &Window, actions: &mut Vec<Action>) {
    egui::Panel::top("top bar").show(ui, |ui| {
        ui.horizontal(|ui| {
            if ui.button("Cabinet").clicked() {
                actions.push(Action::GoToStart);
            }
            let Some(bench) = &window.bench else { return };
            ui.separator();
            for step in Step::ALL {
                let here = matches!(window.screen, Screen::Bench) && bench.step == step;
                if ui.selectable_label(here, step.words()).clicked() {
                    actions.push(Action::GoToStep(step));
                }
            }
            ui.separator();
            for side in Side::BOTH {
                let words = match side {
                    Side::Obverse => "Obverse",
                    Side::Reverse => "Reverse",
                };
                if ui.selectable_label(bench.side == side, words).clicked() {
                    actions.push(Action::ShowSide(side));
                }
            }
        });
    });
}
