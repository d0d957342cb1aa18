//! What both coins show at the spot: the controls under the crops, and the changes of the record that they ask for.

use egui::{Button, Label, RichText, Ui, Vec2};

use super::ComparePage;
use super::controls::{VerdictButton, menu_ui, note_ui, same_word};
use super::scene::{InView, SpotSubject};
use super::spots::place_in_view;
use crate::app::model::action::Action;
use crate::app::pages::Page;
use crate::app::widgets::marks::Mark;
use crate::pipeline;
use crate::specimen::{CannotTell, ComparisonEdit, Difference, Found, SeenPair, WhichCoin};

/// Draws them.
pub fn findings_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &SpotSubject) {
    ui.spacing_mut().item_spacing = Vec2::new(4.0, 4.0);
    let layout = FindingsLayout::of(ui.available_width());
    ui.horizontal(|ui| {
        found_ui(ui, row, of, layout);
        match of.finding().and_then(|f| f.found) {
            Some(Found::Differs(kind)) => {
                kind_ui(ui, row, of, kind);
                more_on_ui(ui, row, of);
            }
            Some(Found::CannotTell(why)) => {
                let reasons = CannotTell::ALL.map(|why| (why, why.words(), ""));
                let menu = menu_ui(ui, format!("because {}", why.words()), why, reasons);
                menu.response
                    .accessible_name(format!("Reason: {}", why.words()))
                    .on_hover_text("Why it cannot be told. Key C steps through the reasons.");
                if let Some(why) = menu.inner {
                    find(row, of, Found::CannotTell(why));
                }
            }
            Some(Found::Same) | None => {}
        }
        if layout == FindingsLayout::OneLine {
            rest_ui(ui, row, of);
        }
    });
    if layout == FindingsLayout::TwoLines {
        rest_ui(ui, row, of);
    }
}

/// The note where something was found, else what to do.
fn rest_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &SpotSubject) {
    let Some(finding) = of.finding() else {
        let words = "Say what both coins show here; a kind and a note can be added then.";
        ui.add(Label::new(RichText::new(words).weak()).truncate())
            .on_hover_text(words);
        return;
    };
    let width = ui.available_width() - 2.0;
    if let Some(note) = note_ui(ui, &finding.note, "note", "Note on this spot".to_owned(), width) {
        row.typed(0, of.edit(ComparisonEdit::Note(of.spot.clone(), note)));
    }
}

/// How the controls under the crops stand: on one line where the window is wide enough, as every line takes from the
/// crops.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FindingsLayout {
    /// All on one.
    OneLine,
    /// The note below the buttons.
    TwoLines,
}

impl FindingsLayout {
    /// As wide as a difference's controls with a note of a few words, in points.
    const ONE_LINE_FROM: f32 = 740.0;

    /// That for a width in points.
    pub fn of(width: f32) -> Self {
        if width >= Self::ONE_LINE_FROM {
            Self::OneLine
        } else {
            Self::TwoLines
        }
    }

    /// The height that it takes, in points.
    pub fn height(self) -> f32 {
        match self {
            Self::OneLine => 30.0,
            Self::TwoLines => 64.0,
        }
    }
}

/// The buttons of what can be found.
fn found_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &SpotSubject, layout: FindingsLayout) {
    let found = of.finding().and_then(|f| f.found);
    for (offered, word, key) in [
        (Found::Same, "Same here", "A"),
        (Found::Differs(Difference::NotSaid), "Differs here", "D"),
        (Found::CannotTell(row.usual_reason()), "Cannot tell here", "C"),
    ] {
        let chosen = found.is_some_and(|found| same_word(&found, &offered));
        let hover = if chosen {
            "Take it back: key X".to_owned()
        } else {
            format!("Key {key}")
        };
        let button = VerdictButton {
            mark: Mark::of_found(Some(offered)),
            // On one line every word counts; a screen reader is told all of it.
            shown: match layout {
                FindingsLayout::OneLine => word.trim_end_matches(" here"),
                FindingsLayout::TwoLines => word,
            },
            name: word,
            chosen,
            height: 26.0,
        };
        if button.ui(ui, hover) {
            if chosen {
                take_back(row, of);
            } else {
                find(row, of, offered);
            }
        }
    }
}

fn kind_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &SpotSubject, kind: Difference) {
    let kinds = Difference::ALL.map(|kind| (kind, kind.words(), kind.explanation()));
    let menu = menu_ui(ui, kind.words().to_owned(), kind, kinds);
    menu.response
        .accessible_name(format!("Kind of difference: {}", kind.words()))
        .on_hover_text(format!("{} Key D steps through the kinds.", kind.explanation()));
    if let Some(kind) = menu.inner {
        find(row, of, Found::Differs(kind));
    }
}

fn more_on_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &SpotSubject) {
    ui.weak("more on");
    let now = of.finding().and_then(|f| f.more_on);
    for coin in WhichCoin::BOTH {
        let chosen = now == Some(coin);
        let response = ui
            .add(Button::selectable(chosen, coin.words()))
            .accessible_name(format!("More of it on {}", coin.words()))
            .on_hover_text("The coin that shows the difference, or shows more of it");
        if response.clicked() {
            let coin = (!chosen).then_some(coin);
            row.edit(of.edit(ComparisonEdit::MoreOn(of.spot.clone(), coin)));
        }
    }
}

/// Says what the coins show at the spot in view.
pub fn find(row: &mut InView<'_, '_>, of: &SpotSubject, found: Found) {
    let seen = seen(row, of).map(Box::new);
    row.edit(of.edit(ComparisonEdit::Find(of.spot.clone(), found, seen)));
}

/// Takes back what was found at the spot in view.
pub fn take_back(row: &mut InView<'_, '_>, of: &SpotSubject) {
    row.edit(of.edit(ComparisonEdit::TakeBack(of.spot.clone())));
}

/// Keeps what is in view as a spot of the user's own, and goes on there.
pub fn keep_place(page: &mut Page<'_>, state: &mut ComparePage, of: &SpotSubject) {
    let Some(frame) = state.frame else {
        return;
    };
    let spot = place_in_view(&frame);
    if pipeline::spot_zone(&page.bench.set, of.side, &spot).is_none() {
        page.push(Action::Complain(
            "What is in view lies off the coin: pan back to the place that you want to keep.".to_owned(),
        ));
        return;
    }
    state.choose_spot(of.side, spot.clone());
    page.push(Action::edit(of.edit(ComparisonEdit::Keep(spot))));
}

/// The two crops on the screen, to keep with a finding.
fn seen(row: &InView<'_, '_>, of: &SpotSubject) -> Option<SeenPair> {
    let ((coin, other), frame) = (row.scene.pair(0)?, row.state.frame?);
    Some(SeenPair {
        photo_from_side: coin.rows(),
        other_from_side: other.rows(),
        sha256: of.own_sha256.clone(),
        other_sha256: of.named.sha256.clone(),
        centre_mm: frame.centre,
        size_mm: frame.size_mm(),
        px_per_mm: frame.px_per_mm,
        uncertainty_mm: row.scene.radius95_mm(0, frame.centre).unwrap_or(f64::NAN),
        light_evened: f64::from(row.state.light_evened),
    })
}
