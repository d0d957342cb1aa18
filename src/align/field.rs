//! Pictures as fields of edge directions, which light changes little.
//!
//! Where the light comes from decides which flank of a struck line is bright, so brightness, and the gradient's sign,
//! differ between a photo and a plate of the same coin. The direction across the line does not: the gradient's
//! doubled angle is the same for both signs.

use image::RgbImage;
use nalgebra::Matrix2;

use crate::geometry::{PictureFromSide, PicturePoint, SidePoint, SideVector};
use crate::photo::{Picture, luma};

/// A square grid of grey values, a node every `step_mm` on the side.
#[derive(Debug, Clone)]
pub(super) struct Patch {
    /// Nodes along each side.
    pub(super) side: usize,
    /// Row by row; NaN outside the picture.
    pub(super) grey: Vec<f32>,
}

/// Samples a square of the side about `place`, of `reach` nodes each way, from a picture. The picture is read as if
/// `shift_px` were added to the transform.
pub(super) fn sample(
    picture: &Picture,
    picture_from_side: &PictureFromSide,
    place: SidePoint,
    shift: euclid::Vector2D<f64, crate::geometry::PicturePx>,
    step_mm: f64,
    reach: usize,
) -> Patch {
    let side = 2 * reach + 1;
    let px_a_node = picture_from_side.px_per_mm(place) * step_mm;
    // The level whose px are just smaller than the grid's.
    let level = (px_a_node.log2().floor().max(0.0) as usize).min(picture.levels().len() - 1);
    let image = &picture.levels()[level];
    let scale = 1.0 / f64::from(1u32 << level);
    let mut grey = vec![f32::NAN; side * side];
    for (j, row) in grey.chunks_exact_mut(side).enumerate() {
        for (i, out) in row.iter_mut().enumerate() {
            let off = SideVector::new(
                (i as f64 - reach as f64) * step_mm,
                (j as f64 - reach as f64) * step_mm,
            );
            let p: PicturePoint = picture_from_side.point_in_picture(place + off) + shift;
            *out = bilinear(image, (p.x + 0.5) * scale - 0.5, (p.y + 0.5) * scale - 0.5);
        }
    }
    Patch { side, grey }
}

fn bilinear(image: &RgbImage, x: f64, y: f64) -> f32 {
    if !(x >= 0.0 && y >= 0.0) {
        return f32::NAN;
    }
    let (i, j) = (x as u32, y as u32);
    if i + 1 >= image.width() || j + 1 >= image.height() {
        return f32::NAN;
    }
    let (fx, fy) = ((x - f64::from(i)) as f32, (y - f64::from(j)) as f32);
    let v = |i: u32, j: u32| f32::from(luma(image.get_pixel(i, j).0));
    (v(i, j) * (1.0 - fx) + v(i + 1, j) * fx) * (1.0 - fy)
        + (v(i, j + 1) * (1.0 - fx) + v(i + 1, j + 1) * fx) * fy
}

/// Edge directions: for each node the gradient with its angle doubled and its strength evened out.
#[derive(Debug, Clone)]
pub(super) struct Field {
    /// Nodes along x and y.
    pub(super) width: usize,
    pub(super) height: usize,
    /// (strength cos 2a, strength sin 2a), row by row; (0, 0) outside the picture.
    pub(super) at: Vec<[f32; 2]>,
    /// The share of nodes inside the picture.
    pub(super) inside: f64,
    /// Root mean square of the gradient, in levels per node.
    pub(super) contrast: f64,
}

/// Below this many times the root mean square gradient an edge counts little.
const EVENING: f32 = 1.2;
/// The gradient that noise alone makes after the blur, in levels per node. Common practice, no source.
const NOISE: f32 = 0.8;

impl Field {
    pub(super) fn of_patch(patch: &Patch) -> Self {
        Self::of(patch.side, patch.side, &patch.grey)
    }

    /// Of a grey picture, NaN where it has none.
    pub(super) fn of(width: usize, height: usize, grey: &[f32]) -> Self {
        let smooth = blurred(width, height, grey);
        let mut at = vec![[0.0; 2]; width * height];
        let (mut squares, mut count) = (0.0_f64, 0.0_f64);
        for j in 1..height.saturating_sub(1) {
            for i in 1..width.saturating_sub(1) {
                let v = |i: usize, j: usize| smooth[j * width + i];
                let gx = (v(i + 1, j) - v(i - 1, j)) / 2.0;
                let gy = (v(i, j + 1) - v(i, j - 1)) / 2.0;
                if gx.is_finite() && gy.is_finite() {
                    at[j * width + i] = [gx, gy];
                    squares += f64::from(gx * gx + gy * gy);
                    count += 1.0;
                }
            }
        }
        let contrast = if count > 0.0 {
            (squares / count).sqrt()
        } else {
            0.0
        };
        let half = EVENING * contrast as f32 + NOISE;
        for g in &mut at {
            let (x, y) = (g[0], g[1]);
            let square = x * x + y * y;
            if square > 0.0 {
                // (x + iy)^2 / |g|^2 times a strength that saturates.
                let strength = square / (square + half * half);
                *g = [
                    (x * x - y * y) / square * strength,
                    2.0 * x * y / square * strength,
                ];
            }
        }
        Self {
            width,
            height,
            at,
            inside: count / (width.saturating_sub(2) * height.saturating_sub(2)).max(1) as f64,
            contrast,
        }
    }
}

/// Binomial blur of 1, 4, 6, 4, 1 parts in 16 each way.
fn blurred(width: usize, height: usize, grey: &[f32]) -> Vec<f32> {
    const WEIGHTS: [f32; 5] = [1.0 / 16.0, 4.0 / 16.0, 6.0 / 16.0, 4.0 / 16.0, 1.0 / 16.0];
    let mut across = vec![0.0; grey.len()];
    for (row, out) in grey.chunks_exact(width).zip(across.chunks_exact_mut(width)) {
        for (i, o) in out.iter_mut().enumerate() {
            *o = (0..5)
                .map(|k| WEIGHTS[k] * row[(i + k).saturating_sub(2).min(width - 1)])
                .sum();
        }
    }
    let mut out = vec![0.0; grey.len()];
    for j in 0..height {
        for (k, weight) in WEIGHTS.iter().enumerate() {
            let from = (j + k).saturating_sub(2).min(height - 1);
            for i in 0..width {
                out[j * width + i] += weight * across[from * width + i];
            }
        }
    }
    out
}

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

/// Searches `template` (weighted by a Gaussian of a third of its width) in `field` over shifts up to `reach` nodes
/// each way. Rivals are looked for further than `apart` nodes from the best.
/// The field must be the template's size and `reach` more on each side.
pub(super) fn search(template: &Field, field: &Field, reach: usize, apart: f64) -> Option<Peak> {
    let side = 2 * reach + 1;
    if field.width != template.width + 2 * reach || field.height != template.height + 2 * reach {
        return None;
    }
    let weights = window(template.width, template.height);
    let weighted: Vec<[f32; 2]> = template
        .at
        .iter()
        .zip(&weights)
        .map(|(t, w)| [t[0] * w, t[1] * w])
        .collect();
    let own: f64 = weighted
        .iter()
        .zip(&template.at)
        .map(|(w, t)| f64::from(w[0] * t[0] + w[1] * t[1]))
        .sum();
    if own <= 0.0 {
        return None;
    }
    let mut scores = vec![0.0; side * side];
    for sy in 0..side {
        for sx in 0..side {
            let (mut dot, mut square) = (0.0_f32, 0.0_f32);
            for j in 0..template.height {
                let f = &field.at[(j + sy) * field.width + sx..][..template.width];
                let t = &weighted[j * template.width..][..template.width];
                let w = &weights[j * template.width..][..template.width];
                for ((f, t), w) in f.iter().zip(t).zip(w) {
                    dot += f[0] * t[0] + f[1] * t[1];
                    square += w * (f[0] * f[0] + f[1] * f[1]);
                }
            }
            scores[sy * side + sx] = if square > 0.0 {
                f64::from(dot) / (f64::from(square) * own).sqrt()
            } else {
                0.0
            };
        }
    }
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
        let gradient = nalgebra::Vector2::new(fold(|x, _| x) / 6.0, fold(|_, y| y) / 6.0);
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

/// A Gaussian of a third of the width, 1 in the middle.
fn window(width: usize, height: usize) -> Vec<f32> {
    let (mx, my) = ((width as f32 - 1.0) / 2.0, (height as f32 - 1.0) / 2.0);
    let (sx, sy) = (width as f32 / 3.0, height as f32 / 3.0);
    (0..width * height)
        .map(|k| {
            let (x, y) = (((k % width) as f32 - mx) / sx, ((k / width) as f32 - my) / sy);
            (-0.5 * (x * x + y * y)).exp()
        })
        .collect()
}
