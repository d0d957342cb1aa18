//! The plate beside the photo: where the selected landmark is on the design.

use std::sync::Arc;

use egui::{Rect, Role, Sense, Ui, Vec2, WidgetInfo};

use super::state::AlignPage;
use crate::app::model::bench::PlateKey;
use crate::app::model::picture_slot::PictureSlot;
use crate::app::model::shelf::PlateView;
use crate::app::pages::Page;
use crate::app::widgets::paint;
use crate::app::widgets::pane::{FitTo, PictureView, PrimaryDrag};
use crate::app::widgets::picture_marks::{self as marks, MarkKind};
use crate::app::widgets::theme::{Palette, palette};
use crate::geometry::PicturePoint;
use crate::photo::Picture;
use crate::reference::{Plate, SideReference};

/// Draws the plate with the choice of plates above it.
pub fn plate_ui(ui: &mut Ui, state: &mut AlignPage, page: &mut Page<'_>) {
    let p = palette(ui);
    let side = page.bench.side;
    egui::Frame::new().inner_margin(4).show(ui, |ui| {
        ui.horizontal(|ui| {
            choice_ui(ui, state, page);
            if state.plate_view.is_some()
                && ui
                    .button("Follow")
                    .on_hover_text("Show the selected landmark's surroundings again")
                    .clicked()
            {
                state.plate_view = None;
            }
        });
    });
    let rect = ui.available_rect_before_wrap();
    ui.advance_cursor_after_rect(rect);
    ui.painter().rect_filled(rect, 0.0, p.well);
    let set = Arc::clone(&page.bench.set);
    let chosen = state.plates[side].clone().and_then(|(die, n)| {
        let plate = set.side(side).die(&die)?.plates.get(n)?;
        Some(((side, die, n), plate))
    });
    let Some((key, plate)) = chosen else {
        say(ui, rect, &format!("The set has no {} plate.", side.word()));
        return;
    };
    let view = page.plates.get(&key);
    match &view.slot {
        PictureSlot::Ready(picture) => {
            picture_ui(ui, &p, state, page, rect, &key, picture, plate, &view);
        }
        PictureSlot::Failed(problem) => say(ui, rect, &problem.to_string()),
        PictureSlot::Loading(_) | PictureSlot::Empty => say(ui, rect, "Reading the plate\u{2026}"),
    }
}

fn say(ui: &mut Ui, rect: Rect, text: &str) {
    ui.put(rect.shrink(16.0), egui::Label::new(text).wrap());
}

fn choice_ui(ui: &mut Ui, state: &mut AlignPage, page: &Page<'_>) {
    let side = page.bench.side;
    let chosen = &mut state.plates[side];
    let words = |die: &str, n: usize, count: usize| {
        if count > 1 {
            format!("Plate of die {die}, {} of {count}", n + 1)
        } else {
            format!("Plate of die {die}")
        }
    };
    let reference = page.bench.set.side(side);
    let text = chosen.as_ref().map_or_else(
        || "No plate".to_owned(),
        |(die, n)| words(die.as_str(), *n, reference.die(die).map_or(1, |d| d.plates.len())),
    );
    let combo = egui::ComboBox::from_id_salt("align/plate choice")
        .selected_text(text)
        .width(180.0)
        .show_ui(ui, |ui| {
            for die in &reference.dies {
                for n in 0..die.plates.len() {
                    let here = chosen.as_ref().is_some_and(|(d, m)| *d == die.id && *m == n);
                    if ui
                        .selectable_label(here, words(die.id.as_str(), n, die.plates.len()))
                        .clicked()
                    {
                        *chosen = Some((die.id.clone(), n));
                    }
                }
            }
        });
    combo
        .response
        .widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, "Plate"));
}

/// Where a landmark is on the plate: as the set places it, else by the plate's alignment.
fn on_plate(
    reference: &SideReference,
    plate: &Plate,
    view: &PlateView,
    name: &crate::reference::LandmarkName,
) -> Option<PicturePoint> {
    plate.landmarks.get(name).copied().or_else(|| {
        let landmark = reference.landmark(name)?;
        let transform = view.aligned()?.landmark_transform(landmark);
        Some(transform.point_in_picture(landmark.place_mm))
    })
}

#[expect(clippy::too_many_arguments, reason = "one plate in one place")]
fn picture_ui(
    ui: &mut Ui,
    p: &Palette,
    state: &mut AlignPage,
    page: &mut Page<'_>,
    rect: Rect,
    key: &PlateKey,
    picture: &Arc<Picture>,
    plate: &Plate,
    plate_view: &PlateView,
) {
    let side = page.bench.side;
    let set = Arc::clone(&page.bench.set);
    let reference = set.side(side);
    let response = ui.interact(
        rect,
        egui::Id::unique("align/plate pane"),
        Sense::click_and_drag(),
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Plate of die {}", key.1)));
    let selected = state
        .selected(side)
        .and_then(|name| on_plate(reference, plate, plate_view, name));
    let whole = FitTo::whole(picture);
    // The surroundings of the selected landmark, close enough to see which point of the design is meant.
    let fit = match (selected, state.plate_view) {
        (Some(point), None) => FitTo {
            centre: point,
            size: (whole.size.0 * SURROUNDINGS, whole.size.1 * SURROUNDINGS),
        },
        _ => whole,
    };
    let mut view = state.plate_view.unwrap_or_default();
    let sight = view.sight(ui, rect, fit);
    let before = view;
    let sight = view.navigate(ui, &response, sight, PrimaryDrag::Pans);
    if view != before {
        state.plate_view = Some(view);
    }
    let canvas_key = format!("plate/{}", side.word());
    page.canvases.show_picture(ui, &canvas_key, picture, &sight);
    let painter = ui.painter_at(rect);
    let mut marked = Vec::new();
    for (number, landmark) in (1..).zip(&reference.landmarks) {
        if let Some(point) = on_plate(reference, plate, plate_view, &landmark.name) {
            let kind = if state.selected(side) == Some(&landmark.name) {
                MarkKind::Selected
            } else {
                MarkKind::Quiet
            };
            marks::landmark(&painter, p, sight.position(point), number, kind);
            marked.push((&landmark.name, point));
        }
    }
    if response.clicked()
        && let Some(position) = response.interact_pointer_pos()
        && let Some((name, _)) = marks::nearest(&sight, position, marked.iter().map(|(n, q)| (*n, q)))
    {
        state.select(side, Some(name.clone()));
    }
    if let Some(point) = selected
        && state.plate_view.is_none()
    {
        overview_ui(ui, p, page, rect, key, picture, point);
    }
}

/// How much of the plate is shown about the selected landmark.
const SURROUNDINGS: f64 = 0.3;

/// The whole plate, small, in a corner, with the place in view marked.
fn overview_ui(
    ui: &Ui,
    p: &Palette,
    page: &mut Page<'_>,
    rect: Rect,
    key: &PlateKey,
    picture: &Arc<Picture>,
    point: PicturePoint,
) {
    let side_length = (rect.width().min(rect.height()) * 0.28).clamp(56.0, 140.0);
    let place = Rect::from_min_size(
        rect.right_bottom() - Vec2::splat(side_length + 8.0),
        Vec2::splat(side_length),
    );
    let sight = PictureView::default().sight(ui, place, FitTo::whole(picture));
    ui.painter_at(rect).rect_filled(place, 2.0, p.well);
    page.canvases
        .show_picture(ui, &format!("plate overview/{}", key.0.word()), picture, &sight);
    let painter = ui.painter_at(rect);
    let stroke = egui::Stroke::new(1.0, p.line);
    painter.rect_stroke(place, 2.0, stroke, egui::StrokeKind::Outside);
    paint::ring(&painter, sight.position(point), 5.0, 1.5, p.on_picture);
}
