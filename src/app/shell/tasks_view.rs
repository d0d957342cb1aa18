//! The progress of long work, in the window's corner, each with its way out.

use egui::{Align2, Area, Id, Order, ProgressBar, Ui};

use super::tasks::Tasks;
use crate::app::widgets::theme::palette;

/// Draws it.
pub fn tasks_ui(ui: &mut Ui, tasks: &mut Tasks) {
    if tasks.is_empty() {
        return;
    }
    let now_s = ui.input(|i| i.time);
    let p = palette(ui);
    // Progress is reported without a message, so it has to be looked at.
    ui.ctx()
        .request_repaint_after(std::time::Duration::from_millis(100));
    let shown = tasks.in_view(now_s);
    if shown.is_empty() {
        return;
    }
    Area::new(Id::unique("tasks"))
        .anchor(Align2::RIGHT_BOTTOM, [-16.0, -16.0])
        .order(Order::Foreground)
        .show(ui.ctx(), |ui| {
            for task in shown {
                let frame = egui::Frame::popup(ui.style())
                    .inner_margin(10)
                    .stroke(egui::Stroke::new(1.0, p.line));
                frame.show(ui, |ui| {
                    ui.set_width(280.0);
                    ui.add(egui::Label::new(&task.words).wrap());
                    ui.horizontal(|ui| {
                        ui.add(
                            ProgressBar::new(task.watch.progress())
                                .desired_width(190.0)
                                .show_percentage(),
                        )
                        .accessible_name(task.words.as_str());
                        let stopping = task.watch.is_cancelled();
                        let (words, verb) = if stopping {
                            ("Stopping\u{2026}", "Stopping")
                        } else {
                            ("Cancel", "Cancel")
                        };
                        let button = ui.add_enabled(!stopping, egui::Button::new(words));
                        if button
                            .accessible_name(format!("{verb}: {}", task.words))
                            .clicked()
                        {
                            task.watch.cancel();
                        }
                    });
                });
            }
        });
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable as _;

    #[test]
    fn long_work_shows_its_progress_and_is_cancelled_by_its_button() {
        let mut tasks = Tasks::default();
        let (_, watch) = tasks.begin("Packing 40 pictures");
        watch.report(0.25);
        let mut harness = Harness::new_ui_state(|ui, tasks: &mut Tasks| tasks_ui(ui, tasks), tasks);
        harness.run_steps(4);
        harness.get_by_role_and_label(egui::accesskit::Role::ProgressIndicator, "Packing 40 pictures");
        harness.get_by_label("Cancel: Packing 40 pictures").click();
        harness.run_steps(2);
        assert!(watch.is_cancelled());
    }
}
