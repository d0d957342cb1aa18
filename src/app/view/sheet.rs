//! The Sheet page.

use crate::app::page::Page;

/// What the page remembers of how it looks.
#[derive(Debug, Default)]
pub struct SheetPage {}

/// Draws the page.
pub fn sheet_ui(ui: &mut egui::Ui, state: &mut SheetPage, page: &mut Page<'_>) {
    let _ = (state, page);
    ui.label("Sheet");
}
