//! Applying the camera's turn flag.

use image::RgbImage;
use image::metadata::Orientation;

/// The picture as it is to be seen. The flag says what must be done to the stored rows (EXIF 2.3, tag 0x0112).
pub(super) fn upright(stored: RgbImage, flag: Orientation) -> RgbImage {
    let mut image = image::DynamicImage::ImageRgb8(stored);
    image.apply_orientation(flag);
    image.into_rgb8()
}
