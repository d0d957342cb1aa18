//! The tools above the plate, and what to do with the one in hand.

use std::sync::Arc;

use egui::{Button, DragValue, Ui};

use super::actions;
use super::plate::Subject;
use super::state::{DesignState, Tool};
use crate::app::pages::workshop::edits::{Edits, WorkshopAction};
use crate::app::shell::snapping::FEWEST_FOR_THE_REST;
use crate::app::widgets::theme::palette;
use crate::geometry::PictureFromSide;
use crate::reference::ReferenceSet;

/// Draws the tools.
pub fn tools_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    design: &mut DesignState,
    subject: &Subject<'_>,
    frame: Option<&PictureFromSide>,
    edits: &mut Edits,
) {
    ui.horizontal_wrapped(|ui| {
        for tool in Tool::ALL {
            if ui.selectable_label(design.tool == tool, tool.words()).clicked() {
                design.tool = tool;
            }
        }
        ui.separator();
        match design.tool {
            Tool::Rim => rim_ui(ui, design, subject, edits),
            Tool::Landmarks => rest_ui(ui, set, design, subject, edits),
            Tool::Zones => {}
        }
        if ui.button("Fit").on_hover_text("Show the whole plate").clicked()
            && let Some(view) = design.views.get_mut(&subject.plate().file)
        {
            view.fit();
        }
    });
    let begun = !set.side(subject.side).landmarks.is_empty();
    let needs_no_frame = design.tool == Tool::Rim || (design.tool == Tool::Landmarks && begun);
    let rim_is_missing = frame.is_none() && !needs_no_frame;
    let is_a_guess = frame.is_none() && design.tool == Tool::Rim && !design.is_drawn(&subject.plate().file);
    let is_past = frame.is_some() && design.tool == Tool::Rim && !design.is_drawn(&subject.plate().file);
    let guidance = if is_past {
        "The landmarks now say where the design lies on this plate: this circle changes nothing any more."
    } else if is_a_guess {
        "The rim is not marked yet: let it be found, or drag this circle's centre and edge onto it. Then turn it until \
         its mark points to the design's top."
    } else if frame.is_none() && design.tool == Tool::Landmarks && begun {
        "Choose a landmark at the left and click where it is on this plate; after two the rest can be proposed."
    } else if rim_is_missing {
        "Mark the rim first, so that a place on the plate has a measure in mm."
    } else {
        design.tool.guidance()
    };
    // Two rows whatever it says: the plate must not move under the hand when another tool is taken.
    let height = 2.0 * ui.text_style_height(&egui::TextStyle::Body);
    ui.allocate_ui(egui::vec2(ui.available_width(), height), |ui| {
        ui.set_min_height(height);
        if rim_is_missing {
            ui.horizontal(|ui| {
                let color = palette(ui).warn;
                ui.colored_label(color, guidance);
                if ui.link("Find the rim").clicked() {
                    find_rim(subject, edits);
                }
            });
        } else {
            ui.weak(guidance);
        }
    });
}

fn rim_ui(ui: &mut Ui, design: &DesignState, subject: &Subject<'_>, edits: &mut Edits) {
    let (picture, file) = (subject.picture, &subject.plate().file);
    let mut draft = design.draft(file, picture.width(), picture.height());
    let button = ui.button("Find the rim");
    if button
        .on_hover_text("Looks for the coin's edge in the picture")
        .clicked()
    {
        find_rim(subject, edits);
    }
    let label = ui.label("Radius");
    let mut radius = draft.rim.long_px;
    let drag = DragValue::new(&mut radius)
        .suffix(" px")
        .speed(0.5)
        .fixed_decimals(0)
        .range(1.0..=f64::from(picture.width().max(picture.height())));
    let response = ui.add(drag).labelled_by(label.id);
    if response.changed() {
        (draft.rim.long_px, draft.rim.short_px) = (radius, radius);
        draft.rim.by_hand = true;
        let gesture = response.id.value();
        edits.rim("sizing the rim", gesture, (subject.side, file), draft);
    }
    let label = ui
        .label("Turned")
        .on_hover_text("By how much the design is turned clockwise in the picture");
    let turn = DragValue::new(&mut draft.turn_deg)
        .suffix("°")
        .speed(0.1)
        .fixed_decimals(1)
        .range(-180.0..=180.0);
    let response = ui.add(turn).labelled_by(label.id);
    if response.changed() {
        let gesture = response.id.value();
        edits.rim("turning the rim", gesture, (subject.side, file), draft);
    }
}

fn find_rim(subject: &Subject<'_>, edits: &mut Edits) {
    edits.ask(WorkshopAction::FindRim(
        subject.side,
        subject.plate().file.clone(),
        Arc::clone(subject.picture),
    ));
}

/// The button that proposes what is missing, and what to do with proposals that nobody looked at yet.
fn rest_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    design: &mut DesignState,
    subject: &Subject<'_>,
    edits: &mut Edits,
) {
    let plate = subject.plate();
    let placed = &plate.landmarks;
    let missing = set
        .side(subject.side)
        .landmarks
        .iter()
        .any(|landmark| !placed.contains_key(&landmark.name));
    let looking = design.proposing.as_ref() == Some(&plate.file);
    let ready = missing && placed.len() >= FEWEST_FOR_THE_REST && !looking;
    let why = if looking {
        "The landmarks are being looked for."
    } else if missing {
        "Place two landmarks by hand first; the rest can then be proposed."
    } else {
        "Every landmark of the side stands on this plate."
    };
    let button = ui.add_enabled(ready, Button::new("Place the rest"));
    let button = button.on_disabled_hover_text(why).on_hover_text(
        "Looks for every other landmark by another plate of this side, the surest first. What is found is marked \
         with a question mark until you keep it.",
    );
    if button.clicked() {
        edits.ask(WorkshopAction::PlaceRest(subject.side, subject.key()));
    }
    if looking {
        ui.spinner().accessible_name("Looking for the landmarks");
    }
    let proposed = design.proposed_on(plate);
    if proposed.is_empty() {
        return;
    }
    ui.separator();
    ui.label(format!("{} proposed:", proposed.len()));
    if ui
        .button("Keep them")
        .on_hover_text("They count as placed either way; this takes the question marks off")
        .clicked()
    {
        design.proposed.remove(&plate.file);
    }
    if ui
        .button("Take them back")
        .on_hover_text("Takes those off the plate that you neither moved nor kept")
        .clicked()
    {
        design.proposed.remove(&plate.file);
        let key = subject.key();
        edits.step("taking the proposals back", {
            let side = subject.side;
            move |set| {
                actions::with_plate(set, side, &key, |plate| {
                    plate.landmarks.retain(|name, _| !proposed.contains(name));
                });
            }
        });
    }
}
