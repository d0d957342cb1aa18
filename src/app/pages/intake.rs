//! A new specimen: its title, set and photos, before anything is written.

use std::path::Path;

use egui::{Button, Rect, RichText, Ui, WidgetInfo, vec2};

use crate::app::model::action::Action;
use crate::app::model::intake::{Intake, IntakeAction, IntakePhoto, SetSlot};
use crate::app::model::picture_slot::PictureSlot;
use crate::app::model::question::Ask;
use crate::app::widgets::canvas::{Canvases, Shown, Treatment};
use crate::app::widgets::pane::{FitTo, PictureView};
use crate::app::widgets::theme::{self, Palette, palette};
use crate::reference::{ReferenceSet, SetSource, Side};
use crate::specimen::Settings;

/// Draws the page.
pub fn new_specimen_ui(
    ui: &mut Ui,
    intake: &mut Intake,
    canvases: &mut Canvases,
    settings: &Settings,
    actions: &mut Vec<Action>,
) {
    let p = palette(ui);
    let frame = egui::Frame::new().fill(p.panel).inner_margin(24);
    egui::Panel::bottom("new/foot")
        .frame(frame)
        .show(ui, |ui| foot_ui(ui, &p, intake, actions));
    egui::Panel::top("new/head").frame(frame).show(ui, |ui| {
        ui.label(theme::strong("New specimen").size(19.0));
        ui.add_space(8.0);
        egui::Grid::new("new/form")
            .num_columns(2)
            .spacing([16.0, 8.0])
            .show(ui, |ui| {
                let label = ui.label("Title");
                let field = egui::TextEdit::singleline(&mut intake.title)
                    .hint_text("What you call this coin")
                    .desired_width(420.0);
                ui.add(field).labelled_by(label.id);
                ui.end_row();
                ui.label("Reference set");
                set_ui(ui, &p, intake, settings, actions);
                ui.end_row();
            });
    });
    egui::CentralPanel::no_frame()
        .frame(egui::Frame::new().fill(p.sunk).inner_margin(24))
        .show(ui, |ui| {
            let whole = ui.available_rect_before_wrap();
            let gap = 16.0;
            let width = (whole.width() - gap) / 2.0;
            for (column, side) in [0.0, 1.0].into_iter().zip(Side::BOTH) {
                let left = whole.left() + column * (width + gap);
                let rect = Rect::from_min_size(egui::pos2(left, whole.top()), vec2(width, whole.height()));
                photo_ui(ui, &p, rect, side, &intake.photos[side], canvases, actions);
            }
            ui.advance_cursor_after_rect(whole);
        });
}

fn foot_ui(ui: &mut Ui, p: &Palette, intake: &Intake, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        let missing = intake.missing();
        let begin = theme::primary(p, "Begin", 13.5, vec2(96.0, 32.0));
        if ui
            .add_enabled(missing.is_none() && !intake.beginning, begin)
            .clicked()
        {
            actions.push(Action::Intake(IntakeAction::Begin));
        }
        if ui.add(Button::new("Cancel").min_size(vec2(80.0, 32.0))).clicked() {
            actions.push(Action::GoToStart);
        }
        let none = intake.photos.iter().all(|(_, photo)| photo.file.is_none());
        let words = match (intake.beginning, missing) {
            (true, _) => "Copying the photos\u{2026}",
            (false, Some(missing)) => missing,
            (false, None) if none => "Photos can also be chosen later.",
            (false, None) => "The originals are copied byte for byte and left as they are.",
        };
        ui.label(RichText::new(words).color(p.quiet));
    });
}

/// The set in words: its folder's or file's name until it is open.
fn place_words(place: Option<&Path>) -> String {
    match place {
        None => "Built-in demo set".to_owned(),
        Some(place) => place.file_name().map_or_else(
            || place.display().to_string(),
            |n| n.to_string_lossy().into_owned(),
        ),
    }
}

fn set_ui(ui: &mut Ui, p: &Palette, intake: &Intake, settings: &Settings, actions: &mut Vec<Action>) {
    ui.vertical(|ui| {
        let selected = match &intake.set {
            SetSlot::Open(open) => open.set.title.clone(),
            _ => place_words(intake.place.as_deref()),
        };
        let combo = egui::ComboBox::from_id_salt("new/set")
            .selected_text(selected)
            .width(420.0)
            .truncate();
        let combo = combo.show_ui(ui, |ui| {
            if ui
                .selectable_label(intake.place.is_none(), place_words(None))
                .clicked()
            {
                actions.push(Action::Intake(IntakeAction::Set(None)));
            }
            let demo = Path::new(SetSource::DEMO_WORD);
            for place in settings.recent_sets.iter().filter(|place| *place != demo) {
                let here = intake.place.as_ref() == Some(place);
                let label = ui.selectable_label(here, place_words(Some(place)));
                if label.on_hover_text(place.display().to_string()).clicked() {
                    actions.push(Action::Intake(IntakeAction::Set(Some(place.clone()))));
                }
            }
            ui.separator();
            for (words, ask) in [
                ("A set's folder\u{2026}", Ask::SetFolder),
                ("A packed set\u{2026}", Ask::PackedSet),
            ] {
                if ui.button(words).clicked() {
                    actions.push(Action::Intake(IntakeAction::AskSet(ask)));
                }
            }
        });
        combo
            .response
            .widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, "Choose the reference set"));
        match &intake.set {
            SetSlot::Opening => ui.label(RichText::new("Opening\u{2026}").color(p.quiet)),
            SetSlot::Failed(sentence) => {
                ui.add(egui::Label::new(RichText::new(sentence).color(p.bad)).wrap())
            }
            SetSlot::Open(open) => ui.label(RichText::new(summary(&open.set)).color(p.quiet)),
        };
    });
}

fn summary(set: &ReferenceSet) -> String {
    format!(
        "{} obverse and {} reverse dies, {} known pairings, {:.1} mm",
        set.obverse.dies.len(),
        set.reverse.dies.len(),
        set.pairings.len(),
        set.measures.diameter_mm
    )
}

fn photo_ui(
    ui: &mut Ui,
    p: &Palette,
    rect: Rect,
    side: Side,
    photo: &IntakePhoto,
    canvases: &mut Canvases,
    actions: &mut Vec<Action>,
) {
    ui.painter().rect_filled(rect, 6.0, p.panel);
    ui.painter().rect_stroke(
        rect,
        6.0,
        egui::Stroke::new(1.0, p.line),
        egui::StrokeKind::Inside,
    );
    let mut inside = ui.new_child(
        egui::UiBuilder::new()
            .max_rect(rect.shrink(12.0))
            .id_salt(side.word()),
    );
    let ui = &mut inside;
    ui.horizontal(|ui| {
        ui.label(theme::strong(side.title()));
        if let Some(file) = &photo.file {
            let room = (ui.available_width() - 190.0).max(40.0);
            ui.allocate_ui_with_layout(
                vec2(room, 20.0),
                egui::Layout::left_to_right(egui::Align::Center),
                |ui| {
                    let name = place_words(Some(file));
                    ui.add(egui::Label::new(RichText::new(name).color(p.quiet)).truncate());
                },
            );
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let named = |text: &'static str, ui: &mut Ui| {
                    let button = ui.button(text);
                    button.widget_info(|| {
                        WidgetInfo::labeled(
                            egui::Role::Button,
                            true,
                            format!("{text} the {} photo", side.word()),
                        )
                    });
                    button.clicked()
                };
                if named("Remove", ui) {
                    actions.push(Action::Intake(IntakeAction::NoPhoto(side)));
                }
                if named("Change", ui) {
                    actions.push(Action::Intake(IntakeAction::Photo(side, None)));
                }
            });
        }
    });
    ui.add_space(4.0);
    let rest = ui.available_rect_before_wrap();
    match &photo.slot {
        PictureSlot::Ready(picture) => {
            ui.painter().rect_filled(rest, 4.0, p.well);
            let sight = PictureView::default().sight(ui, rest, FitTo::whole(picture));
            let shown = Shown {
                picture: std::sync::Arc::clone(picture),
                picture_from_canvas: sight.picture_from_canvas(),
                size_px: sight.size_px(),
                treatment: Treatment::default(),
            };
            canvases.show(ui, rest, &format!("draft/{}", side.word()), shown);
            let text = format!("{} \u{d7} {} px", picture.width(), picture.height());
            crate::app::widgets::paint::chip(
                ui.painter(),
                rest.right_bottom() - vec2(6.0, 6.0),
                egui::Align2::RIGHT_BOTTOM,
                &text,
                egui::Color32::WHITE,
            );
        }
        PictureSlot::Empty => {
            ui.add_space(rest.height() * 0.36);
            ui.vertical_centered(|ui| {
                ui.label(RichText::new("Drop a photo here").size(15.0));
                ui.label(RichText::new("JPEG, PNG, TIFF or WebP").small().color(p.quiet));
                ui.add_space(8.0);
                if ui
                    .button(format!("Choose the {} photo\u{2026}", side.word()))
                    .clicked()
                {
                    actions.push(Action::Intake(IntakeAction::Photo(side, None)));
                }
            });
        }
        PictureSlot::Loading(watch) => {
            ui.add_space(rest.height() * 0.4);
            ui.vertical_centered(|ui| {
                ui.label("Reading\u{2026}");
                ui.add(egui::ProgressBar::new(watch.progress()).desired_width(200.0));
                if ui.button("Cancel reading").clicked() {
                    actions.push(Action::Intake(IntakeAction::NoPhoto(side)));
                }
                ui.ctx()
                    .request_repaint_after(std::time::Duration::from_millis(60));
            });
        }
        PictureSlot::Failed(sentence) => {
            ui.add_space(rest.height() * 0.3);
            ui.vertical_centered(|ui| {
                ui.set_max_width(420.0);
                ui.add(egui::Label::new(RichText::new(sentence).color(p.bad)).wrap());
            });
        }
    }
}
