//! The likelihood ratio on its verbal scale.

use egui::{Align2, FontId, Label, Rect, RichText, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

use super::title;
use crate::app::widgets::theme::palette;
use crate::evidence::{LikelihoodRatio, VerbalScale};

/// Draws it.
pub fn scale_ui(ui: &mut Ui, ratio: Option<LikelihoodRatio>) {
    title(ui, "How strongly the verdicts speak");
    let here = ratio.filter(|r| r.log10 >= 0.0).map(LikelihoodRatio::verbal);
    let words = match (ratio, here) {
        (Some(ratio), Some(step)) => format!("Likelihood ratio {ratio}: {}", step.words()),
        (Some(_), None) => "The verdicts alone favour another pairing".to_owned(),
        (None, _) => "No second pairing is left to compare with".to_owned(),
    };
    ui.add(Label::new(RichText::new(&words).strong()).wrap());
    ladder(ui, here, &words);
    ui.add(
        Label::new(
            RichText::new(
                "How many times likelier these verdicts are if the coin is of the best pairing than of the next best. \
                 Wording after the ENFSI guideline for evaluative reporting, 2015.",
            )
            .weak(),
        )
        .wrap(),
    );
}

/// Seven steps, the one in force filled and named.
fn ladder(ui: &mut Ui, here: Option<VerbalScale>, words: &str) {
    const HEIGHT: f32 = 34.0;
    let width = ui.available_width();
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, HEIGHT), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, words));
    let palette = palette(ui);
    let steps = VerbalScale::ALL;
    let step_width = width / steps.len() as f32;
    for (i, step) in steps.into_iter().enumerate() {
        let left = rect.left() + i as f32 * step_width;
        let bar = Rect::from_min_size(
            egui::pos2(left, rect.top() + 3.0),
            Vec2::new(step_width - 3.0, 12.0),
        );
        let reached = here.is_some_and(|h| step <= h);
        let fill = if reached { palette.accent } else { palette.raised };
        ui.painter().rect_filled(bar, 2.0, fill);
        ui.painter()
            .rect_stroke(bar, 2.0, Stroke::new(1.0, palette.line), StrokeKind::Inside);
        ui.painter().text(
            bar.left_bottom() + Vec2::new(1.0, 3.0),
            Align2::LEFT_TOP,
            from_words(step),
            FontId::proportional(10.5),
            if here == Some(step) {
                palette.text
            } else {
                palette.quiet
            },
        );
    }
}

fn from_words(step: VerbalScale) -> String {
    match step {
        VerbalScale::NoSupport => "below 2".to_owned(),
        _ => {
            let from = step.at_least();
            if from >= 1e6 {
                "1 million".to_owned()
            } else if from >= 1e3 {
                format!("{:.0} 000", from / 1e3)
            } else {
                format!("{from:.0}")
            }
        }
    }
}
