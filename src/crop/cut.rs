//! Cutting a crop.

use image::RgbaImage;
use nalgebra::Matrix3;

use super::{CropFrame, Kernel, sampler};
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
    let picture_from_crop = picture_from_side.matrix() * frame.side_from_crop();
    Crop {
        frame: *frame,
        pixels: cut_picture(
            picture,
            &picture_from_crop,
            frame.width_px,
            frame.height_px,
            Kernel::Cubic,
        ),
    }
}

/// Any projective view of a picture: `picture_from_crop` maps columns (x, y, 1) of crop px to picture px, both with
/// pixel centres at whole numbers. Alpha is 0 outside the picture and behind the camera.
#[must_use]
pub fn cut_picture(
    picture: &Picture,
    picture_from_crop: &Matrix3<f64>,
    width_px: u32,
    height_px: u32,
    kernel: Kernel,
) -> RgbaImage {
    sampler::sample(picture, picture_from_crop, width_px, height_px, kernel)
}

/// From this magnification on (view px per picture px) a view shows the picture's pixels as squares. Common practice,
/// no source.
pub const SQUARE_PIXELS_FROM: f64 = 8.0;

/// How many px of a view show one px of the picture, where it is shown smallest.
#[must_use]
pub fn magnification(picture_from_view: &Matrix3<f64>, width_px: u32, height_px: u32) -> f64 {
    sampler::greatest_step(picture_from_view, width_px, height_px).map_or(1.0, f64::recip)
}

/// As [`cut_picture`] for looking at a picture under pan and zoom: cubic, and square pixels from
/// [`SQUARE_PIXELS_FROM`] on.
#[must_use]
pub fn view_picture(
    picture: &Picture,
    picture_from_view: &Matrix3<f64>,
    width_px: u32,
    height_px: u32,
) -> RgbaImage {
    let kernel = if magnification(picture_from_view, width_px, height_px) >= SQUARE_PIXELS_FROM {
        Kernel::Nearest
    } else {
        Kernel::Cubic
    };
    cut_picture(picture, picture_from_view, width_px, height_px, kernel)
}
