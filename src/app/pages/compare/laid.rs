//! Two aligned pictures laid over each other: your coin and a plate, or your coin and another.

use egui::{Align2, CursorIcon, Rect, Response, Stroke, StrokeKind, Ui, Vec2};

use super::ComparePage;
use super::cells;
use super::instruments::Look;
use super::overlay::{self, CropOnScreen};
use super::scene::Pane;
use crate::app::model::comparing::Seen;
use crate::app::pages::Page;
use crate::app::widgets::canvas::{Against, PixelInstrument};
use crate::app::widgets::theme::palette;
use crate::reference::Zone;

/// The frame that a rectangle of the screen shows of a zone.
pub(super) fn on_screen(state: &ComparePage, zone: &Zone, rect: Rect, ppp: f32) -> CropOnScreen {
    let crop_px = [
        cells::whole_px(rect.width(), ppp),
        cells::whole_px(rect.height(), ppp),
    ];
    CropOnScreen {
        rect: Rect::from_min_size(rect.min, Vec2::new(crop_px[0] as f32, crop_px[1] as f32) / ppp),
        frame: state.view.frame(zone, crop_px),
        px_per_point: ppp,
    }
}

/// Draws the two by the instrument in use; returns the crop's response with what its own handles leave.
pub(super) fn laid_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    state: &mut ComparePage,
    crop: &CropOnScreen,
    (coin, other, pane): (&Seen, &Seen, &Pane),
    response: Response,
) -> Response {
    let rect = crop.rect;
    ui.painter().rect_filled(rect, 0.0, palette(ui).well);
    let coin = cells::shown(state, crop, coin);
    let other = cells::shown(state, crop, other);
    let other_key = &pane.canvas;
    let mut response = response;
    match state.look {
        Look::SideBySide | Look::Curtain => {
            let x = rect.left() + rect.width() * state.dials.curtain;
            let (left, right) = (Rect::everything_left_of(x), Rect::everything_right_of(x));
            page.canvases
                .show_part(ui, rect, left, 1.0, "compare/over/coin", coin);
            page.canvases.show_part(ui, rect, right, 1.0, other_key, other);
            response = response.union(curtain_line(ui, state, rect, x));
        }
        Look::Alternate => {
            let of_plate = state.dials.shows_plate(ui.input(|i| i.time));
            // Both are asked for, so that neither has to be waited for at the change.
            let (top, under) = if of_plate { (1.0, 0.0) } else { (0.0, 1.0) };
            page.canvases
                .show_part(ui, rect, rect, under, "compare/over/coin", coin);
            page.canvases.show_part(ui, rect, rect, top, other_key, other);
            if state.dials.changes_per_s > 0.0 {
                let wait = 0.5 / state.dials.changes_per_s;
                ui.ctx()
                    .request_repaint_after(std::time::Duration::from_secs_f32(wait.min(0.1)));
            }
        }
        Look::Blend => {
            page.canvases.show(ui, rect, "compare/over/coin", coin);
            page.canvases
                .show_part(ui, rect, rect, state.dials.plate_share, other_key, other);
        }
        Look::Edges | Look::Difference => {
            let (how, key) = if state.look == Look::Edges {
                (PixelInstrument::EdgesOver, "compare/edges")
            } else {
                (PixelInstrument::SignedDifference, "compare/difference")
            };
            let mut shown = coin;
            shown.treatment.against = Some(Against {
                picture: other.picture,
                picture_from_canvas: other.picture_from_canvas,
                how,
            });
            page.canvases.show(ui, rect, key, shown);
        }
    }
    response
}

/// Says which of the two is which; `other` names what lies over your coin.
pub(super) fn labels_ui(ui: &Ui, state: &ComparePage, crop: &CropOnScreen, other: &str) {
    let [coin, plate] = match state.look {
        Look::SideBySide | Look::Curtain | Look::Blend => ["Your coin".to_owned(), other.to_owned()],
        Look::Alternate if state.dials.shows_plate(ui.input(|i| i.time)) => [String::new(), other.to_owned()],
        Look::Alternate => ["Your coin".to_owned(), String::new()],
        Look::Edges => ["Lines: your coin".to_owned(), format!("Grey: {other}")],
        Look::Difference => return,
    };
    let painter = ui.painter_at(crop.rect);
    for (text, at, align) in [
        (
            coin,
            crop.rect.left_top() + Vec2::new(12.0, 10.0),
            Align2::LEFT_TOP,
        ),
        (
            plate,
            crop.rect.right_top() + Vec2::new(-12.0, 10.0),
            Align2::RIGHT_TOP,
        ),
    ] {
        if !text.is_empty() {
            overlay::label(&painter, at, align, &text);
        }
    }
}

/// The curtain's line with its handle; dragging it moves it.
fn curtain_line(ui: &Ui, state: &mut ComparePage, rect: Rect, x: f32) -> Response {
    let grip = Rect::from_center_size(egui::pos2(x, rect.center().y), Vec2::new(14.0, rect.height()));
    let response = ui
        .interact(
            grip.intersect(rect),
            ui.make_persistent_id("curtain line"),
            egui::Sense::drag(),
        )
        .on_hover_and_drag_cursor(CursorIcon::ResizeHorizontal);
    if let Some(at) = response.interact_pointer_pos()
        && response.dragged()
    {
        state.dials.curtain = ((at.x - rect.left()) / rect.width()).clamp(0.0, 1.0);
    }
    let painter = ui.painter_at(rect);
    let color = if response.hovered() || response.dragged() {
        palette(ui).accent
    } else {
        egui::Color32::WHITE
    };
    painter.vline(
        x,
        rect.y_range(),
        Stroke::new(3.0, egui::Color32::from_black_alpha(140)),
    );
    painter.vline(x, rect.y_range(), Stroke::new(1.0, color));
    let handle = Rect::from_center_size(egui::pos2(x, rect.bottom() - 40.0), Vec2::new(10.0, 26.0));
    painter.rect_filled(handle, 4.0, egui::Color32::from_black_alpha(170));
    painter.rect_stroke(handle, 4.0, Stroke::new(1.0, color), StrokeKind::Inside);
    // Pan and zoom stay with the crop: the line takes only its own drag.
    let mut quiet = response;
    quiet.flags.remove(egui::response::Flags::DRAGGED);
    quiet
}
