//! Looking for one field in another.

use nalgebra::{Matrix2, Vector2};

use super::field::Field;

/// Where a template lies in a field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Peak {
    /// Shift of the template from the middle of the search, in nodes.
    pub(super) x: f64,
    pub(super) y: f64,
    /// Normalised correlation there, -1 to 1.
    pub(super) score: f64,
    /// The next best correlation away from it, as a share of the best; 0 where all others are below zero.
    pub(super) rival: f64,
    /// Whether it lies at the border of the search.
    pub(super) at_border: bool,
    /// The correlation without a shift.
    pub(super) unshifted: f64,
}

impl Peak {
    /// Its shift from the middle of the search, in nodes.
    pub(super) fn shift(&self) -> Vector2<f64> {
        Vector2::new(self.x, self.y)
    }
}

/// Searches `template` (weighted by a Gaussian of a third of its width) in `field` over shifts up to `reach` nodes
/// each way. Rivals are looked for further than `apart` nodes from the best.
/// The field must be the template's size and `reach` more on each side.
pub(super) fn search(template: &Field, field: &Field, reach: usize, apart: f64) -> Option<Peak> {
    let side = 2 * reach + 1;
    if field.width != template.width + 2 * reach || field.height != template.height + 2 * reach {
        return None;
    }
    let scores = correlations(template, field, reach)?;
    let best = (0..scores.len()).max_by(|a, b| scores[*a].total_cmp(&scores[*b]))?;
    let (bx, by) = (best % side, best / side);
    let score = scores[best];
    let rival = (0..scores.len())
        .filter(|i| {
            let (dx, dy) = ((i % side) as f64 - bx as f64, (i / side) as f64 - by as f64);
            dx.hypot(dy) > apart
        })
        .map(|i| scores[i])
        .fold(0.0, f64::max);
    let at_border = bx == 0 || by == 0 || bx == side - 1 || by == side - 1;
    let (mut x, mut y) = (bx as f64 - reach as f64, by as f64 - reach as f64);
    if !at_border {
        let v = |dx: i32, dy: i32| scores[(by as i32 + dy) as usize * side + (bx as i32 + dx) as usize];
        // The least-squares paraboloid through the nine scores about the best.
        let fold = |f: fn(f64, f64) -> f64| -> f64 {
            let mut sum = 0.0;
            for dy in -1..=1 {
                for dx in -1..=1 {
                    sum += f(f64::from(dx), f64::from(dy)) * v(dx, dy);
                }
            }
            sum
        };
        let gradient = Vector2::new(fold(|x, _| x) / 6.0, fold(|_, y| y) / 6.0);
        let xx = fold(|x, _| x * x - 2.0 / 3.0);
        let yy = fold(|_, y| y * y - 2.0 / 3.0);
        let xy = fold(|x, y| x * y) / 4.0;
        let curvature = -Matrix2::new(xx, xy, xy, yy);
        if let Some(off) = curvature.try_inverse().map(|inverse| inverse * gradient)
            && off.amax() <= 1.0
        {
            x += off.x;
            y += off.y;
        }
    }
    Some(Peak {
        x,
        y,
        score,
        rival: if score > 0.0 { rival / score } else { 1.0 },
        at_border,
        unshifted: scores[reach * side + reach],
    })
}

/// The normalised correlation at each shift, row by row; none for an empty template.
fn correlations(template: &Field, field: &Field, reach: usize) -> Option<Vec<f64>> {
    let side = 2 * reach + 1;
    let (wide, high) = (window(template.width), window(template.height));
    let weighted = |plane: &[f32]| -> Vec<f32> {
        let rows = plane.chunks_exact(template.width).zip(&high);
        rows.flat_map(|(row, h)| row.iter().zip(&wide).map(move |(v, w)| v * w * h))
            .collect()
    };
    let (cos, sin) = (weighted(&template.cos), weighted(&template.sin));
    let own = f64::from(dot(&cos, &template.cos) + dot(&sin, &template.sin));
    if own <= 0.0 {
        return None;
    }
    // The field's energy under the window: as the window is a product, first along the rows, then down.
    let energy: Vec<f32> = (field.cos.iter().zip(&field.sin))
        .map(|(c, s)| c * c + s * s)
        .collect();
    let along: Vec<Vec<f32>> = (0..side)
        .map(|sx| {
            let rows = energy.chunks_exact(field.width);
            rows.map(|row| dot(&row[sx..][..template.width], &wide)).collect()
        })
        .collect();
    let mut scores = vec![0.0; side * side];
    for sy in 0..side {
        for sx in 0..side {
            let square = f64::from(dot(&along[sx][sy..][..template.height], &high));
            let mut sum = 0.0_f32;
            for j in 0..template.height {
                let there = (j + sy) * field.width + sx..(j + sy) * field.width + sx + template.width;
                let here = j * template.width..(j + 1) * template.width;
                sum +=
                    dot(&field.cos[there.clone()], &cos[here.clone()]) + dot(&field.sin[there], &sin[here]);
            }
            if square > 0.0 {
                scores[sy * side + sx] = f64::from(sum) / (square * own).sqrt();
            }
        }
    }
    Some(scores)
}

/// The sum of products, in eight parts side by side, which the compiler turns into vector instructions.
fn dot(a: &[f32], b: &[f32]) -> f32 {
    let mut parts = [0.0_f32; 8];
    let (whole_a, whole_b) = (a.chunks_exact(8), b.chunks_exact(8));
    let rest: f32 = (whole_a.remainder().iter().zip(whole_b.remainder()))
        .map(|(a, b)| a * b)
        .sum();
    for (a, b) in whole_a.zip(whole_b) {
        for (part, (a, b)) in parts.iter_mut().zip(a.iter().zip(b)) {
            *part += a * b;
        }
    }
    parts.iter().sum::<f32>() + rest
}

/// A Gaussian of a third of the width, 1 in the middle.
fn window(width: usize) -> Vec<f32> {
    let (middle, deviation) = ((width as f32 - 1.0) / 2.0, width as f32 / 3.0);
    (0..width)
        .map(|k| (-0.5 * ((k as f32 - middle) / deviation).powi(2)).exp())
        .collect()
}
