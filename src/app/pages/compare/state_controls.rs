//! Under each plate: which dies show the state, its stated measure, and the verdict.

use egui::{Button, Label, RichText, Role, Stroke, TextEdit, Ui, Vec2, WidgetInfo};

use super::ComparePage;
use super::cells::Density;
use super::marks::{Mark, down};
use super::model::others_not_judged;
use super::quality::suggested_reason;
use super::rulings::{Rulings, seen_crop, set_note, take_back};
use super::scene::{Coin, Scene, StateScene};
use crate::app::model::action::Action;
use crate::app::model::bench::index;
use crate::app::model::page::Page;
use crate::reference::StateId;
use crate::specimen::{CannotTell, Ruling, SeenCrop};
use crate::words::ruling_words;

/// Draws them.
pub fn state_controls_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    state: &mut ComparePage,
    scene: &Scene,
    one: &StateScene,
    density: Density,
) {
    ui.spacing_mut().item_spacing.y = 3.0;
    if matches!(density, Density::Full | Density::Column) {
        about_ui(ui, scene, one, density);
    }
    let given = one.cell.verdict.as_ref().map(|v| v.ruling);
    let narrow = ui.available_width() < AT_EASE || density == Density::OneLine;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        if narrow {
            ui.spacing_mut().button_padding.x = 5.0;
        }
        for ruling in [
            Ruling::Agrees,
            Ruling::Differs,
            Ruling::CannotTell(usual_reason(state, scene)),
        ] {
            let chosen = given.is_some_and(|g| same_kind(g, ruling));
            if ruling_button(ui, one, ruling, chosen) {
                state.focus = one.cell.number - 1;
                if chosen {
                    page.actions.push(taking_back(scene, one));
                } else {
                    page.actions.push(giving(state, scene, one, ruling));
                }
            }
        }
        if density == Density::OneLine {
            follow_ui(ui, page, state, scene, one);
        }
    });
    if density == Density::OneLine {
        return;
    }
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        follow_ui(ui, page, state, scene, one);
        if given.is_some() {
            note_ui(ui, page, state, scene, one);
        }
    });
}

/// The three verdicts' buttons as they like to stand side by side, in points.
const AT_EASE: f32 = 275.0;

/// What may be added to the verdict given.
fn follow_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &Scene, one: &StateScene) {
    match one.cell.verdict.as_ref().map(|v| v.ruling) {
        Some(Ruling::CannotTell(why)) => reason_ui(ui, page, state, scene, one, why),
        Some(Ruling::Agrees) => others_ui(ui, page, state, scene, one),
        Some(Ruling::Differs) | None => {}
    }
}

fn about_ui(ui: &mut Ui, scene: &Scene, one: &StateScene, density: Density) {
    let mut text = one.cell.about_words();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let unsure = one
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

fn same_kind(a: Ruling, b: Ruling) -> bool {
    std::mem::discriminant(&a) == std::mem::discriminant(&b)
}

/// The reason offered first: what the photo's own state suggests, else wear.
pub fn usual_reason(state: &ComparePage, scene: &Scene) -> CannotTell {
    match scene.coin {
        Coin::Ready { .. } => suggested_reason(state.judged[index(scene.side)].zone(&scene.zone.id)),
        Coin::Missing { .. } => CannotTell::NotInPhoto,
    }
}

fn ruling_button(ui: &mut Ui, one: &StateScene, ruling: Ruling, chosen: bool) -> bool {
    let (word, key) = match ruling {
        Ruling::Agrees => ("Agrees", "A"),
        Ruling::Differs => ("Differs", "D"),
        Ruling::CannotTell(_) => ("Cannot tell", "C"),
    };
    let mark = Mark::of_ruling(ruling);
    let text = if chosen {
        RichText::new(word).strong().color(mark.color(ui))
    } else {
        RichText::new(word)
    };
    let mut button = Button::new((mark.atom(ui), text)).min_size(Vec2::new(0.0, 24.0));
    if chosen {
        let color = mark.color(ui);
        button = button
            .fill(color.gamma_multiply(0.16))
            .stroke(Stroke::new(1.0, color));
    }
    let response = ui.add(button);
    let name = format!("{word}: {}", one.cell.words);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &name));
    let hover = if chosen {
        "Take it back (key X, for the state in focus)".to_owned()
    } else {
        format!(
            "Key {key}, for the state in focus (choose it with {})",
            one.cell.number
        )
    };
    response.on_hover_text(hover).clicked()
}

fn reason_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    state: &ComparePage,
    scene: &Scene,
    one: &StateScene,
    why: CannotTell,
) {
    let menu = ui.menu_button((format!("because {}", why.words()), down()), |ui| {
        for other in CannotTell::ALL {
            let button = Button::selectable(other == why, other.words());
            if ui.add(button).clicked() {
                page.actions
                    .push(giving(state, scene, one, Ruling::CannotTell(other)));
                ui.close();
            }
        }
    });
    menu.response
        .accessible_name(format!("Reason: {}", one.cell.words))
        .on_hover_text("Why it cannot be told. Key C steps through the reasons.");
}

fn others_ui(ui: &mut Ui, page: &mut Page<'_>, state: &ComparePage, scene: &Scene, one: &StateScene) {
    let others = other_states(scene, &one.cell.view.state);
    if others.is_empty() {
        return;
    }
    let text = if others.len() == 1 {
        "the other differs".to_owned()
    } else {
        format!("the other {} differ", others.len())
    };
    let response = ui.add(Button::new((Mark::No.atom(ui), text))).on_hover_text(
        "Gives \u{201c}differs\u{201d} to every state not judged yet, as one step of undo. Key O.",
    );
    if response.clicked() {
        page.actions.push(others_differ(state, scene, &others));
    }
}

/// The field for the verdict’s note, as wide as what is left of the line.
pub(super) fn note_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    state: &ComparePage,
    scene: &Scene,
    one: &StateScene,
) {
    let mut note = one
        .cell
        .verdict
        .as_ref()
        .map_or(String::new(), |v| v.note.clone());
    let edit = TextEdit::singleline(&mut note)
        .hint_text("note")
        .char_limit(2000)
        .desired_width(ui.available_width() - 2.0)
        .id_salt(("note", one.cell.number));
    let response = ui.add(edit).accessible_name(format!("Note: {}", one.cell.words));
    if response.changed() {
        let (side, feature, of) = (scene.side, scene.feature.id.clone(), one.cell.view.state.clone());
        page.actions.push(Action::Change {
            words: "the note".to_owned(),
            gesture: Some(state.gesture * 16 + one.cell.number as u64),
            change: Box::new(move |record| set_note(record, side, &feature, &of, note)),
        });
    }
}

/// The states not judged yet, but for one.
pub fn other_states(scene: &Scene, but: &StateId) -> Vec<StateId> {
    let cells: Vec<_> = scene.states.iter().map(|s| s.cell.clone()).collect();
    others_not_judged(&cells, but)
}

fn seen(state: &ComparePage, scene: &Scene, one: &StateScene) -> Option<SeenCrop> {
    let Coin::Ready { photo_from_side, .. } = &scene.coin else {
        return None;
    };
    let frame = state.frame?;
    Some(seen_crop(
        one.cell.view.plate.clone(),
        photo_from_side,
        &frame,
        one.radius95_mm.unwrap_or(f64::NAN),
        state.light_evened,
    ))
}

/// The action that gives a verdict on a state.
pub fn giving(state: &ComparePage, scene: &Scene, one: &StateScene, ruling: Ruling) -> Action {
    let rulings = Rulings {
        side: scene.side,
        feature: scene.feature.id.clone(),
        states: vec![(one.cell.view.state.clone(), ruling, seen(state, scene, one))],
    };
    let words = format!("\u{201c}{}\u{201d}", ruling_words(ruling));
    Action::change(&words, move |record| rulings.give(record))
}

/// The action that gives 'differs' to some states at once.
pub fn others_differ(state: &ComparePage, scene: &Scene, others: &[StateId]) -> Action {
    let rulings = Rulings {
        side: scene.side,
        feature: scene.feature.id.clone(),
        states: scene
            .states
            .iter()
            .filter(|one| others.contains(&one.cell.view.state))
            .map(|one| {
                (
                    one.cell.view.state.clone(),
                    Ruling::Differs,
                    seen(state, scene, one),
                )
            })
            .collect(),
    };
    Action::change("\u{201c}differs\u{201d} for the others", move |record| {
        rulings.give(record);
    })
}

/// The action that gives 'cannot tell' to all states at once.
pub fn none_to_tell(state: &ComparePage, scene: &Scene, why: CannotTell) -> Action {
    let rulings = Rulings {
        side: scene.side,
        feature: scene.feature.id.clone(),
        states: scene
            .states
            .iter()
            .map(|one| {
                (
                    one.cell.view.state.clone(),
                    Ruling::CannotTell(why),
                    seen(state, scene, one),
                )
            })
            .collect(),
    };
    Action::change("\u{201c}cannot tell\u{201d} for all states", move |record| {
        rulings.give(record);
    })
}

/// The action that takes the verdict on a state back.
pub fn taking_back(scene: &Scene, one: &StateScene) -> Action {
    let (side, feature, of) = (scene.side, scene.feature.id.clone(), one.cell.view.state.clone());
    Action::change("taking a verdict back", move |record| {
        take_back(record, side, &feature, &of);
    })
}
