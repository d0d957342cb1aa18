//! The panes side by side: your coin and what stands beside it at one scale.

use std::sync::Arc;

use egui::emath::GuiRounding as _;
use egui::{
    Align2, FontId, Label, Rect, Response, RichText, Role, Sense, Stroke, StrokeKind, Ui, UiBuilder, Vec2,
    WidgetInfo,
};

use super::ComparePage;
use super::layout::{CellTrim, Grid, Size, arrange};
use super::missing::{missing_ui, words_only_ui};
use super::overlay::{self, CropOnScreen};
use super::scene::{FeatureSubject, InView, Pane, Scene, Subject, View};
use super::verdicts::{state_controls_ui, verdict_note_ui};
use crate::app::model::comparing::Seen;
use crate::app::widgets::canvas::{Shown, Treatment};
use crate::app::widgets::marks::Mark;
use crate::app::widgets::paint::within_words;
use crate::app::widgets::theme::palette;
use crate::geometry::SidePoint;
use crate::reference::Zone;
use crate::specimen::WhichCoin;

const CAPTION: f32 = 24.0;
const GAP: f32 = 8.0;
/// Controls with a line for dies and stated measure, and without.
const CONTROLS: f32 = 80.0;
const CONTROLS_COMPACT: f32 = 58.0;
/// Controls of one line.
const CONTROLS_ONE_LINE: f32 = 32.0;
/// The line under a crop of two coins, whose controls stand below both.
const FOOT: f32 = 18.0;
/// A cell as wide as this has its controls on one line, in points.
const ONE_LINE_FROM: f32 = 380.0;
/// A crop lower than this gives up the line of dies under it for its own height.
const CROP_TO_SPARE: f32 = 230.0;

/// The least width of a cell, in points.
const LEAST_WIDTH: f32 = 210.0;

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
            least_width: LEAST_WIDTH,
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

/// The grid for a row: a feature's cells hold their controls, two coins have theirs below both.
fn grid(scene: &Scene, area: Rect) -> (Grid, Density) {
    let size = Size {
        width: area.width(),
        height: area.height(),
    };
    #[expect(clippy::cast_possible_truncation, reason = "a ratio of two sizes in mm")]
    let aspect = (scene.zone.size_mm.0 / scene.zone.size_mm.1.max(1e-6)) as f32;
    match scene.subject {
        Subject::Feature(_) => plan(scene.others.len(), size, aspect),
        Subject::Spot(_) => {
            let trim = CellTrim {
                height: CAPTION + FOOT,
                least_width: LEAST_WIDTH,
                gap: GAP,
            };
            (arrange(scene.others.len(), size, trim, aspect), Density::Full)
        }
    }
}

/// A pane on the screen.
struct Cell {
    /// Its index: 0 is your coin.
    index: usize,
    rect: Rect,
    density: Density,
    /// The 95 % radius to show, in mm.
    radius95_mm: Option<f64>,
}

/// Draws all panes in an area; returns the one that was clicked, 0 being your coin, with the place on the side.
pub fn side_by_side_ui(ui: &mut Ui, row: &mut InView<'_, '_>, area: Rect) -> Option<(usize, SidePoint)> {
    let (grid, density) = grid(row.scene, area);
    let ppp = ui.pixels_per_point();
    // One size in pixels for all, so that all cells show the same frame pixel for pixel.
    let crop_px = [whole_px(grid.crop.width, ppp), whole_px(grid.crop.height, ppp)];
    let frame = row.state.view.frame(&row.scene.zone, crop_px);
    row.state.frame = Some(frame);
    let crop_points = Vec2::new(crop_px[0] as f32, crop_px[1] as f32) / ppp;
    // Once for all: it takes a moment to compute.
    let radii = row.shown_radii95_mm(&frame);
    let of_coin = radii.get(row.focused()).copied().flatten();
    let mut responses = Vec::new();
    for index in 0..=row.scene.others.len() {
        let (position, radius95_mm) = match index.checked_sub(1) {
            None => (grid.coin, of_coin),
            Some(other) => (grid.place_of_state(other), radii[other]),
        };
        let (line, column) = grid.row_column(position);
        let step = Vec2::new(grid.cell.width + GAP, grid.cell.height + GAP);
        let min = area.min + Vec2::new(column as f32 * step.x, line as f32 * step.y);
        let size = Vec2::new(grid.cell.width, grid.cell.height);
        let cell = Cell {
            index,
            rect: Rect::from_min_size(min, size).round_to_pixels(ppp),
            density,
            radius95_mm,
        };
        let top = (cell.rect.min + Vec2::new(0.0, CAPTION)).round_to_pixels(ppp);
        let crop = CropOnScreen {
            rect: Rect::from_min_size(top, crop_points),
            frame,
            px_per_point: ppp,
        };
        let response = cell_ui(ui, row, &cell, &crop);
        if index > 0 && (response.clicked() || response.drag_started()) {
            row.state.focus = index - 1;
        }
        responses.push((response, crop));
    }
    link_views(ui, row.state, &row.scene.zone, &responses)
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

/// The picture of a pane as its crop shows it.
pub(super) fn shown(state: &ComparePage, crop: &CropOnScreen, seen: &Seen) -> Shown {
    Shown {
        picture: Arc::clone(&seen.picture),
        picture_from_canvas: seen.from_side.matrix() * crop.frame.side_from_crop(),
        size_px: [crop.frame.width_px, crop.frame.height_px],
        treatment: Treatment {
            light_evened: state.light_evened,
            px_per_mm: crop.frame.px_per_mm,
            against: None,
        },
    }
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

fn cell_ui(ui: &mut Ui, row: &mut InView<'_, '_>, cell: &Cell, crop: &CropOnScreen) -> Response {
    let other = cell.index.checked_sub(1);
    let pane = other.map_or(&row.scene.coin, |other| &row.scene.others[other]);
    let of_state = match (&row.scene.subject, other) {
        (Subject::Feature(of), Some(index)) => Some((of, index)),
        _ => None,
    };
    match of_state {
        Some((of, index)) => state_caption_ui(ui, row, of, (index, cell)),
        None => coin_caption_ui(ui, pane, cell),
    }
    let response = crop_response(ui, crop, &pane.name);
    match &pane.view {
        View::Ready(seen) => {
            ui.painter().rect_filled(crop.rect, 0.0, palette(ui).well);
            row.page
                .canvases
                .show(ui, crop.rect, &pane.canvas, shown(row.state, crop, seen));
            let coin = match (&row.scene.subject, other) {
                (_, None) => Some(WhichCoin::This),
                (Subject::Spot(_), Some(_)) => Some(WhichCoin::Other),
                (Subject::Feature(_), Some(_)) => None,
            };
            if let Some(coin) = coin {
                super::measure::kept(&ui.painter_at(crop.rect), row, coin, crop);
                coin_foot_ui(ui, row, (coin, seen), cell, crop);
            }
            overlays(ui, row.state, &row.scene.zone, crop, cell.radius95_mm);
        }
        View::Words(words) => words_only_ui(ui, crop.rect, words),
        View::Missing(missing) => missing_ui(ui, row.page, crop.rect, missing),
    }
    border(ui, row, crop.rect, other);
    if let Some((of, index)) = of_state {
        verdict_flag(ui, crop.rect, of, index);
        let foot = Rect::from_min_max(crop.rect.left_bottom() + Vec2::new(0.0, 4.0), cell.rect.max);
        let mut ui = ui.new_child(UiBuilder::new().max_rect(foot).id_salt(("state", index)));
        state_controls_ui(&mut ui, row, of, index, cell.density);
    }
    response
}

/// The line around a crop: your coin's stands out, and the state in focus.
fn border(ui: &Ui, row: &InView<'_, '_>, rect: Rect, other: Option<usize>) {
    let palette = palette(ui);
    let (width, color) = match (&row.scene.subject, other) {
        (_, None) => (1.0, ui.visuals().text_color()),
        (Subject::Feature(_), Some(index)) if index == row.state.focus => (2.0, palette.accent),
        _ => (1.0, palette.line),
    };
    let stroke = Stroke::new(width, color);
    ui.painter().rect_stroke(rect, 0.0, stroke, StrokeKind::Outside);
}

/// How surely the coin lies on the plate, in small words.
fn placed_ui(ui: &mut Ui, radius95_mm: Option<f64>) {
    let Some(radius) = radius95_mm else {
        return;
    };
    let words = format!("Coin against plate to {} (95 %)", within_words(radius, 3));
    ui.add(Label::new(RichText::new(words).small().weak()).truncate())
        .on_hover_text(
            "The place shown here and the same place on the plate lie this near to each other with 95 % probability, \
             both alignments together. The disc in the crop\u{2019}s corner is as large.",
        );
}

fn coin_caption_ui(ui: &mut Ui, pane: &Pane, cell: &Cell) {
    let title = if cell.index == 0 {
        pane.title.clone()
    } else {
        format!("Other coin: {}", pane.title)
    };
    caption(ui, cell.rect, |ui| {
        ui.add(
            Label::new(RichText::new(title).strong())
                .truncate()
                .selectable(false),
        );
        if cell.density == Density::OneLine {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                placed_ui(ui, cell.radius95_mm);
            });
        }
    });
}

fn state_caption_ui(
    ui: &mut Ui,
    row: &mut InView<'_, '_>,
    of: &FeatureSubject,
    (index, cell): (usize, &Cell),
) {
    let one = &of.states[index];
    let focused = index == row.state.focus;
    let with_note = cell.density == Density::OneLine && one.verdict.is_some();
    caption(ui, cell.rect, |ui| {
        badge(ui, one.number, focused);
        let words = RichText::new(&one.words);
        let words = if focused { words.strong() } else { words };
        ui.add(Label::new(words).truncate().selectable(false));
        if cell.density != Density::Full {
            let about = one.about_words();
            // With a verdict its note shares the line.
            ui.scope(|ui| {
                if with_note {
                    ui.set_max_width(ui.available_width() * 0.5);
                }
                let text = RichText::new(&about).small().weak();
                ui.add(Label::new(text).truncate().selectable(false))
                    .on_hover_text(&about);
            });
        }
        if with_note {
            verdict_note_ui(ui, row, of, index);
        }
    });
}

/// Under a coin's crop: what its photo shows of the zone.
fn coin_foot_ui(
    ui: &mut Ui,
    row: &InView<'_, '_>,
    (coin, seen): (WhichCoin, &Seen),
    cell: &Cell,
    crop: &CropOnScreen,
) {
    let foot = Rect::from_min_max(crop.rect.left_bottom() + Vec2::new(0.0, 4.0), cell.rect.max);
    let mut ui = ui.new_child(UiBuilder::new().max_rect(foot));
    ui.spacing_mut().item_spacing.y = 2.0;
    let px_per_mm = seen.from_side.px_per_mm(crop.frame.centre);
    let enlarged = crop.frame.px_per_mm / px_per_mm;
    let mut words = format!("Photo {px_per_mm:.0} px/mm here, shown {enlarged:.1}\u{d7}");
    let detail_mm = row.quality(coin).map(|q| q.effective_resolution_mm);
    if let Some(detail_mm) = detail_mm.filter(|mm| mm.is_finite()) {
        words = format!("{words}; shows detail from {detail_mm:.2} mm");
    }
    ui.add(Label::new(RichText::new(words).small().weak()).truncate())
        .on_hover_text(
            "How many photo pixels show a millimetre of the coin here, how much they are enlarged on the screen, \
             and the smallest detail that the photo\u{2019}s sharpness still shows.",
        );
    let by_feature = matches!(row.scene.subject, Subject::Feature(_));
    if by_feature && cell.density != Density::OneLine {
        placed_ui(&mut ui, cell.radius95_mm);
    }
}

/// The verdict on the crop's corner, so that it is seen at the picture and not only at the buttons.
fn verdict_flag(ui: &Ui, rect: Rect, of: &FeatureSubject, index: usize) {
    let Some(verdict) = &of.states[index].verdict else {
        return;
    };
    let mark = Mark::of_ruling(verdict.ruling);
    let at = Rect::from_min_size(rect.right_top() + Vec2::new(-30.0, 8.0), Vec2::splat(22.0));
    ui.painter()
        .circle_filled(at.center(), 15.0, ui.visuals().panel_fill.gamma_multiply(0.9));
    mark.paint(ui.painter(), at, mark.color(ui), ui.visuals().panel_fill);
}

fn badge(ui: &mut Ui, number: usize, focused: bool) {
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

fn caption(ui: &mut Ui, cell: Rect, add: impl FnOnce(&mut Ui)) {
    let rect = Rect::from_min_size(cell.min, Vec2::new(cell.width(), CAPTION - 2.0));
    let mut ui = ui.new_child(
        UiBuilder::new()
            .max_rect(rect)
            .layout(egui::Layout::left_to_right(egui::Align::Center)),
    );
    ui.spacing_mut().item_spacing.x = 6.0;
    add(&mut ui);
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
