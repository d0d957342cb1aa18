//! The line above the cells: the question, its zone, and how it is looked at.

use egui::{Align, Button, Label, Layout, RichText, Slider, Ui, Vec2};

use super::ComparePage;
use super::marks::Mark;
use super::model::feature_at_distance;
use super::scene::{Coin, Scene};
use super::warning::Warning;
use super::zoom::ZoneView;
use crate::app::model::action::Action;
use crate::app::model::bench::Step;
use crate::app::model::page::Page;
use crate::app::pages::compare::{fine_shift, instruments, measure, quality};
use crate::app::widgets::paint::within_words;

/// Draws it.
pub fn header_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage, scene: &Scene) {
    ui.horizontal(|ui| {
        if let Some(steps) = step_buttons_ui(ui, "feature") {
            step(page, scene, steps);
        }
        let question = RichText::new(&scene.feature.question).size(17.0).strong();
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            zoom_ui(ui, state, "Whole zone");
            telling_detail_ui(ui, scene.zone.telling_detail_mm);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                ui.add(Label::new(question).truncate());
                if ui.available_width() > ROOM_FOR_A_TITLE {
                    let zone = RichText::new(scene.zone.shown_title()).weak();
                    ui.add(Label::new(zone).truncate());
                }
            });
        });
    });
    ui.horizontal_wrapped(|ui| {
        // While points are placed the line keeps to one row, whatever it says: the crops must not move under the hand.
        let ready = matches!(scene.coin, Coin::Ready { .. });
        if state.measuring.is_some() {
            let stated = scene
                .focused(state.focus)
                .and_then(|s| s.cell.stated.as_ref())
                .map(super::model::stated_what);
            measure::measure_button_ui(ui, state, ready, stated);
            return;
        }
        instruments::look_ui(ui, state);
        ui.separator();
        light_ui(ui, state);
        ui.separator();
        measure::measure_button_ui(ui, state, ready, None);
        fine_shift::button_ui(ui, page, state, scene);
    });
    warnings_ui(ui, page, state, scene);
    fine_shift::shift_ui(ui, page, state, scene);
    ui.add_space(2.0);
}

/// The buttons to the one before and the one after: how many steps to go, where one is pressed.
pub(super) fn step_buttons_ui(ui: &mut Ui, what: &str) -> Option<isize> {
    let mut steps = None;
    for (step, text, name) in [
        (-1, "\u{2039}", format!("Previous {what} (P)")),
        (1, "\u{203a}", format!("Next {what} (N)")),
    ] {
        let button = Button::new(RichText::new(text).size(16.0)).min_size(Vec2::new(26.0, 24.0));
        let response = ui.add(button).on_hover_text(&name).accessible_name(&name);
        if response.clicked() {
            steps = Some(step);
        }
    }
    steps
}

/// With less room than this nothing of the zone's title could be read, in points.
pub(super) const ROOM_FOR_A_TITLE: f32 = 60.0;

/// The zone's telling detail, which is never cut: every ± on the page is held against it.
pub(super) fn telling_detail_ui(ui: &mut Ui, detail_mm: f64) {
    ui.add(Label::new(RichText::new(format!("telling detail {detail_mm:.2} mm")).weak()).extend())
        .on_hover_text(
            "The smallest detail that tells dies apart here. A photo that does not show it, or an alignment less \
             certain than it, cannot decide.",
        );
}

pub(super) fn zoom_ui(ui: &mut Ui, state: &mut ComparePage, whole: &str) {
    let moved = !state.view.is_whole_zone();
    if ui
        .add_enabled(moved, Button::new(whole))
        .on_hover_text("Back to all of it: key Z. The wheel zooms at the pointer, dragging moves all cells.")
        .clicked()
    {
        state.view = ZoneView::default();
    }
    ui.weak(format!("{:.1}\u{d7}", state.view.zoom));
}

pub(super) fn light_ui(ui: &mut Ui, state: &mut ComparePage) {
    let on = state.light_evened > 0.0;
    let words = if on {
        RichText::new("Light evened").color(Mark::Attention.color(ui))
    } else {
        RichText::new("Even light")
    };
    ui.label(words);
    let mut percent = state.light_evened * 100.0;
    ui.spacing_mut().slider_width = if instruments::is_narrow(ui) { 44.0 } else { 70.0 };
    let slider = Slider::new(&mut percent, 0.0..=100.0)
        .fixed_decimals(0)
        .suffix(" %");
    let response = ui
        .add(slider)
        .on_hover_text(
            "Evens the light of coin and plates alike, so that relief lit from different sides compares. It changes \
             only what is shown; 0 % shows the pictures as they are. Key L switches it.",
        )
        .accessible_name("Even light");
    if response.changed() {
        state.light_evened = percent / 100.0;
    }
}

/// What stands against trusting this zone, before a verdict is given.
fn warnings_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &Scene) {
    let photo = quality::warning(state, scene);
    let radius = match scene.coin {
        Coin::Ready { .. } => scene
            .worst_radius_mm()
            .filter(|radius| *radius > scene.zone.telling_detail_mm),
        Coin::Missing { .. } => None,
    };
    if photo.is_none() && radius.is_none() {
        return;
    }
    ui.horizontal(|ui| {
        if let Some(radius) = radius {
            let within = within_words(radius, 2);
            let warning = Warning {
                short: format!("Placed to {within} only"),
                full: format!(
                    "Placed to {within} only: a shift as small as the telling detail may be the alignment\u{2019}s."
                ),
            };
            // Its place is kept free first: what follows is cut where the line ends.
            warning.short_ui(ui);
            if ui.link("Improve the alignment").clicked() {
                page.actions.push(Action::GoToStep(Step::Align));
            }
        }
        if let Some(warning) = photo {
            warning.line_ui(ui);
        }
    });
}

/// Goes on by some features.
pub fn step(page: &mut Page<'_>, scene: &Scene, steps: isize) {
    let there = feature_at_distance(&page.bench.set, scene.side, &scene.feature.id, steps);
    if let Some((side, feature)) = there {
        page.actions.push(Action::ShowFeature(side, feature));
    }
}
