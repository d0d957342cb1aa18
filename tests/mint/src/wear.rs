//! Weak strikes and wear, on a height map.

use rayon::prelude::*;

use super::grid::Grid;
use super::noise::{fractal_noise, smoothstep, value_noise};
use super::shapes::P;

/// Leaves the relief low over one part of the side.
pub(super) fn weaken(height: &mut Grid, amount: f32, seed: u32) {
    if amount <= 0.0 {
        return;
    }
    let size = height.size;
    let places: Vec<P> = (0..size).map(|i| height.place(i, i)).collect();
    height
        .cells
        .par_chunks_mut(size)
        .enumerate()
        .for_each(|(row, line)| {
            for (column, h) in line.iter_mut().enumerate() {
                let (x, y) = (places[column][0], places[row][1]);
                let weak = smoothstep(-0.1, 0.7, value_noise(x / 9.0 + 3.7, y / 9.0, seed ^ 0x77));
                if *h > 0.0 && x.hypot(y) < 13.0 {
                    *h *= 1.0 - amount * weak;
                }
            }
        });
}

/// Wears the high points down and rounds edges; returns how much each place was rubbed, 0..1. `highest_mm` is the highest
/// point of the relief over the field.
pub(super) fn wear_down(height: &mut Grid, wear: f32, highest_mm: f32, seed: u32) -> Grid {
    let mut rubbed = Grid {
        cells: vec![0.0; height.cells.len()],
        ..height.clone()
    };
    if wear <= 0.0 {
        return rubbed;
    }
    let around = height.smoothed(0.55);
    let size = height.size;
    let places: Vec<P> = (0..size).map(|i| height.place(i, i)).collect();
    height
        .cells
        .par_chunks_mut(size)
        .zip(rubbed.cells.par_chunks_mut(size))
        .enumerate()
        .for_each(|(row, (line, rubbed))| {
            for (column, h) in line.iter_mut().enumerate() {
                let p = [places[column][0], places[row][1]];
                let uneven = 0.03 * fractal_noise(p[0] / 3.5, p[1] / 3.5, 2, seed ^ 0x51);
                let level = around.cells[row * size + column];
                // What rubs a coin is soft: it follows the broad forms and takes most from what stands out of them.
                let cut = (highest_mm + 0.02) * (1.0 - wear).powf(1.2)
                    + 0.55 * wear.sqrt() * level
                    + uneven * wear.sqrt()
                    - 0.02 * wear;
                let worn = soft_min(*h, cut, 0.05 + 0.05 * wear);
                let lost = *h - worn;
                *h = worn;
                let stands_out = smoothstep(0.0, 0.09, worn - level + 0.02);
                rubbed[column] = (smoothstep(0.004, 0.05, lost) + 0.5 * wear * stands_out).min(1.0);
            }
        });
    let soft = height.smoothed(0.012 + 0.045 * wear);
    let share = (1.6 * wear).min(1.0);
    height
        .cells
        .par_iter_mut()
        .zip(&soft.cells)
        .for_each(|(h, s)| *h += share * (s - *h));
    rubbed
}

/// The lower of two heights, with a soft seam `k` wide.
fn soft_min(a: f32, b: f32, k: f32) -> f32 {
    let t = (k - (a - b).abs()).max(0.0);
    a.min(b) - t * t / (4.0 * k)
}
