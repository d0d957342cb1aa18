//! Cast shadows over a height map: how much of each lamp every place sees.

use super::lamps::Lamp;
use crate::light::V3;

/// A height map in square cells, row by row.
pub(super) struct Terrain<'a> {
    pub size: usize,
    pub px_per_mm: f32,
    pub heights: &'a [f32],
}

/// The depth under a shadow's edge over which light goes from full to none, in mm: it hides the map's own steps.
const RAMP_MM: f32 = 0.008;

/// The share of a lamp that each cell sees, 0 to 1. `towards` is its direction in the side's frame, z into the coin.
pub(super) fn lit(terrain: &Terrain, lamp: &Lamp, towards: V3) -> Vec<f32> {
    let flat = towards[0].hypot(towards[1]);
    let elevation = (-towards[2]).atan2(flat);
    let azimuth = towards[1].atan2(towards[0]);
    let radius = lamp.radius_deg.to_radians() as f32;
    let aside = 0.6 * radius / elevation.cos().max(0.2);
    // A disc of light by five of its points.
    let points = [
        (azimuth, elevation),
        (azimuth, elevation + 0.6 * radius),
        (azimuth, elevation - 0.6 * radius),
        (azimuth - aside, elevation),
        (azimuth + aside, elevation),
    ];
    let mut by_rows = vec![0.0; terrain.heights.len()];
    let mut by_columns = Vec::new();
    let mut turned = Vec::new();
    for (azimuth, elevation) in points.into_iter().filter(|p| p.1 > 0.02) {
        let (dy, dx) = azimuth.sin_cos();
        if dy.abs() >= dx.abs() {
            sweep(terrain, (dy, dx), elevation.tan(), &mut by_rows);
            continue;
        }
        // Along columns on a copy with rows for columns, so that memory is still read in order.
        if turned.is_empty() {
            turned = transposed(terrain.heights, terrain.size);
            by_columns = vec![0.0; terrain.heights.len()];
        }
        let terrain = Terrain {
            heights: &turned,
            ..*terrain
        };
        sweep(&terrain, (dx, dy), elevation.tan(), &mut by_columns);
    }
    if !by_columns.is_empty() {
        let back = transposed(&by_columns, terrain.size);
        by_rows.iter_mut().zip(back).for_each(|(a, b)| *a += b);
    }
    by_rows
}

/// Rows for columns, block by block.
fn transposed(values: &[f32], size: usize) -> Vec<f32> {
    const BLOCK: usize = 16;
    let mut out = vec![0.0; values.len()];
    for top in (0..size).step_by(BLOCK) {
        for left in (0..size).step_by(BLOCK) {
            for row in top..(top + BLOCK).min(size) {
                for column in left..(left + BLOCK).min(size) {
                    out[column * size + row] = values[row * size + column];
                }
            }
        }
    }
    out
}

/// Adds a fifth to every cell that a point of light reaches. Rows are visited from the light's side on, and the height
/// below which a shadow lies is handed from row to row. The light's direction is given down the rows and along them.
fn sweep(terrain: &Terrain, (down, along): (f32, f32), tan_elevation: f32, share: &mut [f32]) {
    let size = terrain.size;
    // One row towards the light goes so many cells along, at most one, and so much lower lies the shadow here.
    let aside = along / down.abs();
    let fall = tan_elevation / terrain.px_per_mm * (1.0 + aside * aside).sqrt();
    // The levels of a row with one cell more at either end, which has its neighbour's level.
    let mut before = vec![f32::NEG_INFINITY; size + 2];
    let mut now = before.clone();
    let (first, part) = if aside < 0.0 { (0, 1.0 + aside) } else { (1, aside) };
    for step in 0..size {
        let row = if down > 0.0 { size - 1 - step } else { step };
        let cells = row * size..(row + 1) * size;
        let heights = &terrain.heights[cells.clone()];
        let pairs = before[first..].iter().zip(&before[first + 1..]);
        let line = pairs.zip(heights).zip(&mut share[cells]).zip(&mut now[1..=size]);
        for ((((a, b), height), share), level) in line {
            // Nothing stands before the first row.
            let shadow = if step == 0 {
                f32::NEG_INFINITY
            } else {
                a + (b - a) * part - fall
            };
            *share += 0.2 * ((height - shadow) / RAMP_MM + 0.5).clamp(0.0, 1.0);
            *level = shadow.max(*height);
        }
        (now[0], now[size + 1]) = (now[1], now[size]);
        std::mem::swap(&mut before, &mut now);
    }
}
