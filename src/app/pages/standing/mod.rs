//! The Standing page: the outcome with its meaning, what is left of dies and pairings and why the rest is out.

mod dies;
mod grid;
mod next;
mod outcome;
mod pairings;
mod scale;

use std::sync::Arc;

use egui::{Align, Frame, Layout, Margin, RichText, ScrollArea, Ui, Vec2};

use crate::app::model::action::Action;
use crate::app::pages::Page;
use crate::app::widgets::marks::Mark;
use crate::app::widgets::theme::palette;
use crate::evidence::Standing;
use crate::reference::{ReferenceSet, Side, Sides};
use crate::words::OPINION;

/// What the page remembers of how it looks.
#[derive(Debug, Default)]
pub struct StandingPage {
    /// Whether dies that are out are listed past the first few.
    all_dies: Sides<bool>,
    /// Whether pairings that are out are listed past the first few.
    all_pairings: bool,
}

/// Rows of dies or pairings that are out, listed before the rest is asked for.
const OUT_AT_FIRST: usize = 24;
/// Below this width in points the page stands in one column.
const TWO_COLUMNS_FROM: f32 = 820.0;

/// Lines longer than the page at this width are hard to read.
const MOST_WIDTH: f32 = 1320.0;

/// Draws the page.
pub fn standing_ui(ui: &mut Ui, state: &mut StandingPage, page: &mut Page<'_>) {
    let standing = Arc::clone(&page.bench.derived().standing);
    let set = Arc::clone(&page.bench.set);
    Frame::NONE
        .inner_margin(Margin::symmetric(16, 12))
        .show(ui, |ui| {
            ScrollArea::vertical()
                .id_salt("standing")
                .auto_shrink([false, false])
                .show(ui, |ui| {
                    ui.set_max_width(ui.available_width().min(MOST_WIDTH));
                    beside(
                        ui,
                        page,
                        |ui, page| outcome::outcome_ui(ui, page, &set, &standing),
                        |ui, page| {
                            scale::scale_ui(ui, standing.ratio);
                            ui.add_space(10.0);
                            outcome::prior_ui(ui, page);
                        },
                    );
                    ui.add_space(14.0);
                    next::next_ui(ui, page, &set, &standing);
                    let Sides { obverse, reverse } = &mut state.all_dies;
                    beside(
                        ui,
                        page,
                        |ui, _| dies::dies_ui(ui, &set, Side::Obverse, &standing.obverse, obverse),
                        |ui, _| dies::dies_ui(ui, &set, Side::Reverse, &standing.reverse, reverse),
                    );
                    ui.add_space(14.0);
                    grid::grid_ui(ui, &set, &standing);
                    ui.add_space(14.0);
                    pairings::pairings_ui(ui, &set, &standing, &mut state.all_pairings);
                    ui.add_space(14.0);
                    new_die_ui(ui, page);
                    ui.add_space(14.0);
                    cautions_ui(ui, &set, &standing);
                });
        });
}

/// The way out for a coin that fits no listed die.
fn new_die_ui(ui: &mut Ui, page: &mut Page<'_>) {
    title(ui, "Fits no listed die?");
    ui.label(
        "Recheck the verdicts first. If the coin still fits none, begin a new die in the reference set: its photo \
         becomes the die's first plate, and what you agreed to becomes what the die shows.",
    );
    ui.horizontal(|ui| {
        for side in Side::BOTH {
            let words = format!("New {} die from this coin\u{2026}", side.word());
            let there = page.bench.record().photo(side).is_some();
            let button = ui.add_enabled(there, egui::Button::new(words));
            if button
                .on_disabled_hover_text("There is no photo of this side yet.")
                .clicked()
            {
                page.push(Action::NewDieFromSpecimen(side));
            }
        }
    });
}

/// Two parts side by side, or one below the other where the window is narrow.
fn beside(
    ui: &mut Ui,
    page: &mut Page<'_>,
    left: impl FnOnce(&mut Ui, &mut Page<'_>),
    right: impl FnOnce(&mut Ui, &mut Page<'_>),
) {
    if ui.available_width() < TWO_COLUMNS_FROM {
        left(ui, page);
        ui.add_space(12.0);
        right(ui, page);
        return;
    }
    const GAP: f32 = 28.0;
    let width = ((ui.available_width() - GAP) / 2.0).floor();
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        column_ui(ui, width, |ui| left(ui, page));
        ui.add_space(GAP);
        column_ui(ui, width, |ui| right(ui, page));
    });
}

fn column_ui(ui: &mut Ui, width: f32, draw: impl FnOnce(&mut Ui)) {
    let layout = Layout::top_down(Align::LEFT);
    ui.allocate_ui_with_layout(Vec2::new(width, 0.0), layout, |ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        ui.set_width(width);
        draw(ui);
    });
}

/// A part's title.
fn title(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).size(15.0).strong());
    ui.add_space(2.0);
}

/// A line of text that starts with a mark and wraps beside it.
fn marked(ui: &mut Ui, mark: Mark, text: RichText) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        mark.show(ui);
        ui.add(egui::Label::new(text).wrap());
    });
}

/// A share as a percentage that never says more than is known.
fn percent(share: f64) -> String {
    match share * 100.0 {
        p if p <= 0.0 => "0 %".to_owned(),
        p if p < 1.0 => "under 1 %".to_owned(),
        p if p > 99.0 && p < 100.0 => "over 99 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}

fn cautions_ui(ui: &mut Ui, set: &ReferenceSet, standing: &Standing) {
    title(ui, "Cautions");
    for caution in &standing.cautions {
        marked(
            ui,
            Mark::Attention,
            RichText::new(caution.sentence(set)).color(palette(ui).text),
        );
    }
    for caution in &set.cautions {
        listed(ui, caution);
    }
    listed(ui, OPINION);
    listed(
        ui,
        "Only the dies and pairings of this set are weighed: a die that it does not list cannot be found here.",
    );
}

/// A line of a list.
fn listed(ui: &mut Ui, text: &str) {
    ui.add(egui::Label::new(format!("\u{2013} {text}")).wrap());
}

#[cfg(test)]
mod tests {
    use super::percent;

    #[test]
    fn a_share_is_not_rounded_to_certainty() {
        let words: Vec<String> = [0.0, 0.004, 0.42, 0.9962, 1.0].map(percent).into();
        assert_eq!(words, ["0 %", "under 1 %", "42 %", "over 99 %", "100 %"]);
    }
}
