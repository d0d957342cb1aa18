//! The lists beside the plate: which plate, the landmarks, the zones.

use egui::{ComboBox, Ui};

use super::state::{DesignState, Tool};
use crate::app::model::bench::PlateKey;
use crate::app::pages::workshop::edits::{Edits, WorkshopAction};
use crate::app::pages::workshop::fields::{heading, small_label};
use crate::app::pages::workshop::state::{Section, Workshop};
use crate::app::pages::workshop::zones;
use crate::reference::{Landmark, LandmarkName, Place, ReferenceSet, Side, Zone};

/// Draws the lists.
pub fn lists_ui(ui: &mut Ui, workshop: &mut Workshop, side: Side, edits: &mut Edits) {
    heading(
        ui,
        &format!("{} design", side.title()),
        "What all dies of the side have in common, and where they differ.",
    );
    let set = &workshop.history.now().set;
    let design = &mut workshop.design[side];
    let Some((die, number)) = design.plate_in(set.side(side)) else {
        return;
    };
    let plate = (side, die.id.clone(), number);
    plate_choice_ui(ui, set, design, &plate);
    ui.horizontal_wrapped(|ui| {
        let new = ui.button("New die from a picture…");
        let hover = "A picture of another die; it is named by the set and can be renamed among the dies";
        if new.on_hover_text(hover).clicked() {
            edits.ask(WorkshopAction::AddDie(side));
        }
        let another = ui.button(format!("Another plate of {}…", die.id));
        let another = another.on_hover_text(format!("A further picture of die {}", die.id));
        if another.clicked() {
            edits.ask(WorkshopAction::AddPlate(side, die.id.clone(), None));
        }
    });
    ui.add_space(8.0);
    landmarks_ui(ui, set, design, &plate, edits);
    ui.add_space(8.0);
    zones_ui(ui, set, side, design, edits);
}

fn plate_choice_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    design: &mut DesignState,
    (side, die, number): &PlateKey,
) {
    let label = small_label(ui, "Plate");
    let words = |die: &str, number: usize| format!("die {die}, plate {}", number + 1);
    let list = ComboBox::from_id_salt("plate").width(ui.available_width() - 8.0);
    let list = list.selected_text(words(die.as_str(), *number));
    let shown = list.show_ui(ui, |ui| {
        for other in &set.side(*side).dies {
            for n in 0..other.plates.len() {
                let here = (&other.id, n) == (die, *number);
                if ui.selectable_label(here, words(other.id.as_str(), n)).clicked() {
                    design.plate = Some((other.id.clone(), n));
                }
            }
        }
    });
    shown.response.labelled_by(label.id);
}

fn landmarks_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    design: &mut DesignState,
    key: &PlateKey,
    edits: &mut Edits,
) {
    ui.strong("Landmarks");
    let part = set.side(key.0);
    if part.landmarks.is_empty() {
        ui.weak("None yet. Good landmarks are sharp points that wear leaves for long: letter corners, stops, line ends. Six or more, well spread.");
    }
    let Some(plate) = part.plate(&key.1, key.2) else {
        return;
    };
    let proposed = design.proposed_on(plate);
    let mut selected = design
        .landmark
        .as_ref()
        .filter(|_| design.tool == Tool::Landmarks)
        .cloned();
    for (number, landmark) in (1..).zip(&part.landmarks) {
        let name = &landmark.name;
        let note = if !plate.landmarks.contains_key(name) {
            "  (not on this plate)"
        } else if proposed.contains(name) {
            "  (proposed)"
        } else {
            ""
        };
        let here = selected.as_ref() == Some(name);
        if ui
            .selectable_label(here, format!("{number} {name}{note}"))
            .clicked()
        {
            design.select_landmark(name);
            selected = Some(name.clone());
        }
    }
    // One form at a time: that of what the tool in hand works on.
    if let Some(landmark) = selected.and_then(|name| part.landmark(&name)) {
        ui.group(|ui| landmark_ui(ui, set, design, landmark, key, edits));
    }
}

fn landmark_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    design: &mut DesignState,
    landmark: &Landmark,
    key: &PlateKey,
    edits: &mut Edits,
) {
    let (side, name) = (key.0, landmark.name.clone());
    let place = Place::Landmark(side, name.clone());
    if let Some(name) = edits.name(ui, set, "Where it is, in words", &place, name.as_str()) {
        design.landmark = Some(LandmarkName(name));
    }
    edits.long_text(ui, "How to find the exact point", &landmark.hint, 2, move |set| {
        Some(&mut set.side_mut(side).landmark_mut(&name)?.hint)
    });
    let at = landmark.place_mm;
    ui.weak(format!("At x {:.2} mm, y {:.2} mm from the centre", at.x, at.y));
    ui.horizontal_wrapped(|ui| {
        if ui.button("Take off this plate").clicked() {
            let names = [landmark.name.clone()].into();
            edits.take_off(key.clone(), names, "taking the landmark off the plate");
        }
        if edits.remove_button(ui, set, "Remove from the set", &place) {
            design.landmark = None;
        }
    });
}

fn zones_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, design: &mut DesignState, edits: &mut Edits) {
    ui.strong("Zones");
    let zones = &set.side(side).zones;
    if zones.is_empty() {
        ui.weak("None drawn yet: take the tool “Draw zones” and drag a rectangle on the plate.");
        return;
    }
    for zone in zones {
        let is_selected = design.tool == Tool::Zones && design.zone.as_ref() == Some(&zone.id);
        if ui.selectable_label(is_selected, row_words(zone)).clicked() {
            design.zone = (!is_selected).then(|| zone.id.clone());
            design.tool = Tool::Zones;
        }
        if is_selected && let Some(name) = zones::zone_ui(ui, set, side, zone, edits) {
            design.zone = Some(name);
        }
    }
    ui.add_space(4.0);
    let features = ui.button("Features…");
    let features = features.on_hover_text("The questions that are asked in these zones");
    if features.clicked() {
        edits.ask(WorkshopAction::GoTo(Section::Features(side)));
    }
}

fn row_words(zone: &Zone) -> String {
    let title = match zone.title.as_str() {
        "" => "no title yet",
        title => title,
    };
    let (width, height) = zone.size_mm;
    format!("{}: {title}, {width:.2} × {height:.2} mm", zone.id)
}
