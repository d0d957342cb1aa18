//! Landmarks to a transform: choice of model, residuals, uncertainty; the rim; the snap. Reads no files.

mod alignment;
mod belief;
mod check;
mod choose;
mod field;
mod fine_shift;
mod ground;
mod local_map;
mod noise;
mod propose;
mod radius;
mod rim;
mod rim_evidence;
mod rim_find;
mod search;
mod snap;
mod snap_parts;
mod snap_refused;
mod view;

pub use alignment::{Advice, AlignError, Alignment, LandmarkError, Uncertainty, combine};
pub use choose::align;
pub use fine_shift::{CropShift, fine_shift};
pub use propose::{Proposal, propose_rest};
pub use rim::Rim;
pub use rim_find::{FoundRim, RimNotFound, find_rim};
pub use snap::{Snap, snap};
pub use snap_refused::SnapRefused;

/// The probability that an uncertainty's disc holds.
const HELD_PROBABILITY: f64 = 0.95;
