//! The listed pairings in a table, with why each that is out is out.

use egui::{Label, RichText, Ui, Vec2};

use crate::app::pages::standing::{OUT_AT_FIRST, percent, title};
use crate::app::widgets::marks::Mark;
use crate::app::widgets::rows::rows_ui;
use crate::app::widgets::theme::palette;
use crate::evidence::{PairingStanding, Standing};
use crate::reference::{Pairing, ReferenceSet};
use crate::words::open_world_sentence;

/// Draws them.
pub fn pairings_ui(ui: &mut Ui, set: &ReferenceSet, standing: &Standing, all: &mut bool) {
    let mut still: Vec<&PairingStanding> = standing.pairings.iter().filter(|p| p.is_in()).collect();
    still.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    let out: Vec<&PairingStanding> = standing.pairings.iter().filter(|p| !p.is_in()).collect();
    title(
        ui,
        &format!(
            "{} of {} listed pairings still in",
            still.len(),
            standing.pairings.len()
        ),
    );
    let shown = if *all {
        out.len()
    } else {
        OUT_AT_FIRST.min(out.len())
    };
    still.extend(&out[..shown]);
    rows_ui(ui, "pairings", &still, |ui, its| row_ui(ui, set, its));
    if !standing.judged.is_empty() {
        ui.add(Label::new(RichText::new(open_world_sentence(&standing.open_world)).weak()).wrap());
    }
    if shown < out.len() {
        let more = out.len() - shown;
        if ui
            .button(format!("Show {more} more pairings that are out"))
            .clicked()
        {
            *all = true;
        }
    }
}

fn row_ui(ui: &mut Ui, set: &ReferenceSet, its: &PairingStanding) {
    let pairing = &set.pairings[its.index];
    let palette = palette(ui);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        let (mark, word) = if its.is_in() {
            (Mark::Yes, "in")
        } else {
            (Mark::No, "out")
        };
        mark.show(ui);
        let mut cell = |width: f32, text: RichText| {
            ui.allocate_ui(Vec2::new(width, 18.0), |ui| {
                ui.set_width(width);
                ui.add(Label::new(text).truncate());
            });
        };
        cell(24.0, RichText::new(word));
        cell(88.0, RichText::new(&pairing.catalogue).strong());
        cell(
            96.0,
            RichText::new(format!("{} / {}", pairing.obverse, pairing.reverse)),
        );
        cell(72.0, RichText::new(percent(its.probability)));
        ui.vertical(|ui| {
            for cause in &its.out {
                ui.add(Label::new(RichText::new(cause.sentence(set)).color(palette.text)).wrap());
            }
            let about = about(set, pairing);
            if !about.is_empty() {
                ui.add(Label::new(RichText::new(about).weak()).wrap());
            }
        });
    });
    ui.add_space(2.0);
}

/// What the set knows of a pairing: rarity with its meaning, its facts and its note.
fn about(set: &ReferenceSet, pairing: &Pairing) -> String {
    let mut parts = Vec::new();
    if let Some(id) = &pairing.rarity {
        let meaning = set
            .rarity_band(id)
            .map_or_else(|| id.to_string(), |band| format!("{id}, {}", band.meaning));
        parts.push(format!("Rarity {meaning}"));
    }
    for (fact, values) in &pairing.facts {
        let name = set
            .facts
            .iter()
            .find(|q| &q.id == fact)
            .map_or(fact.as_str(), |q| q.question.trim_end_matches(['?', ':']));
        parts.push(format!("{name}: {}", values.join(" or ")));
    }
    if !pairing.note.is_empty() {
        parts.push(pairing.note.clone());
    }
    let mut text = String::new();
    for part in parts {
        let part = part.trim();
        text.push_str(part);
        text.push_str(if part.ends_with('.') { " " } else { ". " });
    }
    text.trim_end().to_owned()
}
