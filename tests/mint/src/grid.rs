//! A map of one number over a side, in square cells.

use rayon::prelude::*;

use super::parts::REACH_MM;
use super::shapes::P;

/// Values on a square grid that covers the side from `-REACH_MM` to `REACH_MM` on both axes.
#[derive(Debug, Clone)]
pub(super) struct Grid {
    /// Cells along each axis.
    pub size: usize,
    pub px_per_mm: f32,
    /// Row by row from the top left.
    pub cells: Vec<f32>,
}

impl Grid {
    /// Fills a grid from a function of the place in side mm.
    pub fn from_fn(px_per_mm: f32, value: impl Fn(P) -> f32 + Sync) -> Self {
        let size = (2.0 * REACH_MM * px_per_mm).ceil() as usize;
        let mut cells = vec![0.0; size * size];
        let place = |i: usize| (i as f32 + 0.5) / px_per_mm - REACH_MM;
        cells.par_chunks_mut(size).enumerate().for_each(|(row, line)| {
            for (column, cell) in line.iter_mut().enumerate() {
                *cell = value([place(column), place(row)]);
            }
        });
        Self {
            size,
            px_per_mm,
            cells,
        }
    }

    /// The place of a cell's middle in side mm.
    pub fn place(&self, column: usize, row: usize) -> P {
        [
            (column as f32 + 0.5) / self.px_per_mm - REACH_MM,
            (row as f32 + 0.5) / self.px_per_mm - REACH_MM,
        ]
    }

    /// The cell at or before a place on both axes, and the shares of the way to the next ones.
    pub fn cell(&self, p: P) -> (usize, [f32; 2]) {
        let at = |v: f32| ((v + REACH_MM) * self.px_per_mm - 0.5).clamp(0.0, self.size as f32 - 1.001);
        let (u, v) = (at(p[0]), at(p[1]));
        let (x, y) = (u as usize, v as usize);
        (y * self.size + x, [u - x as f32, v - y as f32])
    }

    /// The value at a place, between cells.
    pub fn at(&self, p: P) -> f32 {
        let (i, [fx, fy]) = self.cell(p);
        let c = &self.cells;
        let top = c[i] + (c[i + 1] - c[i]) * fx;
        let bottom = c[i + self.size] + (c[i + self.size + 1] - c[i + self.size]) * fx;
        top + (bottom - top) * fy
    }

    /// A smoothed copy: a Gaussian of standard deviation `sigma_mm`.
    pub fn smoothed(&self, sigma_mm: f32) -> Self {
        let sigma = sigma_mm * self.px_per_mm;
        if sigma < 0.3 {
            return self.clone();
        }
        // Wide blurs are made on a thinned copy: its step stays below half a standard deviation.
        let thin = ((sigma / 2.5) as usize).max(1);
        if thin == 1 {
            return Self {
                cells: blur(&self.cells, self.size, sigma),
                ..self.clone()
            };
        }
        let small_size = self.size.div_ceil(thin);
        let mut small = vec![0.0; small_size * small_size];
        small
            .par_chunks_mut(small_size)
            .enumerate()
            .for_each(|(row, line)| {
                for (column, out) in line.iter_mut().enumerate() {
                    let (mut sum, mut count) = (0.0, 0.0_f32);
                    for y in row * thin..((row + 1) * thin).min(self.size) {
                        for x in column * thin..((column + 1) * thin).min(self.size) {
                            sum += self.cells[y * self.size + x];
                            count += 1.0;
                        }
                    }
                    *out = sum / count.max(1.0);
                }
            });
        let small = blur(&small, small_size, sigma / thin as f32);
        let mut cells = vec![0.0; self.cells.len()];
        cells
            .par_chunks_mut(self.size)
            .enumerate()
            .for_each(|(row, line)| {
                let v = ((row as f32 + 0.5) / thin as f32 - 0.5).clamp(0.0, small_size as f32 - 1.001);
                for (column, out) in line.iter_mut().enumerate() {
                    let u = ((column as f32 + 0.5) / thin as f32 - 0.5).clamp(0.0, small_size as f32 - 1.001);
                    *out = bilinear(&small, small_size, u, v);
                }
            });
        Self {
            cells,
            ..self.clone()
        }
    }
}

fn bilinear(cells: &[f32], size: usize, u: f32, v: f32) -> f32 {
    let (x, y) = (u as usize, v as usize);
    let (fx, fy) = (u - x as f32, v - y as f32);
    let (x1, y1) = ((x + 1).min(size - 1), (y + 1).min(size - 1));
    let top = cells[y * size + x] * (1.0 - fx) + cells[y * size + x1] * fx;
    let bottom = cells[y1 * size + x] * (1.0 - fx) + cells[y1 * size + x1] * fx;
    top + (bottom - top) * fy
}

/// A separable Gaussian; cells beyond the border repeat the border's.
fn blur(cells: &[f32], size: usize, sigma: f32) -> Vec<f32> {
    let reach = (3.0 * sigma).ceil() as usize;
    let mut kernel: Vec<f32> = (0..=reach)
        .map(|i| (-0.5 * (i as f32 / sigma).powi(2)).exp())
        .collect();
    let total: f32 = kernel[0] + 2.0 * kernel[1..].iter().sum::<f32>();
    kernel.iter_mut().for_each(|k| *k /= total);

    let mut along = vec![0.0; cells.len()];
    along.par_chunks_mut(size).enumerate().for_each(|(row, line)| {
        let from = &cells[row * size..(row + 1) * size];
        for (x, out) in line.iter_mut().enumerate() {
            let mut sum = kernel[0] * from[x];
            for (i, k) in kernel.iter().enumerate().skip(1) {
                sum += k * (from[x.saturating_sub(i)] + from[(x + i).min(size - 1)]);
            }
            *out = sum;
        }
    });
    let mut down = vec![0.0; cells.len()];
    down.par_chunks_mut(size).enumerate().for_each(|(row, line)| {
        line.iter_mut()
            .zip(&along[row * size..])
            .for_each(|(out, v)| *out = kernel[0] * v);
        for (i, k) in kernel.iter().enumerate().skip(1) {
            let above = row.saturating_sub(i) * size;
            let below = (row + i).min(size - 1) * size;
            for (x, out) in line.iter_mut().enumerate() {
                *out += k * (along[above + x] + along[below + x]);
            }
        }
    });
    down
}
