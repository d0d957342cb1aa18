//! The list of spots with what was found at each.

use egui::text::LayoutJob;
use egui::{Button, FontSelection, RichText, ScrollArea, TextStyle, Ui, Vec2};

use super::model::place_in_view;
use super::scene::PairScene;
use crate::app::model::action::Action;
use crate::app::model::page::Page;
use crate::app::pages::compare::ComparePage;
use crate::app::pages::compare::marks::Mark;
use crate::app::pages::compare::pair::{beside_ui, picker};
use crate::specimen::{Found, Spot};
use crate::words::{finding_words, spot_title};

/// Draws the list.
pub fn list_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage, scene: Option<&PairScene>) {
    ui.add_space(8.0);
    beside_ui(ui, page, state);
    ui.separator();
    let Some(scene) = scene else {
        return;
    };
    picker::chosen_ui(ui, page, &scene.named.title);
    ui.separator();
    let judged = scene
        .spots
        .iter()
        .filter(|spot| found(scene, spot).is_some_and(|f| f.found.is_some()))
        .count();
    let side = crate::app::model::bench::title(scene.side);
    ui.weak(format!("{side}: {judged} of {} spots judged", scene.spots.len()));
    let button = Button::new("Keep this place (K)").wrap();
    let hover = "Keeps what the crops show now as a spot of your own: cracks and clash marks lie outside the \
                 set\u{2019}s zones. Pan and zoom there first.";
    if ui.add(button).on_hover_text(hover).clicked() {
        keep_place(page, state, scene);
    }
    ui.add_space(2.0);
    let set = std::sync::Arc::clone(&page.bench.set);
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        for spot in &scene.spots {
            let finding = found(scene, spot);
            let (title, words) = (spot_title(&set, scene.side, spot), finding_words(finding));
            let selected = spot.is_same(&scene.spot);
            let mark = mark_of(finding.and_then(|f| f.found));
            let text = two_lines(ui, &title, &words, selected);
            let button = Button::selectable(selected, (mark.atom(ui), text))
                .wrap()
                .min_size(Vec2::new(ui.available_width(), 24.0));
            let response = ui.add(button).accessible_name(format!("{title}: {words}"));
            if response.clicked() {
                state.pair.choose(scene.side, spot.clone());
            }
        }
    });
}

fn found<'a>(scene: &'a PairScene, spot: &Spot) -> Option<&'a crate::specimen::Finding> {
    scene.comparison.as_ref()?.finding(spot)
}

/// Keeps what is in view as a spot of the user's own, and goes on there.
pub fn keep_place(page: &mut Page<'_>, state: &mut ComparePage, scene: &PairScene) {
    let Some(frame) = state.frame else {
        return;
    };
    let spot = place_in_view(&frame);
    if crate::flow::spot_zone(&page.bench.set, scene.side, &spot).is_none() {
        page.actions.push(Action::Complain(
            "What is in view lies off the coin: pan back to the place that you want to keep.".to_owned(),
        ));
        return;
    }
    state.pair.choose(scene.side, spot.clone());
    let (side, named) = (scene.side, scene.named.clone());
    page.actions
        .push(Action::change("keeping a place", move |record| {
            record.compare_with(side, &named, |c| {
                c.finding_mut(&spot);
            });
        }));
}

/// The mark of what was found.
pub fn mark_of(found: Option<Found>) -> Mark {
    match found {
        None => Mark::Blank,
        Some(Found::Same) => Mark::Yes,
        Some(Found::Differs(_)) => Mark::No,
        Some(Found::CannotTell(_)) => Mark::CannotTell,
    }
}

fn two_lines(ui: &Ui, title: &str, words: &str, selected: bool) -> LayoutJob {
    let mut job = LayoutJob::default();
    let style = ui.style();
    let body = RichText::new(format!("{title}\n"));
    let body = if selected { body.strong() } else { body };
    body.append_to(&mut job, style, FontSelection::Default, egui::Align::Center);
    RichText::new(words)
        .text_style(TextStyle::Small)
        .weak()
        .append_to(&mut job, style, FontSelection::Default, egui::Align::Center);
    job
}
