//! What stands beside the attribution, the paper, and the export.

use egui::{Button, ProgressBar, RichText, ScrollArea, TextEdit, Ui, Vec2};

use crate::app::model::action::Action;
use crate::app::model::question::{Ask, Purpose};
use crate::app::pages::Page;
use crate::app::pages::sheet::{SheetPage, export::file_name, make};
use crate::app::widgets::theme::palette;
use crate::sheet::Paper;
use crate::specimen::{Edit, TextField};

/// Draws them.
pub fn fields_ui(ui: &mut Ui, state: &mut SheetPage, page: &mut Page<'_>) {
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        ui.add_space(8.0);
        ui.label(RichText::new("Export").size(15.0).strong());
        export_ui(ui, state, page);
        ui.add_space(14.0);
        ui.label(RichText::new("Paper").size(15.0).strong());
        ui.horizontal(|ui| {
            ui.radio_value(&mut state.paper, Paper::A4, "A4");
            ui.radio_value(&mut state.paper, Paper::Letter, "Letter");
        });
        ui.weak("Print at 100 %, not fitted to the page: the zones then measure what they say.");
        ui.add_space(14.0);
        ui.label(RichText::new("The specimen").size(15.0).strong());
        for field in FIELDS {
            field_ui(ui, state, page, field);
        }
        ui.weak("What the coin cost stays in the record; it is not printed.");
    });
}

struct Field {
    name: &'static str,
    hint: &'static str,
    rows: usize,
    field: TextField,
}

const FIELDS: [Field; 4] = [
    Field {
        name: "Title",
        hint: "what you call the coin",
        rows: 1,
        field: TextField::Title,
    },
    Field {
        name: "Grade",
        hint: "in the grades you use",
        rows: 1,
        field: TextField::Grade,
    },
    Field {
        name: "Cost",
        hint: "with its currency",
        rows: 1,
        field: TextField::Cost,
    },
    Field {
        name: "Notes",
        hint: "provenance, damage, anything else",
        rows: 5,
        field: TextField::Notes,
    },
];

fn field_ui(ui: &mut Ui, state: &mut SheetPage, page: &mut Page<'_>, field: Field) {
    let label = ui.label(field.name);
    let mut typed = field.field.of(page.bench.record()).to_owned();
    let edit = if field.rows == 1 {
        TextEdit::singleline(&mut typed)
    } else {
        TextEdit::multiline(&mut typed).desired_rows(field.rows)
    };
    let response = ui
        .add(
            edit.hint_text(field.hint)
                .desired_width(f32::INFINITY)
                .id_salt(field.name),
        )
        .labelled_by(label.id);
    if response.gained_focus() {
        state.gesture += 1;
    }
    if response.changed() {
        page.actions.push(Action::Edit {
            edit: Edit::Text(field.field, typed),
            gesture: Some(state.gesture),
        });
    }
    ui.add_space(4.0);
}

fn export_ui(ui: &mut Ui, state: &mut SheetPage, page: &mut Page<'_>) {
    if let Some(watch) = &state.exporting {
        ui.horizontal(|ui| {
            ui.add(ProgressBar::new(watch.progress()).desired_width(ui.available_width() - 70.0))
                .accessible_name("Export");
            if ui.button("Stop").clicked() {
                watch.cancel();
            }
        });
        look_again_soon(ui);
        return;
    }
    let palette = palette(ui);
    ui.horizontal(|ui| {
        let first = Button::new(RichText::new("Export PDF").color(palette.on_accent))
            .fill(palette.accent)
            .min_size(Vec2::new(110.0, 28.0));
        if ui.add(first).clicked() {
            ask(page, "pdf");
        }
        let second = Button::new("Export PNG").min_size(Vec2::new(110.0, 28.0));
        if ui
            .add(second)
            .on_hover_text("One picture a page, at 200 dots an inch")
            .clicked()
        {
            ask(page, "png");
        }
    });
    match (&state.making, state.page_count()) {
        (Some((_, watch)), _) => {
            let progress = watch.progress();
            ui.horizontal(|ui| {
                ui.add(ProgressBar::new(progress).desired_width(ui.available_width() - 70.0))
                    .accessible_name("Making the preview");
                if ui.button("Stop").clicked() {
                    make::stop(state);
                }
            });
            look_again_soon(ui);
        }
        (None, Some(1)) => {
            ui.weak("1 page");
        }
        (None, Some(pages)) => {
            ui.weak(format!("{pages} pages"));
        }
        (None, None) => {
            ui.horizontal(|ui| {
                ui.weak("The preview was stopped.");
                if ui.button("Make it").clicked() {
                    state.stopped = None;
                }
            });
        }
    }
}

fn ask(page: &mut Page<'_>, ending: &str) {
    let name = file_name(&page.bench.record().title, ending);
    page.push(Action::Ask(Ask::SheetFile, name, Purpose::Sheet));
}

fn look_again_soon(ui: &Ui) {
    ui.ctx()
        .request_repaint_after(std::time::Duration::from_millis(100));
}
