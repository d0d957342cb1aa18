//! The features of a side: what to ask in a zone and the states that answer it.

use egui::{ComboBox, TextEdit, Ui};

use super::edits::Edits;
use super::fields::{NumberForm, fresh_name, heading, name, number, remove_button, small_label, text};
use super::state::capital;
use crate::reference::{
    Feature, FeatureId, Place, ReferenceSet, Side, State, StateId, StatedMeasure, ZoneId,
};

/// Where a new feature starts: a careful look is right nineteen times in twenty (common practice, no source).
const FIRST_RELIABILITY: f64 = 0.95;

/// The section "Features" of a side.
pub fn features_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, edits: &mut Edits) {
    heading(
        ui,
        &format!("{} features", capital(side)),
        "A feature is a question asked in a zone. Its states are the answers; each die shows one of them.",
    );
    let part = set.side(side);
    if part.zones.is_empty() {
        ui.label("No zone is drawn yet. Draw one on a plate in the design section, or add one here with its measures.");
    }
    zones_ui(ui, set, side, edits);
    ui.add_space(16.0);
    ui.strong("Features");
    for feature in &part.features {
        ui.push_id(&feature.id, |ui| feature_ui(ui, set, side, feature, edits));
        ui.add_space(4.0);
    }
    let zone = part.zones.first().map(|z| z.id.clone());
    let add = ui.add_enabled(zone.is_some(), egui::Button::new("Add a feature"));
    if let (true, Some(zone)) = (
        add.on_disabled_hover_text("A feature needs a zone to look in.")
            .clicked(),
        zone,
    ) {
        edits.step("the new feature", move |set| {
            let part = set.side_mut(side);
            let id = fresh_name("feature ", part.features.iter().map(|f| f.id.as_str()));
            part.features.push(Feature {
                id: FeatureId(id),
                question: String::new(),
                zone,
                reliability: FIRST_RELIABILITY,
                states: vec![new_state("a"), new_state("b")],
            });
        });
    }
}

fn new_state(id: &str) -> State {
    State {
        id: StateId::from(id),
        words: String::new(),
        stated: None,
    }
}

fn zones_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, edits: &mut Edits) {
    ui.strong("Zones");
    let part = set.side(side);
    let radius = set.measures.diameter_mm / 2.0;
    for (i, zone) in part.zones.iter().enumerate() {
        ui.push_id(("zone", i), |ui| {
            ui.horizontal_wrapped(|ui| {
                let place = Place::Zone(side, zone.id.clone());
                name(ui, edits, set, "Zone", &place, zone.id.as_str());
                let label = ui.label("shows");
                let mut title = zone.title.clone();
                let response = ui
                    .add(TextEdit::singleline(&mut title).desired_width(220.0))
                    .labelled_by(label.id);
                if response.changed() {
                    edits.continued("the change of a zone's title", response.id, move |set| {
                        if let Some(zone) = set.side_mut(side).zones.get_mut(i) {
                            zone.title = title;
                        }
                    });
                }
                let within = NumberForm::mm(-radius..=radius);
                let size = NumberForm::mm(0.1..=2.0 * radius);
                number(ui, edits, "x", zone.centre_mm.x, &within, move |set, v| {
                    if let Some(zone) = set.side_mut(side).zones.get_mut(i) {
                        zone.centre_mm.x = v;
                    }
                });
                number(ui, edits, "y", zone.centre_mm.y, &within, move |set, v| {
                    if let Some(zone) = set.side_mut(side).zones.get_mut(i) {
                        zone.centre_mm.y = v;
                    }
                });
                number(ui, edits, "width", zone.size_mm.0, &size, move |set, v| {
                    if let Some(zone) = set.side_mut(side).zones.get_mut(i) {
                        zone.size_mm.0 = v;
                    }
                });
                number(ui, edits, "height", zone.size_mm.1, &size, move |set, v| {
                    if let Some(zone) = set.side_mut(side).zones.get_mut(i) {
                        zone.size_mm.1 = v;
                    }
                });
                number(
                    ui,
                    edits,
                    "telling detail",
                    zone.telling_detail_mm,
                    &NumberForm::mm(0.01..=radius),
                    move |set, v| {
                        if let Some(zone) = set.side_mut(side).zones.get_mut(i) {
                            zone.telling_detail_mm = v;
                        }
                    },
                );
                remove_button(ui, edits, set, "Remove", &place);
            });
        });
    }
    if ui.button("Add a zone by its measures").clicked() {
        edits.step("the new zone", move |set| {
            let zones = &mut set.side_mut(side).zones;
            let id = fresh_name("zone ", zones.iter().map(|z| z.id.as_str()));
            zones.push(crate::reference::Zone {
                id: ZoneId(id),
                title: String::new(),
                centre_mm: crate::geometry::SidePoint::new(0.0, 0.0),
                size_mm: (4.0, 4.0),
                telling_detail_mm: 0.2,
            });
        });
    }
}

fn feature_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, feature: &Feature, edits: &mut Edits) {
    ui.group(|ui| {
        let id = feature.id.clone();
        let change = {
            let id = id.clone();
            move |set: &mut ReferenceSet, apply: &mut dyn FnMut(&mut Feature)| {
                if let Some(f) = set.side_mut(side).features.iter_mut().find(|f| f.id == id) {
                    apply(f);
                }
            }
        };
        let set_question = change.clone();
        text(ui, edits, "Question", &feature.question, move |set, v| {
            set_question(set, &mut |f| f.question.clone_from(&v));
        });
        ui.horizontal_wrapped(|ui| {
            let zone_label = ui.label("Zone");
            ComboBox::from_id_salt("zone")
                .selected_text(feature.zone.as_str())
                .show_ui(ui, |ui| {
                    for zone in &set.side(side).zones {
                        let words = format!("{}: {}", zone.id, zone.title);
                        if ui.selectable_label(zone.id == feature.zone, words).clicked() {
                            let (to, set_zone) = (zone.id.clone(), change.clone());
                            edits.step("the change of the zone", move |set| {
                                set_zone(set, &mut |f| f.zone = to.clone())
                            });
                        }
                    }
                })
                .response
                .labelled_by(zone_label.id);
            let set_reliability = change.clone();
            let share = NumberForm {
                unit: "",
                range: 0.51..=0.999,
                step: 0.005,
                decimals: 3,
            };
            number(
                ui,
                edits,
                "A careful verdict is right with probability",
                feature.reliability,
                &share,
                move |set, v| {
                    set_reliability(set, &mut |f| f.reliability = v);
                },
            );
        });
        small_label(
            ui,
            "States: a short name for the table, what it looks like, and what a coin in this state measures",
        );
        for (i, state) in feature.states.iter().enumerate() {
            ui.push_id(("state", i), |ui| state_ui(ui, set, side, &id, i, state, edits));
        }
        ui.horizontal(|ui| {
            if ui.button("Add a state").clicked() {
                let change = change.clone();
                edits.step("the new state", move |set| {
                    change(set, &mut |f| {
                        let name = ('a'..='z')
                            .map(|c| c.to_string())
                            .find(|n| f.states.iter().all(|s| s.id.as_str() != n));
                        f.states.push(new_state(&name.unwrap_or_default()));
                    });
                });
            }
            remove_button(
                ui,
                edits,
                set,
                "Remove this feature",
                &Place::Feature(side, id.clone()),
            );
        });
    });
}

fn state_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    side: Side,
    feature: &FeatureId,
    index: usize,
    state: &State,
    edits: &mut Edits,
) {
    ui.horizontal_wrapped(|ui| {
        let place = Place::State(side, feature.clone(), state.id.clone());
        name(ui, edits, set, "State", &place, state.id.as_str());
        let width = (ui.available_width() - 330.0).max(160.0);
        let mut words = state.words.clone();
        let response = ui
            .add(TextEdit::singleline(&mut words).desired_width(width))
            .on_hover_text("What the state looks like");
        if response.changed() {
            let feature = feature.clone();
            edits.continued("the change of a state's words", response.id, move |set| {
                with_state(set, side, &feature, index, |s| s.words = words);
            });
        }
        stated_ui(ui, side, feature, index, state, edits);
        remove_button(ui, edits, set, "Remove", &place);
    });
}

fn stated_ui(ui: &mut Ui, side: Side, feature: &FeatureId, index: usize, state: &State, edits: &mut Edits) {
    let (value, tolerance, form) = match &state.stated {
        None => {
            if ui.button("Add a measure").clicked() {
                let feature = feature.clone();
                edits.step("the new measure", move |set| {
                    with_state(set, side, &feature, index, |s| {
                        s.stated = Some(StatedMeasure::DistanceMm {
                            what: String::new(),
                            value: 1.0,
                            tolerance: 0.1,
                        });
                    });
                });
            }
            return;
        }
        Some(StatedMeasure::DistanceMm { value, tolerance, .. }) => {
            (*value, *tolerance, NumberForm::mm(0.0..=100.0))
        }
        Some(StatedMeasure::AngleDeg { value, tolerance, .. }) => (
            *value,
            *tolerance,
            NumberForm {
                unit: "°",
                range: 0.0..=180.0,
                step: 0.1,
                decimals: 1,
            },
        ),
    };
    let for_value = feature.clone();
    number(ui, edits, "measures", value, &form, move |set, v| {
        with_state(set, side, &for_value, index, |s| match &mut s.stated {
            Some(StatedMeasure::DistanceMm { value, .. } | StatedMeasure::AngleDeg { value, .. }) => {
                *value = v
            }
            None => {}
        });
    });
    let for_tolerance = feature.clone();
    number(ui, edits, "within", tolerance, &form, move |set, v| {
        with_state(set, side, &for_tolerance, index, |s| match &mut s.stated {
            Some(StatedMeasure::DistanceMm { tolerance, .. } | StatedMeasure::AngleDeg { tolerance, .. }) => {
                *tolerance = v
            }
            None => {}
        });
    });
}

fn with_state(
    set: &mut ReferenceSet,
    side: Side,
    feature: &FeatureId,
    index: usize,
    change: impl FnOnce(&mut State),
) {
    let features = &mut set.side_mut(side).features;
    if let Some(state) = features
        .iter_mut()
        .find(|f| &f.id == feature)
        .and_then(|f| f.states.get_mut(index))
    {
        change(state);
    }
}
