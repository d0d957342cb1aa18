//! Gradients of a colour picture.

use rayon::prelude::*;

use crate::photo::Level;

/// The gradient at every px, of whichever colour channel changes most there: a grey coin on blue cloth of the same
/// brightness has an edge too.
#[derive(Debug, Clone)]
pub(super) struct Gradients {
    pub(super) width: usize,
    pub(super) height: usize,
    /// Along x and y, in levels per px.
    pub(super) at: Vec<[f32; 2]>,
}

/// Binomial weights of 1, 4, 6, 4, 1 parts in 16: a blur of 1 px that keeps noise down.
const BLUR: [f32; 5] = [1.0 / 16.0, 4.0 / 16.0, 6.0 / 16.0, 4.0 / 16.0, 1.0 / 16.0];

impl Gradients {
    pub(super) fn of(picture: &Level) -> Self {
        let (width, height) = (picture.width() as usize, picture.height() as usize);
        let values: &[u8] = picture;
        let smooth = blurred(values, width, height);
        let mut at = vec![[0.0; 2]; width * height];
        at.par_chunks_mut(width.max(1)).enumerate().for_each(|(y, row)| {
            let (up, down) = (y.saturating_sub(1), (y + 1).min(height - 1));
            for (x, out) in row.iter_mut().enumerate() {
                let (left, right) = (x.saturating_sub(1), (x + 1).min(width - 1));
                let mut most = 0.0;
                for c in 0..3 {
                    let v = |x: usize, y: usize| smooth[(y * width + x) * 3 + c];
                    let gx = (v(right, y) - v(left, y)) / 2.0;
                    let gy = (v(x, down) - v(x, up)) / 2.0;
                    let square = gx * gx + gy * gy;
                    if square > most {
                        most = square;
                        *out = [gx, gy];
                    }
                }
            }
        });
        Self { width, height, at }
    }

    /// Bilinear between px; none outside the picture.
    pub(super) fn sample(&self, x: f64, y: f64) -> Option<[f32; 2]> {
        if !(x >= 0.0 && y >= 0.0) {
            return None;
        }
        let (i, j) = (x as usize, y as usize);
        if i + 1 >= self.width || j + 1 >= self.height {
            return None;
        }
        let (fx, fy) = ((x - i as f64) as f32, (y - j as f64) as f32);
        let v = |i: usize, j: usize| self.at[j * self.width + i];
        let (a, b, c, d) = (v(i, j), v(i + 1, j), v(i, j + 1), v(i + 1, j + 1));
        let mix =
            |k: usize| (a[k] * (1.0 - fx) + b[k] * fx) * (1.0 - fy) + (c[k] * (1.0 - fx) + d[k] * fx) * fy;
        Some([mix(0), mix(1)])
    }
}

fn blurred(values: &[u8], width: usize, height: usize) -> Vec<f32> {
    let mut across = vec![0.0_f32; values.len()];
    across
        .par_chunks_mut((width * 3).max(1))
        .enumerate()
        .for_each(|(y, row)| {
            for x in 0..width {
                for c in 0..3 {
                    row[x * 3 + c] = (0..5)
                        .map(|k| {
                            let i = (x + k).saturating_sub(2).min(width - 1);
                            BLUR[k] * f32::from(values[(y * width + i) * 3 + c])
                        })
                        .sum();
                }
            }
        });
    let mut out = vec![0.0_f32; values.len()];
    out.par_chunks_mut((width * 3).max(1))
        .enumerate()
        .for_each(|(y, row)| {
            for (k, weight) in BLUR.iter().enumerate() {
                let j = (y + k).saturating_sub(2).min(height - 1);
                for (o, v) in row.iter_mut().zip(&across[j * width * 3..][..width * 3]) {
                    *o += weight * v;
                }
            }
        });
    out
}
