//! The Compare page: row by row (features, or spots of two coins) your coin beside what stands beside it (the plates of
//! every state, or another coin), what you say of them, and what that leaves.

mod cells;
mod conclusion;
mod controls;
mod facts;
mod findings;
mod fine_shift;
mod header;
mod instruments;
mod keys;
mod laid;
mod layout;
mod list;
mod measure;
mod missing;
mod model;
mod overlay;
mod picker;
mod quality;
mod scene;
mod spots;
mod strip;
mod verdicts;
mod warning;
mod zoom;

pub use keys::help;

use std::sync::Arc;

use egui::{CentralPanel, Frame, Margin, Panel, Rect, Ui, UiBuilder, Vec2};

use crate::app::model::action::Action;
use crate::app::model::bench::Derived;
use crate::app::model::comparing::{CompareResult, Offer};
use crate::app::model::other_coin::OtherSlot;
use crate::app::pages::Page;
use crate::crop::CropFrame;
use crate::geometry::SidePoint;
use crate::reference::{FeatureId, Side, Sides};
use crate::specimen::{Spot, WhichCoin};
use findings::FindingsLayout;
use instruments::Look;
use scene::{InView, Scene, Subject};
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
    /// How the row's part of the side is shown in all panes.
    pub view: ZoneView,
    /// The state in focus, counted from 0.
    pub focus: usize,
    /// How strongly the light is evened, 0 to 1.
    pub light_evened: f32,
    /// Whether the facts are shown in place of a feature.
    pub facts_shown: bool,
    /// The spot in view of two coins; the whole side where none was chosen.
    spots: Sides<Option<Spot>>,
    /// What your coin's photos give at the set's zones.
    judged: Sides<quality::Judged>,
    /// What your coin's photo and the other's give at the spot in view.
    judged_at_spot: [quality::Judged; 2],
    /// How alike the light falls on the two coins.
    light: quality::Light,
    /// How coin and plate are looked at.
    pub look: Look,
    /// The instruments' settings.
    pub dials: instruments::Dials,
    /// The fine shift that is offered.
    pub offer: Option<Offer>,
    /// The measurement being taken.
    pub measuring: Option<measure::Measuring>,
    /// The frame that the panes last showed, in physical pixels.
    pub frame: Option<CropFrame>,
    /// The place on the side under the pointer in the last frame.
    pointer: Option<SidePoint>,
    /// The feature that the state above belongs to.
    shown_feature: Option<(Side, FeatureId)>,
    /// The spot that it belongs to.
    shown_spot: Option<(Side, Spot)>,
    /// Numbers the gestures of typing, so that a note is one step of undo.
    gesture: u64,
}

impl ComparePage {
    /// Takes in what a worker found.
    pub fn take_in(&mut self, result: CompareResult) {
        match result {
            CompareResult::Zones(what, seen, only, zones) => {
                self.take_zones(what, &seen, only.as_ref(), zones)
            }
            CompareResult::Light(coins, similarity) => self.light.take(&coins, similarity),
            CompareResult::Shift(offer) => self.offer = Some(offer),
        }
    }

    /// Starts a feature afresh: whole zone, first state in focus.
    fn show_feature(&mut self, side: Side, feature: &FeatureId) {
        let row = (side, feature.clone());
        if self.shown_feature.as_ref() != Some(&row) {
            self.shown_feature = Some(row);
            self.focus = 0;
            self.begin_row();
        }
    }

    /// Starts a spot afresh.
    fn show_spot(&mut self, side: Side, spot: &Spot) {
        let shown = self.shown_spot.as_ref();
        if !shown.is_some_and(|(of, shown)| *of == side && shown.is_same(spot)) {
            self.shown_spot = Some((side, spot.clone()));
            self.begin_row();
        }
    }

    fn begin_row(&mut self) {
        self.view = ZoneView::default();
        self.frame = None;
        self.pointer = None;
        self.measuring = None;
        self.offer = None;
        self.gesture += 1;
    }

    /// The pane in focus beside your coin: the last where there are fewer.
    fn focused(&self, scene: &Scene) -> usize {
        self.focus.min(scene.others.len().saturating_sub(1))
    }

    /// Numbers the gesture of typing one of the row's texts.
    fn gesture_of(&self, text: usize) -> u64 {
        /// So many texts at most can be typed on a row: its states' notes.
        const TEXTS: u64 = 1_000;
        self.gesture * TEXTS + text as u64
    }

    /// The spot asked for on a side.
    fn spot(&self, side: Side) -> &Spot {
        self.spots[side].as_ref().unwrap_or(&Spot::WholeSide)
    }

    /// Brings a spot into view.
    fn choose_spot(&mut self, side: Side, spot: Spot) {
        self.spots[side] = Some(spot);
    }

    /// Puts plates or another coin beside yours.
    fn put_beside(&mut self, page: &mut Page<'_>, beside: Beside) {
        self.beside = beside;
        self.measuring = None;
        self.view = ZoneView::default();
        if beside == Beside::OtherCoin && page.bench.other.coin().is_none() {
            page.push(Action::ReadCabinet);
        }
    }
}

/// What fills the page.
enum Content {
    /// A row with its panes.
    Row(Box<Scene>),
    /// The facts.
    Facts,
    /// The other coin is to be chosen.
    Picker,
    /// The other coin is being opened: its folder's name.
    Opening(String),
    /// The side has no features.
    NoFeatures,
    /// A feature names a zone that the set lacks: its question.
    NoZone(String),
}

impl Content {
    fn of(page: &mut Page<'_>, state: &mut ComparePage, derived: &Derived) -> Self {
        if state.beside == Beside::OtherCoin {
            if let OtherSlot::Opening(_, folder) = &page.bench.other {
                let name = folder.file_name().map(|n| n.to_string_lossy().into_owned());
                return Self::Opening(name.unwrap_or_default());
            }
            let Some(scene) = Scene::of_spot(page, state, derived) else {
                return Self::Picker;
            };
            if let Subject::Spot(of) = &scene.subject {
                state.show_spot(scene.side, &of.spot);
            }
            quality::judge_spot(page, state, &scene);
            return Self::Row(Box::new(scene));
        }
        if state.facts_shown {
            return Self::Facts;
        }
        let (side, set) = (page.bench.side, Arc::clone(&page.bench.set));
        let asked = page.bench.feature[side].clone();
        let Some(feature) = model::feature_in_view(&set, &derived.standing, side, asked.as_ref()) else {
            return Self::NoFeatures;
        };
        if asked.as_ref() != Some(&feature.id) {
            // From now on it stays in view, whatever would tell most after the next verdict.
            page.push(Action::ShowFeature(side, feature.id.clone()));
        }
        state.show_feature(side, &feature.id);
        match Scene::of_feature(page, derived, side, feature) {
            Some(scene) => Self::Row(Box::new(scene)),
            None => Self::NoZone(feature.question.clone()),
        }
    }

    fn scene(&self) -> Option<&Scene> {
        match self {
            Self::Row(scene) => Some(scene),
            _ => None,
        }
    }
}

/// Draws the page.
pub fn compare_ui(ui: &mut Ui, state: &mut ComparePage, page: &mut Page<'_>) {
    let derived = page.bench.derived().clone();
    for side in Side::BOTH {
        quality::judge_side(page, state, &derived, side);
    }
    keys::page_keys(ui, page, state);
    let content = Content::of(page, state, &derived);
    let foot = |id: &'static str, ui: &Ui| {
        let inner = Frame::side_top_panel(ui.style());
        Panel::bottom(id).frame(inner.inner_margin(Margin::symmetric(10, 5)))
    };
    match (state.beside, content.scene().map(|scene| &scene.subject)) {
        (Beside::Plates, _) => {
            foot("compare-standing", ui).show(ui, |ui| strip::strip_ui(ui, page, &derived.standing));
        }
        (Beside::OtherCoin, Some(Subject::Spot(of))) => {
            foot("compare-conclusion", ui).show(ui, |ui| conclusion::conclusion_ui(ui, page, state, of));
        }
        (Beside::OtherCoin, _) => {}
    }
    Panel::left("compare-features")
        .resizable(true)
        .default_size(216.0)
        .size_range(150.0..=360.0)
        .show(ui, |ui| {
            list::list_ui(ui, page, state, content.scene(), &derived.standing);
        });
    CentralPanel::default()
        .frame(Frame::central_panel(ui.style()).inner_margin(Margin::symmetric(10, 8)))
        .show(ui, |ui| match content {
            Content::Row(scene) => {
                let scene = &*scene;
                row_ui(ui, InView { page, state, scene });
            }
            Content::Facts => facts::facts_ui(ui, page, state),
            Content::Picker => picker::picker_ui(ui, page),
            Content::Opening(name) => picker::opening_ui(ui, page, &name),
            Content::NoFeatures => no_features_ui(ui, page.bench.side),
            Content::NoZone(question) => {
                ui.label(format!(
                    "The feature \u{201c}{question}\u{201d} names a zone that the set does not have."
                ));
            }
        });
}

/// Draws a row: what is asked, its panes beside or over each other, and for two coins what was found under them.
fn row_ui(ui: &mut Ui, mut row: InView<'_, '_>) {
    let (scene, row) = (row.scene, &mut row);
    keys::keys(ui, row);
    header::header_ui(ui, row);
    measure::measurements_ui(ui, row);
    let area = ui.available_rect_before_wrap();
    ui.advance_cursor_after_rect(area);
    let (above, below) = match scene.subject {
        Subject::Feature(_) => (area, None),
        Subject::Spot(_) => {
            let controls = FindingsLayout::of(area.width()).height();
            let above = Rect::from_min_max(area.min, area.max - Vec2::new(0.0, controls + 4.0));
            let below = Rect::from_min_max(egui::pos2(area.left(), area.bottom() - controls), area.max);
            (above, Some(below))
        }
    };
    let clicked = if row.state.look == Look::SideBySide {
        cells::side_by_side_ui(ui, row, above)
    } else {
        instruments::instrument_ui(ui, row, above).map(|place| (0, place))
    };
    if let Some((pane, place)) = clicked {
        let on = match scene.subject {
            Subject::Spot(_) if pane > 0 => WhichCoin::Other,
            _ => WhichCoin::This,
        };
        measure::point_placed(row, on, place);
    }
    if let (Subject::Spot(of), Some(below)) = (&scene.subject, below) {
        let mut below_ui = ui.new_child(UiBuilder::new().max_rect(below));
        findings::findings_ui(&mut below_ui, row, of);
    }
}

fn no_features_ui(ui: &mut Ui, side: Side) {
    ui.vertical_centered(|ui| {
        ui.add_space(ui.available_height() * 0.35);
        ui.heading(format!("This set has no features of the {} yet", side.word()));
        ui.label("A feature is a question asked in a zone where dies differ. Add some to the set, or compare the other side.");
    });
}
