//! The Compare page with another coin beside yours: spot by spot, what both show, and what you conclude.

mod conclusion;
mod crops;
mod findings;
mod header;
mod judged;
mod keys;
mod list;
mod measures;
pub mod model;
mod picker;
mod scene;

use egui::{CentralPanel, Frame, Margin, Panel, Ui};

use crate::app::model::action::Action;
use crate::app::model::bench::{Derived, index};
use crate::app::model::other_coin::OtherSlot;
use crate::app::model::page::Page;
use crate::app::pages::compare::{Beside, ComparePage};
use crate::reference::Side;
use crate::specimen::{Spot, WhichCoin};
use scene::PairScene;

/// What the page keeps of a comparison of two coins between frames; none of it is saved.
#[derive(Debug, Clone, Default)]
pub struct PairPage {
    /// The spot in view, obverse and reverse; the whole side where none was chosen.
    spots: [Option<Spot>; 2],
    /// What the view belongs to.
    shown: Option<(Side, Spot)>,
    /// What the two photos give at the spot.
    judged: judged::Judged,
    /// How alike the light falls on the two coins.
    light: judged::Light,
    /// The coin on which a measurement was begun.
    measured_on: Option<WhichCoin>,
    /// Numbers the gestures of typing, so that a note is one step of undo.
    gesture: u64,
}

impl PairPage {
    /// The spot in view on a side.
    fn spot(&self, side: Side) -> Spot {
        self.spots[index(side)].clone().unwrap_or(Spot::WholeSide)
    }

    /// Brings a spot into view.
    fn choose(&mut self, side: Side, spot: Spot) {
        self.spots[index(side)] = Some(spot);
    }
}

/// Draws the choice of what stands beside the coin.
pub(super) fn beside_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        for (beside, words, hover) in [
            (
                Beside::Plates,
                "Dies\u{2019} plates",
                "Your coin beside the plates of the set\u{2019}s dies. Key B changes.",
            ),
            (
                Beside::OtherCoin,
                "Another coin",
                "Your coin beside another specimen of this set: did one die strike both, and which first? Key B changes.",
            ),
        ] {
            let chosen = state.beside == beside;
            if ui.selectable_label(chosen, words).on_hover_text(hover).clicked() && !chosen {
                turn(page, state, beside);
            }
        }
    });
}

/// Puts plates or another coin beside yours.
pub(super) fn turn(page: &mut Page<'_>, state: &mut ComparePage, beside: Beside) {
    state.beside = beside;
    state.measuring = None;
    state.view = super::zoom::ZoneView::default();
    if beside == Beside::OtherCoin && page.bench.other.coin().is_none() {
        page.actions.push(Action::ReadCabinet);
    }
}

/// Draws the page.
pub(super) fn pair_ui(ui: &mut Ui, state: &mut ComparePage, page: &mut Page<'_>, derived: &Derived) {
    let scene = PairScene::of(page, state, derived);
    if let Some(scene) = &scene {
        judged::keep_fresh(page, state, scene);
        let inner = Frame::side_top_panel(ui.style());
        Panel::bottom("compare-conclusion")
            .frame(inner.inner_margin(Margin::symmetric(10, 5)))
            .show(ui, |ui| conclusion::conclusion_ui(ui, page, state, scene));
    }
    Panel::left("compare-features")
        .resizable(true)
        .default_size(216.0)
        .size_range(150.0..=360.0)
        .show(ui, |ui| list::list_ui(ui, page, state, scene.as_ref()));
    CentralPanel::default()
        .frame(Frame::central_panel(ui.style()).inner_margin(Margin::symmetric(10, 8)))
        .show(ui, |ui| match (&page.bench.other, scene) {
            (OtherSlot::Opening { folder, .. }, _) => {
                let name = folder.file_name().map(|n| n.to_string_lossy().into_owned());
                picker::opening_ui(ui, page, &name.unwrap_or_default());
            }
            (_, Some(scene)) => {
                keys::keys(ui, page, state, &scene);
                header::header_ui(ui, page, state, &scene);
                measures::measures_ui(ui, page, &scene);
                crops::crops_ui(ui, page, state, &scene);
            }
            (_, None) => picker::picker_ui(ui, page),
        });
}
