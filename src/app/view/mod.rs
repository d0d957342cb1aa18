//! The views: each file draws one part of the window from state that it borrows and pushes the actions it wants.

pub mod align;
pub mod compare;
pub mod new_specimen;
pub mod notices;
pub mod overlays;
pub mod paint;
pub mod pane;
pub mod rows;
pub mod sheet;
pub mod standing;
pub mod start;
pub mod tasks;
pub mod top_bar;
