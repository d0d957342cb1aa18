//! The list of landmarks: which are placed, and how well each agrees with the rest.

use egui::{Role, Ui, WidgetInfo};

use super::place;
use super::state::AlignPage;
use crate::align::{Alignment, LandmarkError};
use crate::app::bench::index;
use crate::app::page::Page;
use crate::app::theme::{Palette, palette};
use crate::app::view::compare::marks::Mark;
use crate::reference::Landmark;

/// Draws the list.
pub fn landmarks_ui(ui: &mut Ui, state: &mut AlignPage, page: &mut Page<'_>) {
    let p = palette(ui);
    let side = page.bench.side;
    let set = std::sync::Arc::clone(&page.bench.set);
    let landmarks = &set.side(side).landmarks;
    let placed = page
        .bench
        .record()
        .photo(side)
        .map_or(0, |photo| photo.landmarks.len());
    ui.horizontal(|ui| {
        ui.strong("Landmarks");
        ui.colored_label(p.quiet, format!("{placed} of {} placed", landmarks.len()));
    });
    ui.add_space(4.0);
    let alignment = page.bench.derived().alignments[index(side)]
        .clone()
        .and_then(Result::ok);
    for (number, landmark) in (1..).zip(landmarks) {
        row_ui(ui, &p, state, page, alignment.as_deref(), number, landmark);
    }
    if landmarks.is_empty() {
        ui.colored_label(
            p.quiet,
            format!("The set names no landmarks of the {}.", side.word()),
        );
    }
}

fn row_ui(
    ui: &mut Ui,
    p: &Palette,
    state: &mut AlignPage,
    page: &mut Page<'_>,
    alignment: Option<&Alignment>,
    number: usize,
    landmark: &Landmark,
) {
    let side = page.bench.side;
    let name = &landmark.name;
    let is_placed = page
        .bench
        .record()
        .photo(side)
        .is_some_and(|photo| photo.landmarks.contains_key(name));
    let error = alignment.and_then(|a| a.landmarks.iter().find(|l| &l.name == name));
    let selected = state.selected(side) == Some(name);
    let status = match (is_placed, error) {
        (false, _) => "not placed".to_owned(),
        (true, Some(error)) => format!(
            "{}{:.1} px  {:.3} mm",
            if error.disagrees { "! " } else { "" },
            error.residual_px.length(),
            error.residual_mm
        ),
        (true, None) => "placed".to_owned(),
    };
    let colour = match (is_placed, error.is_some_and(|e| e.disagrees)) {
        (_, true) => p.warn,
        (true, _) => p.text,
        (false, _) => p.quiet,
    };
    let mark = if is_placed { Mark::Yes } else { Mark::Blank };
    let row = egui::Button::selectable(selected, (mark.atom(ui), format!("{number}  {name}")))
        .right_text(egui::RichText::new(&status).color(if selected { p.on_accent } else { colour }))
        .min_size(egui::vec2(ui.available_width(), 0.0));
    let response = ui.add(row);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, selected, name.as_str()));
    if response.clicked() {
        state.select(side, (!selected).then(|| name.clone()));
    }
    if selected {
        detail_ui(ui, p, state, page, landmark, is_placed, error);
    }
}

fn detail_ui(
    ui: &mut Ui,
    p: &Palette,
    state: &mut AlignPage,
    page: &mut Page<'_>,
    landmark: &Landmark,
    is_placed: bool,
    error: Option<&LandmarkError>,
) {
    ui.indent("align/landmark", |ui| {
        if !landmark.hint.is_empty() {
            ui.label(&landmark.hint);
        }
        if let Some(off) = error.and_then(|e| e.left_out_px) {
            let text = format!("{:.1} px from where the others alone put it", off.length());
            let disagrees = error.is_some_and(|e| e.disagrees);
            ui.colored_label(if disagrees { p.warn } else { p.quiet }, text);
        }
        if is_placed {
            ui.horizontal(|ui| {
                if ui
                    .button("Remove")
                    .on_hover_text("Take it off the photo, to place it again (Delete)")
                    .clicked()
                {
                    place::remove_selected(state, page);
                }
                ui.colored_label(p.quiet, "Arrow keys move it by 0.1 px, with Shift by 1 px.");
            });
        } else {
            ui.colored_label(p.quiet, "Click its place on the photo.");
        }
    });
}
