//! The dies of a side: their plates, and the table of what each shows.

use egui::Ui;

use super::edits::{Edits, WorkshopAction};
use super::fields::{fresh_name, heading, long_text, name, remove_button, text_of_part};
use super::state::{capital, initial};
use super::state_table::state_table_ui;
use crate::reference::{Die, DieId, Place, ReferenceSet, Side};

/// The section "Dies" of a side. `chosen` is the die whose particulars are in view.
pub fn dies_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    side: Side,
    chosen: &mut Option<DieId>,
    goal: &mut Option<Place>,
    edits: &mut Edits,
) {
    heading(
        ui,
        &format!("{} dies", capital(side)),
        "Which die shows which state. A dash is a feature on which the set is silent for the die; a die without a plate \
         is allowed. Pictures dropped here become plates of the die chosen below; with none chosen, a new die each.",
    );
    state_table_ui(ui, set, side, goal, edits);
    ui.add_space(8.0);
    if ui.button("Add a die").clicked() {
        let id = DieId(fresh_name(
            initial(side),
            set.side(side).dies.iter().map(|d| d.id.as_str()),
        ));
        *chosen = Some(id.clone());
        edits.step("the new die", move |set| {
            set.side_mut(side).dies.push(Die {
                id,
                note: String::new(),
                shows: std::collections::BTreeMap::new(),
                plates: Vec::new(),
            });
        });
    }
    ui.add_space(16.0);
    ui.horizontal_wrapped(|ui| {
        for die in &set.side(side).dies {
            let here = chosen.as_ref() == Some(&die.id);
            if ui.selectable_label(here, die.id.as_str()).clicked() {
                *chosen = (!here).then(|| die.id.clone());
            }
        }
    });
    let index = chosen
        .as_ref()
        .and_then(|id| set.side(side).dies.iter().position(|d| &d.id == id));
    match index {
        Some(index) => die_ui(ui, set, side, index, chosen, edits),
        None if set.side(side).dies.is_empty() => {}
        None => {
            ui.weak("Choose a die to name it and to add its plates.");
        }
    }
}

/// Adds a die with a name of its own.
pub fn add_die(side: Side, dies: &[Die], edits: &mut Edits) -> DieId {
    let id = DieId(fresh_name(initial(side), dies.iter().map(|d| d.id.as_str())));
    let made = id.clone();
    edits.step("the new die", move |set| {
        set.side_mut(side).dies.push(Die {
            id: made,
            note: String::new(),
            shows: std::collections::BTreeMap::new(),
            plates: Vec::new(),
        });
    });
    id
}

fn die_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    side: Side,
    index: usize,
    chosen: &mut Option<DieId>,
    edits: &mut Edits,
) {
    let die = &set.side(side).dies[index];
    ui.group(|ui| {
        ui.horizontal(|ui| {
            let place = Place::Die(side, die.id.clone());
            if let Some(name) = name(ui, edits, set, "Name of the die", &place, die.id.as_str()) {
                *chosen = Some(DieId(name));
            }
            remove_button(ui, edits, set, "Remove this die", &place);
        });
        long_text(ui, edits, "What is known of it", &die.note, move |set, v| {
            if let Some(die) = set.side_mut(side).dies.get_mut(index) {
                die.note = v;
            }
        });
        ui.strong("Plates");
        if die.plates.is_empty() {
            ui.weak("No plate yet: on the bench its states are shown in words only.");
        }
        for (i, plate) in die.plates.iter().enumerate() {
            ui.push_id(("plate", i), |ui| {
                ui.horizontal(|ui| {
                    ui.monospace(&plate.file);
                    let all = set.side(side).landmarks.len();
                    ui.weak(format!("{} of {all} landmarks placed", plate.landmarks.len()));
                    let go = ui.button("Place landmarks");
                    let go =
                        go.accessible_name(format!("Place landmarks on plate {} of die {}", i + 1, die.id));
                    if go.clicked() {
                        edits.ask(WorkshopAction::GoTo(super::Section::Design(side)));
                        edits.ask(WorkshopAction::Choose(Place::Plate(side, die.id.clone(), i)));
                    }
                    remove_button(ui, edits, set, "Remove", &Place::Plate(side, die.id.clone(), i));
                });
                let which = format!("plate {}", i + 1);
                text_of_part(
                    ui,
                    edits,
                    "Where the picture comes from",
                    &which,
                    &plate.source,
                    move |set, v| {
                        if let Some(plate) = set
                            .side_mut(side)
                            .dies
                            .get_mut(index)
                            .and_then(|d| d.plates.get_mut(i))
                        {
                            plate.source = v;
                        }
                    },
                );
                text_of_part(ui, edits, "Rights in it", &which, &plate.rights, move |set, v| {
                    if let Some(plate) = set
                        .side_mut(side)
                        .dies
                        .get_mut(index)
                        .and_then(|d| d.plates.get_mut(i))
                    {
                        plate.rights = v;
                    }
                });
            });
        }
        if ui.button("Add a plate from a file…").clicked() {
            edits.ask(WorkshopAction::AddPlate(side, die.id.clone(), None));
        }
    });
}
