//! Crops at matched scale from any aligned picture, comparison pictures and measurement in mm. Never decides.

mod blur;
mod compare;
mod correlation;
mod cut;
mod frame;
mod inner;
mod judge;
mod kernel;
mod light;
mod measure;
mod path;
mod sampler;

pub use compare::{CompareError, difference_legend, edges_over, signed_difference};
pub use correlation::correlation;
pub use cut::{Crop, SQUARE_PIXELS_FROM, cut, cut_picture, magnification, view_picture};
pub use frame::CropFrame;
pub use judge::{CanJudge, Shortcoming, ZoneQuality, zone_quality};
pub use kernel::Kernel;
pub use light::{even_light, even_light_pixels};
pub use measure::{HAND_PLACING_PX, MeasureNoise, Measured, angle, distance, height};
