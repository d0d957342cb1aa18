//! Smoothing a plane of numbers.

use rayon::prelude::*;

use crate::photo::Instructions;

/// Columns that are smoothed together, side by side in the processor's registers.
const LANES: usize = 16;

/// The values of some neighbouring columns in one row.
type Lanes = [f32; LANES];

/// Three box means one after the other, each reaching `radius` px to both sides: nearly a Gaussian of deviation
/// sqrt(radius (radius + 1)) px (P. Kovesi, Fast almost-Gaussian filtering, DICTA 2010). Borders repeat.
pub(super) fn smooth(plane: &[f32], width: usize, height: usize, radius: usize) -> Vec<f32> {
    let turned = along_columns_and_turn(plane, width, height, radius);
    along_columns_and_turn(&turned, height, width, radius)
}

/// The plane smoothed along its columns, with rows and columns exchanged.
fn along_columns_and_turn(plane: &[f32], width: usize, height: usize, radius: usize) -> Vec<f32> {
    let mut out = vec![0f32; plane.len()];
    if plane.is_empty() {
        return out;
    }
    out.par_chunks_mut(height * LANES).enumerate().for_each_init(
        || (vec![[0f32; LANES]; height], vec![[0f32; LANES]; height]),
        |(strip, scratch), (number, columns)| {
            let (first, count) = (number * LANES, columns.len() / height);
            for (lanes, row) in strip.iter_mut().zip(plane.chunks_exact(width)) {
                lanes[..count].copy_from_slice(&row[first..first + count]);
            }
            for _ in 0..3 {
                Instructions::Best.run(
                    #[inline(always)]
                    || box_mean(strip, scratch, radius),
                );
                std::mem::swap(strip, scratch);
            }
            for (lane, column) in columns.chunks_exact_mut(height).enumerate() {
                for (value, lanes) in column.iter_mut().zip(strip.iter()) {
                    *value = lanes[lane];
                }
            }
        },
    );
    out
}

/// The mean of each row with `radius` neighbours to both sides.
#[inline(always)]
fn box_mean(rows: &[Lanes], out: &mut [Lanes], radius: usize) {
    let Some(last) = rows.len().checked_sub(1) else {
        return;
    };
    let scale = 1.0 / (2.0 * radius as f64 + 1.0);
    // In f64, so that adding and taking away leaves no drift.
    let mut sum = [0f64; LANES];
    for i in 0..=2 * radius {
        let row = &rows[i.saturating_sub(radius).min(last)];
        for (s, v) in sum.iter_mut().zip(row) {
            *s += f64::from(*v);
        }
    }
    for (i, out) in out.iter_mut().enumerate() {
        let (entering, leaving) = (&rows[(i + radius + 1).min(last)], &rows[i.saturating_sub(radius)]);
        for lane in 0..LANES {
            out[lane] = (sum[lane] * scale) as f32;
            sum[lane] += f64::from(entering[lane]) - f64::from(leaving[lane]);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_spreads_like_a_gaussian() {
        let (w, h, radius) = (61, 41, 4usize);
        let mut plane = vec![0f32; w * h];
        plane[20 * w + 30] = 1000.0;
        let smoothed = smooth(&plane, w, h, radius);
        let total: f32 = smoothed.iter().sum();
        assert!((total - 1000.0).abs() < 0.1);
        let variance = |f: &dyn Fn(usize) -> f64| -> f64 {
            smoothed
                .iter()
                .enumerate()
                .map(|(i, v)| f64::from(*v) * f(i).powi(2))
                .sum::<f64>()
                / 1000.0
        };
        let wanted = (radius * (radius + 1)) as f64;
        assert!((variance(&|i| (i % w) as f64 - 30.0) - wanted).abs() < 0.01);
        assert!((variance(&|i| (i / w) as f64 - 20.0) - wanted).abs() < 0.01);
    }

    #[test]
    fn a_flat_plane_stays_flat_at_the_border() {
        assert!(smooth(&[7.0; 15], 5, 3, 9).iter().all(|v| (v - 7.0).abs() < 1e-5));
    }
}
