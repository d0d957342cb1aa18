//! The cells: the coin and the plate of every state at one scale.

use egui::emath::GuiRounding as _;
use egui::{
    Align2, Button, FontId, Label, ProgressBar, Rect, Response, RichText, Role, Sense, Stroke, StrokeKind,
    Ui, UiBuilder, Vec2, WidgetInfo,
};
use nalgebra::Matrix3;

use super::ComparePage;
use super::layout::{CellTrim, Grid, Size, arrange};
use super::marks::Mark;
use super::overlay::{self, CropOnScreen};
use super::scene::{Coin, Scene, StateScene};
use super::state_controls::state_controls_ui;
use crate::app::model::action::Action;
use crate::app::model::bench::{PictureSlot, Step, index};
use crate::app::model::page::Page;
use crate::app::widgets::canvas::{Shown, Treatment};
use crate::app::widgets::paint::within_words;
use crate::app::widgets::theme::palette;
use crate::geometry::{PictureFromSide, SidePoint};
use crate::photo::Picture;
use crate::reference::Zone;
use std::sync::Arc;

pub(super) const CAPTION: f32 = 24.0;
pub(super) const GAP: f32 = 8.0;
/// Controls with a line for dies and stated measure, and without.
const CONTROLS: f32 = 80.0;
const CONTROLS_COMPACT: f32 = 58.0;
/// Controls of one line.
const CONTROLS_ONE_LINE: f32 = 32.0;
/// A cell as wide as this has its controls on one line, in points.
const ONE_LINE_FROM: f32 = 380.0;
/// A crop lower than this gives up the line of dies under it for its own height.
const CROP_TO_SPARE: f32 = 230.0;

/// How much is said under a crop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Density {
    /// Everything.
    Full,
    /// The controls alone, the rest on hovering.
    Compact,
    /// The same on one line, the note above the crop: for wide cells where height is scarce.
    OneLine,
    /// Everything, in a column that may grow: beside an instrument.
    Column,
}

fn plan(states: usize, area: Size, aspect: f32) -> (Grid, Density) {
    let with = |controls: f32| {
        let trim = CellTrim {
            height: CAPTION + controls,
            least_width: 210.0,
            gap: GAP,
        };
        arrange(states, area, trim, aspect)
    };
    let full = with(CONTROLS);
    if full.crop.height >= CROP_TO_SPARE {
        return (full, Density::Full);
    }
    let one_line = with(CONTROLS_ONE_LINE);
    if one_line.cell.width >= ONE_LINE_FROM {
        (one_line, Density::OneLine)
    } else {
        (with(CONTROLS_COMPACT), Density::Compact)
    }
}

/// Draws all cells in what is left of the page.
pub fn cells_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage, scene: &Scene) {
    let area = ui.available_rect_before_wrap();
    ui.advance_cursor_after_rect(area);
    let size = Size {
        width: area.width(),
        height: area.height(),
    };
    #[expect(clippy::cast_possible_truncation, reason = "a ratio of two sizes in mm")]
    let aspect = (scene.zone.size_mm.0 / scene.zone.size_mm.1.max(1e-6)) as f32;
    let (grid, density) = plan(scene.states.len(), size, aspect);
    let ppp = ui.pixels_per_point();
    let cell_at = |place: usize| {
        let (row, column) = grid.row_column(place);
        let step = Vec2::new(grid.cell.width + GAP, grid.cell.height + GAP);
        let min = area.min + Vec2::new(column as f32 * step.x, row as f32 * step.y);
        Rect::from_min_size(min, Vec2::new(grid.cell.width, grid.cell.height)).round_to_pixels(ppp)
    };
    // One size in pixels for all, so that all cells show the same frame pixel for pixel.
    let crop_px = [whole_px(grid.crop.width, ppp), whole_px(grid.crop.height, ppp)];
    let frame = state.view.frame(&scene.zone, crop_px);
    state.frame = Some(frame);
    let crop_points = Vec2::new(crop_px[0] as f32, crop_px[1] as f32) / ppp;
    let crop_in = |cell: Rect| CropOnScreen {
        rect: Rect::from_min_size(
            (cell.min + Vec2::new(0.0, CAPTION)).round_to_pixels(ppp),
            crop_points,
        ),
        frame,
        px_per_point: ppp,
    };
    let mut responses = Vec::new();

    let coin_cell = cell_at(grid.coin);
    let crop = crop_in(coin_cell);
    responses.push((coin_ui(ui, page, state, scene, coin_cell, &crop, density), crop));
    for (i, one) in scene.states.iter().enumerate() {
        let cell = cell_at(grid.place_of_state(i));
        let crop = crop_in(cell);
        let response = state_ui(ui, page, state, scene, one, cell, &crop, density);
        if response.clicked() || response.drag_started() {
            state.focus = i;
        }
        responses.push((response, crop));
    }
    if let Some((_, place)) = link_views(ui, state, &scene.zone, &responses) {
        super::measure::point_placed(page, state, scene, place);
    }
}

/// Points on the screen in whole physical pixels, at least one.
pub(super) fn whole_px(points: f32, px_per_point: f32) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a screen's size, at least 1"
    )]
    let px = (points * px_per_point).floor().max(1.0) as u32;
    px
}

/// Takes zoom, pan and pointer from whichever cell has them, for all. Returns the cell that was clicked, counted in the
/// order given, with the place on the side.
pub(super) fn link_views(
    ui: &Ui,
    state: &mut ComparePage,
    zone: &Zone,
    responses: &[(Response, CropOnScreen)],
) -> Option<(usize, SidePoint)> {
    state.pointer = None;
    let mut clicked = None;
    for (place, (response, crop)) in responses.iter().enumerate() {
        if state.measuring.is_some() && response.hovered() {
            ui.set_cursor_icon(egui::CursorIcon::Crosshair);
        }
        let cell_px = [crop.frame.width_px, crop.frame.height_px];
        if response.dragged() {
            let by = response.drag_delta() * crop.px_per_point;
            state.view = state
                .view
                .dragged(zone, cell_px, f64::from(by.x), f64::from(by.y));
        }
        if response.clicked()
            && let Some(at) = response.interact_pointer_pos()
        {
            clicked = Some((place, crop.place(at)));
        }
        let Some(pointer) = response.hover_pos() else {
            continue;
        };
        state.pointer = Some(crop.place(pointer));
        let (scroll, pinch) = ui.input(|i| (i.smooth_scroll_delta().y, i.zoom_delta()));
        // A notch of a usual wheel is some 50 points: a fifth closer.
        let factor = f64::from(pinch) * f64::from(scroll / 270.0).exp();
        if (factor - 1.0).abs() > 1e-6 {
            let about = crop.crop_point(pointer);
            state.view = state.view.zoomed(zone, cell_px, factor, about);
            ui.ctx().request_repaint();
        }
    }
    clicked
}

pub(super) fn crop_response(ui: &Ui, crop: &CropOnScreen, name: &str) -> Response {
    let id = ui.make_persistent_id(("crop", name));
    let response = ui.interact(crop.rect, id, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, name));
    response
}

pub(super) fn show_picture(
    ui: &Ui,
    page: &mut Page<'_>,
    state: &ComparePage,
    crop: &CropOnScreen,
    key: &str,
    picture: &Arc<Picture>,
    picture_from_side: &PictureFromSide,
) {
    ui.painter().rect_filled(crop.rect, 0.0, palette(ui).well);
    let picture_from_canvas: Matrix3<f64> = picture_from_side.matrix() * crop.frame.side_from_crop();
    let shown = Shown {
        picture: Arc::clone(picture),
        picture_from_canvas,
        size_px: [crop.frame.width_px, crop.frame.height_px],
        treatment: Treatment {
            light_evened: state.light_evened,
            px_per_mm: crop.frame.px_per_mm,
            against: None,
        },
    };
    page.canvases.show(ui, crop.rect, key, shown);
}

pub(super) fn overlays(
    ui: &Ui,
    state: &ComparePage,
    zone: &Zone,
    crop: &CropOnScreen,
    radius95_mm: Option<f64>,
) {
    let painter = ui.painter_at(crop.rect);
    overlay::zone_marks(&painter, crop, zone);
    overlay::scale_and_uncertainty(&painter, crop, radius95_mm);
    if let Some(place) = state.pointer {
        overlay::linked_pointer(&painter, crop, place, radius95_mm);
    }
    super::measure::pending(&painter, state, crop);
}

fn coin_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    state: &ComparePage,
    scene: &Scene,
    cell: Rect,
    crop: &CropOnScreen,
    density: Density,
) -> Response {
    let radius = scene.focused(state.focus).and_then(|s| s.radius95_mm);
    let small = |words: &str| Label::new(RichText::new(words).small().weak()).truncate();
    let placed = radius.map(|r| format!("Coin against plate to {} (95 %)", within_words(r, 3)));
    let placed_ui = |ui: &mut Ui, words: &str| {
        ui.add(small(words)).on_hover_text(
            "The place shown here and the same place on the plate lie this near to each other with 95 % probability, \
             both alignments together. The disc in the crop\u{2019}s corner is as large.",
        );
    };
    caption(ui, cell, |ui| {
        ui.add(Label::new(RichText::new("Your coin").strong()).selectable(false));
        if let (Density::OneLine, Some(words)) = (density, &placed) {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                placed_ui(ui, words);
            });
        }
    });
    let response = crop_response(ui, crop, "Your coin\u{2019}s crop");
    match &scene.coin {
        Coin::Ready {
            picture,
            photo_from_side,
            ..
        } => {
            show_picture(ui, page, state, crop, "compare/coin", picture, photo_from_side);
            super::measure::kept(&ui.painter_at(crop.rect), page, scene, crop);
            overlays(ui, state, &scene.zone, crop, radius);
            let foot = Rect::from_min_max(crop.rect.left_bottom() + Vec2::new(0.0, 4.0), cell.max);
            let mut ui = ui.new_child(UiBuilder::new().max_rect(foot));
            ui.spacing_mut().item_spacing.y = 2.0;
            let photo_px_per_mm = photo_from_side.px_per_mm(scene.zone.centre_mm);
            let enlarged = crop.frame.px_per_mm / photo_px_per_mm;
            let mut words = format!("Photo {photo_px_per_mm:.0} px/mm here, shown {enlarged:.1}\u{d7}");
            if let Some(quality) = state.judged[index(scene.side)].zone(&scene.zone.id)
                && quality.effective_resolution_mm.is_finite()
            {
                words = format!(
                    "{words}; shows detail from {:.2} mm",
                    quality.effective_resolution_mm
                );
            }
            ui.add(small(&words)).on_hover_text(
                "How many photo pixels show a millimetre of the coin here, how much they are enlarged on the screen, \
                 and the smallest detail that the photo\u{2019}s sharpness still shows.",
            );
            if let (Density::Full | Density::Compact, Some(words)) = (density, &placed) {
                placed_ui(&mut ui, words);
            }
        }
        Coin::Missing {
            heading,
            sentence,
            progress,
        } => missing_coin_ui(ui, page, crop.rect, heading, sentence, *progress),
    }
    ui.painter().rect_stroke(
        crop.rect,
        0.0,
        Stroke::new(1.0, ui.visuals().text_color()),
        StrokeKind::Outside,
    );
    response
}

pub(super) fn missing_coin_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    rect: Rect,
    heading: &str,
    sentence: &str,
    progress: Option<f32>,
) {
    ui.painter().rect_filled(rect, 0.0, ui.visuals().faint_bg_color);
    let mut ui = ui.new_child(
        UiBuilder::new()
            .max_rect(rect.shrink(16.0))
            .layout(egui::Layout::top_down(egui::Align::Center)),
    );
    ui.add_space(rect.height() * 0.22);
    ui.strong(heading);
    if let Some(progress) = progress {
        ui.add(
            ProgressBar::new(progress)
                .desired_width(rect.width() * 0.6)
                .show_percentage(),
        )
        .accessible_name(heading);
        return;
    }
    ui.add(Label::new(sentence).wrap());
    ui.add_space(8.0);
    if ui.add(Button::new("Go to Align")).clicked() {
        page.actions.push(Action::GoToStep(Step::Align));
    }
}

#[expect(
    clippy::too_many_arguments,
    reason = "one cell with its place and what it borrows"
)]
fn state_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    state: &mut ComparePage,
    scene: &Scene,
    one: &StateScene,
    cell: Rect,
    crop: &CropOnScreen,
    density: Density,
) -> Response {
    let number = one.cell.number;
    let focused = number == state.focus + 1;
    caption(ui, cell, |ui| {
        badge(ui, number, focused);
        let words = RichText::new(&one.cell.words);
        let words = if focused { words.strong() } else { words };
        ui.add(Label::new(words).truncate().selectable(false));
        if density != Density::Full {
            let about = one.cell.about_words();
            // With a verdict its note shares the line.
            ui.scope(|ui| {
                if density == Density::OneLine && one.cell.verdict.is_some() {
                    ui.set_max_width(ui.available_width() * 0.5);
                }
                let text = RichText::new(&about).small().weak();
                ui.add(Label::new(text).truncate().selectable(false))
                    .on_hover_text(&about);
            });
        }
        if density == Density::OneLine && one.cell.verdict.is_some() {
            super::state_controls::note_ui(ui, page, state, scene, one);
        }
    });
    let response = crop_response(ui, crop, &format!("Plate of state {number}: {}", one.cell.words));
    match &one.plate {
        None => words_only_ui(ui, crop.rect, &one.cell.words),
        Some(plate) => match (&plate.slot, &plate.alignment) {
            (PictureSlot::Ready(picture), Some(alignment)) => {
                let key = format!("compare/state/{number}");
                show_picture(ui, page, state, crop, &key, picture, &alignment.picture_from_side);
                overlays(ui, state, &scene.zone, crop, one.radius95_mm);
            }
            (PictureSlot::Ready(_), None) => {
                message(
                    ui,
                    crop.rect,
                    "The set gives too few landmarks to align this plate.",
                );
            }
            (PictureSlot::Failed(sentence), _) => message(ui, crop.rect, sentence),
            _ => {
                message(ui, crop.rect, "Reading the plate");
                ui.ctx().request_repaint_after_secs(0.1);
            }
        },
    }
    let palette = palette(ui);
    let (width, color) = if focused {
        (2.0, palette.accent)
    } else {
        (1.0, palette.line)
    };
    ui.painter()
        .rect_stroke(crop.rect, 0.0, Stroke::new(width, color), StrokeKind::Outside);
    verdict_flag(ui, crop.rect, one);

    let foot = Rect::from_min_max(crop.rect.left_bottom() + Vec2::new(0.0, 4.0), cell.max);
    let mut ui = ui.new_child(UiBuilder::new().max_rect(foot).id_salt(("state", number)));
    state_controls_ui(&mut ui, page, state, scene, one, density);
    response
}

/// The verdict on the crop's corner, so that it is seen at the picture and not only at the buttons.
fn verdict_flag(ui: &Ui, rect: Rect, one: &StateScene) {
    let Some(verdict) = &one.cell.verdict else {
        return;
    };
    let mark = Mark::of_ruling(verdict.ruling);
    let at = Rect::from_min_size(rect.right_top() + Vec2::new(-30.0, 8.0), Vec2::splat(22.0));
    ui.painter()
        .circle_filled(at.center(), 15.0, ui.visuals().panel_fill.gamma_multiply(0.9));
    mark.paint(ui.painter(), at, mark.color(ui), ui.visuals().panel_fill);
}

pub(super) fn badge(ui: &mut Ui, number: usize, focused: bool) {
    let (rect, _) = ui.allocate_exact_size(Vec2::new(16.0, 16.0), Sense::hover());
    let palette = palette(ui);
    let (fill, text) = if focused {
        (palette.accent, palette.on_accent)
    } else {
        (palette.line, palette.text)
    };
    ui.painter().rect_filled(rect, 3.0, fill);
    ui.painter().text(
        rect.center(),
        Align2::CENTER_CENTER,
        number,
        FontId::proportional(11.0),
        text,
    );
}

pub(super) fn caption(ui: &mut Ui, cell: Rect, add: impl FnOnce(&mut Ui)) {
    let rect = Rect::from_min_size(cell.min, Vec2::new(cell.width(), CAPTION - 2.0));
    let mut ui = ui.new_child(
        UiBuilder::new()
            .max_rect(rect)
            .layout(egui::Layout::left_to_right(egui::Align::Center)),
    );
    ui.spacing_mut().item_spacing.x = 6.0;
    add(&mut ui);
}

pub(super) fn words_only_ui(ui: &mut Ui, rect: Rect, words: &str) {
    ui.painter().rect_filled(rect, 0.0, ui.visuals().faint_bg_color);
    let mut ui = ui.new_child(
        UiBuilder::new()
            .max_rect(rect.shrink(16.0))
            .layout(egui::Layout::top_down(egui::Align::Center)),
    );
    ui.add_space(rect.height() * 0.25);
    ui.add(Label::new(RichText::new(words).size(17.0)).wrap());
    ui.add_space(6.0);
    ui.add(
        Label::new(RichText::new("Known in words only: the set has no plate of this state yet.").weak())
            .wrap(),
    );
}

pub(super) fn message(ui: &mut Ui, rect: Rect, text: &str) {
    ui.painter().rect_filled(rect, 0.0, ui.visuals().faint_bg_color);
    let mut ui = ui.new_child(
        UiBuilder::new()
            .max_rect(rect.shrink(16.0))
            .layout(egui::Layout::top_down(egui::Align::Center)),
    );
    ui.add_space(rect.height() * 0.4);
    ui.add(Label::new(text).wrap());
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the page leaves for the cells in a window of 1024 x 640 points, measured in the window.
    const SMALL: Size = Size {
        width: 790.0,
        height: 486.0,
    };

    #[test]
    fn in_a_small_window_the_crops_are_most_of_the_height() {
        // Three states and the coin, of a zone a third wider than high: two by two.
        let (grid, density) = plan(3, SMALL, 1.33);
        assert_eq!((grid.columns, grid.rows, density), (2, 2, Density::OneLine));
        assert!(2.0 * grid.crop.height > 0.55 * 640.0, "{grid:?}");
        // Two states and the coin stand in one row, too narrow for one line of controls and high enough for all.
        let (grid, density) = plan(2, SMALL, 1.0);
        assert_eq!((grid.columns, grid.rows, density), (3, 1, Density::Full));
        assert!(grid.crop.height > 0.55 * 640.0, "{grid:?}");
    }

    #[test]
    fn narrow_cells_of_a_low_window_keep_their_two_lines() {
        let (grid, density) = plan(5, SMALL, 1.0);
        assert!(grid.cell.width < ONE_LINE_FROM);
        assert_eq!(density, Density::Compact);
    }
}
