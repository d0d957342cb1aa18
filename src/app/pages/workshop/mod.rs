//! The set workshop: where a reference set is made and mended. Each file draws one section from the set that it
//! borrows and pushes the edits it wants; the workshop carries them out as steps of undo.

mod checks;
mod coinage;
mod design;
mod dies;
mod edits;
mod features;
mod fields;
mod folders;
mod pairings;
mod plates;
mod sets;
mod share;
mod state;
mod state_table;
mod view;
mod zones;

pub use design::{LookForRest, PlateRim, help};
pub use edits::{Edits, SetChange, WorkshopAction};
pub use folders::{folder_name, free_folder, open_to_edit};
pub use plates::{copy_plate, new_plate};
pub use share::PendingMerge;
pub use state::{MORE_FINDINGS, Section, Workshop};
pub use view::screen_ui;
