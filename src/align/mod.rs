//! Landmarks to a transform: choice of model, residuals, uncertainty; the rim; the snap. Reads no files.

mod alignment;
mod rim;

pub use alignment::{Advice, AlignError, Alignment, LandmarkError, Uncertainty, align};
pub use rim::Rim;
