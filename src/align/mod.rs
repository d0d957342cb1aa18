//! Landmarks to a transform: choice of model, residuals, uncertainty; the rim; the snap. Reads no files.

mod alignment;
mod belief;
mod check;
mod choose;
mod noise;
mod radius;
mod rim;
mod rim_evidence;
mod rim_find;
mod view;

pub use alignment::{Advice, AlignError, Alignment, LandmarkError, Uncertainty, combine};
pub use choose::align;
pub use rim::Rim;
pub use rim_find::{FoundRim, RimNotFound, find_rim};

/// The probability that an uncertainty's disc holds.
const HELD_PROBABILITY: f64 = 0.95;
