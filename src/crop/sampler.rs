//! Sampling a picture through a projective map, row by row.

use image::RgbaImage;
use nalgebra::{Matrix3, Vector3};
use rayon::prelude::*;

use super::inner::{Inner, Levels, to_words};
use super::kernel::{Cubic, Kernel, MOST_TAPS, PHASES};
use super::path::{Grid, REACH_PX, RUN, Run, straying};
use crate::photo::{Instructions, Picture};

/// Rows of a tile, which is a run wide; a thread takes a band of tiles at a time.
const TILE_ROWS: usize = 32;

/// Runs near the picture's border are this much shorter, as a run is either all inside or slow.
const SHORT_RUN: usize = 16;

/// A tile that reaches over more bytes than this is not fetched beforehand: it would not stay in the nearest caches,
/// and only a view far from any crop's scale has such.
const FETCH_AT_MOST: usize = 1 << 17;

/// Places may be taken along a parabola where that moves no pixel by more than this, in level px.
const STRAYS_AT_MOST_PX: f64 = 1.0 / 256.0;

/// Samples the picture at `picture_from_crop` of each pixel of a w x h crop. Alpha is 255 where the picture reaches and
/// 0 elsewhere.
pub(super) fn sample(
    picture: &Picture,
    picture_from_crop: &Matrix3<f64>,
    width: u32,
    height: u32,
    kernel: Kernel,
) -> RgbaImage {
    sample_with(
        picture,
        picture_from_crop,
        (width, height),
        kernel,
        Instructions::Best,
    )
}

fn sample_with(
    picture: &Picture,
    picture_from_crop: &Matrix3<f64>,
    (width, height): (u32, u32),
    kernel: Kernel,
    instructions: Instructions,
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
        Kernel::Cubic => {
            let level = (step.log2().floor() as usize).min(most);
            let view = at_level(level);
            match Cubic::new(step / 2f64.powi(level as i32)) {
                Cubic::Four(taps) => view.fill(&mut out, taps, instructions),
                Cubic::Six(taps) => view.fill(&mut out, &taps, instructions),
                Cubic::Eight(taps) => view.fill(&mut out, &taps, instructions),
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
    /// Whether the positions of a run lie along a parabola.
    parabolic: bool,
}

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
        let third_least = [(0.0, 0.0), (w, 0.0), (0.0, h), (w, h)]
            .map(|(x, y)| (level_from_crop * Vector3::new(x, y, 1.0)).z)
            .into_iter()
            .fold(f64::INFINITY, f64::min);
        let tilt = level_from_crop[(2, 0)].abs() / third_least;
        let step = greatest_step(&level_from_crop, size.0, size.1).unwrap_or(f64::INFINITY);
        let parabolic =
            third_least > 0.0 && straying(tilt, step) < STRAYS_AT_MOST_PX && step * RUN as f64 <= REACH_PX;
        let image = &picture.levels()[level];
        Self {
            values: image,
            width: i64::from(image.width()),
            height: i64::from(image.height()),
            level_from_crop,
            parabolic,
        }
    }

    /// The position of a crop pixel in the level; None behind the camera.
    fn position(&self, x: f64, y: f64) -> Option<(f64, f64)> {
        let v = self.level_from_crop * Vector3::new(x, y, 1.0);
        (v.z > 0.0).then(|| (v.x / v.z, v.y / v.z))
    }

    fn reaches(&self, (u, v): (f64, f64)) -> bool {
        u >= -0.5 && v >= -0.5 && u <= self.width as f64 - 0.5 && v <= self.height as f64 - 0.5
    }

    fn fill_nearest(&self, out: &mut RgbaImage) {
        let row_bytes = out.width() as usize * 4;
        let fill = |(y, row): (usize, &mut [u8])| {
            for (x, pixel) in row.chunks_exact_mut(4).enumerate() {
                let position = self.position(x as f64, y as f64).filter(|p| self.reaches(*p));
                let Some((u, v)) = position else {
                    continue;
                };
                let x = ((u + 0.5) as i64).clamp(0, self.width - 1);
                let y = ((v + 0.5) as i64).clamp(0, self.height - 1);
                let at = ((y * self.width + x) * 3) as usize;
                if let Some(rgb) = self.values.get(at..at + 3) {
                    pixel[..3].copy_from_slice(rgb);
                    pixel[3] = 255;
                }
            }
        };
        out.par_chunks_exact_mut(row_bytes).enumerate().for_each(fill);
    }

    fn fill<I: Inner + Sync>(&self, out: &mut RgbaImage, inner: &I, instructions: Instructions) {
        let row_bytes = out.width() as usize * 4;
        out.par_chunks_mut(row_bytes * TILE_ROWS)
            .enumerate()
            .for_each(|(band, rows)| {
                instructions.run(
                    #[inline(always)]
                    || self.fill_band(inner, rows, row_bytes, band * TILE_ROWS),
                );
            });
    }

    /// Fills some rows, the first of which is the crop's row `top`, tile by tile, so that a turned view stays within
    /// the processor's nearest cache.
    #[inline(always)]
    fn fill_band<I: Inner>(&self, inner: &I, rows: &mut [u8], row_bytes: usize, top: usize) {
        let bottom = top + rows.len() / row_bytes - 1;
        let mut run = Run::default();
        for start in (0..row_bytes).step_by(RUN * 4) {
            let end = (start + RUN * 4).min(row_bytes);
            let (left, right) = (start / 4, end / 4 - 1);
            self.fetch(
                [(left, top), (right, top), (left, bottom), (right, bottom)]
                    .map(|(x, y)| (x as f64, y as f64)),
            );
            for (i, row) in rows.chunks_exact_mut(row_bytes).enumerate() {
                let at = (left as f64, (top + i) as f64);
                self.fill_run(inner, &mut row[start..end], at, &mut run);
            }
        }
    }

    /// Reads a byte of each cache line within the bounds of a tile's corners. The processor foresees only straight
    /// rows; in a turned tile it would wait for one line after the other.
    fn fetch(&self, corners: [(f64, f64); 4]) {
        const LINE_BYTES: usize = 64;
        let (mut left, mut right) = (f64::INFINITY, 0f64);
        let (mut top, mut bottom) = (f64::INFINITY, 0f64);
        for (x, y) in corners {
            let Some((u, v)) = self.position(x, y) else {
                return;
            };
            (left, right) = (left.min(u), right.max(u));
            (top, bottom) = (top.min(v), bottom.max(v));
        }
        let stride = self.width as usize * 3;
        let columns = left.max(0.0) as usize * 3..(right as usize).saturating_mul(3).min(stride);
        let rows = top.max(0.0) as usize..(bottom as usize).min(self.height as usize);
        if columns.len() * rows.len() > FETCH_AT_MOST {
            return;
        }
        let mut read = 0;
        for row in rows {
            let row = self.values.get(row * stride..).unwrap_or_default();
            for byte in row
                .get(columns.clone())
                .unwrap_or_default()
                .iter()
                .step_by(LINE_BYTES)
            {
                read ^= byte;
            }
        }
        std::hint::black_box(read);
    }

    /// Fills a run of at most [`RUN`] pixels from the crop's position `at` on.
    #[inline(always)]
    fn fill_run<I: Inner>(&self, inner: &I, pixels: &mut [u8], at: (f64, f64), run: &mut Run) {
        let done = match self.ends_inside::<I>(at, pixels.len() / 4) {
            Some(ends) => self.fill_inside(inner, pixels, at, ends, run),
            None => None,
        };
        if done.is_none() {
            self.fill_short_runs(inner, pixels, at, run);
        }
    }

    /// As [`Self::fill_run`] for a run that is not all inside.
    #[inline(never)]
    fn fill_short_runs<I: Inner>(&self, inner: &I, pixels: &mut [u8], (x, y): (f64, f64), run: &mut Run) {
        for (i, pixels) in pixels.chunks_mut(SHORT_RUN * 4).enumerate() {
            let at = (x + (i * SHORT_RUN) as f64, y);
            let done = self
                .ends_inside::<I>(at, pixels.len() / 4)
                .and_then(|ends| self.fill_inside(inner, pixels, at, ends, run));
            if done.is_none() {
                self.run_at_border(inner, pixels, at);
            }
        }
    }

    /// The positions of the first and the last of `count` pixels, if all of them are inside.
    #[inline(always)]
    fn ends_inside<I: Inner>(&self, (x, y): (f64, f64), count: usize) -> Option<[(f64, f64); 2]> {
        let (a, b) = (self.position(x, y)?, self.position(x + (count - 1) as f64, y)?);
        // A straight line between two points inside stays inside.
        (self.is_inside::<I>(a) && self.is_inside::<I>(b)).then_some([a, b])
    }

    #[inline(always)]
    fn fill_inside<I: Inner>(
        &self,
        inner: &I,
        pixels: &mut [u8],
        (x, y): (f64, f64),
        [first, last]: [(f64, f64); 2],
        run: &mut Run,
    ) -> Option<()> {
        let count = pixels.len() / 4;
        let grid = self.grid::<I>();
        if self.parabolic {
            let middle = self.position(x + (count - 1) as f64 / 2.0, y)?;
            run.parabola([first, middle, last], count, grid);
        } else {
            let mut at = self.level_from_crop * Vector3::new(x, y, 1.0);
            let next = || {
                let here = (at.x / at.z, at.y / at.z);
                at += self.level_from_crop.column(0);
                here
            };
            run.exact(next, count, grid);
        }
        let block = I::block_bytes(grid.stride as usize);
        let mut taps = run.taps();
        let (fours, rest) = pixels.as_chunks_mut::<16>();
        for four in fours {
            let (a, b, c, d) = (taps.next()?, taps.next()?, taps.next()?, taps.next()?);
            *four = bytemuck::cast(to_words([
                self.levels_at(inner, block, a)?,
                self.levels_at(inner, block, b)?,
                self.levels_at(inner, block, c)?,
                self.levels_at(inner, block, d)?,
            ]));
        }
        for (pixel, taps) in rest.chunks_exact_mut(4).zip(taps) {
            put(pixel, self.levels_at(inner, block, taps));
        }
        Some(())
    }

    #[inline(always)]
    fn levels_at<I: Inner>(&self, inner: &I, block: usize, (at, phase): (usize, (u8, u8))) -> Option<Levels> {
        inner.pixel(self.values.get(at..at + block)?, self.width as usize * 3, phase)
    }

    fn grid<I: Inner>(&self) -> Grid {
        Grid {
            stride: self.width as u32 * 3,
            before: (I::TAPS / 2 - 1) as u32,
        }
    }

    /// Whether every tap of a position and every byte loaded beyond the taps lies inside the picture.
    #[inline(always)]
    fn is_inside<I: Inner>(&self, (u, v): (f64, f64)) -> bool {
        let before = (I::TAPS / 2) as f64;
        let right = self.width as f64 - (I::ROW_BYTES.div_ceil(3) + 1) as f64;
        let bottom = self.height as f64 - (I::TAPS / 2 + 1) as f64;
        u >= before && v >= before && u < right && v < bottom
    }

    /// A run that is partly outside, or whose taps are: taps beyond the border repeat the border's pixels.
    #[inline(never)]
    fn run_at_border<I: Inner>(&self, inner: &I, pixels: &mut [u8], (first, y): (f64, f64)) {
        const STRIDE: usize = 32;
        let mut block = [0u8; STRIDE * MOST_TAPS];
        let before = (I::TAPS / 2 - 1) as i64;
        for (i, pixel) in pixels.chunks_exact_mut(4).enumerate() {
            let Some(position) = self.position(first + i as f64, y).filter(|p| self.reaches(*p)) else {
                continue;
            };
            // In whole phases, also below zero.
            let fixed = |v: f64| (v * PHASES as f64 + 0.5).floor() as i64;
            let (u, v) = (fixed(position.0), fixed(position.1));
            let phases = PHASES as i64;
            let (left, top) = (u.div_euclid(phases) - before, v.div_euclid(phases) - before);
            for (j, taps) in block.chunks_exact_mut(STRIDE).take(I::TAPS).enumerate() {
                let y = (top + j as i64).clamp(0, self.height - 1);
                for (k, tap) in taps.chunks_exact_mut(3).take(I::TAPS).enumerate() {
                    let x = (left + k as i64).clamp(0, self.width - 1);
                    let at = ((y * self.width + x) * 3) as usize;
                    if let Some(rgb) = self.values.get(at..at + 3) {
                        tap.copy_from_slice(rgb);
                    }
                }
            }
            let used = &block[..I::block_bytes(STRIDE)];
            put(pixel, inner.pixel(used, STRIDE, (u as u8, v as u8)));
        }
    }
}

fn put(pixel: &mut [u8], levels: Option<Levels>) {
    if let Some(levels) = levels {
        let [word, ..] = to_words([levels; 4]);
        pixel.copy_from_slice(&word.to_le_bytes());
    }
}

#[cfg(test)]
mod tests {
    use image::RgbImage;
    use rand::{Rng, SeedableRng};
    use rand_chacha::ChaCha8Rng;

    use super::*;

    #[test]
    fn newer_instructions_make_the_same_pixels() {
        let mut random = ChaCha8Rng::seed_from_u64(7);
        let picture = Picture::new(RgbImage::from_fn(331, 203, |_, _| image::Rgb(random.random())));
        for _ in 0..60 {
            // Turned, shrunk or grown, tilted a little or much, partly outside.
            let (rotation, step) = (random.random_range(0.0..6.3f64), random.random_range(0.1..3.0));
            let (sin, cos) = (rotation.sin() * step, rotation.cos() * step);
            let mut tilt = || random.random_range(-1e-3..1e-3f64);
            let (g, h) = (tilt(), tilt());
            let (x, y) = (
                random.random_range(-50.0..330.0),
                random.random_range(-50.0..200.0),
            );
            let map = Matrix3::new(cos, -sin, x, sin, cos, y, g, h, 1.0);
            for kernel in [Kernel::Nearest, Kernel::Cubic] {
                let made = |instructions| sample_with(&picture, &map, (150, 70), kernel, instructions);
                assert!(
                    made(Instructions::Best) == made(Instructions::Baseline),
                    "{kernel:?} {map}"
                );
            }
        }
    }
}
