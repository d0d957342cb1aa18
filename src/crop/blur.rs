//! Smoothing a plane of numbers.

use rayon::prelude::*;

/// Rows that one thread takes at a time.
const BAND: usize = 32;

/// Three box means one after the other, each reaching `radius` px to both sides: nearly a Gaussian of deviation
/// sqrt(radius (radius + 1)) px (P. Kovesi, Fast almost-Gaussian filtering, DICTA 2010). Borders repeat.
pub(super) fn smooth(plane: Vec<f32>, width: usize, height: usize, radius: usize) -> Vec<f32> {
    // Turned in between, so that both passes run along memory.
    let turned = turn(&along_rows(plane, width, radius), width, height);
    turn(&along_rows(turned, height, radius), height, width)
}

fn along_rows(mut plane: Vec<f32>, width: usize, radius: usize) -> Vec<f32> {
    plane.par_chunks_mut(width * BAND).for_each_init(
        || vec![0f32; width],
        |scratch, rows| {
            for row in rows.chunks_exact_mut(width) {
                for _ in 0..3 {
                    box_mean(row, scratch, radius);
                    row.copy_from_slice(scratch);
                }
            }
        },
    );
    plane
}

/// The mean of each value with `radius` neighbours to both sides.
fn box_mean(row: &[f32], out: &mut [f32], radius: usize) {
    let (Some(&first), Some(&last)) = (row.first(), row.last()) else {
        return;
    };
    let value = |i: isize| match usize::try_from(i) {
        Ok(i) => row.get(i).copied().unwrap_or(last),
        Err(_) => first,
    };
    let reach = radius as isize;
    let scale = 1.0 / (2.0 * radius as f64 + 1.0);
    // In f64, so that adding and taking away leaves no drift.
    let mut sum: f64 = (-reach..=reach).map(|i| f64::from(value(i))).sum();
    for (i, o) in out.iter_mut().enumerate() {
        *o = (sum * scale) as f32;
        sum += f64::from(value(i as isize + reach + 1)) - f64::from(value(i as isize - reach));
    }
}

fn turn(plane: &[f32], width: usize, height: usize) -> Vec<f32> {
    let mut out = vec![0f32; plane.len()];
    out.par_chunks_mut(height.max(1) * BAND)
        .enumerate()
        .for_each(|(band, rows)| {
            for y in 0..height {
                for (i, row) in rows.chunks_exact_mut(height).enumerate() {
                    row[y] = plane[y * width + band * BAND + i];
                }
            }
        });
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_spreads_like_a_gaussian() {
        let (w, h, radius) = (61, 41, 4usize);
        let mut plane = vec![0f32; w * h];
        plane[20 * w + 30] = 1000.0;
        let smoothed = smooth(plane, w, h, radius);
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
        assert!(
            smooth(vec![7.0; 15], 5, 3, 9)
                .iter()
                .all(|v| (v - 7.0).abs() < 1e-5)
        );
    }
}
