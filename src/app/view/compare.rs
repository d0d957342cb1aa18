//! The Compare page.

use crate::app::page::Page;

/// What the page remembers of how it looks.
#[derive(Debug, Default)]
pub struct ComparePage {}

/// Draws the page.
pub fn compare_ui(ui: &mut egui::Ui, state: &mut ComparePage, page: &mut Page<'_>) {
    let _ = (state, page);
    ui.label("Compare");
}
