//! The zones of a side as a table of measures; they are drawn on a plate in the design section.

use egui::{Grid, TextEdit, Ui};

use super::edits::{Edits, WorkshopAction};
use super::features;
use super::fields::{NumberForm, fresh_name, name, number_bare, remove_button, small_label};
use super::state::Section;
use crate::flow;
use crate::geometry::SidePoint;
use crate::reference::{Place, ReferenceSet, Side, Zone, ZoneId, named};

/// Widths of the table's fields of text, in points; a table's cell does not stretch to its field by itself.
const NAME_WIDTH: f32 = 215.0;
const TITLE_WIDTH: f32 = 250.0;

/// Draws the table.
pub fn zones_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, edits: &mut Edits) {
    ui.strong("Zones");
    let part = set.side(side);
    if !part.zones.is_empty() {
        Grid::new(("zones", side))
            .striped(true)
            .spacing([8.0, 4.0])
            .show(ui, |ui| {
                for head in [
                    "Name",
                    "What it shows",
                    "x",
                    "y",
                    "Width",
                    "Height",
                    "Telling detail",
                    "",
                ] {
                    ui.weak(head);
                }
                ui.end_row();
                for (i, zone) in part.zones.iter().enumerate() {
                    row_ui(ui, set, side, i, zone, edits);
                    ui.end_row();
                }
            });
    }
    if ui.button("Add a zone by its measures").clicked() {
        edits.step("the new zone", move |set| {
            let zones = &mut set.side_mut(side).zones;
            let id = fresh_name("zone ", zones.iter().map(|z| z.id.as_str()));
            zones.push(Zone {
                id: ZoneId(id),
                title: String::new(),
                centre_mm: SidePoint::new(0.0, 0.0),
                size_mm: (4.0, 4.0),
                telling_detail_mm: 0.2,
            });
        });
    }
}

fn row_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, i: usize, zone: &Zone, edits: &mut Edits) {
    let place = Place::Zone(side, zone.id.clone());
    ui.horizontal(|ui| {
        ui.set_min_width(NAME_WIDTH);
        name(ui, edits, set, "Zone", &place, zone.id.as_str());
    });
    ui.scope(|ui| {
        ui.set_min_width(TITLE_WIDTH);
        title_ui(ui, side, i, zone, TITLE_WIDTH, edits);
    });
    for measure in measures(set.measures.diameter_mm) {
        measure_ui(ui, side, i, zone, &measure, edits);
    }
    remove_button(ui, edits, set, "Remove", &place);
}

/// What a zone shows, in words.
fn title_ui(ui: &mut Ui, side: Side, i: usize, zone: &Zone, width: f32, edits: &mut Edits) {
    let mut title = zone.title.clone();
    let name = format!("What {} shows", named("zone", &zone.id));
    let response = ui
        .add(TextEdit::singleline(&mut title).desired_width(width))
        .accessible_name(name.as_str())
        .on_hover_text(name);
    if response.changed() {
        edits.continued("the change of a zone's title", response.id, move |set| {
            with_zone(set, side, i, |zone| zone.title = title);
        });
    }
}

/// One number of a zone.
struct Measure {
    words: &'static str,
    form: NumberForm,
    get: fn(&Zone) -> f64,
    put: fn(&mut Zone, f64),
}

fn measures(diameter_mm: f64) -> [Measure; 5] {
    let radius = diameter_mm / 2.0;
    let measure = |words, from, to, get, put| Measure {
        words,
        form: NumberForm::mm(from..=to),
        get,
        put,
    };
    let least = flow::SMALLEST_ZONE_MM;
    [
        measure("x", -radius, radius, |z| z.centre_mm.x, |z, v| z.centre_mm.x = v),
        measure("y", -radius, radius, |z| z.centre_mm.y, |z, v| z.centre_mm.y = v),
        measure(
            "width",
            least,
            diameter_mm,
            |z| z.size_mm.0,
            |z, v| z.size_mm.0 = v,
        ),
        measure(
            "height",
            least,
            diameter_mm,
            |z| z.size_mm.1,
            |z, v| z.size_mm.1 = v,
        ),
        measure(
            "telling detail",
            0.01,
            radius,
            |z| z.telling_detail_mm,
            |z, v| z.telling_detail_mm = v,
        ),
    ]
}

fn measure_ui(ui: &mut Ui, side: Side, i: usize, zone: &Zone, measure: &Measure, edits: &mut Edits) {
    let words = format!("{} of {}", measure.words, named("zone", &zone.id));
    let put = measure.put;
    number_bare(
        ui,
        edits,
        &words,
        (measure.get)(zone),
        &measure.form,
        move |set, v| {
            with_zone(set, side, i, |zone| put(zone, v));
        },
    );
}

/// One zone's form, beside the plate on which it is drawn. Returns its new name at the moment it is given.
pub fn zone_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, i: usize, edits: &mut Edits) -> Option<ZoneId> {
    let zone = set.side(side).zones.get(i)?;
    let place = Place::Zone(side, zone.id.clone());
    let mut renamed = None;
    ui.group(|ui| {
        renamed = name(ui, edits, set, "Name", &place, zone.id.as_str()).map(ZoneId);
        small_label(ui, "What it shows");
        title_ui(ui, side, i, zone, f32::INFINITY, edits);
        Grid::new("zone measures").num_columns(4).show(ui, |ui| {
            for pair in measures(set.measures.diameter_mm).chunks(2) {
                for measure in pair {
                    ui.label(measure.words);
                    measure_ui(ui, side, i, zone, measure, edits);
                }
                ui.end_row();
            }
        });
        ui.horizontal(|ui| {
            if ui
                .button("Ask a question here")
                .on_hover_text("Adds a feature in this zone")
                .clicked()
            {
                features::add_feature(side, zone.id.clone(), edits);
                edits.ask(WorkshopAction::GoTo(Section::Features(side)));
            }
            remove_button(ui, edits, set, "Remove", &place);
        });
    });
    renamed
}

fn with_zone(set: &mut ReferenceSet, side: Side, index: usize, change: impl FnOnce(&mut Zone)) {
    if let Some(zone) = set.side_mut(side).zones.get_mut(index) {
        change(zone);
    }
}
