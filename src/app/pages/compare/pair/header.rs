//! The lines above the crops: the spot, how it is looked at, and what stands against trusting it.

use std::sync::Arc;

use egui::{Align, Label, Layout, RichText, TextEdit, Ui};

use super::scene::{PairScene, together_mm};
use crate::align::Uncertainty;
use crate::app::model::action::Action;
use crate::app::model::bench::Step;
use crate::app::model::page::Page;
use crate::app::pages::compare::header::{
    ROOM_FOR_A_TITLE, light_ui, step_buttons_ui, telling_detail_ui, zoom_ui,
};
use crate::app::pages::compare::pair::{findings, judged};
use crate::app::pages::compare::warning::Warning;
use crate::app::pages::compare::{ComparePage, fine_shift, instruments, measure};
use crate::app::widgets::paint::within_words;
use crate::crop::ZoneQuality;
use crate::flow::LIGHT_ALIKE_FROM;
use crate::specimen::{Spot, WhichCoin};
use crate::words::{because, doubt, spot_title};

/// Draws them.
pub fn header_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage, scene: &PairScene) {
    ui.horizontal(|ui| {
        if let Some(steps) = step_buttons_ui(ui, "spot") {
            step(state, scene, steps);
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            zoom_ui(ui, state, "Whole spot");
            if matches!(scene.spot, Spot::Zone(_)) {
                telling_detail_ui(ui, scene.zone.telling_detail_mm);
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                title_ui(ui, page, state, scene)
            });
        });
    });
    ui.horizontal_wrapped(|ui| {
        let ready = scene.both().is_some();
        if state.measuring.is_some() {
            measure::measure_button_ui(ui, state, ready, None);
            return;
        }
        instruments::look_ui(ui, state);
        ui.separator();
        light_ui(ui, state);
        ui.separator();
        measure::measure_button_ui(ui, state, ready, None);
        fine_shift::ask_ui(ui, page, to_shift(scene), scene.side, &scene.zone, state.beside);
    });
    warnings_ui(ui, page, state, scene);
    if let Some(shift) = fine_shift::offered_ui(ui, state, scene.side, &scene.zone, scene.fine_shift()) {
        let (side, named, spot) = (scene.side, scene.named.clone(), scene.spot.clone());
        page.actions.push(Action::change("the fine shift", move |record| {
            record.compare_with(side, &named, |c| c.set_fine_shift(&spot, shift));
        }));
    }
    ui.add_space(2.0);
}

/// Both coins where a fine shift can be asked for; a whole side is no spot to shift.
fn to_shift(scene: &PairScene) -> Option<(fine_shift::Aligned, fine_shift::Aligned)> {
    let both = scene.both().filter(|_| scene.spot != Spot::WholeSide)?;
    let [coin, other] = both.map(|(picture, a)| (Arc::clone(picture), Arc::clone(a)));
    Some((coin, other))
}

fn title_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &PairScene) {
    let set = std::sync::Arc::clone(&page.bench.set);
    if let Spot::Place { title, .. } = &scene.spot {
        let mut title = title.clone();
        let edit = TextEdit::singleline(&mut title)
            .hint_text("name this place")
            .char_limit(120)
            .desired_width(220.0)
            .id_salt("place title");
        let response = ui.add(edit).accessible_name("Name of this place");
        if response.changed() {
            findings::rename(page, state, scene, title);
        }
        if ui
            .button("Remove this place")
            .on_hover_text("With what was found there")
            .clicked()
        {
            findings::remove(page, scene);
        }
        return;
    }
    let title = spot_title(&set, scene.side, &scene.spot);
    ui.add(Label::new(RichText::new(title).size(17.0).strong()).truncate());
    let reference = set.side(scene.side);
    let words = match &scene.spot {
        Spot::Zone(id) => {
            let asked: Vec<&str> = reference
                .features
                .iter()
                .filter(|f| f.zone == *id)
                .map(|f| f.question.as_str())
                .collect();
            asked.join(" ")
        }
        _ => "Look for cracks, clash marks and recut details; zoom in and keep the place where you find one"
            .to_owned(),
    };
    if ui.available_width() > ROOM_FOR_A_TITLE {
        ui.add(Label::new(RichText::new(&words).weak()).truncate());
    }
}

/// Goes on by some spots.
pub fn step(state: &mut ComparePage, scene: &PairScene, steps: isize) {
    if let Some(spot) = super::model::spot_at_distance(&scene.spots, &scene.spot, steps) {
        state.pair.choose(scene.side, spot);
    }
}

fn warnings_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &PairScene) {
    let line = |ui: &mut Ui, short: &str, full: String| {
        let short = short.to_owned();
        ui.horizontal(|ui| Warning { short, full }.line_ui(ui));
    };
    let centre = state.frame.map_or(scene.zone.centre_mm, |frame| frame.centre);
    // Each alone and both together from one reckoning: it takes a moment.
    if let Some(each) = scene.uncertainties(centre)
        && let radius = together_mm(each)
        && radius > scene.zone.telling_detail_mm
    {
        ui.horizontal_wrapped(|ui| {
            let short = format!("The coins lie on each other to {} only", within_words(radius, 2));
            let full =
                format!("{short}: a shift as small as the telling detail may be the alignments\u{2019}.");
            Warning { short, full }.short_ui(ui);
            improve_ui(ui, page, each);
        });
    }
    let [coin, other] = state.pair.judged.both();
    for (whose, quality) in [("your coin", coin), ("the other coin", other)] {
        if let Some(warning) = quality.and_then(|q| doubt_warning(whose, q, scene)) {
            ui.horizontal(|ui| warning.line_ui(ui));
        }
    }
    if let Some(likeness) = judged::light(state, scene).filter(|l| *l < LIGHT_ALIKE_FROM) {
        line(
            ui,
            "The light falls otherwise on the two coins",
            format!(
                "The light falls otherwise on the two coins (alike {:.0} %): what is bright on one may be dark on the \
                 other. Even the light, and go by shapes, not by brightness.",
                likeness.max(0.0) * 100.0
            ),
        );
    }
    let stale = scene
        .finding()
        .and_then(|f| f.seen.as_ref())
        .is_some_and(|seen| !seen.is_of(&scene.own_sha256, &scene.named.sha256));
    if stale {
        let words = "What is noted here was found on another photo of one of the coins: look again.";
        line(ui, words, words.to_owned());
    }
    for note in &scene.notes {
        let words = format!("On the other coin: {note}");
        line(ui, &words, words.clone());
    }
}

/// Leads to the coin whose alignment is the less certain.
fn improve_ui(ui: &mut Ui, page: &mut Page<'_>, [coin, other]: [Uncertainty; 2]) {
    let weaker = if coin.radius95_mm >= other.radius95_mm {
        WhichCoin::This
    } else {
        WhichCoin::Other
    };
    // Never broken within: what follows in the row goes to the next line whole.
    ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
    match weaker {
        WhichCoin::Other => {
            ui.label("The other coin\u{2019}s is the less certain.");
            if ui.link("Open it to improve it").clicked() {
                let folder = page.bench.other.coin().map(|coin| coin.path().to_owned());
                page.actions.push(Action::OpenSpecimen(folder));
            }
        }
        WhichCoin::This => {
            if ui.link("Improve this coin\u{2019}s alignment").clicked() {
                page.actions.push(Action::GoToStep(Step::Align));
            }
        }
    }
}

fn doubt_warning(whose: &str, quality: &ZoneQuality, scene: &PairScene) -> Option<Warning> {
    let doubt = doubt(quality)?;
    let bare = format!("On {whose}, {doubt}");
    let (short, said) =
        because(quality, scene.zone.telling_detail_mm).said(bare.clone(), |why| format!("{bare} ({why})"));
    let shortcoming = quality
        .shortcomings
        .first()
        .map_or_else(String::new, |s| format!(" {s}"));
    let full = format!("{said}.{shortcoming}");
    Some(Warning { short, full })
}
