//! Labelled fields that change one value of the set.

use std::ops::RangeInclusive;

use egui::{DragValue, Response, RichText, TextEdit, Ui};

use super::edits::Edits;
use crate::reference::{Place, ReferenceSet, edit, named};

/// One line of text under its label.
pub fn text(
    ui: &mut Ui,
    edits: &mut Edits,
    label: &str,
    value: &str,
    set_value: impl FnOnce(&mut ReferenceSet, String) + 'static,
) -> Response {
    text_of(ui, edits, label, value, |t| TextEdit::singleline(t), set_value)
}

/// As [`text`], for a field that stands once for each of several parts: a screen reader hears of which.
pub fn text_of_part(
    ui: &mut Ui,
    edits: &mut Edits,
    label: &str,
    part: &str,
    value: &str,
    set_value: impl FnOnce(&mut ReferenceSet, String) + 'static,
) -> Response {
    text(ui, edits, label, value, set_value).accessible_name(format!("{label} of {part}"))
}

/// Several lines of text under their label.
pub fn long_text(
    ui: &mut Ui,
    edits: &mut Edits,
    label: &str,
    value: &str,
    set_value: impl FnOnce(&mut ReferenceSet, String) + 'static,
) -> Response {
    text_of(
        ui,
        edits,
        label,
        value,
        |t| TextEdit::multiline(t).desired_rows(3),
        set_value,
    )
}

fn text_of(
    ui: &mut Ui,
    edits: &mut Edits,
    label: &str,
    value: &str,
    editor: impl FnOnce(&mut String) -> TextEdit<'_>,
    set_value: impl FnOnce(&mut ReferenceSet, String) + 'static,
) -> Response {
    let mut text = value.to_owned();
    let name = small_label(ui, label);
    let response = ui
        .add(editor(&mut text).desired_width(f32::INFINITY))
        .labelled_by(name.id);
    if response.changed() {
        edits.continued(
            format!("the change of {}", label.to_lowercase()),
            response.id,
            move |set| {
                set_value(set, text);
            },
        );
    }
    response
}

/// The name of a part of the set, changed wherever the set refers to it when the field is left. While it is typed, a
/// name that cannot be given is said below. Returns the new name at the moment it is given.
pub fn name(
    ui: &mut Ui,
    edits: &mut Edits,
    set: &ReferenceSet,
    label: &str,
    place: &Place,
    current: &str,
) -> Option<String> {
    let id = ui.make_persistent_id(("name of", place.to_string()));
    let mut text = ui
        .data(|d| d.get_temp::<String>(id))
        .unwrap_or_else(|| current.to_owned());
    let shown_label = ui.label(label);
    let response = ui
        .add(TextEdit::singleline(&mut text).id(id).desired_width(170.0))
        .labelled_by(shown_label.id);
    // Where several names stand on one page, a screen reader hears whose this is.
    let response = match place {
        Place::State(_, feature, state) => {
            response.accessible_name(format!("Name of {} of {feature}", named("state", state)))
        }
        Place::Zone(_, zone) => response.accessible_name(format!("Name of {}", named("zone", zone))),
        Place::RarityBand(band) => response.accessible_name(format!("Name of {}", named("band", band))),
        _ => response,
    };
    if response.changed() {
        ui.data_mut(|d| d.insert_temp(id, text.clone()));
    }
    if text.trim() == current {
        if !response.has_focus() {
            ui.data_mut(|d| d.remove_temp::<String>(id));
        }
        return None;
    }
    if let Err(error) = edit::may_rename(set, place, &text) {
        ui.label(RichText::new(error.to_string()).color(ui.visuals().warn_fg_color));
        return None;
    }
    if response.has_focus() {
        return None;
    }
    ui.data_mut(|d| d.remove_temp::<String>(id));
    let (place, text) = (place.clone(), text.trim().to_owned());
    let given = text.clone();
    edits.step(format!("the change of {}", label.to_lowercase()), move |set| {
        // Asked just above, so that it can only fail where the set changed since; it is then as it was.
        let _ = edit::rename(set, &place, &text);
    });
    Some(given)
}

/// A button that removes a part of the set; what would go with it is said when it is pointed at.
pub fn remove_button(ui: &mut Ui, edits: &mut Edits, set: &ReferenceSet, words: &str, place: &Place) -> bool {
    let button = ui
        .button(words)
        .accessible_name(format!("{words}: {place}"))
        .on_hover_ui(|ui| match edit::consequences_of_removing(set, place) {
            Ok(consequences) if consequences.is_empty() => {
                ui.label("Nothing else goes with it.");
            }
            Ok(consequences) => {
                for sentence in consequences {
                    ui.label(sentence);
                }
            }
            Err(error) => {
                ui.label(error.to_string());
            }
        });
    if button.clicked() {
        let place = place.clone();
        edits.step(format!("removing {place}"), move |set| {
            // Refused where something else still needs it; the set is then as it was, and the hover says why.
            let _ = edit::remove(set, &place);
        });
    }
    button.clicked()
}

/// A number with its unit beside its label.
pub fn number(
    ui: &mut Ui,
    edits: &mut Edits,
    label: &str,
    value: f64,
    form: &NumberForm,
    set_value: impl FnOnce(&mut ReferenceSet, f64) + 'static,
) {
    ui.horizontal(|ui| {
        ui.label(label);
        number_bare(ui, edits, label, value, form, set_value);
    });
}

/// A number with its unit and no label of its own; `name` is said by a screen reader and named in undo.
pub fn number_bare(
    ui: &mut Ui,
    edits: &mut Edits,
    name: &str,
    value: f64,
    form: &NumberForm,
    set_value: impl FnOnce(&mut ReferenceSet, f64) + 'static,
) -> Response {
    let mut number = value;
    let response = ui
        .add(
            DragValue::new(&mut number)
                .range(form.range.clone())
                .speed(form.step)
                .fixed_decimals(form.decimals)
                .suffix(form.unit),
        )
        .accessible_name(name)
        .on_hover_text(name);
    if response.changed() {
        edits.continued(
            format!("the change of {}", name.to_lowercase()),
            response.id,
            move |set| {
                set_value(set, number);
            },
        );
    }
    response
}

/// How a number is shown and how far it may go.
#[derive(Debug, Clone)]
pub struct NumberForm {
    /// The unit, with the space before it.
    pub unit: &'static str,
    /// The least and the greatest value.
    pub range: RangeInclusive<f64>,
    /// How much a point of dragging changes it.
    pub step: f64,
    /// Decimals shown.
    pub decimals: usize,
}

impl NumberForm {
    /// A length on a coin, in mm.
    #[must_use]
    pub fn mm(range: RangeInclusive<f64>) -> Self {
        Self {
            unit: " mm",
            range,
            step: 0.01,
            decimals: 2,
        }
    }
}

/// A number that may be unknown: a tick box, and the number where it is ticked.
pub fn optional_number(
    ui: &mut Ui,
    edits: &mut Edits,
    label: &str,
    value: Option<f64>,
    first: f64,
    form: &NumberForm,
    set_value: impl Fn(&mut ReferenceSet, Option<f64>) + Clone + 'static,
) {
    ui.horizontal(|ui| {
        let mut known = value.is_some();
        if ui.checkbox(&mut known, label).changed() {
            let set_value = set_value.clone();
            edits.step(format!("the change of {}", label.to_lowercase()), move |set| {
                set_value(set, known.then_some(first));
            });
        }
        if let Some(value) = value {
            number_bare(ui, edits, label, value, form, move |set, v| {
                set_value(set, Some(v))
            });
        } else {
            ui.weak("not known");
        }
    });
}

/// Scrolls to a part where it is the goal that the user asked for, once.
pub fn reach(ui: &Ui, goal: &mut Option<Place>, rect: egui::Rect, is_it: impl FnOnce(&Place) -> bool) {
    if goal.as_ref().is_some_and(is_it) {
        *goal = None;
        ui.scroll_to_rect(rect, Some(egui::Align::Center));
    }
}

/// A small label above a field.
pub fn small_label(ui: &mut Ui, label: &str) -> Response {
    ui.label(RichText::new(label).small().weak())
}

/// A section's heading with a line on what it is for.
pub fn heading(ui: &mut Ui, title: &str, purpose: &str) {
    ui.heading(title);
    ui.weak(purpose);
    ui.add_space(8.0);
}

/// A new name that is not taken yet: `stem 1`, `stem 2` ...
#[must_use]
pub fn fresh_name<'a>(stem: &str, taken: impl Iterator<Item = &'a str> + Clone) -> String {
    (1..)
        .map(|n| format!("{stem}{n}"))
        .find(|name| taken.clone().all(|t| t != name))
        .unwrap_or_else(|| stem.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fresh_names_fill_the_first_gap() {
        assert_eq!(fresh_name("O", ["O1", "O3"].into_iter()), "O2");
        assert_eq!(fresh_name("O", std::iter::empty()), "O1");
    }
}
