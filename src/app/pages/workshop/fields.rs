//! Labelled fields that change one value of the set. Each is given the value as it is and where in the set it stands.

use std::ops::RangeInclusive;

use egui::{Align, DragValue, Rect, Response, RichText, TextEdit, Ui};

use super::edits::Edits;
use crate::reference::{Place, ReferenceSet, edit, named};

impl Edits {
    /// One line of text under its label. Where several parts have one, the caller names whose it is.
    pub fn text(
        &mut self,
        ui: &mut Ui,
        label: &str,
        value: &str,
        at: impl FnOnce(&mut ReferenceSet) -> Option<&mut String> + 'static,
    ) -> Response {
        self.text_to(ui, label, value, move |set, text| put(at(set), text))
    }

    /// As [`Edits::text`], where more than one value follows from the text.
    pub fn text_to(
        &mut self,
        ui: &mut Ui,
        label: &str,
        value: &str,
        write: impl FnOnce(&mut ReferenceSet, String) + 'static,
    ) -> Response {
        let shown = small_label(ui, label);
        self.typed(ui, label, value, &TextForm::WIDE, write)
            .labelled_by(shown.id)
    }

    /// Several lines of text under their label.
    pub fn long_text(
        &mut self,
        ui: &mut Ui,
        label: &str,
        value: &str,
        rows: usize,
        at: impl FnOnce(&mut ReferenceSet) -> Option<&mut String> + 'static,
    ) -> Response {
        let shown = small_label(ui, label);
        let form = TextForm {
            rows,
            ..TextForm::WIDE
        };
        self.typed(ui, label, value, &form, |set, text| put(at(set), text))
            .labelled_by(shown.id)
    }

    /// One line of text of some width, in points, beside what says what it is; `name` is said by a screen reader and
    /// named in undo.
    pub fn line(
        &mut self,
        ui: &mut Ui,
        name: &str,
        value: &str,
        width: f32,
        at: impl FnOnce(&mut ReferenceSet) -> Option<&mut String> + 'static,
    ) -> Response {
        let form = TextForm {
            width,
            ..TextForm::WIDE
        };
        self.typed(ui, name, value, &form, |set, text| put(at(set), text))
            .accessible_name(name)
    }

    /// Text typed in a field, named in undo as `name`.
    pub fn typed(
        &mut self,
        ui: &mut Ui,
        name: &str,
        value: &str,
        form: &TextForm,
        write: impl FnOnce(&mut ReferenceSet, String) + 'static,
    ) -> Response {
        let mut text = value.to_owned();
        let field = match form.rows {
            1 => TextEdit::singleline(&mut text),
            rows => TextEdit::multiline(&mut text).desired_rows(rows),
        };
        let response = ui.add(field.desired_width(form.width).hint_text(form.hint));
        if response.changed() {
            let gesture = response.id.value();
            self.continued(change_of(name), gesture, move |set| write(set, text));
        }
        response
    }

    /// A number with its unit and no label of its own; `name` is said by a screen reader and named in undo.
    pub fn number(
        &mut self,
        ui: &mut Ui,
        name: &str,
        value: f64,
        form: &NumberForm,
        at: impl FnOnce(&mut ReferenceSet) -> Option<&mut f64> + 'static,
    ) {
        let mut number = value;
        let response = form.ui(ui, &mut number).accessible_name(name).on_hover_text(name);
        if response.changed() {
            let gesture = response.id.value();
            self.continued(change_of(name), gesture, move |set| put(at(set), number));
        }
    }

    /// A number that may be unknown: a tick box, and the number where it is ticked; `first` is its value then.
    pub fn optional_number(
        &mut self,
        ui: &mut Ui,
        label: &str,
        value: Option<f64>,
        first: f64,
        form: &NumberForm,
        at: impl Fn(&mut ReferenceSet) -> Option<&mut Option<f64>> + 'static,
    ) {
        ui.horizontal(|ui| {
            let mut known = value.is_some();
            let ticked = ui.checkbox(&mut known, label);
            if ticked.changed() {
                let value = known.then_some(first);
                self.step(change_of(label), move |set| put(at(set), value));
            } else if let Some(value) = value {
                self.number(ui, label, value, form, move |set| at(set)?.as_mut());
            }
            if value.is_none() {
                ui.weak("not known");
            }
        });
    }

    /// The name of a part of the set, changed wherever the set refers to it when the field is left. While it is typed,
    /// a name that cannot be given is said below. Returns the new name at the moment it is given.
    pub fn name(
        &mut self,
        ui: &mut Ui,
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
        let field = TextEdit::singleline(&mut text).id(id).desired_width(170.0);
        let response = ui.add(field).labelled_by(shown_label.id);
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
        let (place, given) = (place.clone(), text.trim().to_owned());
        let text = given.clone();
        self.step(change_of(label), move |set| {
            // Asked just above, so that it can only fail where the set changed since; it is then as it was.
            let _ = edit::rename(set, &place, &text);
        });
        Some(given)
    }

    /// A button that removes a part of the set; what would go with it is said when it is pointed at.
    pub fn remove_button(&mut self, ui: &mut Ui, set: &ReferenceSet, words: &str, place: &Place) -> bool {
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
            self.remove(place.clone());
        }
        button.clicked()
    }

    /// Removes a part of the set, with what hangs on it.
    pub fn remove(&mut self, place: Place) {
        self.step(format!("removing {place}"), move |set| {
            // Refused where something else still needs it; the set is then as it was, and the button says why.
            let _ = edit::remove(set, &place);
        });
    }
}

/// What undo calls the change of a value.
fn change_of(name: &str) -> String {
    format!("the change of {}", name.to_lowercase())
}

/// Writes a value where its field is still there.
fn put<T>(field: Option<&mut T>, value: T) {
    if let Some(field) = field {
        *field = value;
    }
}

/// How a field for text looks.
pub struct TextForm {
    /// Lines.
    pub rows: usize,
    /// Its width, in points.
    pub width: f32,
    /// What it says while it is empty.
    pub hint: &'static str,
}

impl TextForm {
    /// One line as wide as there is room.
    pub const WIDE: TextForm = TextForm {
        rows: 1,
        width: f32::INFINITY,
        hint: "",
    };
}

/// How a number is shown and how far it may go.
#[derive(Debug, Clone)]
pub struct NumberForm {
    unit: &'static str,
    range: RangeInclusive<f64>,
    step: f64,
    decimals: usize,
}

impl NumberForm {
    /// A number with its unit (with the space before it), the least and the greatest value, how much a point of dragging
    /// changes it, and the decimals shown.
    #[must_use]
    pub fn new(unit: &'static str, range: RangeInclusive<f64>, step: f64, decimals: usize) -> Self {
        Self {
            unit,
            range,
            step,
            decimals,
        }
    }

    /// A length on a coin, in mm.
    #[must_use]
    pub fn mm(range: RangeInclusive<f64>) -> Self {
        Self::new(" mm", range, 0.01, 2)
    }

    /// Draws a number to drag or type.
    pub fn ui(&self, ui: &mut Ui, number: &mut f64) -> Response {
        let field = DragValue::new(number).range(self.range.clone()).speed(self.step);
        ui.add(field.fixed_decimals(self.decimals).suffix(self.unit))
    }
}

/// Scrolls to a part where it is the goal that the user asked for, once.
pub fn reach(ui: &Ui, goal: &mut Option<Place>, rect: Rect, is_it: impl FnOnce(&Place) -> bool) {
    if goal.as_ref().is_some_and(is_it) {
        *goal = None;
        ui.scroll_to_rect(rect, Some(Align::Center));
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
