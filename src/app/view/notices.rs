//! The notices at the window's foot.

use crate::app::notice::{NoticeKind, Notices};
use crate::app::theme::palette;

/// Draws the notices above the page, at the foot of the window.
pub fn notices_ui(ui: &mut egui::Ui, notices: &mut Notices) {
    let p = palette(ui);
    let mut dismissed = None;
    egui::Area::new(egui::Id::unique("notices"))
        .anchor(egui::Align2::CENTER_BOTTOM, [0.0, -16.0])
        .order(egui::Order::Foreground)
        .show(ui.ctx(), |ui| {
            for (index, notice) in notices.list().iter().enumerate() {
                egui::Frame::window(ui.style()).inner_margin(8).show(ui, |ui| {
                    ui.horizontal(|ui| {
                        ui.set_max_width(640.0);
                        match notice.kind {
                            NoticeKind::Done => ui.label(&notice.text),
                            NoticeKind::Problem => {
                                ui.colored_label(p.bad, "!");
                                let width = ui.available_width() - 80.0;
                                ui.scope(|ui| {
                                    ui.set_max_width(width);
                                    ui.label(&notice.text);
                                });
                                let button = ui.button("Dismiss");
                                if button.clicked() {
                                    dismissed = Some(index);
                                }
                                button
                            }
                        };
                    });
                });
            }
        });
    if let Some(index) = dismissed {
        notices.dismiss(index);
    }
}
