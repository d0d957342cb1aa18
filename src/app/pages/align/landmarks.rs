//! The list of landmarks: which are placed, and how well each agrees with the rest.

use egui::text::{LayoutJob, TextWrapping};
use egui::{Align2, Response, Role, Sense, Stroke, StrokeKind, TextStyle, Ui, WidgetInfo, vec2};

use super::place;
use super::state::AlignPage;
use crate::align::{Alignment, LandmarkError};
use crate::app::model::action::Action;
use crate::app::model::snapping::{FEWEST_FOR_THE_REST, Snapping};
use crate::app::pages::Page;
use crate::app::widgets::theme::{self, Palette, palette};
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
        ui.label(theme::strong("Landmarks"));
        ui.colored_label(p.quiet, format!("{placed} of {} placed", landmarks.len()));
        let some_left = placed < landmarks.len() && placed >= FEWEST_FOR_THE_REST;
        if some_left
            && ui
                .button("Place the rest")
                .on_hover_text("Look for every other landmark where those placed say it lies; undoable")
                .clicked()
        {
            page.push(Action::Snap(side, Snapping::TheRest));
        }
    });
    ui.add_space(2.0);
    ui.spacing_mut().item_spacing.y = 1.0;
    let alignment = page.bench.derived().alignments[side].clone().and_then(Result::ok);
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
    let row = Row {
        number,
        name: name.as_str(),
        placed: is_placed,
        error,
        selected,
    };
    let response = row.show(ui, p);
    if response.clicked() {
        state.select(side, (!selected).then(|| name.clone()));
    }
    if selected {
        detail_ui(ui, p, state, page, landmark, is_placed, error);
        if state.scroll_to_selected {
            state.scroll_to_selected = false;
            let below = ui.min_rect().max;
            ui.scroll_to_rect(egui::Rect::from_min_max(response.rect.min, below), None);
        }
    }
}

/// From here on a residual is a mistake and its fractions say nothing, in px.
const WHOLE_PX_FROM: f64 = 100.0;

/// A row of the list.
struct Row<'a> {
    number: usize,
    name: &'a str,
    placed: bool,
    error: Option<&'a LandmarkError>,
    selected: bool,
}

impl Row<'_> {
    /// A row's height in points.
    const HEIGHT: f32 = 22.0;

    fn show(&self, ui: &mut Ui, p: &Palette) -> Response {
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), Self::HEIGHT), Sense::click());
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, self.selected, self.name));
        if !ui.is_rect_visible(rect) {
            return response;
        }
        let painter = ui.painter();
        if self.selected {
            painter.rect_filled(rect, 4.0, p.chosen);
        } else if response.hovered() {
            painter.rect_filled(rect, 4.0, p.raised);
        }
        if response.has_focus() {
            painter.rect_stroke(rect, 4.0, Stroke::new(1.0, p.accent), StrokeKind::Inside);
        }
        let disagrees = self.error.is_some_and(|e| e.disagrees);
        let colour = match (self.placed, disagrees) {
            (_, true) => p.warn,
            (true, false) => p.text,
            (false, false) => p.quiet,
        };
        let dot = rect.left_center() + vec2(11.0, 0.0);
        if self.placed {
            painter.circle_filled(dot, 4.0, colour);
        } else {
            painter.circle_stroke(dot, 3.5, Stroke::new(1.2, colour));
        }
        let font = TextStyle::Body.resolve(ui.style());
        let at = |x: f32| egui::pos2(x, rect.center().y);
        let number = at(rect.left() + 38.0);
        painter.text(number, Align2::RIGHT_CENTER, self.number, font.clone(), p.quiet);
        let right = match (self.placed, self.error) {
            (true, Some(error)) => {
                let places = usize::from(error.residual_px.length() < WHOLE_PX_FROM) * 2;
                let px = format!(
                    "{}{:.places$} px",
                    if disagrees { "!  " } else { "" },
                    error.residual_px.length()
                );
                let mm_places = if places == 0 { 1 } else { 3 };
                let mm = format!("{:.mm_places$} mm", error.residual_mm);
                painter.text(
                    at(rect.right() - 8.0),
                    Align2::RIGHT_CENTER,
                    mm,
                    font.clone(),
                    colour,
                );
                painter
                    .text(
                        at(rect.right() - 84.0),
                        Align2::RIGHT_CENTER,
                        px,
                        font.clone(),
                        colour,
                    )
                    .left()
            }
            (placed, _) => {
                let words = if placed { "placed" } else { "not placed" };
                painter
                    .text(
                        at(rect.right() - 8.0),
                        Align2::RIGHT_CENTER,
                        words,
                        font.clone(),
                        p.quiet,
                    )
                    .left()
            }
        };
        let mut job = LayoutJob::simple_singleline(self.name.to_owned(), font, colour);
        job.wrap = TextWrapping::truncate_at_width((right - rect.left() - 56.0).max(20.0));
        let galley = painter.layout_job(job);
        let y = rect.center().y - galley.size().y / 2.0;
        painter.galley(egui::pos2(rect.left() + 46.0, y), galley, colour);
        response
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
        ui.spacing_mut().item_spacing.y = 4.0;
        if !landmark.hint.is_empty() {
            ui.label(&landmark.hint);
        }
        if let Some(off) = error.and_then(|e| e.left_out_px) {
            let text = format!("{:.1} px from where the others alone put it", off.length());
            let disagrees = error.is_some_and(|e| e.disagrees);
            ui.colored_label(if disagrees { p.warn } else { p.quiet }, text)
                .on_hover_text(
                    "The alignment is fitted once more without this landmark: a wrong place shows here more plainly than \
                     in its residual, to which it has bent the fit.",
                );
        }
        if is_placed {
            ui.horizontal(|ui| {
                if ui
                    .button("Snap")
                    .on_hover_text("Let it go to where the plate's relief fits, to a fraction of a pixel (S)")
                    .clicked()
                {
                    let what = Snapping::Placed(landmark.name.clone());
                    page.push(Action::Snap(page.bench.side, what));
                }
                if ui
                    .button("Remove")
                    .on_hover_text("Take it off the photo, to place it again (Delete)")
                    .clicked()
                {
                    place::remove_selected(state, page);
                }
                ui.colored_label(p.quiet, "Arrow keys move it by 0.1 px");
            });
        } else {
            ui.colored_label(p.quiet, "Click its place on the photo.");
            if let Some(last) = place::to_snap(state, page)
                && ui
                    .button(format!("Snap \u{201c}{last}\u{201d}"))
                    .on_hover_text(
                        "Let the landmark placed last go to where the plate's relief fits, to a fraction of a pixel (S)",
                    )
                    .clicked()
            {
                page.push(Action::Snap(page.bench.side, Snapping::Placed(last)));
            }
        }
    });
}
