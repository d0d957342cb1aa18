//! Reading a square of the side off a picture.

use nalgebra::Vector2;

use super::local_map::LocalMap;
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

impl Patch {
    /// The share of the nodes up to `half` from the middle that lie inside the picture.
    pub(super) fn inside(&self, half: usize) -> f64 {
        let from = (self.side / 2).saturating_sub(half);
        let wide = (2 * half + 1).min(self.side);
        let rows = self.grey.chunks_exact(self.side).skip(from).take(wide);
        let seen = rows
            .flat_map(|row| &row[from..][..wide])
            .filter(|v| v.is_finite());
        seen.count() as f64 / (wide * wide) as f64
    }
}

/// The grey values of a part of a picture, from the level of its pyramid whose px are just smaller than a grid's nodes.
pub(super) struct Ground {
    /// Row by row.
    grey: Vec<f32>,
    width: usize,
    height: usize,
    /// The first px, of the level.
    from: (f64, f64),
    /// Px of the level a px of the picture.
    scale: f64,
    picture_from_side: PictureFromSide,
    position: SidePoint,
}

impl Ground {
    /// The ground of a square of `reach_mm` each way, about `position` moved by `shift` mm, for a grid of a node every
    /// `step_mm`.
    pub(super) fn of(
        picture: &Picture,
        picture_from_side: &PictureFromSide,
        position: SidePoint,
        shift: Vector2<f64>,
        reach_mm: f64,
        step_mm: f64,
    ) -> Self {
        let px_a_node = picture_from_side.px_per_mm(position) * step_mm;
        let level = (px_a_node.log2().floor().max(0.0) as usize).min(picture.levels().len() - 1);
        let image = &picture.levels()[level];
        let scale = 1.0 / f64::from(1u32 << level);
        let middle = position + SideVector::new(shift.x, shift.y);
        let corners = [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)]
            .map(|(x, y)| picture_from_side.point_in_picture(middle + SideVector::new(x, y) * reach_mm));
        // The first and the last px along an axis, both inside the level.
        let span = |at: fn(&PicturePoint) -> f64, length: u32| -> (u32, u32) {
            let on_level = corners.iter().map(|p| (at(p) + 0.5) * scale - 0.5);
            let (least, most) = on_level.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
                (a.min(v), b.max(v))
            });
            let last = f64::from(length.saturating_sub(1));
            let first = least.floor().clamp(0.0, last) as u32;
            // Never less than the first, even where a corner has no position in the picture.
            (first, (most.ceil().clamp(0.0, last) as u32).max(first))
        };
        let ((x0, x1), (y0, y1)) = (span(|p| p.x, image.width()), span(|p| p.y, image.height()));
        let grey = (y0..=y1)
            .flat_map(|y| (x0..=x1).map(move |x| f32::from(luma(image.get_pixel(x, y).0))))
            .collect();
        Self {
            grey,
            width: (x1 - x0 + 1) as usize,
            height: (y1 - y0 + 1) as usize,
            from: (f64::from(x0), f64::from(y0)),
            scale,
            picture_from_side: *picture_from_side,
            position,
        }
    }

    /// Samples a square about the position, of `reach` nodes each way. `from_square` says which position of the side,
    /// as the picture's transform has it, each position of the square is read from.
    pub(super) fn sample(&self, from_square: &LocalMap, step_mm: f64, reach: usize) -> Patch {
        let side = 2 * reach + 1;
        let mut grey = vec![f32::NAN; side * side];
        for (j, row) in grey.chunks_exact_mut(side).enumerate() {
            for (i, out) in row.iter_mut().enumerate() {
                let off = Vector2::new(i as f64 - reach as f64, j as f64 - reach as f64) * step_mm;
                let there = from_square.apply(off);
                let at = self.position + SideVector::new(there.x, there.y);
                let p = self.picture_from_side.point_in_picture(at);
                *out = self.bilinear(
                    (p.x + 0.5) * self.scale - 0.5 - self.from.0,
                    (p.y + 0.5) * self.scale - 0.5 - self.from.1,
                );
            }
        }
        Patch { side, grey }
    }

    fn bilinear(&self, x: f64, y: f64) -> f32 {
        if !(x >= 0.0 && y >= 0.0) {
            return f32::NAN;
        }
        let (i, j) = (x as usize, y as usize);
        if i + 1 >= self.width || j + 1 >= self.height {
            return f32::NAN;
        }
        let (fx, fy) = ((x - i as f64) as f32, (y - j as f64) as f32);
        let above = &self.grey[j * self.width + i..][..2];
        let below = &self.grey[(j + 1) * self.width + i..][..2];
        (above[0] * (1.0 - fx) + above[1] * fx) * (1.0 - fy) + (below[0] * (1.0 - fx) + below[1] * fx) * fy
    }
}
