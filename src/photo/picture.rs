//! A picture in memory: upright, sRGB, with its pyramid of halved copies.

use std::fmt;

use image::RgbImage;

use super::buffer::{Level, level};
use super::pyramid;

/// What the user should know about how a picture was read. Shown beside it; never a reason to refuse it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PictureNote {
    /// The embedded colour profile is broken or is for other pixels; the values were taken as sRGB.
    BrokenProfile,
    /// The picture was stored in printing colours (CMYK) and brought to RGB without a profile.
    PrintColours,
}

impl fmt::Display for PictureNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::BrokenProfile => {
                "Its colour profile cannot be used, so its colours are shown as if they were sRGB."
            }
            Self::PrintColours => "It is stored in printing colours (CMYK), so its colours are approximate.",
        })
    }
}

/// An upright sRGB picture, 8 bits a channel, with copies halved again and again (box mean of 2 x 2 in linear steps
/// of the stored values) down to a few pixels, for sampling without aliasing.
#[derive(Debug, Clone)]
pub struct Picture {
    levels: Vec<Level>,
    notes: Vec<PictureNote>,
}

impl Picture {
    /// Builds the pyramid under a full-size picture.
    #[must_use]
    pub fn new(full: RgbImage) -> Self {
        Self::with_notes(level(full), Vec::new())
    }

    pub(super) fn with_notes(full: Level, notes: Vec<PictureNote>) -> Self {
        Self {
            levels: pyramid::build(full),
            notes,
        }
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
    /// (p + 0.5) / 2^k - 0.5 in level k. A side of odd length is halved upwards, its last line repeated.
    #[must_use]
    pub fn levels(&self) -> &[Level] {
        &self.levels
    }

    /// What the user should know about how it was read.
    #[must_use]
    pub fn notes(&self) -> &[PictureNote] {
        &self.notes
    }

    /// The sRGB value at a pixel, None outside the picture.
    #[must_use]
    pub fn pixel(&self, x: i64, y: i64) -> Option<[u8; 3]> {
        let (x, y) = (u32::try_from(x).ok()?, u32::try_from(y).ok()?);
        self.levels[0].get_pixel_checked(x, y).map(|p| p.0)
    }

    /// A small copy whose longer side is at most `longest_px`, never larger than the picture; made from the level
    /// just above that size, so it costs little.
    #[must_use]
    pub fn thumbnail(&self, longest_px: u32) -> RgbImage {
        let longest_px = longest_px.max(1);
        let side = |image: &Level| image.width().max(image.height());
        let from = self
            .levels
            .iter()
            .rev()
            .find(|l| side(l) >= longest_px)
            .unwrap_or(&self.levels[0]);
        if side(from) <= longest_px {
            return image::imageops::crop_imm(from, 0, 0, from.width(), from.height()).to_image();
        }
        let scale = f64::from(longest_px) / f64::from(side(from));
        let scaled = |v: u32| ((f64::from(v) * scale).round() as u32).max(1);
        image::imageops::thumbnail(from, scaled(from.width()), scaled(from.height()))
    }
}

/// Luma of an sRGB value by the weights of Rec. ITU-R BT.709, rounded.
#[must_use]
pub fn luma([r, g, b]: [u8; 3]) -> u8 {
    // The weights .2126 .7152 .0722 in units of 2^-16; they sum to 2^16.
    ((u32::from(r) * 13933 + u32::from(g) * 46871 + u32::from(b) * 4732 + 32768) >> 16) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grey_keeps_white_and_black_and_the_published_weights() {
        assert_eq!(luma([255; 3]), 255);
        assert_eq!(luma([0; 3]), 0);
        // 0.7152 x 200 = 143.04
        assert_eq!(luma([0, 200, 0]), 143);
    }

    #[test]
    fn thumbnails_keep_the_shape_and_never_grow() {
        let picture = Picture::new(RgbImage::new(1000, 500));
        assert_eq!(picture.thumbnail(100).dimensions(), (100, 50));
        assert_eq!(picture.thumbnail(5000).dimensions(), (1000, 500));
        assert_eq!(
            Picture::new(RgbImage::new(1000, 1)).thumbnail(10).dimensions(),
            (10, 1)
        );
    }
}
