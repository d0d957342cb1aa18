//! How well the landmarks fit: the model, the residuals, the uncertainty of each zone and what to do about it.

use std::sync::Arc;

use egui::{Role, Ui, WidgetInfo};

use super::rim;
use super::state::AlignPage;
use crate::align::{Advice, AlignError, Alignment};
use crate::app::model::action::Action;
use crate::app::pages::Page;
use crate::app::widgets::paint::within_words;
use crate::app::widgets::theme::{self, Palette, palette};
use crate::geometry::Model;
use crate::specimen::{Edit, PhotoEdit};
use crate::words;

/// Draws the alignment's summary.
pub fn fit_ui(ui: &mut Ui, state: &mut AlignPage, page: &mut Page<'_>) {
    let p = palette(ui);
    let side = page.bench.side;
    if page.bench.record().photo(side).is_none() {
        return;
    }
    ui.label(theme::strong("Alignment"));
    ui.add_space(4.0);
    let derived = page.bench.derived();
    let zone_radii_mm = Arc::clone(&derived.zone_radii_mm[side]);
    match derived.alignments[side].clone() {
        None => {}
        Some(Err(_)) => {
            model_ui(ui, page, None);
            rim::rim_ui(ui, &p, state, page);
        }
        Some(Ok(alignment)) => {
            model_ui(ui, page, Some(&alignment));
            rim::rim_ui(ui, &p, state, page);
            numbers_ui(ui, &p, &alignment);
            zones_ui(ui, &p, page, &zone_radii_mm);
        }
    }
}

/// The alignment in a line, always in view, and what the user should do next.
pub fn summary_ui(ui: &mut Ui, state: &mut AlignPage, page: &mut Page<'_>) {
    let p = palette(ui);
    let side = page.bench.side;
    match page.bench.derived().alignments[side].clone() {
        None => {}
        Some(Err(error)) => {
            let colour = match error {
                AlignError::TooFew { .. } | AlignError::NoRotation => p.text,
                AlignError::Degenerate => p.warn,
            };
            let first = matches!(error, AlignError::TooFew { given: 0, .. });
            let words = match state.selected(side) {
                Some(name) if first => format!("Click the place of \u{201c}{name}\u{201d} on the photo."),
                None if first => "Choose a landmark in the list and click its place on the photo.".to_owned(),
                _ => error.to_string(),
            };
            ui.colored_label(colour, words);
            if first {
                rim::first_ui(ui, &p, state, page);
            }
        }
        Some(Ok(alignment)) => {
            let zone_radii_mm = &page.bench.derived().zone_radii_mm[side];
            let worst = zone_radii_mm.iter().copied().fold(0.0, f64::max);
            let how = if alignment.held { "held" } else { "by evidence" };
            let (px, _) = rms(&alignment);
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 10.0;
                // Never broken within: a value stays with its sign and unit.
                ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
                ui.label(theme::strong(words::model_title(alignment.model)))
                    .on_hover_text(words::model_explanation(alignment.model));
                ui.colored_label(p.quiet, how).on_hover_text(
                    "\u{201c}By evidence\u{201d}: the simplest model that the landmarks do not speak against. \
                     \u{201c}Held\u{201d}: chosen by you, under Alignment.",
                );
                // Of two landmarks or fewer it is small whatever they are.
                if alignment.landmarks.len() > EXACT_BY {
                    ui.colored_label(p.quiet, format!("residual {px:.2} px"))
                        .on_hover_text(RESIDUAL);
                }
                ui.colored_label(p.quiet, format!("worst zone {}", within_words(worst, 2)))
                    .on_hover_text("How far the least certain zone may be off on this photo (95 %)");
            });
            advice_ui(ui, &p, state, page, &alignment);
        }
    }
}

/// As many landmarks as a similarity passes through exactly.
const EXACT_BY: usize = 2;

const RESIDUAL: &str = "How far the landmarks lie from where the fit puts them: the root of the mean square. Small alone \
                        is no proof of a good alignment; what counts is how far the zones may be off.";

/// The residuals' root mean square, in px and in mm.
fn rms(alignment: &Alignment) -> (f64, f64) {
    let count = alignment.landmarks.len().max(1) as f64;
    let of = |square: &dyn Fn(&crate::align::LandmarkError) -> f64| {
        (alignment.landmarks.iter().map(square).sum::<f64>() / count).sqrt()
    };
    (
        of(&|l| l.residual_px.square_length()),
        of(&|l| l.residual_mm.powi(2)),
    )
}

fn advice_ui(ui: &mut Ui, p: &Palette, state: &mut AlignPage, page: &Page<'_>, alignment: &Alignment) {
    /// More at a time and none is read.
    const MOST: usize = 2;
    for advice in alignment.advice.iter().take(MOST) {
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
        (Some(model), _) => format!("Held: {}", words::model_choice(model)),
        (None, Some(a)) => format!("By evidence: {}", words::model_choice(a.model)),
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
                    let title = choice.map_or("By evidence", words::model_choice);
                    let hover = choice.map_or(
                        "Chosen by how well each model foretells landmarks that it was not fitted to, not by their number.",
                        words::model_explanation,
                    );
                    let response = ui.selectable_label(held == choice, title).on_hover_text(hover);
                    if response.clicked() && held != choice {
                        page.push(Action::edit(Edit::Photo(side, PhotoEdit::HoldModel(choice))));
                    }
                }
            });
        combo
            .response
            .widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, "Model"));
    });
}

fn numbers_ui(ui: &mut Ui, p: &Palette, alignment: &Alignment) {
    if alignment.landmarks.is_empty() {
        return;
    }
    let (px, mm) = rms(alignment);
    egui::Grid::new("align/numbers")
        .num_columns(2)
        .spacing([16.0, 2.0])
        .show(ui, |ui| {
            ui.colored_label(p.quiet, "Residual, RMS").on_hover_text(RESIDUAL);
            ui.label(format!("{px:.2} px   {mm:.3} mm"));
            ui.end_row();
            ui.colored_label(p.quiet, "Placing noise").on_hover_text(
                "How far a landmark is off by hand, per coordinate: from the residuals and what is usual",
            );
            ui.label(format!("{:.2} px", alignment.noise_px));
            ui.end_row();
        });
}

/// What the two columns beside a zone's title take, in points.
const NUMBERS_WIDTH: f32 = 200.0;

fn zones_ui(ui: &mut Ui, p: &Palette, page: &Page<'_>, zone_radii_mm: &[f64]) {
    let zones = &page.bench.set.side(page.bench.side).zones;
    if zones.is_empty() {
        return;
    }
    ui.add_space(4.0);
    ui.label(theme::strong("Zones")).on_hover_text(
        "How far each zone may be off on this photo (95 %), against the smallest detail that tells there",
    );
    let title_width = (ui.available_width() - NUMBERS_WIDTH).max(60.0);
    egui::Grid::new("align/zones")
        .num_columns(3)
        .spacing([12.0, 2.0])
        .show(ui, |ui| {
            for (zone, &off) in zones.iter().zip(zone_radii_mm) {
                // A grid gives a column no width of its own; what is left of the two others belongs to the title.
                ui.allocate_ui_with_layout(
                    egui::vec2(title_width, ui.spacing().interact_size.y.min(18.0)),
                    egui::Layout::left_to_right(egui::Align::Center),
                    |ui| ui.add(egui::Label::new(zone.shown_title()).truncate()),
                );
                ui.label(within_words(off, 2));
                if off > zone.telling_detail_mm {
                    ui.colored_label(p.warn, format!("over {:.2} mm", zone.telling_detail_mm))
                        .on_hover_text("Less certain than the smallest detail that tells there");
                } else {
                    ui.colored_label(p.quiet, format!("of {:.2} mm", zone.telling_detail_mm));
                }
                ui.end_row();
            }
        });
}
