//! The lines above the crops: what is asked, how it is looked at, and what stands against trusting it.

use egui::{Align, Button, Label, Layout, RichText, Slider, TextEdit, Ui, Vec2};

use super::model::{feature_at_distance, stated_what};
use super::scene::{InView, SpotSubject, Subject};
use super::spots::spot_at_distance;
use super::warning::Warning;
use super::zoom::ZoneView;
use super::{ComparePage, fine_shift, instruments, measure, quality};
use crate::app::model::action::Action;
use crate::app::model::bench::Step;
use crate::app::model::comparing::Seen;
use crate::app::widgets::marks::Mark;
use crate::app::widgets::paint::within_words;
use crate::pipeline::LIGHT_ALIKE_FROM;
use crate::reference::SideReference;
use crate::specimen::{ComparisonEdit, Spot, WhichCoin};
use crate::words::spot_title;

/// Draws them.
pub fn header_ui(ui: &mut Ui, row: &mut InView<'_, '_>) {
    let (what, whole) = match row.scene.subject {
        Subject::Feature(_) => ("feature", "Whole zone"),
        Subject::Spot(_) => ("spot", "Whole spot"),
    };
    ui.horizontal(|ui| {
        if let Some(steps) = step_buttons_ui(ui, what) {
            step(row, steps);
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            zoom_ui(ui, row.state, whole);
            if row.scene.has_own_detail() {
                telling_detail_ui(ui, row.scene.zone.telling_detail_mm);
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                title_ui(ui, row);
            });
        });
    });
    ui.horizontal_wrapped(|ui| {
        // While points are placed the line keeps to one row, whatever it says: the crops must not move under the hand.
        if row.state.measuring.is_some() {
            let stated = match &row.scene.subject {
                Subject::Feature(of) => of.states.get(row.focused()),
                Subject::Spot(_) => None,
            };
            let stated = stated.and_then(|cell| cell.stated.as_ref()).map(stated_what);
            measure::measure_button_ui(ui, row.state, row.scene.can_measure(), stated);
            return;
        }
        instruments::look_ui(ui, row.state);
        ui.separator();
        light_ui(ui, row.state);
        ui.separator();
        measure::measure_button_ui(ui, row.state, row.scene.can_measure(), None);
        fine_shift::button_ui(ui, row);
    });
    match &row.scene.subject {
        Subject::Feature(_) => zone_warnings_ui(ui, row),
        Subject::Spot(of) => spot_warnings_ui(ui, row, of),
    }
    fine_shift::shift_ui(ui, row);
    ui.add_space(2.0);
}

/// Goes on by some rows.
pub fn step(row: &mut InView<'_, '_>, steps: isize) {
    match &row.scene.subject {
        Subject::Feature(of) => {
            let there = feature_at_distance(&row.page.bench.set, row.scene.side, &of.feature.id, steps);
            if let Some((side, feature)) = there {
                row.page.push(Action::ShowFeature(side, feature));
            }
        }
        Subject::Spot(of) => {
            if let Some(spot) = spot_at_distance(&of.spots, &of.spot, steps) {
                row.state.choose_spot(row.scene.side, spot);
            }
        }
    }
}

/// What is asked, and what stands beside it in lighter words where there is room.
fn title_ui(ui: &mut Ui, row: &mut InView<'_, '_>) {
    let (title, beside) = match &row.scene.subject {
        Subject::Feature(of) => (
            of.feature.question.clone(),
            row.scene.zone.shown_title().to_owned(),
        ),
        Subject::Spot(of) => {
            if let Spot::Place { title, .. } = &of.spot {
                place_title_ui(ui, row, of, title);
                return;
            }
            let set = &row.page.bench.set;
            let asked = asked_at(set.side(row.scene.side), &of.spot);
            (spot_title(set, row.scene.side, &of.spot), asked)
        }
    };
    ui.add(Label::new(RichText::new(title).size(17.0).strong()).truncate());
    if ui.available_width() > ROOM_FOR_A_TITLE {
        ui.add(Label::new(RichText::new(beside).weak()).truncate());
    }
}

/// What the set asks at a spot, else what to look for.
fn asked_at(reference: &SideReference, spot: &Spot) -> String {
    let Spot::Zone(id) = spot else {
        return "Look for cracks, clash marks and recut details; zoom in and keep the place where you find one"
            .to_owned();
    };
    let features = reference.features.iter().filter(|f| f.zone == *id);
    let asked: Vec<&str> = features.map(|f| f.question.as_str()).collect();
    asked.join(" ")
}

/// The name of the user's own place, to be changed, and the way to be rid of it.
fn place_title_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &SpotSubject, title: &str) {
    let mut title = title.to_owned();
    let edit = TextEdit::singleline(&mut title)
        .hint_text("name this place")
        .char_limit(120)
        .desired_width(220.0)
        .id_salt("place title");
    if ui.add(edit).accessible_name("Name of this place").changed() {
        row.typed(0, of.edit(ComparisonEdit::Rename(of.spot.clone(), title)));
    }
    let remove = ui
        .button("Remove this place")
        .on_hover_text("With what was found there");
    if remove.clicked() {
        row.edit(of.edit(ComparisonEdit::Remove(of.spot.clone())));
    }
}

/// The buttons to the one before and the one after: how many steps to go, where one is pressed.
fn step_buttons_ui(ui: &mut Ui, what: &str) -> Option<isize> {
    let mut steps = None;
    for (step, text, name) in [
        (-1, "\u{2039}", format!("Previous {what} (P)")),
        (1, "\u{203a}", format!("Next {what} (N)")),
    ] {
        let button = Button::new(RichText::new(text).size(16.0)).min_size(Vec2::new(26.0, 24.0));
        let response = ui.add(button).on_hover_text(&name).accessible_name(&name);
        if response.clicked() {
            steps = Some(step);
        }
    }
    steps
}

/// With less room than this nothing of the zone's title could be read, in points.
const ROOM_FOR_A_TITLE: f32 = 60.0;

/// The zone's telling detail, which is never cut: every ± on the page is held against it.
fn telling_detail_ui(ui: &mut Ui, detail_mm: f64) {
    ui.add(Label::new(RichText::new(format!("telling detail {detail_mm:.2} mm")).weak()).extend())
        .on_hover_text(
            "The smallest detail that tells dies apart here. A photo that does not show it, or an alignment less \
             certain than it, cannot decide.",
        );
}

fn zoom_ui(ui: &mut Ui, state: &mut ComparePage, whole: &str) {
    let moved = !state.view.is_whole_zone();
    if ui
        .add_enabled(moved, Button::new(whole))
        .on_hover_text("Back to all of it: key Z. The wheel zooms at the pointer, dragging moves all cells.")
        .clicked()
    {
        state.view = ZoneView::default();
    }
    ui.weak(format!("{:.1}\u{d7}", state.view.zoom));
}

fn light_ui(ui: &mut Ui, state: &mut ComparePage) {
    let on = state.light_evened > 0.0;
    let words = if on {
        RichText::new("Light evened").color(Mark::Attention.color(ui))
    } else {
        RichText::new("Even light")
    };
    ui.label(words);
    let mut percent = state.light_evened * 100.0;
    ui.spacing_mut().slider_width = if instruments::is_narrow(ui) { 44.0 } else { 70.0 };
    let slider = Slider::new(&mut percent, 0.0..=100.0)
        .fixed_decimals(0)
        .suffix(" %");
    let response = ui
        .add(slider)
        .on_hover_text(
            "Evens the light of coin and plates alike, so that relief lit from different sides compares. It changes \
             only what is shown; 0 % shows the pictures as they are. Key L switches it.",
        )
        .accessible_name("Even light");
    if response.changed() {
        state.light_evened = percent / 100.0;
    }
}

/// What stands against trusting this zone, before a verdict is given.
fn zone_warnings_ui(ui: &mut Ui, row: &mut InView<'_, '_>) {
    let detail_mm = row.scene.zone.telling_detail_mm;
    let photo = row
        .quality(WhichCoin::This)
        .and_then(|quality| quality::warning(quality, detail_mm, None));
    let radii = row.scene.others.iter().filter_map(|pane| pane.radius95_mm);
    let radius = radii.reduce(f64::max).filter(|radius| *radius > detail_mm);
    if photo.is_none() && radius.is_none() {
        return;
    }
    ui.horizontal(|ui| {
        if let Some(radius) = radius {
            let within = within_words(radius, 2);
            let warning = Warning {
                short: format!("Placed to {within} only"),
                full: format!(
                    "Placed to {within} only: a shift as small as the telling detail may be the alignment\u{2019}s."
                ),
            };
            // Its place is kept free first: what follows is cut where the line ends.
            warning.short_ui(ui);
            if ui.link("Improve the alignment").clicked() {
                row.page.push(Action::GoToStep(Step::Align));
            }
        }
        if let Some(warning) = photo {
            warning.line_ui(ui);
        }
    });
}

/// What stands against trusting the two crops, each on a line.
fn spot_warnings_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &SpotSubject) {
    alignments_warning_ui(ui, row, of);
    let mut warnings = Vec::new();
    for (coin, whose) in [
        (WhichCoin::This, "your coin"),
        (WhichCoin::Other, "the other coin"),
    ] {
        let quality = row.quality(coin);
        let detail_mm = row.scene.zone.telling_detail_mm;
        warnings.extend(quality.and_then(|quality| quality::warning(quality, detail_mm, Some(whose))));
    }
    if let Some(similarity) = row.light_similarity().filter(|s| *s < LIGHT_ALIKE_FROM) {
        warnings.push(Warning {
            short: "The light falls otherwise on the two coins".to_owned(),
            full: format!(
                "The light falls otherwise on the two coins (alike {:.0} %): what is bright on one may be dark on the \
                 other. Even the light, and go by shapes, not by brightness.",
                similarity.max(0.0) * 100.0
            ),
        });
    }
    let seen = of.finding().and_then(|f| f.seen.as_ref());
    if seen.is_some_and(|seen| !seen.is_of(&of.own_sha256, &of.named.sha256)) {
        warnings.push(Warning::of(
            "What is noted here was found on another photo of one of the coins: look again.".to_owned(),
        ));
    }
    let notes = of.notes.iter().map(|note| format!("On the other coin: {note}"));
    warnings.extend(notes.map(Warning::of));
    for warning in warnings {
        ui.horizontal(|ui| warning.line_ui(ui));
    }
}

/// That the two alignments leave more open than the telling detail, and the way to the less certain one.
fn alignments_warning_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &SpotSubject) {
    let centre = row
        .state
        .frame
        .map_or(row.scene.zone.centre_mm, |frame| frame.centre);
    let radius = row.scene.radius95_mm(0, centre);
    let Some((radius, (coin, other))) = radius
        .filter(|radius| *radius > row.scene.zone.telling_detail_mm)
        .zip(row.scene.pair(0))
    else {
        return;
    };
    let alone = |seen: &Seen| seen.alignment.uncertainty_at(centre).radius95_mm;
    ui.horizontal_wrapped(|ui| {
        let short = format!("The coins lie on each other to {} only", within_words(radius, 2));
        let full = format!("{short}: a shift as small as the telling detail may be the alignments\u{2019}.");
        Warning { short, full }.short_ui(ui);
        // Never broken within: what follows in the row goes to the next line whole.
        ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
        if alone(coin) < alone(other) {
            ui.label("The other coin\u{2019}s is the less certain.");
            if ui.link("Open it to improve it").clicked() {
                row.page.push(Action::OpenSpecimen(Some(of.folder.clone())));
            }
        } else if ui.link("Improve this coin\u{2019}s alignment").clicked() {
            row.page.push(Action::GoToStep(Step::Align));
        }
    });
}
