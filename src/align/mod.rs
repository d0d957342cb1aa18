//! Landmarks to a transform: choice of model, residuals, uncertainty; the rim; the snap. Reads no files.

mod alignment;
mod belief;
mod check;
mod choose;
mod design_check;
mod field;
mod fine_shift;
mod ground;
mod heights;
mod local_map;
mod mixture;
mod noise;
mod parallax;
mod plate_check;
mod propose;
mod radius;
mod relief;
mod rim;
mod rim_evidence;
mod rim_find;
mod search;
mod snap;
mod snap_parts;
mod snap_refused;
mod view;

pub use alignment::{Advice, AlignError, Alignment, LandmarkError, Uncertainty, combine};
pub use choose::{Marked, align};
pub use design_check::{Design, Unlike, compare_designs};
pub use fine_shift::{CropShift, fine_shift};
pub use heights::{Heights, Sighting, adjust_heights, learn_heights};
pub use plate_check::{MarkFault, MarkFaults, Misplaced, check_marks};
pub use propose::{Proposal, propose_rest};
pub use rim::Rim;
pub use rim_find::{FoundRim, RimNotFound, find_rim};
pub use snap::{Snap, snap};
pub use snap_refused::SnapRefused;

/// The probability that an uncertainty's disc holds.
const HELD_PROBABILITY: f64 = 0.95;
