//! The features of a side: what to ask in a zone and the states that answer it.

use egui::{ComboBox, TextEdit, Ui};

use super::edits::Edits;
use super::fields::{
    NumberForm, fresh_name, heading, name, number_bare, reach, remove_button, small_label, text_of_part,
};
use super::state::capital;
use super::zones;
use crate::reference::{
    Feature, FeatureId, Place, ReferenceSet, Side, State, StateId, StatedMeasure, ZoneId, named,
};

/// Where a new feature starts: a careful look is right nineteen times in twenty (common practice, no source).
const FIRST_RELIABILITY: f64 = 0.95;

/// The section "Features" of a side.
pub fn features_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, goal: &mut Option<Place>, edits: &mut Edits) {
    heading(
        ui,
        &format!("{} features", capital(side)),
        "A feature is a question asked in a zone. Its states are the answers; each die shows one of them.",
    );
    let part = set.side(side);
    if part.zones.is_empty() {
        ui.label("No zone is drawn yet. Draw one on a plate in the design section, or add one here with its measures.");
    }
    let drawn = ui.scope(|ui| zones::zones_ui(ui, set, side, edits));
    reach(
        ui,
        goal,
        drawn.response.rect,
        |place| matches!(place, Place::Zone(s, _) if *s == side),
    );
    ui.add_space(16.0);
    ui.strong("Features");
    for feature in &part.features {
        let drawn = ui.push_id(&feature.id, |ui| feature_ui(ui, set, side, feature, edits));
        reach(
            ui,
            goal,
            drawn.response.rect,
            |place| matches!(place, Place::Feature(s, id) | Place::State(s, id, _) if *s == side && *id == feature.id),
        );
        ui.add_space(4.0);
    }
    let zone = part.zones.first().map(|z| z.id.clone());
    let add = ui.add_enabled(zone.is_some(), egui::Button::new("Add a feature"));
    if let (true, Some(zone)) = (
        add.on_disabled_hover_text("A feature needs a zone to look in.")
            .clicked(),
        zone,
    ) {
        add_feature(side, zone, edits);
    }
}

/// Adds a feature of two states in a zone.
pub fn add_feature(side: Side, zone: ZoneId, edits: &mut Edits) {
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

fn new_state(id: &str) -> State {
    State {
        id: StateId::from(id),
        words: String::new(),
        stated: None,
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
        text_of_part(
            ui,
            edits,
            "Question",
            id.as_str(),
            &feature.question,
            move |set, v| {
                set_question(set, &mut |f| f.question.clone_from(&v));
            },
        );
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
                .labelled_by(zone_label.id)
                .accessible_name(format!("Zone of {id}"));
            let set_reliability = change.clone();
            let share = NumberForm {
                unit: "",
                range: 0.51..=0.999,
                step: 0.005,
                decimals: 3,
            };
            ui.label("A careful verdict is right with probability");
            number_bare(
                ui,
                edits,
                &format!("Probability that a careful verdict on {id} is right"),
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
            let add = ui
                .button("Add a state")
                .accessible_name(format!("Add a state to {id}"));
            if add.clicked() {
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
    let place = Place::State(side, feature.clone(), state.id.clone());
    ui.horizontal(|ui| {
        name(ui, edits, set, "State", &place, state.id.as_str());
        let label = ui.label("looks like");
        let width = (ui.available_width() - REMOVE_WIDTH).max(160.0);
        let mut words = state.words.clone();
        let response = ui
            .add(TextEdit::singleline(&mut words).desired_width(width))
            .labelled_by(label.id)
            .accessible_name(format!(
                "What {} of {feature} looks like",
                named("state", &state.id)
            ));
        if response.changed() {
            let feature = feature.clone();
            edits.continued("the change of a state's words", response.id, move |set| {
                with_state(set, side, &feature, index, |s| s.words = words);
            });
        }
        remove_button(ui, edits, set, "Remove", &place);
    });
    ui.horizontal(|ui| {
        ui.add_space(INDENT);
        stated_ui(ui, side, feature, index, state, edits);
    });
    ui.add_space(4.0);
}

/// Room for the button at a row's end, in points.
const REMOVE_WIDTH: f32 = 84.0;
/// How far what belongs to a row stands in under it, in points.
const INDENT: f32 = 46.0;

/// What a coin in this state measures, where the author gives it.
fn stated_ui(ui: &mut Ui, side: Side, feature: &FeatureId, index: usize, state: &State, edits: &mut Edits) {
    let Some(stated) = &state.stated else {
        for (words, new) in [
            (
                "Add a distance",
                distance as fn(String, f64, f64) -> StatedMeasure,
            ),
            ("Add an angle", angle),
        ] {
            let add = ui.small_button(words);
            let add = add.accessible_name(format!("{words} to {} of {feature}", named("state", &state.id)));
            if add.clicked() {
                let feature = feature.clone();
                edits.step("the new measure", move |set| {
                    with_state(set, side, &feature, index, |s| {
                        s.stated = Some(new(String::new(), 1.0, 0.1))
                    });
                });
            }
        }
        return;
    };
    let (new, what, value, tolerance, form): (fn(String, f64, f64) -> StatedMeasure, _, _, _, _) =
        match stated {
            StatedMeasure::DistanceMm {
                what,
                value,
                tolerance,
            } => (distance, what, *value, *tolerance, NumberForm::mm(0.0..=100.0)),
            StatedMeasure::AngleDeg {
                what,
                value,
                tolerance,
            } => {
                let degrees = NumberForm {
                    unit: "\u{b0}",
                    range: 0.0..=180.0,
                    step: 0.1,
                    decimals: 1,
                };
                (angle, what, *value, *tolerance, degrees)
            }
        };
    let label = ui.weak(if matches!(stated, StatedMeasure::AngleDeg { .. }) {
        "Angle:"
    } else {
        "Distance:"
    });
    let mut words = what.clone();
    let response = ui
        .add(
            TextEdit::singleline(&mut words)
                .desired_width(360.0)
                .hint_text("what to what"),
        )
        .labelled_by(label.id)
        .accessible_name(format!(
            "What is measured of {} of {feature}",
            named("state", &state.id)
        ));
    if response.changed() {
        let feature = feature.clone();
        edits.continued("the change of what is measured", response.id, move |set| {
            with_state(set, side, &feature, index, |s| {
                s.stated = Some(new(words, value, tolerance))
            });
        });
    }
    let (for_value, what_for_value) = (feature.clone(), what.clone());
    let of = format!("{} of {feature}", named("state", &state.id));
    ui.label("is");
    number_bare(
        ui,
        edits,
        &format!("Measure of {of}"),
        value,
        &form,
        move |set, v| {
            with_state(set, side, &for_value, index, |s| {
                s.stated = Some(new(what_for_value, v, tolerance))
            });
        },
    );
    let (for_tolerance, what_for_tolerance) = (feature.clone(), what.clone());
    ui.label("within");
    number_bare(
        ui,
        edits,
        &format!("Tolerance of {of}"),
        tolerance,
        &form,
        move |set, v| {
            with_state(set, side, &for_tolerance, index, |s| {
                s.stated = Some(new(what_for_tolerance, value, v))
            });
        },
    );
    if ui.small_button("Remove the measure").clicked() {
        let feature = feature.clone();
        edits.step("removing the measure", move |set| {
            with_state(set, side, &feature, index, |s| s.stated = None);
        });
    }
}

fn distance(what: String, value: f64, tolerance: f64) -> StatedMeasure {
    StatedMeasure::DistanceMm {
        what,
        value,
        tolerance,
    }
}

fn angle(what: String, value: f64, tolerance: f64) -> StatedMeasure {
    StatedMeasure::AngleDeg {
        what,
        value,
        tolerance,
    }
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
