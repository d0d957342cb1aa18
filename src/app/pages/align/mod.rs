//! The Align page: the photo with its landmarks, the plate that shows where each of them is, and how well they fit.

mod fit;
mod keys;
mod landmarks;
mod lens;
pub mod photo;
mod place;
mod plate;
mod rim;
mod state;

pub use keys::help;
pub use state::{AlignPage, Snapped};

use crate::app::pages::Page;
use crate::app::widgets::theme::palette;

/// Draws the page.
pub fn align_ui(ui: &mut egui::Ui, state: &mut AlignPage, page: &mut Page<'_>) {
    state.follow(page);
    keys::keys(ui, state, page);
    let p = palette(ui);
    let width = ui.available_width();
    egui::Panel::right("align/side")
        .resizable(true)
        .default_size((width * 0.34).clamp(300.0, 560.0))
        .size_range(260.0..=(width * 0.6).max(280.0))
        .frame(egui::Frame::new().fill(p.panel))
        .show(ui, |ui| {
            let height = ui.available_height();
            egui::Panel::top("align/plate")
                .resizable(true)
                .default_size((height * 0.5).clamp(200.0, 620.0))
                .size_range(140.0..=(height - 160.0).max(150.0))
                .frame(egui::Frame::new().fill(p.panel))
                .show(ui, |ui| plate::plate_ui(ui, state, page));
            egui::Panel::top("align/summary")
                .frame(egui::Frame::new().fill(p.raised).inner_margin(8))
                .show(ui, |ui| fit::summary_ui(ui, state, page));
            egui::CentralPanel::no_frame().show(ui, |ui| {
                egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                    egui::Frame::new().inner_margin(8).show(ui, |ui| {
                        landmarks::landmarks_ui(ui, state, page);
                        ui.add_space(8.0);
                        fit::fit_ui(ui, state, page);
                    });
                });
            });
        });
    egui::CentralPanel::no_frame()
        .frame(egui::Frame::new().fill(p.well))
        .show(ui, |ui| {
            let side = page.bench.side;
            if page.bench.photos[side].picture().is_some() {
                photo::photo_ui(ui, state, page);
            } else {
                photo::no_photo_ui(ui, page);
            }
        });
}
