//! What both coins show at the spot: the controls under the crops, and the changes of the record that they ask for.

use egui::{Button, Label, RichText, Role, Stroke, TextEdit, Ui, Vec2, WidgetInfo};

use super::list::mark_of;
use super::scene::PairScene;
use crate::app::model::action::Action;
use crate::app::model::page::Page;
use crate::app::pages::compare::ComparePage;
use crate::app::pages::compare::marks::down;
use crate::app::pages::compare::quality::suggested_reason;
use crate::app::pages::compare::rulings::matrix_rows;
use crate::crop::CanJudge;
use crate::specimen::{CannotTell, Difference, Finding, Found, SeenPair, Spot, WhichCoin};

/// Draws them.
pub fn findings_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &PairScene) {
    ui.spacing_mut().item_spacing = Vec2::new(4.0, 4.0);
    let found = scene.finding().and_then(|f| f.found);
    let layout = FindingsLayout::of(ui.available_width());
    ui.horizontal(|ui| {
        for (offered, word, key) in [
            (Found::Same, "Same here", "A"),
            (Found::Differs(Difference::NotSaid), "Differs here", "D"),
            (Found::CannotTell(usual_reason(state)), "Cannot tell here", "C"),
        ] {
            let chosen = found.is_some_and(|f| same_kind(f, offered));
            if found_button(ui, offered, word, key, chosen, layout) {
                page.actions.push(if chosen {
                    taking_back(scene)
                } else {
                    giving(state, scene, offered)
                });
            }
        }
        match found {
            Some(Found::Differs(kind)) => {
                kind_ui(ui, page, state, scene, kind);
                more_on_ui(ui, page, scene);
            }
            Some(Found::CannotTell(why)) => reason_ui(ui, page, state, scene, why),
            Some(Found::Same) | None => {}
        }
        if layout == FindingsLayout::OneLine {
            rest_ui(ui, page, state, scene);
        }
    });
    if layout == FindingsLayout::TwoLines {
        rest_ui(ui, page, state, scene);
    }
}

/// The note where something was found, else what to do.
fn rest_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &PairScene) {
    if scene.finding().is_some() {
        note_ui(ui, page, state, scene);
    } else {
        let words = "Say what both coins show here; a kind and a note can be added then.";
        ui.add(Label::new(RichText::new(words).weak()).truncate())
            .on_hover_text(words);
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

/// Whether both are the same word, whatever their kind or reason.
fn same_kind(a: Found, b: Found) -> bool {
    std::mem::discriminant(&a) == std::mem::discriminant(&b)
}

/// The reason offered first: what the worse of the two photos suggests, else wear.
pub fn usual_reason(state: &ComparePage) -> CannotTell {
    let worst = state
        .pair
        .judged
        .both()
        .into_iter()
        .flatten()
        .filter(|q| q.can_judge != CanJudge::Enough)
        .max_by_key(|q| q.can_judge);
    suggested_reason(worst)
}

fn found_button(
    ui: &mut Ui,
    offered: Found,
    word: &str,
    key: &str,
    chosen: bool,
    layout: FindingsLayout,
) -> bool {
    let mark = mark_of(Some(offered));
    let color = mark.color(ui);
    // On one line every word counts; a screen reader is told all of it.
    let shown = match layout {
        FindingsLayout::OneLine => word.trim_end_matches(" here"),
        FindingsLayout::TwoLines => word,
    };
    let text = if chosen {
        RichText::new(shown).strong().color(color)
    } else {
        RichText::new(shown)
    };
    let mut button = Button::new((mark.atom(ui), text)).min_size(Vec2::new(0.0, 26.0));
    if chosen {
        button = button
            .fill(color.gamma_multiply(0.16))
            .stroke(Stroke::new(1.0, color));
    }
    let response = ui.add(button);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, word));
    let hover = if chosen {
        "Take it back: key X".to_owned()
    } else {
        format!("Key {key}")
    };
    response.on_hover_text(hover).clicked()
}

fn kind_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &PairScene, kind: Difference) {
    let menu = ui.menu_button((kind.words(), down()), |ui| {
        for other in Difference::ALL {
            let button = Button::selectable(other == kind, other.words());
            if ui.add(button).on_hover_text(other.explanation()).clicked() {
                page.actions.push(giving(state, scene, Found::Differs(other)));
                ui.close();
            }
        }
    });
    menu.response
        .accessible_name(format!("Kind of difference: {}", kind.words()))
        .on_hover_text(format!("{} Key D steps through the kinds.", kind.explanation()));
}

fn more_on_ui(ui: &mut Ui, page: &mut Page<'_>, scene: &PairScene) {
    ui.weak("more on");
    let now = scene.finding().and_then(|f| f.more_on);
    for coin in WhichCoin::BOTH {
        let chosen = now == Some(coin);
        let response = ui
            .add(Button::selectable(chosen, coin.words()))
            .accessible_name(format!("More of it on {}", coin.words()))
            .on_hover_text("The coin that shows the difference, or shows more of it");
        if response.clicked() {
            page.actions.push(more_on(scene, (!chosen).then_some(coin)));
        }
    }
}

fn reason_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &PairScene, why: CannotTell) {
    let menu = ui.menu_button((format!("because {}", why.words()), down()), |ui| {
        for other in CannotTell::ALL {
            if ui.add(Button::selectable(other == why, other.words())).clicked() {
                page.actions.push(giving(state, scene, Found::CannotTell(other)));
                ui.close();
            }
        }
    });
    menu.response
        .accessible_name(format!("Reason: {}", why.words()))
        .on_hover_text("Why it cannot be told. Key C steps through the reasons.");
}

fn note_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &PairScene) {
    let mut note = scene.finding().map_or_else(String::new, |f| f.note.clone());
    let edit = TextEdit::singleline(&mut note)
        .hint_text("note")
        .char_limit(2000)
        .desired_width(ui.available_width() - 2.0)
        .id_salt("finding note");
    if ui.add(edit).accessible_name("Note on this spot").changed() {
        let gesture = Some(state.pair.gesture * 4);
        page.actions
            .push(changing(scene, "the note", gesture, move |finding| {
                finding.note = note
            }));
    }
}

/// A change of the finding at the spot in view.
fn changing(
    scene: &PairScene,
    words: &str,
    gesture: Option<u64>,
    change: impl FnOnce(&mut Finding) + 'static,
) -> Action {
    let (side, named, spot) = (scene.side, scene.named.clone(), scene.spot.clone());
    Action::Change {
        words: words.to_owned(),
        gesture,
        change: Box::new(move |record| {
            record.compare_with(side, &named, |c| change(c.finding_mut(&spot)));
        }),
    }
}

/// The action that says what the coins show at the spot in view.
pub fn giving(state: &ComparePage, scene: &PairScene, found: Found) -> Action {
    let seen = seen(state, scene);
    let words = match found {
        Found::Same => "\u{201c}same here\u{201d}",
        Found::Differs(_) => "\u{201c}differs here\u{201d}",
        Found::CannotTell(_) => "\u{201c}cannot tell here\u{201d}",
    };
    changing(scene, words, None, move |finding| {
        finding.found = Some(found);
        if !matches!(found, Found::Differs(_)) {
            finding.more_on = None;
        }
        finding.seen = seen;
    })
}

/// The action that takes back what was found at the spot in view.
pub fn taking_back(scene: &PairScene) -> Action {
    changing(scene, "taking a finding back", None, |finding| {
        finding.found = None;
        finding.more_on = None;
        finding.seen = None;
    })
}

fn more_on(scene: &PairScene, coin: Option<WhichCoin>) -> Action {
    changing(scene, "the coin that shows more", None, move |finding| {
        finding.more_on = coin;
    })
}

/// Asks for another name of the user's own place in view.
pub fn rename(page: &mut Page<'_>, state: &ComparePage, scene: &PairScene, to: String) {
    let gesture = Some(state.pair.gesture * 4 + 1);
    page.actions.push(changing(
        scene,
        "the place\u{2019}s name",
        gesture,
        move |finding| {
            if let Spot::Place { title, .. } = &mut finding.spot {
                *title = to;
            }
        },
    ));
}

/// Asks for the removal of the user's own place in view.
pub fn remove(page: &mut Page<'_>, scene: &PairScene) {
    let (side, named, spot) = (scene.side, scene.named.clone(), scene.spot.clone());
    page.actions
        .push(Action::change("removing a place", move |record| {
            record.compare_with(side, &named, |c| {
                c.forget(&spot);
            });
        }));
}

/// The two crops on the screen, to keep with a finding.
fn seen(state: &ComparePage, scene: &PairScene) -> Option<SeenPair> {
    let [(_, coin), (_, other)] = scene.both()?;
    let frame = state.frame?;
    Some(SeenPair {
        photo_from_side: matrix_rows(&scene.coin_from_side(coin)),
        other_from_side: matrix_rows(&other.picture_from_side),
        sha256: scene.own_sha256.clone(),
        other_sha256: scene.named.sha256.clone(),
        centre_mm: frame.centre,
        size_mm: frame.size_mm(),
        px_per_mm: frame.px_per_mm,
        uncertainty_mm: scene.radius95_mm(frame.centre).unwrap_or(f64::NAN),
        light_evened: f64::from(state.light_evened),
    })
}
