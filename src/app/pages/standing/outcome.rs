//! The outcome with its meaning, and the choice of the prior.

use egui::{Frame, Label, Margin, Rect, RichText, Sense, Stroke, Ui, Vec2};

use super::title;
use crate::app::model::action::Action;
use crate::app::pages::Page;
use crate::app::widgets::marks::Mark;
use crate::app::widgets::theme::palette;
use crate::evidence::{Prior, Recheck, Standing};
use crate::reference::ReferenceSet;
use crate::words::OPINION;

/// Draws the outcome.
pub fn outcome_ui(ui: &mut Ui, page: &mut Page<'_>, set: &ReferenceSet, standing: &Standing) {
    let mark = Mark::of_outcome(&standing.outcome);
    let palette = palette(ui);
    Frame::NONE
        .fill(palette.raised)
        .stroke(Stroke::new(1.0, palette.line))
        .corner_radius(6.0)
        .inner_margin(Margin::same(14))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_top(|ui| {
                let (rect, _) = ui.allocate_exact_size(Vec2::splat(26.0), Sense::hover());
                let square = Rect::from_center_size(rect.center(), Vec2::splat(22.0));
                mark.paint(ui.painter(), square, mark.color(ui), palette.raised);
                let headline = RichText::new(standing.outcome.headline(set)).size(20.0).strong();
                ui.add(Label::new(headline).wrap());
            });
            ui.add_space(4.0);
            for sentence in standing.explanation(set) {
                ui.add(Label::new(sentence).wrap());
            }
            rechecks_ui(ui, page, set, standing);
            ui.add_space(4.0);
            ui.add(Label::new(RichText::new(OPINION).weak()).wrap());
        });
}

fn rechecks_ui(ui: &mut Ui, page: &mut Page<'_>, set: &ReferenceSet, standing: &Standing) {
    for recheck in &standing.recheck {
        let Recheck::Feature { side, feature, .. } = recheck else {
            continue;
        };
        let question = set
            .side(*side)
            .feature(feature)
            .map_or(feature.as_str(), |f| f.question.as_str());
        if ui.link(format!("Look again: {question}")).clicked() {
            super::next::show_feature(page, *side, feature);
        }
    }
}

/// Draws the choice of the prior.
pub fn prior_ui(ui: &mut Ui, page: &mut Page<'_>) {
    title(ui, "Before any verdict");
    let now = page.bench.prior;
    for (prior, words) in [
        (Prior::Equal, "all listed pairings count alike"),
        (
            Prior::EstimatedKnown,
            "pairings count by how many are thought to exist",
        ),
    ] {
        if ui.radio(now == prior, words).clicked() {
            page.actions.push(Action::UsePrior(prior));
        }
    }
    ui.add_space(2.0);
    let words = RichText::new(
            "The choice moves the percentages, not the likelihood ratio, which rests on the verdicts alone. Estimated \
             numbers are the set author\u{2019}s, and a common pairing is not a reason to see it.",
        )
        .weak();
    ui.add(Label::new(words).wrap());
}
