//! The line above the cells: the question, its zone, and how it is looked at.

use egui::{Align, Button, Layout, RichText, Slider, Ui};

use super::ComparePage;
use super::marks::Mark;
use super::model::feature_at_distance;
use super::scene::{Coin, Scene};
use super::zoom::ZoneView;
use crate::app::action::Action;
use crate::app::bench::Step;
use crate::app::page::Page;

/// Draws it.
pub fn header_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage, scene: &Scene) {
    ui.horizontal(|ui| {
        for (steps, text, name) in [
            (-1, "\u{2039}", "Previous feature (P)"),
            (1, "\u{203a}", "Next feature (N)"),
        ] {
            let response = ui.add(Button::new(text)).on_hover_text(name);
            let response = response.accessible_name(name);
            if response.clicked() {
                step(page, scene, steps);
            }
        }
        let question = RichText::new(&scene.feature.question).size(17.0).strong();
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            view_controls(ui, state);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                ui.add(egui::Label::new(question).truncate());
            });
        });
    });
    ui.horizontal_wrapped(|ui| {
        ui.weak(format!(
            "{}: {}. Telling detail {:.2} mm.",
            match scene.side {
                crate::reference::Side::Obverse => "Obverse",
                crate::reference::Side::Reverse => "Reverse",
            },
            scene.zone.title,
            scene.zone.telling_detail_mm
        ));
        warnings_ui(ui, page, scene);
    });
    ui.add_space(2.0);
}

fn view_controls(ui: &mut Ui, state: &mut ComparePage) {
    let moved = !state.view.is_whole_zone();
    if ui
        .add_enabled(moved, Button::new("Whole zone"))
        .on_hover_text("Back to the whole zone: key Z. Wheel zooms at the pointer, dragging moves all cells.")
        .clicked()
    {
        state.view = ZoneView::default();
    }
    ui.weak(format!("{:.1}\u{d7}", state.view.zoom));
    let mut percent = state.light_evened * 100.0;
    let slider = Slider::new(&mut percent, 0.0..=100.0)
        .fixed_decimals(0)
        .suffix(" %");
    ui.spacing_mut().slider_width = 70.0;
    let response = ui.add(slider).on_hover_text(
        "Evens the light of coin and plates alike, so that relief lit from different sides compares. Changes only \
         what is shown; 0 % shows the pictures as they are.",
    );
    if response.accessible_name("Even light").changed() {
        state.light_evened = percent / 100.0;
    }
    if state.light_evened > 0.0 {
        ui.label(RichText::new("Light evened").color(Mark::Attention.color(ui)));
    } else {
        ui.weak("Even light");
    }
}

/// What stands against trusting this zone, before a verdict is given.
fn warnings_ui(ui: &mut Ui, page: &mut Page<'_>, scene: &Scene) {
    let Coin::Ready { .. } = scene.coin else {
        return;
    };
    let Some(radius) = scene.worst_radius_mm() else {
        return;
    };
    if radius > scene.zone.telling_detail_mm {
        Mark::Attention.show(ui);
        ui.label(
            RichText::new(format!(
                "Placed to \u{b1} {radius:.2} mm only: a shift as small as the telling detail may be the alignment\u{2019}s."
            ))
            .color(Mark::Attention.color(ui)),
        );
        if ui.link("Improve the alignment").clicked() {
            page.actions.push(Action::GoToStep(Step::Align));
        }
    }
}

/// Goes on by some features.
pub fn step(page: &mut Page<'_>, scene: &Scene, steps: isize) {
    let there = feature_at_distance(&page.bench.set, scene.side, &scene.feature.id, steps);
    if let Some((side, feature)) = there {
        page.actions.push(Action::ShowFeature(side, feature));
    }
}
