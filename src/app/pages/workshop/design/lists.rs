//! The lists beside the plate: which plate, the landmarks, the zones.

use egui::{ComboBox, TextEdit, Ui};

use super::actions;
use super::state::{DesignState, Tool};
use crate::app::model::bench::index;
use crate::app::pages::workshop::edits::{Edits, WorkshopAction};
use crate::app::pages::workshop::fields::{heading, name, remove_button, small_label};
use crate::app::pages::workshop::state::{Section, Workshop, capital};
use crate::app::pages::workshop::zones;
use crate::reference::{DieId, Landmark, LandmarkName, Place, ReferenceSet, Side};

/// Draws the lists.
pub fn lists_ui(ui: &mut Ui, workshop: &mut Workshop, side: Side, edits: &mut Edits) {
    heading(
        ui,
        &format!("{} design", capital(side)),
        "What all dies of the side have in common, and where they differ.",
    );
    let set = &workshop.history.now().set;
    let design = &mut workshop.design[index(side)];
    let Some((die, number)) = design.plate_in(set.side(side)) else {
        return;
    };
    let chosen = (die.id.clone(), number);
    plate_choice_ui(ui, set, side, design, &chosen);
    ui.horizontal_wrapped(|ui| {
        if ui
            .button("New die from a picture…")
            .on_hover_text(
                "A picture of another die; it is named by the set and can be renamed among the dies",
            )
            .clicked()
        {
            edits.ask(WorkshopAction::AddDie(side));
        }
        if ui
            .button(format!("Another plate of {}…", chosen.0))
            .on_hover_text(format!("A further picture of die {}", chosen.0))
            .clicked()
        {
            edits.ask(WorkshopAction::AddPlate(side, chosen.0.clone(), None));
        }
    });
    ui.add_space(8.0);
    landmarks_ui(ui, set, side, design, &chosen, edits);
    ui.add_space(8.0);
    zones_ui(ui, set, side, design, edits);
}

fn zones_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, design: &mut DesignState, edits: &mut Edits) {
    ui.strong("Zones");
    let zones = &set.side(side).zones;
    if zones.is_empty() {
        ui.weak("None drawn yet: take the tool “Draw zones” and drag a rectangle on the plate.");
        return;
    }
    for (i, zone) in zones.iter().enumerate() {
        let title = if zone.title.is_empty() {
            "no title yet"
        } else {
            &zone.title
        };
        let selected = design.tool == Tool::Zones && design.zone.as_ref() == Some(&zone.id);
        let words = format!(
            "{}: {title}, {:.2} × {:.2} mm",
            zone.id, zone.size_mm.0, zone.size_mm.1
        );
        if ui.selectable_label(selected, words).clicked() {
            design.zone = (!selected).then(|| zone.id.clone());
            design.tool = Tool::Zones;
        }
        if selected && let Some(name) = zones::zone_ui(ui, set, side, i, edits) {
            design.zone = Some(name);
        }
    }
    ui.add_space(4.0);
    if ui
        .button("Features…")
        .on_hover_text("The questions that are asked in these zones")
        .clicked()
    {
        edits.ask(WorkshopAction::GoTo(Section::Features(side)));
    }
}

fn plate_choice_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    side: Side,
    design: &mut DesignState,
    chosen: &(DieId, usize),
) {
    let label = small_label(ui, "Plate");
    let words = |die: &DieId, number: usize| format!("die {die}, plate {}", number + 1);
    ComboBox::from_id_salt("plate")
        .width(ui.available_width() - 8.0)
        .selected_text(words(&chosen.0, chosen.1))
        .show_ui(ui, |ui| {
            for die in &set.side(side).dies {
                for number in 0..die.plates.len() {
                    let here = (die.id.clone(), number);
                    if ui
                        .selectable_label(here == *chosen, words(&die.id, number))
                        .clicked()
                    {
                        design.plate = Some(here);
                    }
                }
            }
        })
        .response
        .labelled_by(label.id);
}

fn landmarks_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    side: Side,
    design: &mut DesignState,
    chosen: &(DieId, usize),
    edits: &mut Edits,
) {
    ui.strong("Landmarks");
    let part = set.side(side);
    if part.landmarks.is_empty() {
        ui.weak("None yet. Good landmarks are sharp points that wear leaves for long: letter corners, stops, line ends. Six or more, well spread.");
    }
    let plate = part.die(&chosen.0).and_then(|d| d.plates.get(chosen.1));
    let proposed = plate.map(|plate| design.proposed_on(plate)).unwrap_or_default();
    for (i, landmark) in part.landmarks.iter().enumerate() {
        let placed = plate.is_some_and(|p| p.landmarks.contains_key(&landmark.name));
        let words = format!(
            "{} {}{}",
            i + 1,
            landmark.name,
            match (placed, proposed.contains(&landmark.name)) {
                (true, true) => "  (proposed)",
                (true, false) => "",
                (false, _) => "  (not on this plate)",
            }
        );
        if ui
            .selectable_label(
                design.tool == Tool::Landmarks && design.landmark.as_ref() == Some(&landmark.name),
                words,
            )
            .clicked()
        {
            design.landmark = Some(landmark.name.clone());
            design.tool = Tool::Landmarks;
        }
    }
    // One form at a time: that of what the tool in hand works on.
    if design.tool != Tool::Landmarks {
        return;
    }
    if let Some(landmark) = design.landmark.clone().and_then(|name| part.landmark(&name)) {
        landmark_ui(ui, set, side, design, landmark, chosen, edits);
    }
}

fn landmark_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    side: Side,
    design: &mut DesignState,
    landmark: &Landmark,
    chosen: &(DieId, usize),
    edits: &mut Edits,
) {
    ui.group(|ui| {
        let place = Place::Landmark(side, landmark.name.clone());
        if let Some(name) = name(
            ui,
            edits,
            set,
            "Where it is, in words",
            &place,
            landmark.name.as_str(),
        ) {
            design.landmark = Some(LandmarkName(name));
        }
        let label = small_label(ui, "How to find the exact point");
        let mut hint = landmark.hint.clone();
        let response = ui
            .add(
                TextEdit::multiline(&mut hint)
                    .desired_rows(2)
                    .desired_width(f32::INFINITY),
            )
            .labelled_by(label.id);
        if response.changed() {
            let name = landmark.name.clone();
            edits.continued("the change of a landmark's hint", response.id, move |set| {
                for l in set.side_mut(side).landmarks.iter_mut().filter(|l| l.name == name) {
                    l.hint.clone_from(&hint);
                }
            });
        }
        ui.weak(format!(
            "At x {:.2} mm, y {:.2} mm from the centre",
            landmark.place_mm.x, landmark.place_mm.y
        ));
        ui.horizontal_wrapped(|ui| {
            if ui.button("Take off this plate").clicked() {
                actions::take_off(side, chosen.clone(), landmark.name.clone(), edits);
            }
            if remove_button(ui, edits, set, "Remove from the set", &place) {
                design.landmark = None;
            }
        });
    });
}
