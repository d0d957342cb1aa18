//! Pictures as fields of edge directions, which light changes little.
//!
//! Where the light comes from decides which flank of a struck line is bright, so brightness, and the gradient's sign,
//! differ between a photo and a plate of the same coin. The direction across the line does not: the gradient's
//! doubled angle is the same for both signs.

use crate::geometry::{PictureFromSide, PicturePoint, SidePoint, SideVector};
use crate::photo::{Level, Picture, luma};

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

fn bilinear(image: &Level, x: f64, y: f64) -> f32 {
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

/// How finely a field is drawn from its patch.
#[derive(Debug, Clone, Copy)]
pub(super) struct Drawing {
    /// How often the patch is blurred by 1, 2, 1 parts in 4 each way before the gradient is taken.
    pub(super) blurs: usize,
    /// Below this many times the root mean square gradient an edge counts little. A small share lets the faint edge
    /// of a line that runs along the light count nearly as much as the bright one of a line across it.
    pub(super) evening: f32,
}

/// The gradient that noise alone makes after the blur, in levels per node. Common practice, no source.
const NOISE: f32 = 0.8;

/// Edge directions: for each node the gradient with its angle doubled and its strength evened out.
#[derive(Debug, Clone)]
pub(super) struct Field {
    /// Nodes along x and y.
    pub(super) width: usize,
    pub(super) height: usize,
    /// Strength times cos 2a, row by row; 0 outside the picture.
    pub(super) cos: Vec<f32>,
    /// Strength times sin 2a, likewise.
    pub(super) sin: Vec<f32>,
    /// The share of nodes inside the picture.
    pub(super) inside: f64,
    /// Root mean square of the gradient, in levels per node.
    pub(super) contrast: f64,
}

impl Field {
    pub(super) fn of_patch(patch: &Patch, drawing: Drawing) -> Self {
        Self::of(patch.side, patch.side, &patch.grey, drawing)
    }

    /// Of a grey picture, NaN where it has none.
    pub(super) fn of(width: usize, height: usize, grey: &[f32], drawing: Drawing) -> Self {
        let mut smooth = grey.to_vec();
        for _ in 0..drawing.blurs {
            smooth = blurred(width, height, &smooth);
        }
        let (mut cos, mut sin) = (vec![0.0; width * height], vec![0.0; width * height]);
        let (mut squares, mut count) = (0.0_f64, 0.0_f64);
        for j in 1..height.saturating_sub(1) {
            for i in 1..width.saturating_sub(1) {
                let k = j * width + i;
                let gx = (smooth[k + 1] - smooth[k - 1]) / 2.0;
                let gy = (smooth[k + width] - smooth[k - width]) / 2.0;
                if gx.is_finite() && gy.is_finite() {
                    (cos[k], sin[k]) = (gx, gy);
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
        let half = drawing.evening * contrast as f32 + NOISE;
        for (c, s) in cos.iter_mut().zip(&mut sin) {
            let (x, y) = (*c, *s);
            let square = x * x + y * y;
            if square > 0.0 {
                // (x + iy)^2 / |g|^2 times a strength that saturates.
                let strength = 1.0 / (square + half * half);
                (*c, *s) = ((x * x - y * y) * strength, 2.0 * x * y * strength);
            }
        }
        Self {
            width,
            height,
            cos,
            sin,
            inside: count / (width.saturating_sub(2) * height.saturating_sub(2)).max(1) as f64,
            contrast,
        }
    }
}

/// Binomial blur of 1, 2, 1 parts in 4 each way.
fn blurred(width: usize, height: usize, grey: &[f32]) -> Vec<f32> {
    let mut across = vec![0.0; grey.len()];
    for (row, out) in grey.chunks_exact(width).zip(across.chunks_exact_mut(width)) {
        for (i, o) in out.iter_mut().enumerate() {
            *o = (row[i.saturating_sub(1)] + row[(i + 1).min(width - 1)]) / 4.0 + row[i] / 2.0;
        }
    }
    let mut out = vec![0.0; grey.len()];
    for j in 0..height {
        let row = |j: usize| &across[j * width..][..width];
        let (above, here, below) = (row(j.saturating_sub(1)), row(j), row((j + 1).min(height - 1)));
        for (i, o) in out[j * width..][..width].iter_mut().enumerate() {
            *o = (above[i] + below[i]) / 4.0 + here[i] / 2.0;
        }
    }
    out
}
