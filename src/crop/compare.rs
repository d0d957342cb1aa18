//! Comparison pictures of two crops of the same frame. Pictures in, pictures out; nothing is decided.
//!
//! Where either crop is transparent, nothing can be compared and the result is transparent too.

use image::imageops::{FilterType, resize};
use image::{Rgba, RgbaImage};

use super::light::grey;
use crate::photo::luma;

/// Why two crops cannot be compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CompareError {
    /// They are not of the same size.
    #[error(
        "The two crops are not of one size ({} x {} and {} x {} px); cut both by the same frame.",
        first.0, first.1, second.0, second.1
    )]
    Sizes {
        /// Width and height of the first, in px.
        first: (u32, u32),
        /// Width and height of the second, in px.
        second: (u32, u32),
    },
}

/// Combines pixel by pixel.
fn combine(
    first: &RgbaImage,
    second: &RgbaImage,
    mut pixel: impl FnMut((u32, u32), [u8; 3], [u8; 3]) -> [u8; 3],
) -> Result<RgbaImage, CompareError> {
    if first.dimensions() != second.dimensions() {
        return Err(CompareError::Sizes {
            first: first.dimensions(),
            second: second.dimensions(),
        });
    }
    let mut out = RgbaImage::new(first.width(), first.height());
    for ((x, y, o), (a, b)) in out
        .enumerate_pixels_mut()
        .zip(first.pixels().zip(second.pixels()))
    {
        if a.0[3] > 0 && b.0[3] > 0 {
            let [r, g, bl] = pixel((x, y), [a.0[0], a.0[1], a.0[2]], [b.0[0], b.0[1], b.0[2]]);
            *o = Rgba([r, g, bl, 255]);
        }
    }
    Ok(out)
}

/// Canny's thresholds as shares of the strong gradients (their 95th percentile) of the picture: a line begins at the
/// upper and goes on to the lower. Common practice (ratio 2 to 3), no source for the shares.
const EDGE_UPPER_SHARE: f32 = 0.6;
/// See [`EDGE_UPPER_SHARE`].
const EDGE_LOWER_SHARE: f32 = 0.25;

/// Gradients weaker than this, in levels per px as a Sobel mask gives them (8 times the slope), are grain.
const LEAST_GRADIENT: f32 = 40.0;

/// From this magnification on edges are looked for in a picture made smaller: the grain between a photo's pixels has
/// none.
const SHRUNK_FROM: f64 = 1.5;

/// The edges of the first picture as lines of `colour` over the second in grey. Edges by J. Canny, IEEE Trans. Pattern
/// Analysis and Machine Intelligence 8(6), 1986, 679-698.
///
/// `magnified` is how many px of the first picture show one px of its photo; a line is then as wide as that.
///
/// # Errors
/// [`CompareError::Sizes`].
pub fn edges_over(
    first: &RgbaImage,
    second: &RgbaImage,
    colour: [u8; 3],
    magnified: f64,
) -> Result<RgbaImage, CompareError> {
    let lines = edges(first, magnified);
    combine(first, second, |(x, y), _, b| {
        if lines.as_ref().is_some_and(|l| l.get_pixel(x, y).0[0] > 0) {
            colour
        } else {
            [luma(b); 3]
        }
    })
}

/// 255 on edges; None for a picture too small to have any.
fn edges(picture: &RgbaImage, magnified: f64) -> Option<image::GrayImage> {
    let (width, height) = picture.dimensions();
    let grey = grey(picture);
    let (mut lines, photo_px) = if magnified < SHRUNK_FROM {
        (lines_in(&grey)?, 1)
    } else {
        let shrunk = |px: u32| (f64::from(px) / magnified).round().max(1.0) as u32;
        let small = resize(&grey, shrunk(width), shrunk(height), FilterType::Triangle);
        let mut lines = resize(&lines_in(&small)?, width, height, FilterType::Triangle);
        for line in lines.iter_mut() {
            *line = if *line < 128 { 0 } else { 255 };
        }
        (lines, magnified.ceil() as i64)
    };
    // The border of what the picture reaches is no edge of the coin.
    let clear = |x: i64, y: i64| {
        let (Ok(x), Ok(y)) = (u32::try_from(x), u32::try_from(y)) else {
            return true;
        };
        picture.get_pixel_checked(x, y).is_none_or(|p| p.0[3] == 0)
    };
    for (x, y, line) in lines.enumerate_pixels_mut() {
        let (x, y) = (i64::from(x), i64::from(y));
        if line.0[0] > 0 && (-3..=3).any(|d| clear(x + d * photo_px, y) || clear(x, y + d * photo_px)) {
            line.0[0] = 0;
        }
    }
    Some(lines)
}

/// 255 on edges, a px wide.
fn lines_in(grey: &image::GrayImage) -> Option<image::GrayImage> {
    if grey.width() < 8 || grey.height() < 8 {
        return None;
    }
    let mut strengths: Vec<u16> = imageproc::gradients::sobel_gradients(grey).into_raw();
    let at = strengths.len() * 95 / 100;
    let (_, strong, _) = strengths.select_nth_unstable(at);
    let upper = (f32::from(*strong) * EDGE_UPPER_SHARE).max(LEAST_GRADIENT);
    let lower = (f32::from(*strong) * EDGE_LOWER_SHARE).max(LEAST_GRADIENT / 2.0);
    Some(imageproc::edges::canny(grey, lower, upper.max(lower)))
}

/// The colours of a signed difference from the first brighter to the second brighter: the diverging scheme PuOr with
/// seven classes of ColorBrewer 2.0 (M. Harrower & C. Brewer, Cartographic Journal 40(1), 2003, 27-37), which it gives
/// as safe for the colour-blind. From memory.
const DIVERGING: [[u8; 3]; 7] = [
    [179, 88, 6],
    [241, 163, 64],
    [254, 224, 182],
    [247, 247, 247],
    [216, 218, 235],
    [153, 142, 195],
    [84, 39, 136],
];

/// The colour of a difference from -1 (first brighter by the full range) to 1 (second brighter).
#[must_use]
pub fn difference_colour(difference: f64) -> [u8; 3] {
    let last = DIVERGING.len() - 1;
    let position = (difference.clamp(-1.0, 1.0) + 1.0) / 2.0 * last as f64;
    let low = (position as usize).min(last - 1);
    let share = position - low as f64;
    std::array::from_fn(|c| {
        let (a, b) = (f64::from(DIVERGING[low][c]), f64::from(DIVERGING[low + 1][c]));
        (a + (b - a) * share).round() as u8
    })
}

/// The difference of luma, second minus first, in diverging colours: orange where the first is brighter, purple where
/// the second is, near white where they agree. `range` is the difference in levels of 255 at which the colours end.
///
/// # Errors
/// [`CompareError::Sizes`].
pub fn signed_difference(
    first: &RgbaImage,
    second: &RgbaImage,
    range: f64,
) -> Result<RgbaImage, CompareError> {
    let range = range.max(1.0);
    // 511 differences are possible.
    let colours: Vec<[u8; 3]> = (-255..=255)
        .map(|d| difference_colour(f64::from(d) / range))
        .collect();
    combine(first, second, |_, a, b| {
        let difference = 255 + i32::from(luma(b)) - i32::from(luma(a));
        usize::try_from(difference)
            .ok()
            .and_then(|d| colours.get(d))
            .copied()
            .unwrap_or([247; 3])
    })
}

/// The legend of [`signed_difference`]: a bar from the first brighter (left) over equal to the second brighter (right).
#[must_use]
pub fn difference_legend(width_px: u32, height_px: u32) -> RgbaImage {
    let last = f64::from(width_px.saturating_sub(1).max(1));
    RgbaImage::from_fn(width_px, height_px, |x, _| {
        let [r, g, b] = difference_colour(2.0 * f64::from(x) / last - 1.0);
        Rgba([r, g, b, 255])
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flat(v: u8) -> RgbaImage {
        RgbaImage::from_pixel(20, 16, Rgba([v, v, v, 255]))
    }

    #[test]
    fn crops_of_different_sizes_are_refused() {
        let small = RgbaImage::new(3, 3);
        assert!(matches!(
            signed_difference(&flat(10), &small, 60.0),
            Err(CompareError::Sizes { .. })
        ));
    }

    #[test]
    fn transparent_parts_are_not_compared() {
        let (mut a, b) = (flat(10), flat(210));
        a.put_pixel(3, 3, Rgba([10, 10, 10, 0]));
        for picture in [
            signed_difference(&a, &b, 100.0),
            edges_over(&a, &b, [255, 0, 0], 1.0),
        ] {
            assert_eq!(picture.unwrap().get_pixel(3, 3).0, [0; 4]);
        }
    }

    #[test]
    fn differences_are_signed_and_keep_apart_in_brightness_too() {
        assert_eq!(
            signed_difference(&flat(90), &flat(90), 60.0)
                .unwrap()
                .get_pixel(0, 0)
                .0,
            [247, 247, 247, 255]
        );
        assert_eq!(
            signed_difference(&flat(200), &flat(20), 60.0)
                .unwrap()
                .get_pixel(0, 0)
                .0[..3],
            DIVERGING[0]
        );
        assert_eq!(
            signed_difference(&flat(20), &flat(200), 60.0)
                .unwrap()
                .get_pixel(0, 0)
                .0[..3],
            DIVERGING[6]
        );
        let legend = difference_legend(101, 4);
        assert_eq!(legend.get_pixel(50, 0).0[..3], DIVERGING[3]);
        assert_eq!(legend.get_pixel(100, 3).0[..3], DIVERGING[6]);
    }

    #[test]
    fn edges_lie_where_the_picture_has_them_and_nowhere_else() {
        let mut a = RgbaImage::from_fn(60, 60, |x, _| {
            if x < 30 {
                Rgba([60, 60, 60, 255])
            } else {
                Rgba([180, 180, 180, 255])
            }
        });
        // A hole: its border is no edge of the coin.
        for y in 20..40 {
            for x in 45..52 {
                a.put_pixel(x, y, Rgba([0; 4]));
            }
        }
        let red = [230, 30, 30];
        let plain = RgbaImage::from_pixel(60, 60, Rgba([100, 150, 50, 255]));
        let over = edges_over(&a, &plain, red, 1.0).unwrap();
        let mut marked = 0;
        for (x, y, p) in over.enumerate_pixels() {
            if p.0[..3] == red {
                marked += 1;
                assert!((28..=31).contains(&x), "edge at {x}, {y}");
            } else if p.0[3] > 0 {
                assert!(p.0[0] == p.0[1] && p.0[1] == p.0[2]);
            }
        }
        assert!(marked >= 40, "{marked}");
    }

    #[test]
    fn grain_between_magnified_pixels_has_no_edges() {
        // An edge along x = 100 in a photo shown five times as large, with grain finer than its pixels.
        let a = RgbaImage::from_fn(200, 200, |x, y| {
            let grain = ((x * 7 + y * 13) % 5) as u8 * 8;
            // As soft as a photo is, over three of its pixels.
            let level = 60 + grain + (x.clamp(92, 107) - 92) as u8 * 7;
            Rgba([level, level, level, 255])
        });
        let red = [230, 30, 30];
        let columns = |magnified: f64| -> Vec<u32> {
            let over = edges_over(
                &a,
                &RgbaImage::from_pixel(200, 200, Rgba([9, 9, 9, 255])),
                red,
                magnified,
            );
            let over = over.unwrap();
            let marked = over
                .enumerate_pixels()
                .filter(|(_, y, p)| *y == 100 && p.0[..3] == red);
            marked.map(|(x, _, _)| x).collect()
        };
        let line = columns(5.0);
        assert!(
            line.len() >= 3 && line.iter().all(|x| (92..=107).contains(x)),
            "{line:?}"
        );
    }
}
