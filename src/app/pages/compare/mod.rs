//! The Compare page: zone by zone the coin beside the plate of every state, verdicts, and what they leave.

mod cells;
mod facts;
mod fine_shift;
mod header;
mod instruments;
mod keys;
mod laid;
pub mod layout;
mod list;
pub mod marks;
mod measure;
pub mod model;
mod overlay;
pub mod pair;
pub mod quality;
pub mod rulings;
mod scene;
mod state_controls;
mod strip;
pub mod warning;
mod zoom;

use std::sync::Arc;

use egui::{CentralPanel, Frame, Key, Margin, Modifiers, Panel, Ui};

use crate::app::model::action::Action;
use crate::app::model::page::Page;
use crate::crop::CropFrame;
use crate::geometry::SidePoint;
use crate::reference::{FeatureId, Side};
use scene::Scene;
use zoom::ZoneView;

/// What stands beside the coin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Beside {
    /// The plates of the set's dies.
    #[default]
    Plates,
    /// Another specimen of the set.
    OtherCoin,
}

impl Beside {
    /// What the picture beside the coin is called.
    fn word(self) -> &'static str {
        match self {
            Self::Plates => "plate",
            Self::OtherCoin => "other coin",
        }
    }
}

/// What the Compare page keeps between frames; none of it is saved.
#[derive(Debug, Clone, Default)]
pub struct ComparePage {
    /// What stands beside the coin.
    pub beside: Beside,
    /// How the zone is shown in all cells.
    pub view: ZoneView,
    /// The state in focus, counted from 0.
    pub focus: usize,
    /// How strongly the light is evened, 0 to 1.
    pub light_evened: f32,
    /// Whether the facts are shown in place of a feature.
    pub facts_shown: bool,
    /// The comparison with another coin.
    pub pair: pair::PairPage,
    /// What the photos give at the zones, obverse and reverse.
    pub judged: [quality::Judged; 2],
    /// How coin and plate are looked at.
    pub look: instruments::Look,
    /// The instruments' settings.
    pub dials: instruments::Dials,
    /// The fine shift that is offered.
    offer: Option<fine_shift::Offer>,
    /// The measurement being taken.
    pub measuring: Option<measure::Measuring>,
    /// The frame that the cells last showed, in physical pixels.
    pub frame: Option<CropFrame>,
    /// The place on the side under the pointer in the last frame.
    pointer: Option<SidePoint>,
    /// What the state above belongs to.
    shown: Option<(Side, FeatureId)>,
    /// Numbers the gestures of typing, so that a note is one step of undo.
    gesture: u64,
}

impl ComparePage {
    /// Starts a feature afresh: whole zone, first state in focus.
    fn show(&mut self, side: Side, feature: &FeatureId) {
        let same = self
            .shown
            .as_ref()
            .is_some_and(|(s, f)| *s == side && f == feature);
        if !same {
            self.shown = Some((side, feature.clone()));
            self.view = ZoneView::default();
            self.focus = 0;
            self.frame = None;
            self.pointer = None;
            self.measuring = None;
            self.offer = None;
            self.gesture += 1;
        }
    }
}

/// Draws the page.
pub fn compare_ui(ui: &mut Ui, state: &mut ComparePage, page: &mut Page<'_>) {
    let derived = page.bench.derived().clone();
    let set = Arc::clone(&page.bench.set);
    let side = page.bench.side;

    for side in Side::BOTH {
        quality::keep_fresh(page, state, &derived, side);
    }
    if !ui.ctx().text_edit_focused() && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::B)) {
        let other = match state.beside {
            Beside::Plates => Beside::OtherCoin,
            Beside::OtherCoin => Beside::Plates,
        };
        pair::turn(page, state, other);
    }
    if state.beside == Beside::OtherCoin {
        pair::pair_ui(ui, state, page, &derived);
        return;
    }
    let inner = Frame::side_top_panel(ui.style());
    Panel::bottom("compare-standing")
        .frame(inner.inner_margin(Margin::symmetric(10, 5)))
        .show(ui, |ui| strip::strip_ui(ui, page, &derived.standing));
    Panel::left("compare-features")
        .resizable(true)
        .default_size(216.0)
        .size_range(150.0..=360.0)
        .show(ui, |ui| list::list_ui(ui, page, state, &derived.standing));

    if !ui.ctx().text_edit_focused() && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::F)) {
        state.facts_shown = !state.facts_shown;
    }
    CentralPanel::default()
        .frame(Frame::central_panel(ui.style()).inner_margin(Margin::symmetric(10, 8)))
        .show(ui, |ui| {
            if state.facts_shown {
                facts::facts_ui(ui, page, state);
                return;
            }
            let asked = page.bench.feature[crate::app::model::bench::index(side)].clone();
            let Some(feature) = model::feature_in_view(&set, &derived.standing, side, asked.as_ref()) else {
                no_features_ui(ui, side);
                return;
            };
            if asked.as_ref() != Some(&feature.id) {
                // From now on it stays in view, whatever would tell most after the next verdict.
                page.actions.push(Action::ShowFeature(side, feature.id.clone()));
            }
            state.show(side, &feature.id);
            let Some(scene) = Scene::of(page, &derived, side, feature) else {
                ui.label(format!(
                    "The feature \u{201c}{}\u{201d} names a zone that the set does not have.",
                    feature.question
                ));
                return;
            };
            keys::keys(ui, page, state, &scene);
            header::header_ui(ui, page, state, &scene);
            measure::measurements_ui(ui, page, &scene);
            if state.look == instruments::Look::SideBySide {
                cells::cells_ui(ui, page, state, &scene);
            } else {
                instruments::instrument_ui(ui, page, state, &scene);
            }
        });
}

fn no_features_ui(ui: &mut Ui, side: Side) {
    ui.vertical_centered(|ui| {
        ui.add_space(ui.available_height() * 0.35);
        ui.heading(format!("This set has no features of the {} yet", side.word()));
        ui.label("A feature is a question asked in a zone where dies differ. Add some to the set, or compare the other side.");
    });
}
