//! The set workshop: where a reference set is made and mended. Each file draws one section from the set that it
//! borrows and pushes the edits it wants; the workshop carries them out as steps of undo.

mod checks;
mod coinage;
mod design;
mod dies;
mod edits;
mod features;
mod fields;
mod hookup;
mod new_die;
mod pairings;
mod plates;
mod sets;
mod share;
mod state;
mod state_table;
mod view;
mod zones;

pub use edits::{Edits, SetChange, WorkshopAction};
pub use state::{Section, Workshop};
pub use view::screen_ui;
