//! The pages of the open specimen: one line each says what it remembers, for which step it is, and how it is drawn.

use crate::app::model::bench::Step;
use crate::app::pages::Page;
use crate::app::pages::{align, compare, sheet, standing};

macro_rules! pages {
    ($($field:ident: $state:ty, $step:ident, $draw:path;)+) => {
        /// What the pages remember of how they look.
        #[derive(Default)]
        pub struct Pages {
            $(#[doc = concat!("The page of [`Step::", stringify!($step), "`].")] pub $field: $state,)+
        }

        impl Pages {
            /// Draws the page of a step.
            pub fn show(&mut self, ui: &mut egui::Ui, step: Step, page: &mut Page<'_>) {
                match step {
                    $(Step::$step => $draw(ui, &mut self.$field, page),)+
                }
            }
        }
    };
}

pages! {
    align: align::AlignPage, Align, align::align_ui;
    compare: compare::ComparePage, Compare, compare::compare_ui;
    standing: standing::StandingPage, Standing, standing::standing_ui;
    sheet: sheet::SheetPage, Sheet, sheet::sheet_ui;
}
