//! The two coins at the spot, beside or over each other, with the controls under them.

use egui::emath::GuiRounding as _;
use egui::{
    Button, Label, Layout, ProgressBar, Rect, Response, RichText, Stroke, StrokeKind, Ui, UiBuilder, Vec2,
};

use super::scene::{Other, PairScene};
use crate::app::model::action::Action;
use crate::app::model::page::Page;
use crate::app::pages::compare::ComparePage;
use crate::app::pages::compare::cells::{self, CAPTION, GAP, caption, crop_response, overlays, show_picture};
use crate::app::pages::compare::instruments::{Look, dial_ui};
use crate::app::pages::compare::laid::{Laid, laid_ui, on_screen};
use crate::app::pages::compare::layout::{CellTrim, Size, arrange};
use crate::app::pages::compare::overlay::CropOnScreen;
use crate::app::pages::compare::pair::{findings, measures};
use crate::app::pages::compare::scene::Coin;
use crate::app::widgets::theme::palette;
use crate::crop::CropFrame;
use crate::specimen::WhichCoin;

/// The height of an instrument's dials, in points.
const DIALS: f32 = 30.0;
/// The line under a crop, in points.
const FOOT: f32 = 18.0;

/// Draws them in what is left of the page.
pub fn crops_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage, scene: &PairScene) {
    let area = ui.available_rect_before_wrap();
    ui.advance_cursor_after_rect(area);
    let controls = findings::FindingsLayout::of(area.width()).height();
    let above = Rect::from_min_max(area.min, area.max - Vec2::new(0.0, controls + 4.0));
    let clicked = if state.look == Look::SideBySide {
        side_by_side_ui(ui, page, state, scene, above)
    } else {
        over_ui(ui, page, state, scene, above)
    };
    if let Some((on, place)) = clicked {
        measures::point_placed(page, state, scene, on, place);
    }
    let below = Rect::from_min_max(egui::pos2(area.left(), area.bottom() - controls), area.max);
    let mut below_ui = ui.new_child(UiBuilder::new().max_rect(below));
    findings::findings_ui(&mut below_ui, page, state, scene);
}

type Clicked = Option<(WhichCoin, crate::geometry::SidePoint)>;

/// The radius to show: at the pointer where it is on a crop, else in the middle of what is in view.
fn radius(state: &ComparePage, scene: &PairScene, frame: &CropFrame) -> Option<f64> {
    scene.radius95_mm(state.pointer.unwrap_or(frame.centre))
}

fn side_by_side_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    state: &mut ComparePage,
    scene: &PairScene,
    area: Rect,
) -> Clicked {
    let ppp = ui.pixels_per_point();
    let size = Size {
        width: area.width(),
        height: area.height(),
    };
    let trim = CellTrim {
        height: CAPTION + FOOT,
        least_width: 210.0,
        gap: GAP,
    };
    #[expect(clippy::cast_possible_truncation, reason = "a ratio of two sizes in mm")]
    let aspect = (scene.zone.size_mm.0 / scene.zone.size_mm.1.max(1e-6)) as f32;
    let grid = arrange(1, size, trim, aspect);
    let crop_px = [
        cells::whole_px(grid.crop.width, ppp),
        cells::whole_px(grid.crop.height, ppp),
    ];
    let frame = state.view.frame(&scene.zone, crop_px);
    state.frame = Some(frame);
    let points = Vec2::new(crop_px[0] as f32, crop_px[1] as f32) / ppp;
    // Once for both cells: it takes a moment to reckon.
    let radius95_mm = radius(state, scene, &frame);
    let mut responses = Vec::new();
    for (place, which) in WhichCoin::BOTH.into_iter().enumerate() {
        let (row, column) = grid.row_column(place);
        let step = Vec2::new(grid.cell.width + GAP, grid.cell.height + GAP);
        let min = area.min + Vec2::new(column as f32 * step.x, row as f32 * step.y);
        let cell =
            Rect::from_min_size(min, Vec2::new(grid.cell.width, grid.cell.height)).round_to_pixels(ppp);
        let crop = CropOnScreen {
            rect: Rect::from_min_size((cell.min + Vec2::new(0.0, CAPTION)).round_to_pixels(ppp), points),
            frame,
            px_per_point: ppp,
        };
        let cell = Cell {
            which,
            rect: cell,
            radius95_mm,
        };
        responses.push((cell_ui(ui, page, state, scene, &cell, &crop), crop));
    }
    let clicked = cells::link_views(ui, state, &scene.zone, &responses)?;
    Some((*WhichCoin::BOTH.get(clicked.0)?, clicked.1))
}

/// One coin's cell.
struct Cell {
    which: WhichCoin,
    rect: Rect,
    /// The 95 % radius to show, in mm.
    radius95_mm: Option<f64>,
}

fn cell_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    state: &ComparePage,
    scene: &PairScene,
    cell: &Cell,
    crop: &CropOnScreen,
) -> Response {
    let which = cell.which;
    let (title, name, key) = match which {
        WhichCoin::This => (
            "Your coin".to_owned(),
            "Your coin\u{2019}s crop".to_owned(),
            "compare/coin",
        ),
        WhichCoin::Other => (
            format!("Other coin: {}", scene.named.title),
            "The other coin\u{2019}s crop".to_owned(),
            "compare/other",
        ),
    };
    caption(ui, cell.rect, |ui| {
        let text = RichText::new(&title).strong();
        ui.add(Label::new(text).truncate().selectable(false));
    });
    let response = crop_response(ui, crop, &name);
    let shown = match which {
        WhichCoin::This => match &scene.coin {
            Coin::Ready {
                picture, alignment, ..
            } => Some((picture, scene.coin_from_side(alignment))),
            Coin::Missing {
                heading,
                sentence,
                progress,
            } => {
                cells::missing_coin_ui(ui, page, crop.rect, heading, sentence, *progress);
                None
            }
        },
        WhichCoin::Other => match &scene.other {
            Other::Ready { picture, alignment } => Some((picture, alignment.picture_from_side)),
            not_there => {
                missing_other_ui(ui, page, scene, crop.rect, not_there);
                None
            }
        },
    };
    if let Some((picture, from_side)) = shown {
        show_picture(ui, page, state, crop, key, picture, &from_side);
        measures::kept(&ui.painter_at(crop.rect), scene, which, crop);
        overlays(ui, state, &scene.zone, crop, cell.radius95_mm);
        let px_per_mm = from_side.px_per_mm(crop.frame.centre);
        let mut words = format!(
            "Photo {px_per_mm:.0} px/mm, shown {:.1}\u{d7}",
            crop.frame.px_per_mm / px_per_mm
        );
        let quality = state.pair.judged.both()[usize::from(which == WhichCoin::Other)];
        if let Some(quality) = quality.filter(|q| q.effective_resolution_mm.is_finite()) {
            words = format!(
                "{words}; shows detail from {:.2} mm",
                quality.effective_resolution_mm
            );
        }
        let foot = Rect::from_min_max(crop.rect.left_bottom() + Vec2::new(0.0, 3.0), cell.rect.max);
        let mut foot_ui = ui.new_child(UiBuilder::new().max_rect(foot));
        foot_ui.add(Label::new(RichText::new(words).small().weak()).truncate());
    }
    let color = match which {
        WhichCoin::This => ui.visuals().text_color(),
        WhichCoin::Other => palette(ui).line,
    };
    ui.painter()
        .rect_stroke(crop.rect, 0.0, Stroke::new(1.0, color), StrokeKind::Outside);
    response
}

fn over_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    state: &mut ComparePage,
    scene: &PairScene,
    area: Rect,
) -> Clicked {
    let ppp = ui.pixels_per_point();
    let rect = Rect::from_min_max(area.min, area.max - Vec2::new(0.0, DIALS)).round_to_pixels(ppp);
    let crop = on_screen(state, &scene.zone, rect, ppp);
    state.frame = Some(crop.frame);
    let name = format!("{} of your coin and the other coin", state.look.words());
    let response = crop_response(ui, &crop, &name);
    let mut clicked = None;
    match (scene.both(), &scene.coin) {
        (Some([coin, other]), _) => {
            let both = Laid {
                zone: &scene.zone,
                coin: (coin.0.clone(), scene.coin_from_side(coin.1)),
                other: (other.0.clone(), other.1.picture_from_side),
                other_key: "compare/other".to_owned(),
                other_name: scene.named.title.clone(),
                radius95_mm: radius(state, scene, &crop.frame),
            };
            let response = laid_ui(ui, page, state, &crop, &both, response);
            measures::kept(&ui.painter_at(crop.rect), scene, WhichCoin::This, &crop);
            clicked = cells::link_views(ui, state, &scene.zone, &[(response, crop)])
                .map(|(_, place)| (WhichCoin::This, place));
        }
        (
            None,
            Coin::Missing {
                heading,
                sentence,
                progress,
            },
        ) => cells::missing_coin_ui(ui, page, crop.rect, heading, sentence, *progress),
        (None, Coin::Ready { .. }) => missing_other_ui(ui, page, scene, crop.rect, &scene.other),
    }
    ui.painter().rect_stroke(
        crop.rect,
        0.0,
        Stroke::new(1.0, palette(ui).line),
        StrokeKind::Outside,
    );
    let dials = Rect::from_min_max(
        crop.rect.left_bottom() + Vec2::new(0.0, 2.0),
        egui::pos2(area.right(), area.bottom()),
    );
    let mut dials_ui = ui.new_child(
        UiBuilder::new()
            .max_rect(dials)
            .layout(Layout::left_to_right(egui::Align::Center)),
    );
    dial_ui(&mut dials_ui, state);
    clicked
}

/// In the other coin's place: what is going on, or what to do.
fn missing_other_ui(ui: &mut Ui, page: &mut Page<'_>, scene: &PairScene, rect: Rect, other: &Other) {
    ui.painter().rect_filled(rect, 0.0, ui.visuals().faint_bg_color);
    let mut ui = ui.new_child(
        UiBuilder::new()
            .max_rect(rect.shrink(16.0))
            .layout(Layout::top_down(egui::Align::Center)),
    );
    ui.add_space(rect.height() * 0.22);
    match other {
        Other::Ready { .. } => {}
        Other::Reading(progress) => {
            ui.strong("Reading the other coin\u{2019}s photo");
            ui.add(
                ProgressBar::new(*progress)
                    .desired_width(rect.width() * 0.6)
                    .show_percentage(),
            )
            .accessible_name("Reading the other coin\u{2019}s photo");
            if ui
                .button("Stop")
                .accessible_name("Stop reading the other coin\u{2019}s photo")
                .clicked()
            {
                page.actions.push(Action::CancelOtherPhoto(scene.side));
            }
            ui.ctx().request_repaint_after_secs(0.1);
        }
        Other::Failed(sentence) => {
            ui.strong("The other coin\u{2019}s photo is not to be had");
            ui.add(Label::new(sentence).wrap());
            ui.add_space(8.0);
            if ui.add(Button::new("Read it again")).clicked() {
                page.actions.push(Action::ReadOtherAgain(scene.side));
            }
        }
        Other::NotReady { heading, sentence } => {
            ui.strong(heading);
            ui.add(Label::new(sentence).wrap());
            ui.add_space(8.0);
            let folder = page.bench.other.coin().map(|coin| coin.path().to_owned());
            if ui.add(Button::new("Open that coin")).clicked() {
                page.actions.push(Action::OpenSpecimen(folder));
            }
        }
    }
}
