//! The dies of a side: support of those in, every cause of those out.

use egui::{Label, Rect, RichText, Sense, Ui, Vec2};

use crate::app::pages::standing::{OUT_AT_FIRST, percent, title};
use crate::app::widgets::marks::Mark;
use crate::app::widgets::rows::rows_ui;
use crate::app::widgets::theme::palette;
use crate::evidence::DieStanding;
use crate::reference::{ReferenceSet, Side};

/// Draws them.
pub fn dies_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, dies: &[DieStanding], all: &mut bool) {
    let name = match side {
        Side::Obverse => "Obverse dies",
        Side::Reverse => "Reverse dies",
    };
    let mut still: Vec<&DieStanding> = dies.iter().filter(|die| die.is_in()).collect();
    still.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    let out: Vec<&DieStanding> = dies.iter().filter(|die| !die.is_in()).collect();
    title(ui, &format!("{name}: {} of {} still in", still.len(), dies.len()));
    let shown = if *all {
        out.len()
    } else {
        OUT_AT_FIRST.min(out.len())
    };
    still.extend(&out[..shown]);
    rows_ui(ui, ("dies", side), &still, |ui, die| die_ui(ui, set, side, die));
    if shown < out.len() {
        let more = out.len() - shown;
        if ui
            .button(format!("Show {more} more {} dies that are out", side.word()))
            .clicked()
        {
            *all = true;
        }
    }
}

fn die_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, die: &DieStanding) {
    /// Room for a die's name, in points.
    const NAME: f32 = 84.0;
    let palette = palette(ui);
    ui.spacing_mut().interact_size.y = 18.0;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let (mark, word) = match (die.is_in(), die.doubts.is_empty()) {
            (true, true) => (Mark::Yes, "in"),
            (true, false) => (Mark::Attention, "in doubt"),
            (false, _) => (Mark::No, "out"),
        };
        mark.show(ui);
        let name = RichText::new(format!("{} {word}", die.die)).strong();
        ui.allocate_ui(Vec2::new(NAME, 18.0), |ui| {
            ui.set_width(NAME);
            ui.add(Label::new(name).truncate());
        });
        let (bar, _) = ui.allocate_exact_size(Vec2::new(90.0, 8.0), Sense::hover());
        ui.painter().rect_filled(bar, 2.0, palette.raised);
        #[expect(clippy::cast_possible_truncation, reason = "a share of 0 to 1")]
        let share = die.probability.clamp(0.0, 1.0) as f32;
        let filled = Rect::from_min_size(bar.min, Vec2::new(bar.width() * share, bar.height()));
        let color = if die.is_in() {
            palette.accent
        } else {
            palette.quiet
        };
        ui.painter().rect_filled(filled, 2.0, color);
        let supporting = match die.supporting {
            0 => "no verdict speaks for it".to_owned(),
            1 => "1 verdict speaks for it".to_owned(),
            n => format!("{n} verdicts speak for it"),
        };
        ui.label(RichText::new(format!("{}, {supporting}", percent(die.probability))).weak());
    });
    let note = set.side(side).die(&die.die).map_or("", |d| d.note.as_str());
    if die.out.is_empty() && die.doubts.is_empty() && note.is_empty() {
        return;
    }
    ui.indent(("die", side, &die.die.0), |ui| {
        if !die.doubts.is_empty() {
            ui.label("A slip, or an unlisted die: look again.");
        }
        for cause in die.out.iter().chain(&die.doubts) {
            ui.add(Label::new(RichText::new(cause.sentence(set)).color(palette.text)).wrap());
        }
        if !note.is_empty() {
            ui.add(Label::new(RichText::new(note).weak()).wrap());
        }
    });
}
