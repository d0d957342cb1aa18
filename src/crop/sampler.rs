//! Sampling a picture through a projective map, row by row.

use image::{RgbImage, RgbaImage};
use nalgebra::{Matrix3, Vector3};
use rayon::prelude::*;

use super::inner::Inner;
use super::kernel::{Cubic, Kernel, LINEAR, MOST_TAPS, PHASES};
use crate::photo::Picture;

/// Bilinear may step this many level px for each crop px before the next level is taken. Above 1 it lets a little
/// aliasing through for sharpness while dragging; chosen by eye, no source.
const LINEAR_STEP: f64 = 1.3;

/// Rows of a tile; a thread takes a band of tiles at a time.
const TILE_ROWS: usize = 32;

/// Runs side by side in a tile.
const TILE_RUNS: usize = 4;

/// Pixels of a row that are placed together.
const RUN: usize = 16;

/// Within a run the map may be taken as straight where that moves no pixel by more than this, in level px.
const STRAIGHT_WITHIN_PX: f64 = 1.0 / 256.0;

/// Samples the picture at `picture_from_crop` of each pixel of a w x h crop. Alpha is 255 where the picture reaches and
/// 0 elsewhere.
pub(super) fn sample(
    picture: &Picture,
    picture_from_crop: &Matrix3<f64>,
    width: u32,
    height: u32,
    kernel: Kernel,
) -> RgbaImage {
    let mut out = RgbaImage::new(width, height);
    if width == 0 || height == 0 || picture.width() == 0 || picture.height() == 0 {
        return out;
    }
    let step = greatest_step(picture_from_crop, width, height)
        .unwrap_or(1.0)
        .max(1.0);
    let most = picture.levels().len() - 1;
    let at_level = |level: usize| View::new(picture, level, picture_from_crop, (width, height));
    match kernel {
        Kernel::Nearest => at_level(0).fill_nearest(&mut out),
        Kernel::Linear => {
            let level = ((step / LINEAR_STEP).log2().ceil().max(0.0) as usize).min(most);
            at_level(level).fill(&mut out, &*LINEAR);
        }
        Kernel::Cubic => {
            let level = (step.log2().floor() as usize).min(most);
            let view = at_level(level);
            match Cubic::new(step / 2f64.powi(level as i32)) {
                Cubic::Four(taps) => view.fill(&mut out, taps),
                Cubic::Six(taps) => view.fill(&mut out, &taps),
                Cubic::Eight(taps) => view.fill(&mut out, &taps),
            }
        }
    }
    out
}

/// The greatest number of picture px that one crop px spans in any direction, over the crop: the largest singular
/// value of the map's Jacobian at the middle and the corners. None where it is finite nowhere.
pub(super) fn greatest_step(picture_from_crop: &Matrix3<f64>, width: u32, height: u32) -> Option<f64> {
    let (right, bottom) = (f64::from(width) - 1.0, f64::from(height) - 1.0);
    [(0.5, 0.5), (0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (1.0, 1.0)]
        .iter()
        .filter_map(|(fx, fy)| step_at(picture_from_crop, fx * right, fy * bottom))
        .reduce(f64::max)
}

fn step_at(m: &Matrix3<f64>, x: f64, y: f64) -> Option<f64> {
    let v = m * Vector3::new(x, y, 1.0);
    let (u, w) = (v.x / v.z, v.y / v.z);
    let (a, b) = (
        (m[(0, 0)] - u * m[(2, 0)]) / v.z,
        (m[(0, 1)] - u * m[(2, 1)]) / v.z,
    );
    let (c, d) = (
        (m[(1, 0)] - w * m[(2, 0)]) / v.z,
        (m[(1, 1)] - w * m[(2, 1)]) / v.z,
    );
    // The largest singular value of [a b; c d], in closed form.
    let half_sum = (a * a + b * b + c * c + d * d) / 2.0;
    let step = (half_sum + (half_sum * half_sum - (a * d - b * c).powi(2)).max(0.0).sqrt()).sqrt();
    step.is_finite().then_some(step)
}

/// One level of a picture seen through a map.
struct View<'a> {
    values: &'a [u8],
    width: i64,
    height: i64,
    /// From crop px to level px, its sign chosen so that the third coordinate is positive before the camera.
    level_from_crop: Matrix3<f64>,
    straight: bool,
}

/// A place inside the level in fixed point, 1/256 px.
#[derive(Debug, Clone, Copy)]
struct Fixed {
    x: u64,
    y: u64,
}

const FRACTION_BITS: u32 = PHASES.trailing_zeros();
const _: () = assert!(FRACTION_BITS == u8::BITS);

impl<'a> View<'a> {
    fn new(picture: &'a Picture, level: usize, picture_from_crop: &Matrix3<f64>, size: (u32, u32)) -> Self {
        let shrink = 0.5f64.powi(level as i32);
        // Pixel centres are at whole numbers in every level.
        let shift = 0.5 * shrink - 0.5;
        let level_from_picture = Matrix3::new(shrink, 0.0, shift, 0.0, shrink, shift, 0.0, 0.0, 1.0);
        let mut level_from_crop = level_from_picture * picture_from_crop;
        let (w, h) = (f64::from(size.0), f64::from(size.1));
        let middle = level_from_crop * Vector3::new((w - 1.0) / 2.0, (h - 1.0) / 2.0, 1.0);
        if middle.z < 0.0 {
            level_from_crop = -level_from_crop;
        }
        // Along a row u = (a x + b) / (g x + h) bends by u'' = -2 g u' / (g x + h); a chord of length RUN strays from
        // the arc by RUN^2 / 8 of it.
        let third_least = [(0.0, 0.0), (w, 0.0), (0.0, h), (w, h)]
            .map(|(x, y)| (level_from_crop * Vector3::new(x, y, 1.0)).z)
            .into_iter()
            .fold(f64::INFINITY, f64::min);
        let bend = 2.0 * level_from_crop[(2, 0)].abs() / third_least
            * greatest_step(&level_from_crop, size.0, size.1).unwrap_or(f64::INFINITY);
        let straight = third_least > 0.0 && (RUN * RUN) as f64 / 8.0 * bend < STRAIGHT_WITHIN_PX;
        let image: &RgbImage = &picture.levels()[level];
        Self {
            values: image,
            width: i64::from(image.width()),
            height: i64::from(image.height()),
            level_from_crop,
            straight,
        }
    }

    /// The place of a crop pixel in the level; None behind the camera.
    fn place(&self, x: f64, y: f64) -> Option<(f64, f64)> {
        let v = self.level_from_crop * Vector3::new(x, y, 1.0);
        (v.z > 0.0).then(|| (v.x / v.z, v.y / v.z))
    }

    fn reaches(&self, (u, v): (f64, f64)) -> bool {
        u >= -0.5 && v >= -0.5 && u <= self.width as f64 - 0.5 && v <= self.height as f64 - 0.5
    }

    /// Calls `run` for each run of pixels, with the place of its first pixel, tile by tile, so that a turned view stays
    /// within the processor's nearest cache.
    fn runs(out: &mut RgbaImage, run: impl Fn((f64, f64), &mut [u8]) + Sync) {
        let row_bytes = out.width() as usize * 4;
        out.par_chunks_mut(row_bytes * TILE_ROWS)
            .enumerate()
            .for_each(|(band, rows)| {
                for tile in (0..row_bytes).step_by(RUN * 4 * TILE_RUNS) {
                    let end = (tile + RUN * 4 * TILE_RUNS).min(row_bytes);
                    for (i, row) in rows.chunks_exact_mut(row_bytes).enumerate() {
                        let y = (band * TILE_ROWS + i) as f64;
                        for (j, pixels) in row[tile..end].chunks_mut(RUN * 4).enumerate() {
                            run(((tile / 4 + j * RUN) as f64, y), pixels);
                        }
                    }
                }
            });
    }

    fn fill_nearest(&self, out: &mut RgbaImage) {
        Self::runs(out, |(first, y), pixels| {
            for (i, pixel) in pixels.chunks_exact_mut(4).enumerate() {
                let Some((u, v)) = self.place(first + i as f64, y).filter(|p| self.reaches(*p)) else {
                    continue;
                };
                let x = (u.round() as i64).clamp(0, self.width - 1);
                let y = (v.round() as i64).clamp(0, self.height - 1);
                let at = ((y * self.width + x) * 3) as usize;
                if let Some(rgb) = self.values.get(at..at + 3) {
                    pixel[..3].copy_from_slice(rgb);
                    pixel[3] = 255;
                }
            }
        });
    }

    fn fill<I: Inner + Sync>(&self, out: &mut RgbaImage, inner: &I) {
        // Where every tap and every byte loaded beyond the taps lies inside the picture.
        let before = (I::TAPS / 2 - 1) as f64;
        let after = (I::ROW_BYTES.div_ceil(3) + 1) as f64;
        let (right, bottom) = (
            self.width as f64 - after,
            self.height as f64 - (I::TAPS / 2 + 1) as f64,
        );
        let inside = |(u, v): (f64, f64)| u >= before + 1.0 && v >= before + 1.0 && u < right && v < bottom;
        Self::runs(out, |(first, y), pixels| {
            let last = first + (pixels.len() / 4 - 1) as f64;
            match self.place(first, y).zip(self.place(last, y)) {
                // A straight line between two points inside stays inside.
                Some((a, b)) if inside(a) && inside(b) => self.run(inner, pixels, (first, y), a, b),
                _ => self.run_at_border(inner, pixels, (first, y)),
            }
        });
    }

    /// A run all inside; `a` and `b` are the places of its first and last pixel.
    fn run<I: Inner>(&self, inner: &I, pixels: &mut [u8], at: (f64, f64), a: (f64, f64), b: (f64, f64)) {
        // Places are positive inside, so truncation rounds down.
        if self.straight {
            // From the first place in equal steps, in 2^-32 px.
            const BITS: u32 = 32 - FRACTION_BITS;
            const FINE: f64 = 4_294_967_296.0;
            let count = (pixels.len() / 4 - 1).max(1) as f64;
            let step = |from: f64, to: f64| ((to - from) / count * FINE) as i64;
            let start = |from: f64| (from * FINE) as u64 + (1 << (BITS - 1));
            let (du, dv) = (step(a.0, b.0), step(a.1, b.1));
            let (mut u, mut v) = (start(a.0), start(a.1));
            self.pixels(inner, pixels, || {
                let place = Fixed {
                    x: u >> BITS,
                    y: v >> BITS,
                };
                (u, v) = (u.wrapping_add_signed(du), v.wrapping_add_signed(dv));
                place
            });
        } else {
            let m = &self.level_from_crop;
            let mut place = m * Vector3::new(at.0, at.1, 1.0);
            self.pixels(inner, pixels, || {
                let scale = PHASES as f64 / place.z;
                let fixed = |v: f64| (v * scale + 0.5) as i64 as u64;
                let here = Fixed {
                    x: fixed(place.x),
                    y: fixed(place.y),
                };
                place += m.column(0);
                here
            });
        }
    }

    /// Fills pixels, all taps of which lie inside, at the places that `next` gives one after the other.
    #[inline]
    fn pixels<I: Inner>(&self, inner: &I, pixels: &mut [u8], mut next: impl FnMut() -> Fixed) {
        let stride = self.width as usize * 3;
        // From the pixel at or before the sample to the first tap.
        let back = (I::TAPS / 2 - 1) * (stride + 3);
        for pixel in pixels.chunks_exact_mut(4) {
            let Fixed { x, y } = next();
            let at = ((y >> FRACTION_BITS) as usize * stride + (x >> FRACTION_BITS) as usize * 3)
                .wrapping_sub(back);
            let Some(block) = self.values.get(at..) else {
                continue;
            };
            // The fraction is the lowest byte.
            if let Some(word) = inner.pixel(block, stride, x as u8, y as u8) {
                pixel.copy_from_slice(&word.to_le_bytes());
            }
        }
    }

    /// A run that is partly outside, or whose taps are: taps beyond the border repeat the border's pixels.
    fn run_at_border<I: Inner>(&self, inner: &I, pixels: &mut [u8], (first, y): (f64, f64)) {
        const STRIDE: usize = 32;
        let mut block = [0u8; STRIDE * MOST_TAPS];
        let before = (I::TAPS / 2 - 1) as i64;
        for (i, pixel) in pixels.chunks_exact_mut(4).enumerate() {
            let Some(place) = self.place(first + i as f64, y).filter(|p| self.reaches(*p)) else {
                continue;
            };
            let fixed = |v: f64| (v * PHASES as f64 + 0.5).floor() as i64;
            let (u, v) = (fixed(place.0), fixed(place.1));
            for (row, taps) in block.chunks_exact_mut(STRIDE).take(I::TAPS).enumerate() {
                let y = ((v >> FRACTION_BITS) - before + row as i64).clamp(0, self.height - 1);
                for (column, tap) in taps.chunks_exact_mut(3).take(I::TAPS).enumerate() {
                    let x = ((u >> FRACTION_BITS) - before + column as i64).clamp(0, self.width - 1);
                    let at = ((y * self.width + x) * 3) as usize;
                    if let Some(rgb) = self.values.get(at..at + 3) {
                        tap.copy_from_slice(rgb);
                    }
                }
            }
            let (fx, fy) = (u as u8, v as u8);
            if let Some(word) = inner.pixel(&block, STRIDE, fx, fy) {
                pixel.copy_from_slice(&word.to_le_bytes());
            }
        }
    }
}
