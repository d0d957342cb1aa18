//! The notices at the window's foot, and the hint while files are dragged over it.

use egui::{Align2, Area, Id, Order, RichText, Ui, WidgetInfo};

use crate::app::widgets::notice::{NoticeKind, Notices};
use crate::app::widgets::theme::palette;

/// Draws the notices above the page, at the foot of the window.
pub fn notices_ui(ui: &mut Ui, notices: &mut Notices) {
    if notices.list().is_empty() {
        return;
    }
    let p = palette(ui);
    let mut dismissed = None;
    let width = (ui.ctx().content_rect().width() - 64.0).min(640.0);
    Area::new(Id::unique("notices"))
        .anchor(Align2::CENTER_BOTTOM, [0.0, -16.0])
        .order(Order::Foreground)
        .show(ui.ctx(), |ui| {
            for (index, notice) in notices.list().iter().enumerate() {
                let edge = match notice.kind {
                    NoticeKind::Done => p.line,
                    NoticeKind::Problem => p.bad,
                };
                let frame = egui::Frame::popup(ui.style())
                    .inner_margin(10)
                    .stroke(egui::Stroke::new(1.0, edge));
                frame.show(ui, |ui| {
                    ui.set_width(width);
                    ui.horizontal(|ui| {
                        let room = ui.available_width() - 84.0;
                        ui.allocate_ui(egui::vec2(room, 0.0), |ui| {
                            ui.add(egui::Label::new(&notice.text).wrap());
                        });
                        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                            let button = ui.button("Dismiss");
                            button.widget_info(|| {
                                WidgetInfo::labeled(
                                    egui::Role::Button,
                                    true,
                                    format!("Dismiss: {}", notice.text),
                                )
                            });
                            if button.clicked() {
                                dismissed = Some(index);
                            }
                        });
                    });
                });
            }
        });
    if let Some(index) = dismissed {
        notices.dismiss(index);
    }
}

/// While files hang over the window, says that they may be dropped.
pub fn drop_hint_ui(ui: &mut Ui) {
    if ui.input(|i| i.raw.hovered_files.is_empty()) {
        return;
    }
    let p = palette(ui);
    Area::new(Id::unique("drop hint"))
        .anchor(Align2::CENTER_CENTER, [0.0, 0.0])
        .order(Order::Tooltip)
        .interactable(false)
        .show(ui.ctx(), |ui| {
            let frame = egui::Frame::popup(ui.style()).inner_margin(24);
            frame.stroke(egui::Stroke::new(2.0, p.accent)).show(ui, |ui| {
                ui.label(RichText::new("Drop a photo, a specimen's folder or a reference set").size(16.0));
            });
        });
}
