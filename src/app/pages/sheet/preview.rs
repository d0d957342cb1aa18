//! The pages as they will be printed.

use std::sync::Arc;

use egui::{
    Color32, Image, Label, RichText, Role, ScrollArea, Sense, TextureFilter, TextureOptions, Ui, Vec2,
    WidgetInfo,
};

use super::SheetPage;
use crate::app::widgets::theme::palette;

/// How a page is fitted into the preview.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Fit {
    /// As wide as there is room, up to its full resolution.
    #[default]
    Width,
    /// Whole.
    Page,
}

const GAP: f32 = 18.0;

/// Draws them.
pub fn preview_ui(ui: &mut Ui, state: &mut SheetPage) {
    let Some(made) = &state.made else {
        ui.vertical_centered(|ui| {
            ui.add_space(ui.available_height() * 0.4);
            if state.making.is_some() {
                ui.spinner();
                ui.label("Laying out the sheet");
            } else {
                ui.label("No preview: it was stopped.");
            }
        });
        return;
    };
    ui.horizontal(|ui| {
        ui.add_space(GAP);
        ui.selectable_value(&mut state.fit, Fit::Width, "Page width");
        ui.selectable_value(&mut state.fit, Fit::Page, "Whole page");
        if state.making.is_some() {
            ui.weak("being brought up to date");
        }
    });
    let room = Vec2::new(
        ui.available_width() - 2.0 * GAP - 12.0,
        ui.available_height() - 24.0,
    );
    let px_per_point = ui.pixels_per_point();
    let pages = made.pages.len();
    ScrollArea::vertical()
        .id_salt(("sheet preview", state.fit == Fit::Page))
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.vertical_centered(|ui| {
                for (i, painted) in made.pages.iter().enumerate() {
                    let page = &made.sheet.pages[i];
                    #[expect(clippy::cast_possible_truncation, reason = "a paper's ratio")]
                    let tall = (page.height / page.width) as f32;
                    let image = match painted {
                        Ok(image) => image,
                        Err(problem) => {
                            ui.add(Label::new(problem.to_string()).wrap());
                            continue;
                        }
                    };
                    let width = match state.fit {
                        // No larger than the pixels there are.
                        Fit::Width => room.x.min(image.size[0] as f32 * 1.15 / px_per_point),
                        Fit::Page => room.x.min(room.y / tall),
                    };
                    let size = Vec2::new(width, width * tall);
                    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
                    let name = format!("Page {} of {pages}", i + 1);
                    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
                    if ui.is_rect_visible(rect) {
                        let texture = state.textures[i].get_or_insert_with(|| {
                            let options =
                                TextureOptions::LINEAR.with_mipmap_mode(Some(TextureFilter::Linear));
                            ui.ctx()
                                .load_texture(format!("sheet/{i}"), Arc::clone(image), options)
                        });
                        let shade = rect.translate(Vec2::new(0.0, 2.0)).expand(1.0);
                        ui.painter()
                            .rect_filled(shade, 2.0, Color32::from_black_alpha(70));
                        Image::new((texture.id(), size)).paint_at(ui, rect);
                    }
                    let color = palette(ui).text;
                    ui.label(RichText::new(name).small().color(color));
                    ui.add_space(GAP);
                }
            });
        });
}
