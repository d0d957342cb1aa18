//! The Standing page.

use crate::app::page::Page;

/// What the page remembers of how it looks.
#[derive(Debug, Default)]
pub struct StandingPage {}

/// Draws the page.
pub fn standing_ui(ui: &mut egui::Ui, state: &mut StandingPage, page: &mut Page<'_>) {
    let _ = (state, page);
    ui.label("Standing");
}
