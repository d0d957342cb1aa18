//! The Align page.

use crate::app::page::Page;

/// What the page remembers of how it looks.
#[derive(Debug, Default)]
pub struct AlignPage {}

/// Draws the page.
pub fn align_ui(ui: &mut egui::Ui, state: &mut AlignPage, page: &mut Page<'_>) {
    let _ = (state, page);
    ui.label("Align");
}
