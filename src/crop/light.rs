//! Evening the light, so that a photo lit from one side compares with a plate lit from another.

use image::{GrayImage, Rgba, RgbaImage};
use rayon::prelude::*;

use super::{Crop, blur};
use crate::photo::luma;

/// Reach of the local mean and contrast, in mm on the side: larger than strokes of letters, smaller than the shadows
/// of a coin's relief and the fall of light across it. Chosen by eye on drawn coins; no source.
const REACH_MM: f64 = 0.6;

/// The reach in px is kept within these, whatever the scale.
const LEAST_REACH_PX: f64 = 3.0;

/// Contrast that the evened picture has everywhere: standard deviation in levels of 255.
const WANTED_CONTRAST: f32 = 40.0;

/// Contrast is raised at most this many times: grain in flat metal must not become structure.
const MOST_GAIN: f32 = 4.0;

/// Local contrast below this many times the picture's own noise is grain and is not raised.
const NOISE_TIMES: f32 = 3.0;

/// Evens the light of a crop: brightness is measured against its surroundings and brought to the same contrast
/// everywhere, colour fades with it. `strength` 0 leaves the crop as it is, 1 evens it fully and in grey; beyond it is
/// clamped. Gain varies slowly and is bounded, so no edge appears that was not there. Transparent pixels stay as they
/// are and count for nothing.
#[must_use]
pub fn even_light(crop: &Crop, strength: f64) -> Crop {
    let reach = (REACH_MM * crop.frame.px_per_mm).max(LEAST_REACH_PX);
    Crop {
        frame: crop.frame,
        pixels: even_light_pixels(&crop.pixels, reach, strength),
    }
}

/// As [`even_light`] for any picture with alpha; `reach_px` is the radius of the surroundings in px.
#[must_use]
pub fn even_light_pixels(pixels: &RgbaImage, reach_px: f64, strength: f64) -> RgbaImage {
    let strength = strength.clamp(0.0, 1.0) as f32;
    if strength <= 0.0 || pixels.width() == 0 || pixels.height() == 0 {
        return pixels.clone();
    }
    let (width, height) = (pixels.width() as usize, pixels.height() as usize);
    let shorter = width.min(height) as f64;
    let radius = (reach_px.min(shorter / 2.0).round() as usize).max(1);
    let value: Vec<f32> = pixels
        .pixels()
        .map(|p| f32::from(luma([p.0[0], p.0[1], p.0[2]])))
        .collect();
    let blurred = |plane: &[f32]| blur::smooth(plane, width, height, radius);
    let squares: Vec<f32> = value.iter().map(|v| v * v).collect();
    let (weights, sums, squares) = if pixels.pixels().all(|p| p.0[3] > 0) {
        (None, blurred(&value), blurred(&squares))
    } else {
        // Value and its square, each times the share of the pixel that counts.
        let weight: Vec<f32> = pixels
            .pixels()
            .map(|p| if p.0[3] > 0 { 1.0 } else { 0.0 })
            .collect();
        let counted = |plane: &[f32]| -> Vec<f32> { plane.iter().zip(&weight).map(|(v, w)| v * w).collect() };
        (
            Some(blurred(&weight)),
            blurred(&counted(&value)),
            blurred(&counted(&squares)),
        )
    };
    let least_spread = (NOISE_TIMES * grain(&value, width)).max(WANTED_CONTRAST / MOST_GAIN);
    let mut out = pixels.clone();
    out.par_chunks_exact_mut(width * 4)
        .enumerate()
        .for_each(|(y, row)| {
            let line = y * width..(y + 1) * width;
            let (value, sums) = (&value[line.clone()], &sums[line.clone()]);
            let squares = &squares[line.clone()];
            let weights = weights.as_ref().map(|weights| &weights[line]);
            for (i, pixel) in row.chunks_exact_mut(4).enumerate() {
                let weight = weights.map_or(1.0, |weights| weights[i]);
                if pixel[3] == 0 || weight <= 1e-6 {
                    continue;
                }
                let mean = sums[i] / weight;
                let spread = (squares[i] / weight - mean * mean).max(0.0).sqrt();
                let evened = 128.0 + (value[i] - mean) * WANTED_CONTRAST / spread.max(least_spread);
                for v in &mut pixel[..3] {
                    // Rounded; below 0 and above 255 the conversion stops there.
                    *v = (f32::from(*v) + strength * (evened - f32::from(*v)) + 0.5) as u8;
                }
            }
        });
    out
}

/// The grain of a picture, as a standard deviation in levels: J. Immerkaer, Fast noise variance estimation, Computer
/// Vision and Image Understanding 64(2), 1996, 300-302, with the median in place of the mean so that edges count
/// little.
fn grain(value: &[f32], width: usize) -> f32 {
    const SAMPLES: usize = 20_000;
    if width < 3 || value.len() < 3 * width {
        return 0.0;
    }
    let inner = value.len() - 2 * width - 2;
    let every = (inner / SAMPLES).max(1);
    let mut found: Vec<f32> = (0..inner)
        .step_by(every)
        .filter(|i| i % width < width - 2)
        .map(|i| {
            let row = |r: usize| &value[i + r * width..i + r * width + 3];
            let (a, b, c) = (row(0), row(1), row(2));
            (a[0] - 2.0 * a[1] + a[2] - 2.0 * b[0] + 4.0 * b[1] - 2.0 * b[2] + c[0] - 2.0 * c[1] + c[2]).abs()
        })
        .collect();
    if found.is_empty() {
        return 0.0;
    }
    let middle = found.len() / 2;
    let (_, median, _) = found.select_nth_unstable_by(middle, f32::total_cmp);
    // The mask has norm 6; 0.6745 is the median of |x| of a standard normal.
    *median / (6.0 * 0.6745)
}

/// The luma of a crop; transparent pixels are middle grey, so that the crop's border makes no strong edge.
pub(super) fn grey(pixels: &RgbaImage) -> GrayImage {
    let value = |p: &Rgba<u8>| {
        if p.0[3] == 0 {
            128
        } else {
            luma([p.0[0], p.0[1], p.0[2]])
        }
    };
    let mut out = GrayImage::new(pixels.width(), pixels.height());
    for (o, p) in out.pixels_mut().zip(pixels.pixels()) {
        o.0[0] = value(p);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crop::CropFrame;
    use crate::geometry::SidePoint;

    fn crop(value: impl Fn(f64, f64) -> f64) -> Crop {
        let side = 200;
        let pixels = RgbaImage::from_fn(side, side, |x, y| {
            let v = value(f64::from(x), f64::from(y)).round().clamp(0.0, 255.0) as u8;
            Rgba([v, v, v, 255])
        });
        let frame = CropFrame {
            centre: SidePoint::zero(),
            px_per_mm: 40.0,
            rotation_deg: 0.0,
            width_px: side,
            height_px: side,
        };
        Crop { frame, pixels }
    }

    fn values(crop: &Crop) -> Vec<f64> {
        // Not the outermost px, where there is less to compare with.
        let inside = |(x, y): (u32, u32)| x >= 20 && y >= 20 && x < 180 && y < 180;
        crop.pixels
            .enumerate_pixels()
            .filter(|(x, y, _)| inside((*x, *y)))
            .map(|(_, _, p)| f64::from(p.0[0]))
            .collect()
    }

    fn correlation(a: &Crop, b: &Crop) -> f64 {
        let (a, b) = (values(a), values(b));
        let n = a.len() as f64;
        let (ma, mb) = (a.iter().sum::<f64>() / n, b.iter().sum::<f64>() / n);
        let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
        for (a, b) in a.iter().zip(&b) {
            let (a, b) = (a - ma, b - mb);
            (ab, aa, bb) = (ab + a * b, aa + a * a, bb + b * b);
        }
        ab / (aa * bb).sqrt()
    }

    /// Thin marks whose reflectance is the same under any light.
    fn marks(x: f64, y: f64) -> f64 {
        1.0 + 0.35
            * ((x / 4.0).sin() * (y / 5.5).cos()).signum()
            * f64::from(u8::from((x / 37.0).sin() > 0.2))
    }

    #[test]
    fn light_from_the_left_becomes_comparable_to_light_from_the_top() {
        let left = crop(|x, y| (40.0 + 0.8 * (200.0 - x)) * marks(x, y) * 0.75);
        let top = crop(|x, y| (40.0 + 0.8 * (200.0 - y)) * marks(x, y) * 0.75);
        let before = correlation(&left, &top);
        let after = correlation(&even_light(&left, 1.0), &even_light(&top, 1.0));
        println!("correlation {before:.3} before, {after:.3} after");
        assert!(before < 0.6 && after > 0.95, "{before} before, {after} after");
    }

    #[test]
    fn no_edge_is_invented() {
        // A slope of light without any mark: it must come out flat.
        let slope = even_light(&crop(|x, _| 20.0 + x), 1.0);
        let (least, most) = values(&slope)
            .iter()
            .fold((255.0f64, 0.0f64), |(l, m), v| (l.min(*v), m.max(*v)));
        assert!(most - least <= 16.0, "from {least} to {most}");
        // One step: gradients elsewhere stay small, and the step keeps its sense and place.
        let step = even_light(&crop(|x, _| if x < 100.0 { 90.0 } else { 130.0 }), 1.0);
        for x in 20..180u32 {
            let change = i32::from(step.pixels.get_pixel(x + 1, 100).0[0])
                - i32::from(step.pixels.get_pixel(x, 100).0[0]);
            if x == 99 {
                assert!(change > 30, "the step itself: {change}");
            } else {
                assert!(change.abs() <= 6, "at {x}: {change}");
            }
        }
    }

    #[test]
    fn grain_stays_grain() {
        // Reproducible noise of about 3 levels on flat metal.
        let noisy = crop(|x, y| 120.0 + 5.0 * ((x * 12.9898 + y * 78.233).sin() * 43758.5453).fract());
        let spread = |c: &Crop| {
            let v = values(c);
            let mean = v.iter().sum::<f64>() / v.len() as f64;
            (v.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / v.len() as f64).sqrt()
        };
        let (before, after) = (spread(&noisy), spread(&even_light(&noisy, 1.0)));
        assert!(
            after < before * f64::from(MOST_GAIN) + 0.5 && after < 15.0,
            "{before} before, {after} after"
        );
    }

    #[test]
    fn strength_zero_changes_nothing_and_transparent_stays_so() {
        let mut given = crop(|x, y| 100.0 + (x * y / 50.0) % 90.0);
        for x in 0..200 {
            given.pixels.put_pixel(x, 50, Rgba([9, 9, 9, 0]));
        }
        assert_eq!(even_light(&given, 0.0).pixels, given.pixels);
        let evened = even_light(&given, 1.0);
        assert_eq!(evened.pixels.get_pixel(7, 50).0, [9, 9, 9, 0]);
        assert_eq!(even_light(&given, f64::NAN).pixels.dimensions(), (200, 200));
    }
}
