//! The zones of a side as a table of measures; they are drawn on a plate in the design section.

use egui::{Grid, TextEdit, Ui};

use super::edits::Edits;
use super::fields::{NumberForm, fresh_name, name, number_bare, remove_button};
use crate::geometry::SidePoint;
use crate::reference::{Place, ReferenceSet, Side, Zone, ZoneId};

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
    let radius = set.measures.diameter_mm / 2.0;
    let place = Place::Zone(side, zone.id.clone());
    ui.horizontal(|ui| {
        ui.set_min_width(NAME_WIDTH);
        name(ui, edits, set, "Zone", &place, zone.id.as_str());
    });
    let mut title = zone.title.clone();
    let field = ui.scope(|ui| {
        ui.set_min_width(TITLE_WIDTH);
        ui.add(TextEdit::singleline(&mut title).desired_width(TITLE_WIDTH))
    });
    let response = field.inner.on_hover_text(format!("What zone {} shows", zone.id));
    if response.changed() {
        edits.continued("the change of a zone's title", response.id, move |set| {
            with_zone(set, side, i, |zone| zone.title = title);
        });
    }
    let within = NumberForm::mm(-radius..=radius);
    let size = NumberForm::mm(0.1..=2.0 * radius);
    let detail = NumberForm::mm(0.01..=radius);
    type Put = fn(&mut Zone, f64);
    let numbers: [(&str, f64, &NumberForm, Put); 5] = [
        ("x", zone.centre_mm.x, &within, |z, v| z.centre_mm.x = v),
        ("y", zone.centre_mm.y, &within, |z, v| z.centre_mm.y = v),
        ("width", zone.size_mm.0, &size, |z, v| z.size_mm.0 = v),
        ("height", zone.size_mm.1, &size, |z, v| z.size_mm.1 = v),
        ("telling detail", zone.telling_detail_mm, &detail, |z, v| {
            z.telling_detail_mm = v
        }),
    ];
    for (words, value, form, put) in numbers {
        let words = format!("{words} of zone {}", zone.id);
        number_bare(ui, edits, &words, value, form, move |set, v| {
            with_zone(set, side, i, |zone| put(zone, v));
        });
    }
    remove_button(ui, edits, set, "Remove", &place);
}

fn with_zone(set: &mut ReferenceSet, side: Side, index: usize, change: impl FnOnce(&mut Zone)) {
    if let Some(zone) = set.side_mut(side).zones.get_mut(index) {
        change(zone);
    }
}
