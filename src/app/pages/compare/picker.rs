//! Choosing the other coin.

use egui::{Button, Label, ProgressBar, Rect, RichText, ScrollArea, Sense, Ui, Vec2, WidgetInfo};

use super::spots::{candidates, compared_before};
use crate::app::model::action::Action;
use crate::app::model::other_coin::OtherSlot;
use crate::app::pages::Page;
use crate::app::widgets::marks::Mark;
use crate::app::widgets::theme::{self, palette};
use crate::pipeline::WORN_DEMO_TITLE;
use crate::reference::SetSource;

const ROW_HEIGHT: f32 = 60.0;

/// Draws that a coin is being opened.
pub fn opening_ui(ui: &mut Ui, page: &mut Page<'_>, name: &str) {
    ui.vertical_centered(|ui| {
        ui.add_space(ui.available_height() * 0.35);
        ui.label(format!("Opening {name}"));
        ui.add(ProgressBar::new(0.5).desired_width(240.0).animate(true))
            .accessible_name(format!("Opening {name}"));
        if ui.button("Cancel").clicked() {
            page.actions.push(Action::PutOtherAway);
        }
    });
}

/// Draws the choice: the cabinet's coins of the set, those compared before, and any specimen's folder.
pub fn picker_ui(ui: &mut Ui, page: &mut Page<'_>) {
    let p = palette(ui);
    ui.add_space(8.0);
    ui.label(theme::strong("Which coin stands beside yours?").size(17.0));
    quiet_ui(
        ui,
        "Another specimen of this set, with the same side aligned. Both are shown at one scale and turn, so \
         that you can see whether one die struck both, and by cracks, clash marks and recut details which was \
         struck first. The other coin is only looked at, never changed.",
    );
    if let OtherSlot::Failed(sentence) = &page.bench.other {
        ui.add_space(4.0);
        ui.horizontal_top(|ui| {
            Mark::Attention.show(ui);
            ui.add(Label::new(RichText::new(sentence).color(p.warn)).wrap());
        });
    }
    ui.add_space(6.0);
    let own = page.bench.folder_path.clone();
    let before = compared_before(&page.bench.record().comparisons, own.as_deref());
    let mut entries = candidates(page.cabinet, &page.bench.set.id, own.as_deref());
    // Each coin once: with what was concluded of it, where something was.
    entries.retain(|entry| before.iter().all(|one| one.folder != entry.folder));
    let titles = entries.iter().map(|entry| &entry.title);
    let mut titles = titles.chain(before.iter().map(|one| &one.title));
    let has_demo = titles.any(|title| title == WORN_DEMO_TITLE);
    elsewhere_ui(ui, page, has_demo);
    ui.add_space(8.0);
    if before.is_empty() && entries.is_empty() {
        no_coins_ui(ui, page);
        return;
    }
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        if !before.is_empty() {
            ui.weak("Compared before");
            for one in &before {
                let entry = page.cabinet.iter().find(|e| e.folder == one.folder);
                let texture = entry.and_then(|entry| page.thumbnails.texture(ui.ctx(), entry));
                row_ui(ui, page, texture, &one.title, &one.about, &one.folder);
            }
            ui.add_space(8.0);
        }
        if !entries.is_empty() {
            ui.weak("In the cabinet, of this set");
        }
        for entry in entries {
            let texture = page.thumbnails.texture(ui.ctx(), entry);
            row_ui(ui, page, texture, &entry.title, &entry.outcome, &entry.folder);
        }
    });
}

fn quiet_ui(ui: &mut Ui, words: &str) {
    let text = RichText::new(words).color(palette(ui).quiet);
    ui.add(Label::new(text).wrap());
}

/// The buttons for a coin that is not in the list: the demo's second, and any specimen's folder.
fn elsewhere_ui(ui: &mut Ui, page: &mut Page<'_>, has_demo: bool) {
    let p = palette(ui);
    let of_demo = matches!(page.bench.plate_source, Some(SetSource::Demo));
    let is_it = page.bench.record().title == WORN_DEMO_TITLE;
    ui.horizontal(|ui| {
        let words = "Compare with the worn demo coin";
        if of_demo
            && !has_demo
            && !is_it
            && ui
                .add(theme::primary(&p, words, 14.0, Vec2::new(0.0, 26.0)))
                .on_hover_text("A second coin of the demo, aligned already; it is laid into your cabinet.")
                .clicked()
        {
            page.push(Action::CompareWithDemo);
        }
        if ui
            .button("Open a specimen\u{2019}s folder\u{2026}")
            .on_hover_text("Or drop a specimen\u{2019}s folder on this page.")
            .clicked()
        {
            page.push(Action::CompareWith(None));
        }
    });
}

fn no_coins_ui(ui: &mut Ui, page: &mut Page<'_>) {
    ui.add_space(24.0);
    ui.label(RichText::new("No other coin of this set in the cabinet yet").size(16.0));
    quiet_ui(
        ui,
        "Make a specimen of the other coin first: choose its photos, place a few landmarks on each side, \
         then come back to this one. Or open one that lies elsewhere.",
    );
    ui.add_space(6.0);
    if ui.button("New specimen").clicked() {
        page.push(Action::NewSpecimen);
    }
}

fn row_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    texture: Option<egui::TextureId>,
    title: &str,
    about: &str,
    folder: &std::path::Path,
) {
    let p = palette(ui);
    let size = Vec2::new(ui.available_width().min(620.0), ROW_HEIGHT - 4.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::Button, true, format!("Compare with {title}: {about}"))
    });
    if response.clicked() {
        page.actions.push(Action::CompareWith(Some(folder.to_owned())));
    }
    if !ui.is_rect_visible(rect) {
        return;
    }
    let fill = if response.hovered() { p.raised } else { p.sunk };
    ui.painter().rect_filled(rect, 6.0, fill);
    if response.has_focus() {
        let stroke = egui::Stroke::new(1.5, p.accent);
        ui.painter()
            .rect_stroke(rect, 6.0, stroke, egui::StrokeKind::Inside);
    }
    let picture = Rect::from_min_size(rect.min + Vec2::splat(6.0), Vec2::splat(rect.height() - 12.0));
    match texture {
        Some(texture) => {
            let uv = Rect::from_min_max(egui::pos2(0.0, 0.0), egui::pos2(1.0, 1.0));
            ui.painter().image(texture, picture, uv, egui::Color32::WHITE);
        }
        None => {
            ui.painter().circle_stroke(
                picture.center(),
                picture.width() * 0.42,
                egui::Stroke::new(1.0, p.line),
            );
        }
    }
    let inner = Rect::from_min_max(
        egui::pos2(picture.right() + 12.0, rect.top() + 8.0),
        rect.max - Vec2::new(12.0, 6.0),
    );
    let mut row = ui.new_child(egui::UiBuilder::new().max_rect(inner));
    row.spacing_mut().item_spacing.y = 2.0;
    for text in [theme::strong(title), RichText::new(about).color(p.quiet)] {
        row.add(
            Label::new(text)
                .truncate()
                .selectable(false)
                .sense(Sense::empty()),
        );
    }
}

/// Draws the other coin at the head of the list, with what changes it.
pub fn chosen_ui(ui: &mut Ui, page: &mut Page<'_>, title: &str, folder: &std::path::Path) {
    ui.add(Label::new(theme::strong(title)).truncate())
        .on_hover_text("The coin beside yours");
    ui.horizontal(|ui| {
        if ui
            .add(Button::new("Change\u{2026}").small())
            .accessible_name("Change the other coin")
            .on_hover_text("Choose another coin to stand beside yours")
            .clicked()
        {
            page.actions.push(Action::PutOtherAway);
            page.actions.push(Action::ReadCabinet);
        }
        if ui
            .add(Button::new("Open it").small())
            .accessible_name("Open the other coin")
            .on_hover_text("Opens it in place of this one, to align or judge it")
            .clicked()
        {
            page.actions.push(Action::OpenSpecimen(Some(folder.to_owned())));
        }
    });
}
