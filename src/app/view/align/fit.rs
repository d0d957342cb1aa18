//! How well the landmarks fit: the model, the residuals, the uncertainty of each zone and what to do about it.

use egui::{Role, Ui, WidgetInfo};

use super::state::AlignPage;
use crate::align::{Advice, AlignError, Alignment};
use crate::app::action::Action;
use crate::app::bench::index;
use crate::app::page::Page;
use crate::app::theme::{Palette, palette};
use crate::flow;
use crate::geometry::Model;

/// The model in words.
fn words(model: Model) -> &'static str {
    match model {
        Model::Similarity => "Similarity (square to the coin)",
        Model::Affine => "Affine (tilted, from afar)",
        Model::Homography => "Perspective (tilted, from near)",
    }
}

/// Draws the alignment's summary.
pub fn fit_ui(ui: &mut Ui, state: &mut AlignPage, page: &mut Page<'_>) {
    let p = palette(ui);
    let side = page.bench.side;
    if page.bench.record().photo(side).is_none() {
        return;
    }
    ui.strong("Alignment");
    ui.add_space(4.0);
    match page.bench.derived().alignments[index(side)].clone() {
        None => {}
        Some(Err(error)) => {
            let colour = match error {
                AlignError::TooFew { .. } | AlignError::NoTurn => p.quiet,
                AlignError::Degenerate => p.warn,
            };
            ui.colored_label(colour, error.to_string());
            model_ui(ui, page, None);
        }
        Some(Ok(alignment)) => {
            advice_ui(ui, &p, state, page, &alignment);
            model_ui(ui, page, Some(&alignment));
            numbers_ui(ui, &p, &alignment);
            zones_ui(ui, &p, page, &alignment);
        }
    }
}

fn advice_ui(ui: &mut Ui, p: &Palette, state: &mut AlignPage, page: &Page<'_>, alignment: &Alignment) {
    for advice in &alignment.advice {
        let to_select = match advice {
            Advice::Disagrees { name, .. } | Advice::PlaceNext { name } => Some(name),
            _ => None,
        };
        let quiet = matches!(advice, Advice::PlaceNext { .. });
        ui.horizontal_wrapped(|ui| {
            let colour = if quiet { p.quiet } else { p.warn };
            ui.colored_label(colour, advice.to_string());
            if let Some(name) = to_select
                && ui.link(if quiet { "Place it" } else { "Show it" }).clicked()
            {
                state.select(page.bench.side, Some(name.clone()));
            }
        });
    }
}

fn model_ui(ui: &mut Ui, page: &mut Page<'_>, alignment: Option<&Alignment>) {
    let side = page.bench.side;
    let held = page.bench.record().photo(side).and_then(|photo| photo.held_model);
    let text = match (held, alignment) {
        (Some(model), _) => format!("Held: {}", words(model)),
        (None, Some(a)) => format!("By evidence: {}", words(a.model)),
        (None, None) => "By evidence".to_owned(),
    };
    ui.horizontal(|ui| {
        ui.label("Model");
        let combo = egui::ComboBox::from_id_salt("align/model")
            .selected_text(text)
            .width(ui.available_width() - 8.0)
            .truncate()
            .show_ui(ui, |ui| {
                for choice in std::iter::once(None).chain(Model::ALL.map(Some)) {
                    let words = choice.map_or("By evidence", words);
                    if ui.selectable_label(held == choice, words).clicked() && held != choice {
                        let what = match choice {
                            Some(_) => "holding the model",
                            None => "letting the evidence choose the model",
                        };
                        page.push(Action::edit_photo(side, what.to_owned(), None, move |photo| {
                            photo.held_model = choice;
                        }));
                    }
                }
            });
        combo
            .response
            .widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, "Model"));
    });
}

fn numbers_ui(ui: &mut Ui, p: &Palette, alignment: &Alignment) {
    let squares: Vec<(f64, f64)> = alignment
        .landmarks
        .iter()
        .map(|l| (l.residual_px.square_length(), l.residual_mm.powi(2)))
        .collect();
    if squares.is_empty() {
        return;
    }
    let count = squares.len() as f64;
    let rms = |sum: f64| (sum / count).sqrt();
    let (px, mm) = (
        rms(squares.iter().map(|s| s.0).sum()),
        rms(squares.iter().map(|s| s.1).sum()),
    );
    egui::Grid::new("align/numbers")
        .num_columns(2)
        .spacing([16.0, 2.0])
        .show(ui, |ui| {
            ui.colored_label(p.quiet, "Residual, RMS");
            ui.label(format!("{px:.2} px   {mm:.3} mm"));
            ui.end_row();
            ui.colored_label(p.quiet, "Placing noise").on_hover_text(
                "How far a landmark is off by hand, per coordinate: from the residuals and what is usual",
            );
            ui.label(format!("{:.2} px", alignment.noise_px));
            ui.end_row();
        });
}

fn zones_ui(ui: &mut Ui, p: &Palette, page: &Page<'_>, alignment: &Alignment) {
    let zones = &page.bench.set.side(page.bench.side).zones;
    if zones.is_empty() {
        return;
    }
    ui.add_space(4.0);
    ui.strong("Zones").on_hover_text(
        "How far each zone may be off on this photo (95 %), against the smallest detail that tells there",
    );
    egui::Grid::new("align/zones")
        .num_columns(3)
        .spacing([12.0, 2.0])
        .show(ui, |ui| {
            for zone in zones {
                let off = flow::zone_uncertainty(alignment, None, zone).radius95_mm;
                ui.add(egui::Label::new(&zone.title).truncate());
                ui.label(format!("\u{b1}{off:.2} mm"));
                if off > zone.telling_detail_mm {
                    ui.colored_label(
                        p.warn,
                        format!("more than its {:.2} mm detail", zone.telling_detail_mm),
                    );
                } else {
                    ui.colored_label(p.quiet, format!("of {:.2} mm", zone.telling_detail_mm));
                }
                ui.end_row();
            }
        });
}
