//! Crops at matched scale from any aligned picture, comparison pictures and measurement in mm. Never decides.

mod cut;
mod frame;

pub use cut::{Crop, cut};
pub use frame::CropFrame;
