//! What to look at next.

use egui::{RichText, Ui};

use super::title;
use crate::app::model::action::Action;
use crate::app::model::bench::Step;
use crate::app::pages::Page;
use crate::app::widgets::marks::Mark;
use crate::evidence::Standing;
use crate::reference::{FeatureId, ReferenceSet, Side};

/// The most features offered.
const MOST_OFFERED: usize = 4;

/// Draws it; nothing where nothing would tell more.
pub fn next_ui(ui: &mut Ui, page: &mut Page<'_>, set: &ReferenceSet, standing: &Standing) {
    if standing.next.is_empty() {
        return confirm_ui(ui, page, set, standing);
    }
    title(ui, "Look next");
    for (place, next) in standing.next.iter().take(MOST_OFFERED).enumerate() {
        let Some(feature) = set.side(next.side).feature(&next.feature) else {
            continue;
        };
        ui.horizontal(|ui| {
            let mark = if place == 0 { Mark::Best } else { Mark::Blank };
            mark.show(ui);
            if ui.link(&feature.question).clicked() {
                show_feature(page, next.side, &next.feature);
            }
            let what = if place == 0 { "tells most" } else { "would tell" };
            ui.label(
                RichText::new(format!(
                    "{}, {what}: {:.2} bits",
                    next.side.word(),
                    next.gain_bits
                ))
                .weak(),
            )
            .on_hover_text(
                "The information a verdict is expected to give: each bit halves the pairings that are left.",
            );
        });
    }
    ui.add_space(14.0);
}

/// Draws what would confirm the likeliest pairing where nothing tells the listed ones further apart.
fn confirm_ui(ui: &mut Ui, page: &mut Page<'_>, set: &ReferenceSet, standing: &Standing) {
    if standing.unconfirmed.is_empty() {
        return;
    }
    title(ui, "Look next");
    for (side, id) in standing.unconfirmed.iter().take(MOST_OFFERED) {
        let Some(feature) = set.side(*side).feature(id) else {
            continue;
        };
        ui.horizontal(|ui| {
            Mark::Blank.show(ui);
            if ui.link(&feature.question).clicked() {
                show_feature(page, *side, id);
            }
            let words = format!("{}, would betray a die that the set does not list", side.word());
            ui.label(RichText::new(words).weak());
        });
    }
    ui.add_space(14.0);
}

/// Goes to a feature on the Compare page.
pub fn show_feature(page: &mut Page<'_>, side: Side, feature: &FeatureId) {
    page.actions.push(Action::ShowFeature(side, feature.clone()));
    page.actions.push(Action::GoToStep(Step::Compare));
}
