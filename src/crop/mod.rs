//! Crops at matched scale from any aligned picture, comparison pictures and measurement in mm. Never decides.

mod blur;
mod compare;
mod cut;
mod frame;
mod inner;
mod judge;
mod kernel;
mod light;
mod likeness;
mod measure;
mod path;
mod sampler;

pub use compare::{
    CompareError, CurtainDirection, blend, curtain, difference_colour, difference_legend, edges_over,
    signed_difference,
};
pub use cut::{
    Crop, CutJob, SQUARE_PIXELS_FROM, cut, cut_many, cut_picture, cut_with, magnification, view_picture,
};
pub use frame::CropFrame;
pub use judge::{CanJudge, Shortcoming, ZoneQuality, zone_quality};
pub use kernel::Kernel;
pub use light::{even_light, even_light_pixels};
pub use likeness::likeness;
pub use measure::{HAND_PLACING_PX, MeasureNoise, Measured, angle, distance, height};
