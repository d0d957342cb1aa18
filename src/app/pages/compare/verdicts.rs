//! Under each plate: which dies show the state, its stated measure, and the verdict; and the changes of the record that
//! they ask for.

use egui::{Button, Label, RichText, Ui};

use super::cells::Density;
use super::controls::{VerdictButton, menu_ui, note_ui, same_word};
use super::scene::{FeatureSubject, InView, Scene};
use crate::app::widgets::marks::Mark;
use crate::specimen::{CannotTell, FeatureEdit, GivenVerdict, Ruling, SeenCrop};

/// Draws them for a state, by its index.
pub fn state_controls_ui(
    ui: &mut Ui,
    row: &mut InView<'_, '_>,
    of: &FeatureSubject,
    index: usize,
    density: Density,
) {
    ui.spacing_mut().item_spacing.y = 3.0;
    if matches!(density, Density::Full | Density::Column) {
        about_ui(ui, row.scene, of, index, density);
    }
    let given = of.states[index].verdict.is_some();
    let narrow = ui.available_width() < AT_EASE || density == Density::OneLine;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        if narrow {
            ui.spacing_mut().button_padding.x = 5.0;
        }
        rulings_ui(ui, row, of, index);
        if density == Density::OneLine {
            follow_ui(ui, row, of, index);
        }
    });
    if density == Density::OneLine {
        return;
    }
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        follow_ui(ui, row, of, index);
        if given {
            verdict_note_ui(ui, row, of, index);
        }
    });
}

/// The three verdicts' buttons as they like to stand side by side, in points.
const AT_EASE: f32 = 275.0;

/// The buttons of the three verdicts.
fn rulings_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &FeatureSubject, index: usize) {
    let cell = &of.states[index];
    let given = cell.verdict.as_ref().map(|v| v.ruling);
    for (ruling, word, key) in [
        (Ruling::Agrees, "Agrees", "A"),
        (Ruling::Differs, "Differs", "D"),
        (Ruling::CannotTell(row.usual_reason()), "Cannot tell", "C"),
    ] {
        let chosen = given.is_some_and(|given| same_word(&given, &ruling));
        let hover = if chosen {
            "Take it back (key X, for the state in focus)".to_owned()
        } else {
            format!(
                "Key {key}, for the state in focus (choose it with {})",
                cell.number
            )
        };
        let button = VerdictButton {
            mark: Mark::of_ruling(ruling),
            shown: word,
            name: &format!("{word}: {}", cell.words),
            chosen,
            height: 24.0,
        };
        if button.ui(ui, hover) {
            row.state.focus = index;
            if chosen {
                take_back(row, of, index);
            } else {
                give(row, of, &[index], ruling);
            }
        }
    }
}

/// What may be added to the verdict given.
fn follow_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &FeatureSubject, index: usize) {
    let cell = &of.states[index];
    match cell.verdict.as_ref().map(|v| v.ruling) {
        Some(Ruling::CannotTell(why)) => {
            let reasons = CannotTell::ALL.map(|why| (why, why.words(), ""));
            let menu = menu_ui(ui, format!("because {}", why.words()), why, reasons);
            menu.response
                .accessible_name(format!("Reason: {}", cell.words))
                .on_hover_text("Why it cannot be told. Key C steps through the reasons.");
            if let Some(why) = menu.inner {
                give(row, of, &[index], Ruling::CannotTell(why));
            }
        }
        Some(Ruling::Agrees) => others_ui(ui, row, of, index),
        Some(Ruling::Differs) | None => {}
    }
}

fn about_ui(ui: &mut Ui, scene: &Scene, of: &FeatureSubject, index: usize, density: Density) {
    let mut text = of.states[index].about_words();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let unsure = scene.others[index]
            .radius95_mm
            .is_some_and(|radius| radius > scene.zone.telling_detail_mm);
        if unsure {
            Mark::Attention.show(ui);
            text = format!("placed less surely than its detail; {text}");
        }
        let label = Label::new(RichText::new(&text).small().weak());
        if density == Density::Column {
            ui.add(label.wrap());
        } else {
            ui.add(label.truncate()).on_hover_text(&text);
        }
    });
}

fn others_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &FeatureSubject, index: usize) {
    let others = others_not_judged(of, index);
    let text = match others.len() {
        0 => return,
        1 => "the other differs".to_owned(),
        some => format!("the other {some} differ"),
    };
    let response = ui.add(Button::new((Mark::No.atom(ui), text))).on_hover_text(
        "Gives \u{201c}differs\u{201d} to every state not judged yet, as one step of undo. Key O.",
    );
    if response.clicked() {
        give(row, of, &others, Ruling::Differs);
    }
}

/// The field for the verdict’s note, as wide as what is left of the line.
pub fn verdict_note_ui(ui: &mut Ui, row: &mut InView<'_, '_>, of: &FeatureSubject, index: usize) {
    let cell = &of.states[index];
    let note = cell.verdict.as_ref().map_or("", |v| v.note.as_str());
    let width = ui.available_width() - 2.0;
    if let Some(note) = note_ui(ui, note, "note", format!("Note: {}", cell.words), width) {
        let edit = FeatureEdit::Note(cell.view.state.clone(), note);
        row.typed(cell.number, of.edit(edit));
    }
}

/// The indices of the states not judged yet, but for one.
pub fn others_not_judged(of: &FeatureSubject, but: usize) -> Vec<usize> {
    (0..of.states.len())
        .filter(|index| *index != but && of.states[*index].verdict.is_none())
        .collect()
}

/// Gives a verdict on some states at once, by their indices.
pub fn give(row: &mut InView<'_, '_>, of: &FeatureSubject, states: &[usize], ruling: Ruling) {
    let given = states.iter().map(|index| GivenVerdict {
        state: of.states[*index].view.state.clone(),
        ruling,
        seen: seen(row, of, *index),
    });
    row.edit(of.edit(FeatureEdit::Give(given.collect())));
}

/// Takes the verdict on a state back.
pub fn take_back(row: &mut InView<'_, '_>, of: &FeatureSubject, index: usize) {
    let state = of.states[index].view.state.clone();
    row.edit(of.edit(FeatureEdit::TakeBack(state)));
}

/// The crop on the screen, to keep with a verdict.
fn seen(row: &InView<'_, '_>, of: &FeatureSubject, index: usize) -> Option<SeenCrop> {
    let (coin, frame) = (row.scene.coin.seen()?, row.state.frame?);
    Some(SeenCrop {
        plate: of.states[index].view.plate.clone(),
        photo_from_side: coin.rows(),
        centre_mm: frame.centre,
        size_mm: frame.size_mm(),
        px_per_mm: frame.px_per_mm,
        uncertainty_mm: row.scene.others[index].radius95_mm.unwrap_or(f64::NAN),
        light_evened: f64::from(row.state.light_evened),
    })
}
