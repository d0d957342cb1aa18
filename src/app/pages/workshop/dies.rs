//! The dies of a side: their plates, and the table of what each shows.

use egui::Ui;

use super::edits::{Edits, WorkshopAction};
use super::fields::heading;
use super::state::Section;
use super::state_table::state_table_ui;
use crate::reference::{Die, DieId, Place, Plate, ReferenceSet, Side, edit};

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
        &format!("{} dies", side.title()),
        "Which die shows which state. A dash is a feature on which the set is silent for the die; a die without a plate \
         is allowed. Pictures dropped here become plates of the die chosen below; with none chosen, a new die each.",
    );
    state_table_ui(ui, set, side, goal, edits);
    ui.add_space(8.0);
    if ui.button("Add a die").clicked() {
        *chosen = Some(add_die(set, side, edits));
    }
    ui.add_space(16.0);
    let dies = &set.side(side).dies;
    ui.horizontal_wrapped(|ui| {
        for die in dies {
            let here = chosen.as_ref() == Some(&die.id);
            if ui.selectable_label(here, die.id.as_str()).clicked() {
                *chosen = (!here).then(|| die.id.clone());
            }
        }
    });
    let id = chosen.clone();
    match dies.iter().position(|die| Some(&die.id) == id.as_ref()) {
        Some(index) => {
            ui.group(|ui| die_ui(ui, set, side, index, chosen, edits));
        }
        None if dies.is_empty() => {}
        None => {
            ui.weak("Choose a die to name it and to add its plates.");
        }
    }
}

/// Adds a die with a name of its own.
pub fn add_die(set: &ReferenceSet, side: Side, edits: &mut Edits) -> DieId {
    edits.add("the new die", set, move |set| {
        edit::add_die(set, side, Vec::new())
    })
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
    ui.horizontal(|ui| {
        let place = Place::Die(side, die.id.clone());
        if let Some(name) = edits.name(ui, set, "Name of the die", &place, die.id.as_str()) {
            *chosen = Some(DieId(name));
        }
        edits.remove_button(ui, set, "Remove this die", &place);
    });
    edits.long_text(ui, "What is known of it", &die.note, 3, move |set| {
        Some(&mut set.side_mut(side).dies.get_mut(index)?.note)
    });
    ui.strong("Plates");
    if die.plates.is_empty() {
        ui.weak("No plate yet: on the bench its states are shown in words only.");
    }
    for (i, plate) in die.plates.iter().enumerate() {
        ui.push_id(("plate", i), |ui| plate_ui(ui, set, side, die, i, plate, edits));
    }
    if ui.button("Add a plate from a file…").clicked() {
        edits.ask(WorkshopAction::AddPlate(side, die.id.clone(), None));
    }
}

fn plate_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    side: Side,
    die: &Die,
    i: usize,
    plate: &Plate,
    edits: &mut Edits,
) {
    let place = Place::Plate(side, die.id.clone(), i);
    ui.horizontal(|ui| {
        ui.monospace(&plate.file);
        let all = set.side(side).landmarks.len();
        ui.weak(format!("{} of {all} landmarks placed", plate.landmarks.len()));
        let go = ui.button("Place landmarks");
        let go = go.accessible_name(format!("Place landmarks on plate {} of die {}", i + 1, die.id));
        if go.clicked() {
            edits.ask(WorkshopAction::GoTo(Section::Design(side)));
            edits.ask(WorkshopAction::Choose(place.clone()));
        }
        edits.remove_button(ui, set, "Remove", &place);
    });
    let (label, id) = ("Where the picture comes from", die.id.clone());
    edits
        .text(ui, label, &plate.source, move |set| {
            Some(&mut set.side_mut(side).plate_mut(&id, i)?.source)
        })
        .accessible_name(format!("{label} of plate {}", i + 1));
    let (label, id) = ("Rights in it", die.id.clone());
    edits
        .text(ui, label, &plate.rights, move |set| {
            Some(&mut set.side_mut(side).plate_mut(&id, i)?.rights)
        })
        .accessible_name(format!("{label} of plate {}", i + 1));
}
