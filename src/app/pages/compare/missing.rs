//! In a picture's place: why it is missing, and what to do.

use std::path::PathBuf;

use egui::{Button, Label, ProgressBar, Rect, RichText, Ui, UiBuilder};

use crate::app::model::action::Action;
use crate::app::model::bench::Step;
use crate::app::pages::Page;
use crate::reference::Side;

/// Why a pane shows no picture, and what to do.
#[derive(Default)]
pub struct Missing {
    /// In a few words; empty where the sentence says all.
    pub heading: String,
    /// What to do.
    pub sentence: String,
    /// How much of it is read, 0 to 1, where it is being read.
    pub progress: Option<f32>,
    /// What a button offers to do about it.
    pub remedy: Option<Remedy>,
}

/// What can be done about a picture that is missing.
pub enum Remedy {
    /// Align your coin.
    Align,
    /// Open the other coin in place of yours, to align it.
    OpenOther(PathBuf),
    /// Read the other coin's photo of a side again.
    ReadOtherAgain(Side),
    /// Stop reading the other coin's photo of a side.
    StopReadingOther(Side),
}

impl Remedy {
    /// What the button says.
    pub fn words(&self) -> &'static str {
        match self {
            Self::Align => "Go to Align",
            Self::OpenOther(_) => "Open that coin",
            Self::ReadOtherAgain(_) => "Read it again",
            Self::StopReadingOther(_) => "Stop",
        }
    }

    /// What it asks for.
    pub fn action(&self) -> Action {
        match self {
            Self::Align => Action::GoToStep(Step::Align),
            Self::OpenOther(folder) => Action::OpenSpecimen(Some(folder.clone())),
            Self::ReadOtherAgain(side) => Action::ReadOtherAgain(*side),
            Self::StopReadingOther(side) => Action::CancelOtherPhoto(*side),
        }
    }
}

/// In a picture's place: what is going on, or what to do.
pub(super) fn missing_ui(ui: &mut Ui, page: &mut Page<'_>, rect: Rect, missing: &Missing) {
    // A sentence alone stands in the middle.
    let from_top = if missing.heading.is_empty() { 0.4 } else { 0.22 };
    let mut ui = empty_ui(ui, rect, from_top);
    if !missing.heading.is_empty() {
        ui.strong(&missing.heading);
    }
    if let Some(progress) = missing.progress {
        ui.add(
            ProgressBar::new(progress)
                .desired_width(rect.width() * 0.6)
                .show_percentage(),
        )
        .accessible_name(&missing.heading);
        ui.ctx().request_repaint_after_secs(0.1);
    } else {
        ui.add(Label::new(&missing.sentence).wrap());
        ui.add_space(8.0);
    }
    if let Some(remedy) = &missing.remedy
        && ui.add(Button::new(remedy.words())).clicked()
    {
        page.push(remedy.action());
    }
}

/// A state that no plate shows.
pub(super) fn words_only_ui(ui: &mut Ui, rect: Rect, words: &str) {
    let mut ui = empty_ui(ui, rect, 0.25);
    ui.add(Label::new(RichText::new(words).size(17.0)).wrap());
    ui.add_space(6.0);
    let why = "Known in words only: the set has no plate of this state yet.";
    ui.add(Label::new(RichText::new(why).weak()).wrap());
}

/// A crop without a picture, its words to begin at a share of its height.
fn empty_ui(ui: &mut Ui, rect: Rect, from_top: f32) -> Ui {
    ui.painter().rect_filled(rect, 0.0, ui.visuals().faint_bg_color);
    let mut ui = ui.new_child(
        UiBuilder::new()
            .max_rect(rect.shrink(16.0))
            .layout(egui::Layout::top_down(egui::Align::Center)),
    );
    ui.add_space(rect.height() * from_top);
    ui
}
