//! The start screen: what the tool does, what to begin with, and the cabinet.

use std::path::PathBuf;

use egui::{Button, ColorImage, Rect, RichText, Sense, Ui, WidgetInfo, vec2};

use crate::app::model::action::Action;
use crate::app::model::thumbnails::Thumbnails;
use crate::app::widgets::theme::{self, Palette, palette};
use crate::pipeline::CabinetEntry;

/// What the start screen shows.
pub struct Cabinet<'a> {
    /// The specimens, newest first.
    pub list: &'a [CabinetEntry],
    /// The cabinet's folder.
    pub folder: PathBuf,
    /// The demo coin's photos, small, while there are no specimens.
    pub demo_pictures: Option<&'a [ColorImage; 2]>,
    /// The list's small pictures.
    pub thumbnails: &'a mut Thumbnails,
}

/// Draws the start screen.
pub fn start_ui(ui: &mut Ui, cabinet: &mut Cabinet<'_>, actions: &mut Vec<Action>) {
    let p = palette(ui);
    egui::Panel::left("start/begin")
        .resizable(false)
        .exact_size((ui.available_width() * 0.36).clamp(320.0, 440.0))
        .frame(egui::Frame::new().fill(p.panel).inner_margin(24))
        .show(ui, |ui| {
            egui::ScrollArea::vertical().show(ui, |ui| begin_ui(ui, &p, cabinet, actions));
        });
    egui::CentralPanel::no_frame()
        .frame(egui::Frame::new().fill(p.sunk).inner_margin(24))
        .show(ui, |ui| cabinet_ui(ui, &p, cabinet, actions));
}

fn begin_ui(ui: &mut Ui, p: &Palette, cabinet: &mut Cabinet<'_>, actions: &mut Vec<Action>) {
    ui.label(theme::strong("Which dies struck this coin?").size(22.0));
    ui.add_space(4.0);
    ui.label(
        RichText::new(
            "Dietell puts the same spot of your coin and of a known die side by side, at the same scale. You judge \
             spot by spot; it keeps the score and names the die pairing.",
        )
        .color(p.quiet),
    );
    ui.add_space(16.0);
    let first = cabinet.list.is_empty();
    let size = vec2(ui.available_width(), 36.0);
    let wide = |text: &str, is_next: bool| {
        if is_next {
            theme::primary(p, text, 14.5, size)
        } else {
            Button::new(RichText::new(text).size(14.5)).min_size(size)
        }
    };
    // A newcomer sees the demo first; whoever has coins in the cabinet begins the next.
    if first {
        if ui.add_sized(size, wide("Open the demo coin", true)).clicked() {
            actions.push(Action::OpenDemo);
        }
        ui.label(
            RichText::new(
                "An invented coinage and two phone photos of a worn piece: the whole path in a few minutes.",
            )
            .small()
            .color(p.quiet),
        );
        ui.add_space(8.0);
    }
    if ui.add_sized(size, wide("New specimen", !first)).clicked() {
        actions.push(Action::NewSpecimen);
    }
    if ui.add_sized(size, wide("Open specimen\u{2026}", false)).clicked() {
        actions.push(Action::OpenSpecimen(None));
    }
    if !first && ui.add_sized(size, wide("Open the demo coin", false)).clicked() {
        actions.push(Action::OpenDemo);
    }
    ui.add_space(4.0);
    ui.label(
        RichText::new("Or drop photos, a specimen's folder or a reference set anywhere on this window.")
            .small()
            .color(p.quiet),
    );
    ui.add_space(24.0);
    ui.label(theme::strong("Reference sets"));
    ui.label(
        RichText::new("What coins are compared with: dies, their plates and what tells them apart. Make your own, or open one that a fellow collector packed for you.")
            .small()
            .color(p.quiet),
    );
    if ui.button("Reference sets\u{2026}").clicked() {
        actions.push(Action::GoToWorkshop);
    }
}

fn cabinet_ui(ui: &mut Ui, p: &Palette, cabinet: &mut Cabinet<'_>, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.label(theme::strong("Cabinet").size(16.0));
        let count = cabinet.list.len();
        if count > 0 {
            let words = if count == 1 {
                "1 specimen".to_owned()
            } else {
                format!("{count} specimens")
            };
            ui.label(RichText::new(words).color(p.quiet));
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let place = cabinet.folder.display().to_string();
            ui.add(egui::Label::new(RichText::new(&place).small().color(p.quiet)).truncate())
                .on_hover_text("The cabinet's folder; choose another in the settings");
        });
    });
    ui.add_space(8.0);
    if cabinet.list.is_empty() {
        empty_ui(ui, p, cabinet, actions);
        return;
    }
    egui::ScrollArea::vertical().auto_shrink(false).show_rows(
        ui,
        ROW_HEIGHT,
        cabinet.list.len(),
        |ui, rows| {
            for index in rows {
                let Some(entry) = cabinet.list.get(index) else {
                    continue;
                };
                row_ui(ui, p, cabinet.thumbnails, entry, actions);
            }
        },
    );
}

/// The empty cabinet: the demo coin lies there, to be opened.
fn empty_ui(ui: &mut Ui, p: &Palette, cabinet: &mut Cabinet<'_>, actions: &mut Vec<Action>) {
    let width = (ui.available_width() * 0.9).min(720.0);
    let height = width / 2.0;
    ui.add_space(((ui.available_height() - height - 60.0) / 2.0).max(0.0));
    ui.vertical_centered(|ui| {
        if let Some(pictures) = cabinet.demo_pictures {
            let textures = cabinet.thumbnails.demo(ui.ctx(), pictures);
            let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
            response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, "The demo coin's two sides"));
            for (i, texture) in textures.into_iter().enumerate() {
                let left = rect.left() + i as f32 * height;
                let place = Rect::from_min_size(egui::pos2(left, rect.top()), egui::Vec2::splat(height)).shrink(6.0);
                egui::Image::new((texture, place.size())).corner_radius(8).paint_at(ui, place);
            }
            if response.on_hover_cursor(egui::CursorIcon::PointingHand).clicked() {
                actions.push(Action::OpenDemo);
            }
        }
        ui.add_space(8.0);
        ui.label(RichText::new("No specimens yet").size(16.0));
        ui.label(
            RichText::new("Each coin you study is kept here, with its photos, verdicts and outcome. Begin with the demo coin, or with one of yours.")
                .color(p.quiet),
        );
    });
}

/// A row's height in points.
const ROW_HEIGHT: f32 = 72.0;

fn row_ui(
    ui: &mut Ui,
    p: &Palette,
    thumbnails: &mut Thumbnails,
    entry: &CabinetEntry,
    actions: &mut Vec<Action>,
) {
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), ROW_HEIGHT - 4.0), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, format!("Open {}", entry.title)));
    if response.clicked() {
        actions.push(Action::OpenSpecimen(Some(entry.folder.clone())));
    }
    if !ui.is_rect_visible(rect) {
        return;
    }
    let painter = ui.painter();
    let fill = if response.hovered() { p.raised } else { p.panel };
    painter.rect_filled(rect, 6.0, fill);
    if response.has_focus() {
        painter.rect_stroke(
            rect,
            6.0,
            egui::Stroke::new(1.5, p.accent),
            egui::StrokeKind::Inside,
        );
    }
    let picture = Rect::from_min_size(rect.min + vec2(6.0, 6.0), egui::Vec2::splat(rect.height() - 12.0));
    match thumbnails.texture(ui.ctx(), entry) {
        Some(texture) => {
            let uv = Rect::from_min_max(egui::pos2(0.0, 0.0), egui::pos2(1.0, 1.0));
            painter.image(texture, picture, uv, egui::Color32::WHITE);
        }
        None => {
            painter.circle_stroke(
                picture.center(),
                picture.width() * 0.4,
                egui::Stroke::new(1.0, p.line),
            );
        }
    }
    let inner = Rect::from_min_max(
        egui::pos2(picture.right() + 12.0, rect.top() + 8.0),
        rect.max - vec2(12.0, 8.0),
    );
    let mut row = ui.new_child(egui::UiBuilder::new().max_rect(inner));
    row.spacing_mut().item_spacing.y = 1.0;
    let line = |row: &mut Ui, text: RichText| {
        row.add(
            egui::Label::new(text)
                .truncate()
                .selectable(false)
                .sense(Sense::empty()),
        );
    };
    row.horizontal(|ui| {
        let when = entry.modified.and_then(when).unwrap_or_default();
        let room = (ui.available_width() - 120.0).max(60.0);
        ui.allocate_ui_with_layout(
            vec2(room, 18.0),
            egui::Layout::left_to_right(egui::Align::Center),
            |ui| {
                line(ui, theme::strong(&entry.title).size(14.5));
            },
        );
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            line(ui, RichText::new(when).small().color(p.quiet));
        });
    });
    let outcome = RichText::new(&entry.outcome).color(if entry.faulty { p.bad } else { p.text });
    line(&mut row, outcome);
    line(&mut row, RichText::new(&entry.set_title).small().color(p.quiet));
    if entry.faulty {
        response.on_hover_text(&entry.outcome);
    }
}

/// When it was saved, to the minute, in the user's own time.
fn when(modified: std::time::SystemTime) -> Option<String> {
    let then = jiff::Timestamp::try_from(modified)
        .ok()?
        .to_zoned(jiff::tz::TimeZone::system());
    Some(then.strftime("%Y-%m-%d %H:%M").to_string())
}
