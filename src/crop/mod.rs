//! Crops at matched scale from any aligned picture, comparison pictures and measurement in mm. Never decides.

mod cut;
mod frame;
mod inner;
mod kernel;
mod sampler;

pub use cut::{Crop, CutJob, SQUARE_PIXELS_FROM, cut, cut_many, cut_picture, cut_with, view_picture};
pub use frame::CropFrame;
pub use kernel::Kernel;
