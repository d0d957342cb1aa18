//! The instruments that lay coin and plate over each other.

use egui::emath::GuiRounding as _;
use egui::{Rect, RichText, ScrollArea, Slider, Stroke, StrokeKind, TextureOptions, Ui, UiBuilder, Vec2};

use super::cells::{self, Density};
use super::missing::{Missing, missing_ui};
use super::scene::{FeatureSubject, InView, Subject, View};
use super::verdicts::state_controls_ui;
use super::{laid, measure};
use crate::app::pages::compare::{Beside, ComparePage};
use crate::app::widgets::canvas::DIFFERENCE_RANGE;
use crate::app::widgets::theme::palette;
use crate::crop::difference_legend;
use crate::geometry::SidePoint;
use crate::specimen::WhichCoin;

/// How coin and plate are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Look {
    /// The coin beside every plate.
    #[default]
    SideBySide,
    /// The coin left of a line, the plate right of it.
    Curtain,
    /// Now the one, now the other.
    Alternate,
    /// One over the other.
    Blend,
    /// The coin's edges over the plate.
    Edges,
    /// The plate's brightness less the coin's.
    Difference,
}

impl Look {
    /// All, in the order offered.
    pub const ALL: [Look; 6] = [
        Look::SideBySide,
        Look::Curtain,
        Look::Alternate,
        Look::Blend,
        Look::Edges,
        Look::Difference,
    ];

    /// Its name.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Look::SideBySide => "Side by side",
            Look::Curtain => "Curtain",
            Look::Alternate => "Alternate",
            Look::Blend => "Blend",
            Look::Edges => "Edges",
            Look::Difference => "Difference",
        }
    }

    /// What it is good for.
    fn explanation(self, beside: Beside) -> String {
        let what = beside.word();
        match self {
            Look::SideBySide => match beside {
                Beside::Plates => "Your coin beside the plate of every state.".to_owned(),
                Beside::OtherCoin => "Your coin beside the other coin.".to_owned(),
            },
            Look::Curtain => format!("Your coin left of the line, the {what} right of it. Drag the line."),
            Look::Alternate => {
                format!("Coin and {what} in turn: what moves is what differs. Space changes by hand.")
            }
            Look::Blend => format!("The {what} over the coin: doubled lines differ."),
            Look::Edges => format!("Your coin\u{2019}s edges as lines over the {what} in grey."),
            Look::Difference => format!(
                "Where coin and {what} differ in brightness. Light makes differences too: even it first."
            ),
        }
    }

    /// The one after it, round again.
    #[must_use]
    pub fn next(self) -> Self {
        let place = Self::ALL.iter().position(|l| *l == self).unwrap_or(0);
        Self::ALL[(place + 1) % Self::ALL.len()]
    }
}

/// The instruments' settings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dials {
    /// The curtain's place, 0 (all plate) to 1 (all coin).
    pub curtain: f32,
    /// Changes a second of the alternation; 0 leaves it to the hand.
    pub changes_per_s: f32,
    /// The plate's share of the blend, 0 to 1.
    pub plate_share: f32,
    /// Whether the alternation stands the other way round.
    swapped: bool,
}

impl Default for Dials {
    fn default() -> Self {
        Self {
            curtain: 0.5,
            changes_per_s: 1.5,
            plate_share: 0.5,
            swapped: false,
        }
    }
}

impl Dials {
    /// Under three flashes a second, as WCAG 2.2, 2.3.1 asks for the sake of those with photosensitive epilepsy: a
    /// flash is a pair of changes, and one change more is kept in hand.
    const MOST_CHANGES_PER_S: f32 = 4.0;

    /// Shows the other of the two.
    pub fn swap(&mut self) {
        self.swapped = !self.swapped;
    }

    /// Whether the alternation shows the plate at a time.
    pub(super) fn shows_plate(&self, time_s: f64) -> bool {
        let changes = (time_s * f64::from(self.changes_per_s)).floor();
        (changes.rem_euclid(2.0) >= 1.0) != self.swapped
    }
}

/// Draws the choice of instruments.
pub fn look_ui(ui: &mut Ui, state: &mut ComparePage) {
    let beside = state.beside;
    let padding = ui.spacing().button_padding;
    ui.spacing_mut().item_spacing.x = 2.0;
    if is_narrow(ui) {
        ui.spacing_mut().button_padding.x = 4.0;
    }
    for look in Look::ALL {
        ui.selectable_value(&mut state.look, look, look.words())
            .on_hover_text(format!("{} Key V goes to the next.", look.explanation(beside)));
    }
    ui.spacing_mut().item_spacing.x = if is_narrow(ui) { 4.0 } else { 8.0 };
    ui.spacing_mut().button_padding = padding;
}

/// Whether the line of tools must draw together to stay one line.
pub(super) fn is_narrow(ui: &Ui) -> bool {
    /// The width of the line of tools as it likes to stand, in points.
    const AT_EASE: f32 = 850.0;
    ui.max_rect().width() < AT_EASE
}

const STATES_WIDTH: f32 = 268.0;
const DIALS_HEIGHT: f32 = 30.0;

/// Draws an instrument for your coin and the pane in focus, a feature's states beside it; returns the place on the side
/// that was clicked.
pub fn instrument_ui(ui: &mut Ui, row: &mut InView<'_, '_>, area: Rect) -> Option<SidePoint> {
    let other = row.focused();
    let pane = row.scene.others.get(other)?;
    let (beside, name) = match &row.scene.subject {
        Subject::Feature(of) => (STATES_WIDTH + 12.0, format!("state {}", of.states[other].number)),
        Subject::Spot(_) => (0.0, "the other coin".to_owned()),
    };
    let ppp = ui.pixels_per_point();
    let left = Rect::from_min_max(area.min, area.max - Vec2::new(beside, DIALS_HEIGHT)).round_to_pixels(ppp);
    let crop = laid::on_screen(row.state, &row.scene.zone, left, ppp);
    row.state.frame = Some(crop.frame);
    let name = format!("{} of your coin and {name}", row.state.look.words());
    let mut response = cells::crop_response(ui, &crop, &name);
    let mut clicked = None;
    if let Some((coin, seen)) = row.scene.pair(other) {
        response = laid::laid_ui(ui, row.page, row.state, &crop, (coin, seen, pane), response);
        let radii = row.shown_radii95_mm(&crop.frame);
        cells::overlays(ui, row.state, &row.scene.zone, &crop, radii[other]);
        laid::labels_ui(ui, row.state, &crop, &pane.title);
        if let Subject::Spot(_) = row.scene.subject {
            measure::kept(&ui.painter_at(crop.rect), row, WhichCoin::This, &crop);
        }
        clicked = cells::link_views(ui, row.state, &row.scene.zone, &[(response, crop)]);
    } else {
        not_laid_ui(ui, row, &pane.view, crop.rect);
    }
    let stroke = Stroke::new(1.0, palette(ui).line);
    ui.painter()
        .rect_stroke(crop.rect, 0.0, stroke, StrokeKind::Outside);
    let dials = Rect::from_min_max(crop.rect.left_bottom() + Vec2::new(0.0, 4.0), area.max)
        .intersect(Rect::everything_left_of(crop.rect.right()));
    let mut dials_ui = ui.new_child(
        UiBuilder::new()
            .max_rect(dials)
            .layout(egui::Layout::left_to_right(egui::Align::Center)),
    );
    dial_ui(&mut dials_ui, row.state);
    if let Subject::Feature(of) = &row.scene.subject {
        let right = Rect::from_min_max(egui::pos2(crop.rect.right() + 12.0, area.top()), area.max);
        let mut right_ui = ui.new_child(UiBuilder::new().max_rect(right));
        states_ui(&mut right_ui, row, of);
    }
    clicked.map(|(_, place)| place)
}

/// Why the two cannot be laid over each other: your coin first.
fn not_laid_ui(ui: &mut Ui, row: &mut InView<'_, '_>, other: &View, rect: Rect) {
    match (&row.scene.coin.view, other) {
        (View::Missing(missing), _) | (_, View::Missing(missing)) => missing_ui(ui, row.page, rect, missing),
        _ => {
            let missing = Missing {
                sentence: "This state is known in words only: there is no plate to lay over the coin."
                    .to_owned(),
                ..Missing::default()
            };
            missing_ui(ui, row.page, rect, &missing);
        }
    }
}

fn dial_ui(ui: &mut Ui, state: &mut ComparePage) {
    let word = state.beside.word();
    ui.spacing_mut().slider_width = 160.0;
    match state.look {
        Look::SideBySide => {}
        Look::Curtain => {
            let mut percent = state.dials.curtain * 100.0;
            let slider = Slider::new(&mut percent, 0.0..=100.0)
                .fixed_decimals(0)
                .suffix(" % coin");
            if ui.add(slider).accessible_name("Curtain").changed() {
                state.dials.curtain = percent / 100.0;
            }
        }
        Look::Alternate => {
            let slider = Slider::new(&mut state.dials.changes_per_s, 0.0..=Dials::MOST_CHANGES_PER_S)
                .fixed_decimals(1)
                .suffix(" changes a second");
            ui.add(slider).accessible_name("Rate of alternation");
            if ui.button("Change").on_hover_text("Space").clicked() {
                state.dials.swap();
            }
        }
        Look::Blend => {
            let mut percent = state.dials.plate_share * 100.0;
            let slider = Slider::new(&mut percent, 0.0..=100.0)
                .fixed_decimals(0)
                .suffix(format!(" % {word}"));
            if ui.add(slider).accessible_name("Blend").changed() {
                state.dials.plate_share = percent / 100.0;
            }
        }
        Look::Edges => {
            ui.weak(state.look.explanation(state.beside));
        }
        Look::Difference => {
            ui.weak("coin brighter");
            legend(ui);
            ui.weak(format!("{word} brighter"));
            ui.weak(format!("(full colour at {DIFFERENCE_RANGE:.0} of 255 levels)"));
        }
    }
}

fn legend(ui: &mut Ui) {
    const SIZE: [u32; 2] = [120, 12];
    let id = egui::Id::unique("difference legend");
    let texture = ui.ctx().data(|d| d.get_temp::<egui::TextureHandle>(id));
    let texture = texture.unwrap_or_else(|| {
        let pixels = difference_legend(SIZE[0], SIZE[1]);
        let image =
            egui::ColorImage::from_rgba_unmultiplied([SIZE[0] as usize, SIZE[1] as usize], pixels.as_raw());
        let texture = ui
            .ctx()
            .load_texture("difference legend", image, TextureOptions::LINEAR);
        ui.ctx().data_mut(|d| d.insert_temp(id, texture.clone()));
        texture
    });
    ui.image((texture.id(), Vec2::new(SIZE[0] as f32, SIZE[1] as f32)));
}

fn states_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &FeatureSubject) {
    ScrollArea::vertical()
        .id_salt("states beside the instrument")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            for (index, cell) in of.states.iter().enumerate() {
                let focused = index == row.state.focus;
                let text = format!("{}  {}", cell.number, cell.words);
                let text = RichText::new(text);
                let text = if focused { text.strong() } else { text };
                let response = ui
                    .add(egui::Button::selectable(focused, text).wrap())
                    .accessible_name(format!("Compare with state {}: {}", cell.number, cell.words));
                if response.clicked() {
                    row.state.focus = index;
                }
                ui.push_id(("controls", index), |ui| {
                    state_controls_ui(ui, row, of, index, Density::Column);
                });
                ui.add_space(6.0);
                ui.separator();
            }
        });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_alternation_keeps_its_rate_and_stands_still_at_none() {
        let mut dials = Dials {
            changes_per_s: 2.0,
            ..Dials::default()
        };
        let seen: Vec<bool> = [0.1, 0.6, 1.1, 1.6].map(|t| dials.shows_plate(t)).into();
        assert_eq!(seen, [false, true, false, true]);
        dials.swap();
        assert!(dials.shows_plate(0.1));
        dials.changes_per_s = 0.0;
        assert_eq!(dials.shows_plate(0.1), dials.shows_plate(77.7));
    }

    #[test]
    fn the_looks_go_round() {
        let mut look = Look::SideBySide;
        for _ in Look::ALL {
            look = look.next();
        }
        assert_eq!(look, Look::SideBySide);
    }
}
