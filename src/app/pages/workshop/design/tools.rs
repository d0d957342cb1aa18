//! The tools above the plate, and what to do with the one in hand.

use egui::{Button, TextStyle, Ui, vec2};

use super::plate::Subject;
use super::state::{DesignState, Tool};
use crate::app::model::snapping::FEWEST_FOR_THE_REST;
use crate::app::pages::workshop::edits::{Edits, WorkshopAction};
use crate::app::pages::workshop::fields::NumberForm;
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
            ui.selectable_value(&mut design.tool, tool, tool.words());
        }
        ui.separator();
        match design.tool {
            Tool::Rim => rim_ui(ui, design, subject, edits),
            Tool::Landmarks => {
                rest_ui(ui, set, design, subject, edits);
                proposed_ui(ui, design, subject, edits);
            }
            Tool::Zones => {}
        }
        if ui.button("Fit").on_hover_text("Show the whole plate").clicked()
            && let Some(view) = design.views.get_mut(&subject.plate().file)
        {
            view.fit();
        }
    });
    guidance_ui(ui, set, design, subject, frame, edits);
}

/// What to do with the tool in hand.
fn guidance_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    design: &DesignState,
    subject: &Subject<'_>,
    frame: Option<&PictureFromSide>,
    edits: &mut Edits,
) {
    // Two rows whatever it says: the plate must not move under the hand when another tool is taken.
    let height = 2.0 * ui.text_style_height(&TextStyle::Body);
    ui.allocate_ui(vec2(ui.available_width(), height), |ui| {
        ui.set_min_height(height);
        let begun = !set.side(subject.side).landmarks.is_empty();
        let is_drawn = design.is_drawn(&subject.plate().file);
        match (design.tool, frame) {
            (Tool::Landmarks, None) if begun => {
                ui.weak("Choose a landmark at the left and click where it is on this plate; after two the rest can be proposed.");
            }
            (Tool::Landmarks | Tool::Zones, None) => {
                ui.horizontal(|ui| {
                    let words = "Mark the rim first, so that a place on the plate has a measure in mm.";
                    ui.colored_label(palette(ui).warn, words);
                    if ui.link("Find the rim").clicked() {
                        edits.find_rim(subject);
                    }
                });
            }
            (Tool::Rim, None) if !is_drawn => {
                ui.weak(
                    "The rim is not marked yet: let it be found, or drag this circle's centre and edge onto it. Then \
                     turn it until its mark points to the design's top.",
                );
            }
            (Tool::Rim, Some(_)) if !is_drawn => {
                ui.weak("The landmarks now say where the design lies on this plate: this circle changes nothing any more.");
            }
            (tool, _) => {
                ui.weak(tool.guidance());
            }
        }
    });
}

fn rim_ui(ui: &mut Ui, design: &DesignState, subject: &Subject<'_>, edits: &mut Edits) {
    let mut drawn = subject.rim(design);
    let button = ui.button("Find the rim");
    if button
        .on_hover_text("Looks for the coin's edge in the picture")
        .clicked()
    {
        edits.find_rim(subject);
    }
    let label = ui.label("Radius");
    let most = f64::from(subject.picture.width().max(subject.picture.height()));
    let before_px = drawn.rim.long_px;
    let radius = NumberForm::new(" px", 1.0..=most, 0.5, 0);
    let response = radius.ui(ui, &mut drawn.rim.long_px).labelled_by(label.id);
    if response.changed() {
        // The shape is kept: only the size is given.
        drawn.rim.short_px *= drawn.rim.long_px / before_px.max(1.0);
        drawn.rim.by_hand = true;
        edits.rim("sizing the rim", response.id.value(), subject, drawn);
    }
    let label = ui.label("Turned");
    let label = label.on_hover_text("By how much the design is turned clockwise in the picture");
    let rotation = NumberForm::new("°", -180.0..=180.0, 0.1, 1);
    let response = rotation.ui(ui, &mut drawn.rotation_deg).labelled_by(label.id);
    if response.changed() {
        edits.rim("turning the rim", response.id.value(), subject, drawn);
    }
}

/// The button that proposes what is missing.
fn rest_ui(ui: &mut Ui, set: &ReferenceSet, design: &DesignState, subject: &Subject<'_>, edits: &mut Edits) {
    let plate = subject.plate();
    let mut landmarks = set.side(subject.side).landmarks.iter();
    let is_missing = landmarks.any(|landmark| !plate.landmarks.contains_key(&landmark.name));
    let looking = design.proposing.as_ref() == Some(&plate.file);
    let ready = is_missing && plate.landmarks.len() >= FEWEST_FOR_THE_REST && !looking;
    let why = if looking {
        "The landmarks are being looked for."
    } else if is_missing {
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
        edits.ask(WorkshopAction::PlaceRest(subject.key()));
    }
    if looking {
        ui.spinner().accessible_name("Looking for the landmarks");
    }
}

/// What to do with proposals that nobody looked at yet.
fn proposed_ui(ui: &mut Ui, design: &mut DesignState, subject: &Subject<'_>, edits: &mut Edits) {
    let proposed = design.proposed_on(subject.plate());
    if proposed.is_empty() {
        return;
    }
    ui.separator();
    ui.label(format!("{} proposed:", proposed.len()));
    let keep = ui.button("Keep them");
    let keep = keep.on_hover_text("They count as placed either way; this takes the question marks off");
    let take_back = ui.button("Take them back");
    let take_back = take_back.on_hover_text("Takes those off the plate that you neither moved nor kept");
    if keep.clicked() || take_back.clicked() {
        design.proposed.remove(&subject.plate().file);
    }
    if take_back.clicked() {
        edits.take_off(subject.key(), proposed, "taking the proposals back");
    }
}
