//! The features of a side: what to ask in a zone and the states that answer it.

use egui::{Button, ComboBox, Ui};

use super::edits::Edits;
use super::fields::{NumberForm, TextForm, heading, reach, small_label};
use super::zones;
use crate::reference::{
    Feature, FeatureId, Place, ReferenceSet, Side, State, StatedMeasure, ZoneId, edit, named,
};

/// The section "Features" of a side.
pub fn features_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, goal: &mut Option<Place>, edits: &mut Edits) {
    heading(
        ui,
        &format!("{} features", side.title()),
        "A feature is a question asked in a zone. Its states are the answers; each die shows one of them.",
    );
    let part = set.side(side);
    if part.zones.is_empty() {
        ui.label("No zone is drawn yet. Draw one on a plate in the design section, or add one here with its measures.");
    }
    let drawn = ui.scope(|ui| zones::zones_ui(ui, set, side, edits)).response;
    reach(
        ui,
        goal,
        drawn.rect,
        |place| matches!(place, Place::Zone(s, _) if *s == side),
    );
    ui.add_space(16.0);
    ui.strong("Features");
    for feature in &part.features {
        let drawn = ui.push_id(&feature.id, |ui| {
            ui.group(|ui| feature_ui(ui, set, side, feature, edits));
        });
        reach(
            ui,
            goal,
            drawn.response.rect,
            |place| matches!(place, Place::Feature(s, id) | Place::State(s, id, _) if *s == side && *id == feature.id),
        );
        ui.add_space(4.0);
    }
    let zone = part.zones.first();
    let add = ui.add_enabled(zone.is_some(), Button::new("Add a feature"));
    let add = add.on_disabled_hover_text("A feature needs a zone to look in.");
    if let (true, Some(zone)) = (add.clicked(), zone) {
        add_feature(side, &zone.id, edits);
    }
}

/// Adds a feature of two states in a zone.
pub fn add_feature(side: Side, zone: &ZoneId, edits: &mut Edits) {
    let zone = zone.clone();
    edits.step("the new feature", move |set| {
        edit::add_feature(set, side, zone);
    });
}

fn feature_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, feature: &Feature, edits: &mut Edits) {
    let id = feature.id.clone();
    edits
        .text(ui, "Question", &feature.question, move |set| {
            Some(&mut set.side_mut(side).feature_mut(&id)?.question)
        })
        .accessible_name(format!("Question of {}", feature.id));
    ui.horizontal_wrapped(|ui| {
        zone_choice(ui, set, side, feature, edits);
        ui.label("A careful verdict is right with probability");
        let name = format!("Probability that a careful verdict on {} is right", feature.id);
        let share = NumberForm::new("", 0.51..=0.999, 0.005, 3);
        let id = feature.id.clone();
        edits.number(ui, &name, feature.reliability, &share, move |set| {
            Some(&mut set.side_mut(side).feature_mut(&id)?.reliability)
        });
    });
    small_label(
        ui,
        "States: a short name for the table, what it looks like, and what a coin in this state measures",
    );
    for (i, state) in feature.states.iter().enumerate() {
        let at = StateAt {
            side,
            feature: feature.id.clone(),
            index: i,
        };
        ui.push_id(("state", i), |ui| at.state_ui(ui, set, state, edits));
    }
    ui.horizontal(|ui| {
        let add = ui.button("Add a state");
        let add = add.accessible_name(format!("Add a state to {}", feature.id));
        if add.clicked() {
            let id = feature.id.clone();
            edits.step("the new state", move |set| {
                set.side_mut(side).feature_mut(&id).map(edit::add_state);
            });
        }
        let place = Place::Feature(side, feature.id.clone());
        edits.remove_button(ui, set, "Remove this feature", &place);
    });
}

fn zone_choice(ui: &mut Ui, set: &ReferenceSet, side: Side, feature: &Feature, edits: &mut Edits) {
    let label = ui.label("Zone");
    ComboBox::from_id_salt("zone")
        .selected_text(feature.zone.as_str())
        .show_ui(ui, |ui| {
            for zone in &set.side(side).zones {
                let words = format!("{}: {}", zone.id, zone.title);
                if ui.selectable_label(zone.id == feature.zone, words).clicked() {
                    let (id, to) = (feature.id.clone(), zone.id.clone());
                    edits.step("the change of the zone", move |set| {
                        if let Some(feature) = set.side_mut(side).feature_mut(&id) {
                            feature.zone = to;
                        }
                    });
                }
            }
        })
        .response
        .labelled_by(label.id)
        .accessible_name(format!("Zone of {}", feature.id));
}

/// Room for the button at a row's end, in points.
const REMOVE_WIDTH: f32 = 84.0;
/// How far what belongs to a row stands in under it, in points.
const INDENT: f32 = 46.0;

/// Where a state stands in the set.
#[derive(Clone)]
struct StateAt {
    side: Side,
    feature: FeatureId,
    index: usize,
}

impl StateAt {
    fn state<'a>(&self, set: &'a mut ReferenceSet) -> Option<&'a mut State> {
        let feature = set.side_mut(self.side).feature_mut(&self.feature)?;
        feature.states.get_mut(self.index)
    }

    fn state_ui(&self, ui: &mut Ui, set: &ReferenceSet, state: &State, edits: &mut Edits) {
        let place = Place::State(self.side, self.feature.clone(), state.id.clone());
        let of = format!("{} of {}", named("state", &state.id), self.feature);
        ui.horizontal(|ui| {
            edits.name(ui, set, "State", &place, state.id.as_str());
            ui.label("looks like");
            let width = (ui.available_width() - REMOVE_WIDTH).max(160.0);
            let (at, name) = (self.clone(), format!("What {of} looks like"));
            edits.line(ui, &name, &state.words, width, move |set| {
                Some(&mut at.state(set)?.words)
            });
            edits.remove_button(ui, set, "Remove", &place);
        });
        ui.horizontal(|ui| {
            ui.add_space(INDENT);
            match &state.stated {
                Some(stated) => self.stated_ui(ui, &of, stated, edits),
                None => self.new_stated_ui(ui, &of, edits),
            }
        });
        ui.add_space(4.0);
    }

    /// The buttons that say what a coin in this state measures.
    fn new_stated_ui(&self, ui: &mut Ui, of: &str, edits: &mut Edits) {
        let (what, value, tolerance) = (String::new(), 1.0, 0.1);
        let distance = StatedMeasure::DistanceMm {
            what: what.clone(),
            value,
            tolerance,
        };
        let angle = StatedMeasure::AngleDeg {
            what,
            value,
            tolerance,
        };
        for (words, stated) in [("Add a distance", distance), ("Add an angle", angle)] {
            let add = ui.small_button(words);
            if add.accessible_name(format!("{words} to {of}")).clicked() {
                self.state_measure("the new measure", Some(stated), edits);
            }
        }
    }

    fn state_measure(&self, words: &str, stated: Option<StatedMeasure>, edits: &mut Edits) {
        let at = self.clone();
        edits.step(words, move |set| {
            if let Some(state) = at.state(set) {
                state.stated = stated;
            }
        });
    }

    /// What a coin in this state measures, as the author gave it.
    fn stated_ui(&self, ui: &mut Ui, of: &str, stated: &StatedMeasure, edits: &mut Edits) {
        let (words, form) = match stated {
            StatedMeasure::DistanceMm { .. } => ("Distance:", NumberForm::mm(0.0..=100.0)),
            StatedMeasure::AngleDeg { .. } => ("Angle:", NumberForm::new("\u{b0}", 0.0..=180.0, 0.1, 1)),
        };
        ui.weak(words);
        let (what, value, tolerance) = stated.parts();
        let at = self.clone();
        let name = format!("What is measured of {of}");
        let field = TextForm {
            rows: 1,
            width: 360.0,
            hint: "what to what",
        };
        edits
            .typed(ui, &name, what, &field, move |set, what| {
                if let Some(stated) = at.state(set).and_then(|state| state.stated.as_mut()) {
                    *stated.parts_mut().0 = what;
                }
            })
            .accessible_name(name);
        ui.label("is");
        let at = self.clone();
        edits.number(ui, &format!("Measure of {of}"), value, &form, move |set| {
            Some(at.state(set)?.stated.as_mut()?.parts_mut().1)
        });
        ui.label("within");
        let at = self.clone();
        edits.number(ui, &format!("Tolerance of {of}"), tolerance, &form, move |set| {
            Some(at.state(set)?.stated.as_mut()?.parts_mut().2)
        });
        if ui.small_button("Remove the measure").clicked() {
            self.state_measure("removing the measure", None, edits);
        }
    }
}
