//! The pages. A page knows widgets and what the shell and the pages share, never another page and never the shell.

pub mod align;
pub mod cabinet;
pub mod compare;
pub mod intake;
pub mod sheet;
pub mod standing;
pub mod workshop;

use crate::app::model::action::Action;
use crate::app::model::bench::Bench;
use crate::app::model::shelf::PlateShelf;
use crate::app::model::thumbnails::Thumbnails;
use crate::app::widgets::canvas::Canvases;
use crate::pipeline::CabinetEntry;

/// What a page borrows while it draws. It changes nothing but what is shown; for the rest it pushes actions.
pub struct Page<'a> {
    /// The open specimen with its set, pictures and what follows from them.
    pub bench: &'a mut Bench,
    /// Where pictures are shown.
    pub canvases: &'a mut Canvases,
    /// The set's plates.
    pub plates: &'a mut PlateShelf,
    /// The cabinet's list, newest first.
    pub cabinet: &'a [CabinetEntry],
    /// The list's small pictures.
    pub thumbnails: &'a mut Thumbnails,
    /// What the page asks the window to do after drawing, in order.
    pub actions: &'a mut Vec<Action>,
}

impl Page<'_> {
    /// Asks for something.
    pub fn push(&mut self, action: Action) {
        self.actions.push(action);
    }
}
