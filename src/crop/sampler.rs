//! Sampling a picture through a projective map, row by row.

use image::{RgbImage, RgbaImage};
use nalgebra::{Matrix3, Vector3};
use rayon::prelude::*;

use super::kernel::{Kernel, MOST_TAPS, PHASES, Taps};
use crate::photo::Picture;

/// Bilinear may step this many level px for each crop px before the next level is taken. Above 1 it lets a little
/// aliasing through for sharpness while dragging; chosen by eye, no source.
const LINEAR_STEP: f64 = 1.3;

/// Rows that one thread takes at a time.
const BAND_ROWS: usize = 64;

/// What to sample and how.
struct Plan<'a> {
    level: &'a RgbImage,
    /// From crop px to level px, its sign chosen so that the third coordinate is positive before the camera.
    level_from_crop: Matrix3<f64>,
    /// None: the nearest pixel.
    taps: Option<Taps>,
}

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
    let plan = Plan::new(picture, picture_from_crop, width, height, kernel);
    let row_bytes = width as usize * 4;
    out.par_chunks_mut(row_bytes * BAND_ROWS)
        .enumerate()
        .for_each(|(band, rows)| {
            for (i, row) in rows.chunks_exact_mut(row_bytes).enumerate() {
                plan.row((band * BAND_ROWS + i) as f64, row);
            }
        });
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

impl<'a> Plan<'a> {
    fn new(
        picture: &'a Picture,
        picture_from_crop: &Matrix3<f64>,
        width: u32,
        height: u32,
        kernel: Kernel,
    ) -> Self {
        let step = greatest_step(picture_from_crop, width, height)
            .unwrap_or(1.0)
            .max(1.0);
        let levels = picture.levels();
        let most = levels.len() - 1;
        let (k, taps) = match kernel {
            Kernel::Nearest => (0, None),
            Kernel::Linear => (
                ((step / LINEAR_STEP).log2().ceil().max(0.0) as usize).min(most),
                Some(Taps::linear()),
            ),
            Kernel::Cubic => {
                let k = (step.log2().floor() as usize).min(most);
                (k, Some(Taps::cubic(step / f64::from(1u32 << k.min(31)))))
            }
        };
        let shrink = 0.5f64.powi(i32::try_from(k).unwrap_or(0));
        // Pixel centres are at whole numbers in every level.
        let shift = 0.5 * shrink - 0.5;
        let level_from_picture = Matrix3::new(shrink, 0.0, shift, 0.0, shrink, shift, 0.0, 0.0, 1.0);
        let mut level_from_crop = level_from_picture * picture_from_crop;
        let middle = Vector3::new(
            (f64::from(width) - 1.0) / 2.0,
            (f64::from(height) - 1.0) / 2.0,
            1.0,
        );
        if (level_from_crop * middle).z < 0.0 {
            level_from_crop = -level_from_crop;
        }
        Self {
            level: &levels[k],
            level_from_crop,
            taps,
        }
    }

    /// Fills one row of RGBA.
    fn row(&self, y: f64, row: &mut [u8]) {
        let m = &self.level_from_crop;
        let start = m * Vector3::new(0.0, y, 1.0);
        let (w, h) = (f64::from(self.level.width()), f64::from(self.level.height()));
        for (x, out) in row.chunks_exact_mut(4).enumerate() {
            let x = x as f64;
            let third = start.z + m[(2, 0)] * x;
            if third <= 0.0 {
                continue;
            }
            let u = (start.x + m[(0, 0)] * x) / third;
            let v = (start.y + m[(1, 0)] * x) / third;
            if !(u >= -0.5 && u <= w - 0.5 && v >= -0.5 && v <= h - 0.5) {
                continue;
            }
            let [r, g, b] = self.pixel(u, v);
            out.copy_from_slice(&[r, g, b, 255]);
        }
    }

    fn pixel(&self, u: f64, v: f64) -> [u8; 3] {
        let (w, h) = (self.level.width() as i64, self.level.height() as i64);
        let values: &[u8] = self.level;
        let Some(taps) = &self.taps else {
            let (x, y) = (
                (u.round() as i64).clamp(0, w - 1),
                (v.round() as i64).clamp(0, h - 1),
            );
            let i = ((y * w + x) * 3) as usize;
            return [values[i], values[i + 1], values[i + 2]];
        };
        let place = |t: f64| {
            let fine = (t * PHASES as f64).round() as i64;
            (
                fine.div_euclid(PHASES as i64),
                fine.rem_euclid(PHASES as i64) as usize,
            )
        };
        let ((x, fx), (y, fy)) = (place(u), place(v));
        let first = taps.count as i64 / 2 - 1;
        let (wx, wy) = (&taps.weights[fx], &taps.weights[fy]);
        let mut columns = [0usize; MOST_TAPS];
        for (i, c) in columns.iter_mut().enumerate() {
            *c = ((x - first + i as i64).clamp(0, w - 1) * 3) as usize;
        }
        let mut sum = [0f32; 3];
        for (j, wy) in wy[..taps.count].iter().enumerate() {
            let row = ((y - first + j as i64).clamp(0, h - 1) * w * 3) as usize;
            let mut line = [0f32; 3];
            for (c, wx) in columns[..taps.count].iter().zip(wx) {
                let p = &values[row + c..row + c + 3];
                for (l, p) in line.iter_mut().zip(p) {
                    *l += wx * f32::from(*p);
                }
            }
            for (s, l) in sum.iter_mut().zip(line) {
                *s += wy * l;
            }
        }
        sum.map(|s| (s + 0.5).clamp(0.0, 255.0) as u8)
    }
}
