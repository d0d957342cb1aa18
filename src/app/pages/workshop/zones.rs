//! The zones of a side as a table of measures; they are drawn on a plate in the design section.

use egui::{Grid, Ui};

use super::edits::{Edits, WorkshopAction};
use super::features;
use super::fields::{NumberForm, small_label};
use super::state::Section;
use crate::geometry::SidePoint;
use crate::pipeline;
use crate::reference::{Place, ReferenceSet, Side, Zone, ZoneId, edit, named};

/// Widths of the table's fields of text, in points; a table's cell does not stretch to its field by itself.
const NAME_WIDTH: f32 = 215.0;
const TITLE_WIDTH: f32 = 250.0;

/// Draws the table.
pub fn zones_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, edits: &mut Edits) {
    ui.strong("Zones");
    let part = set.side(side);
    if !part.zones.is_empty() {
        let grid = Grid::new(("zones", side)).striped(true).spacing([8.0, 4.0]);
        grid.show(ui, |ui| {
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
            for zone in &part.zones {
                row_ui(ui, set, side, zone, edits);
                ui.end_row();
            }
        });
    }
    if ui.button("Add a zone by its measures").clicked() {
        edits.step("the new zone", move |set| {
            edit::add_zone(set, side, SidePoint::origin(), (4.0, 4.0));
        });
    }
}

fn row_ui(ui: &mut Ui, set: &ReferenceSet, side: Side, zone: &Zone, edits: &mut Edits) {
    let place = Place::Zone(side, zone.id.clone());
    ui.horizontal(|ui| {
        ui.set_min_width(NAME_WIDTH);
        edits.name(ui, set, "Zone", &place, zone.id.as_str());
    });
    ui.scope(|ui| {
        ui.set_min_width(TITLE_WIDTH);
        title_ui(ui, side, zone, TITLE_WIDTH, edits);
    });
    for measure in measures(set.measures.diameter_mm) {
        measure.ui(ui, side, zone, edits);
    }
    edits.remove_button(ui, set, "Remove", &place);
}

/// What a zone shows, in words.
fn title_ui(ui: &mut Ui, side: Side, zone: &Zone, width: f32, edits: &mut Edits) {
    let (id, name) = (zone.id.clone(), format!("What {} shows", named("zone", &zone.id)));
    edits
        .line(ui, &name, &zone.title, width, move |set| {
            Some(&mut set.side_mut(side).zone_mut(&id)?.title)
        })
        .on_hover_text(name);
}

/// One number of a zone.
struct Measure {
    words: &'static str,
    form: NumberForm,
    at: fn(&mut Zone) -> &mut f64,
}

impl Measure {
    fn ui(&self, ui: &mut Ui, side: Side, zone: &Zone, edits: &mut Edits) {
        let words = format!("{} of {}", self.words, named("zone", &zone.id));
        let (id, at) = (zone.id.clone(), self.at);
        let value = *at(&mut zone.clone());
        edits.number(ui, &words, value, &self.form, move |set| {
            set.side_mut(side).zone_mut(&id).map(at)
        });
    }
}

fn measures(diameter_mm: f64) -> [Measure; 5] {
    let measure = |words, from, to, at| Measure {
        words,
        form: NumberForm::mm(from..=to),
        at,
    };
    let (radius, least) = (diameter_mm / 2.0, pipeline::SMALLEST_ZONE_MM);
    [
        measure("x", -radius, radius, |zone| &mut zone.centre_mm.x),
        measure("y", -radius, radius, |zone| &mut zone.centre_mm.y),
        measure("width", least, diameter_mm, |zone| &mut zone.size_mm.0),
        measure("height", least, diameter_mm, |zone| &mut zone.size_mm.1),
        measure("telling detail", 0.01, radius, |zone| &mut zone.telling_detail_mm),
    ]
}

/// One zone's form, beside the plate on which it is drawn. Returns its new name at the moment it is given.
pub fn zone_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    side: Side,
    zone: &Zone,
    edits: &mut Edits,
) -> Option<ZoneId> {
    let place = Place::Zone(side, zone.id.clone());
    let shown = ui.group(|ui| {
        let renamed = edits.name(ui, set, "Name", &place, zone.id.as_str());
        small_label(ui, "What it shows");
        title_ui(ui, side, zone, f32::INFINITY, edits);
        Grid::new("zone measures").num_columns(4).show(ui, |ui| {
            for pair in measures(set.measures.diameter_mm).chunks(2) {
                for measure in pair {
                    ui.label(measure.words);
                    measure.ui(ui, side, zone, edits);
                }
                ui.end_row();
            }
        });
        ui.horizontal(|ui| {
            let ask = ui.button("Ask a question here");
            if ask.on_hover_text("Adds a feature in this zone").clicked() {
                features::add_feature(side, &zone.id, edits);
                edits.ask(WorkshopAction::GoTo(Section::Features(side)));
            }
            edits.remove_button(ui, set, "Remove", &place);
        });
        renamed
    });
    shown.inner.map(ZoneId)
}
