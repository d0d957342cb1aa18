//! Rays of a camera on a solid coin: where each meets it first.

use nalgebra::{Matrix3, Vector3};

use super::sculpture::Sculpture;
use crate::camera::Pose;
use crate::shapes::P;

/// Where a ray ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hit {
    /// In side mm.
    pub p: P,
    /// In mm over the field's edge.
    pub height: f32,
}

/// A camera's rays on one coin.
pub(super) struct Look<'a> {
    coin: &'a Sculpture,
    into_side: Matrix3<f32>,
    /// The camera in the side's frame, z into the coin.
    eye: Vector3<f32>,
    /// The highest point within reach of every tile.
    tops: Vec<f32>,
    tiles: usize,
}

/// The tiles' side in mm.
const TILE_MM: f32 = 0.4;

impl<'a> Look<'a> {
    pub fn of(coin: &'a Sculpture, pose: &Pose) -> Self {
        let into_side = pose.rotation.transpose();
        let eye = -(into_side * pose.shift);
        let into_side = into_side.map(|v| v as f32);
        let eye = eye.map(|v| v as f32);
        let cells = (TILE_MM * coin.heights.px_per_mm).ceil() as usize;
        let tiles = coin.heights.size.div_ceil(cells);
        let mut tops = vec![coin.ground_mm; tiles * tiles];
        for (row, line) in coin.heights.cells.chunks(coin.heights.size).enumerate() {
            for (column, h) in line.iter().enumerate() {
                let top = &mut tops[row / cells * tiles + column / cells];
                *top = top.max(*h);
            }
        }
        // How far a ray moves aside between the highest point and the ground, at the coin's far edge.
        let axis = into_side * Vector3::new(0.0, 0.0, 1.0);
        let lean = axis.x.hypot(axis.y) / axis.z.max(0.2) + 16.0 / eye.z.abs();
        let aside = (coin.highest_mm - coin.ground_mm) * lean;
        let reach = (aside / TILE_MM).ceil() as usize + 1;
        Self {
            coin,
            into_side,
            eye,
            tops: widened(&tops, tiles, reach),
            tiles,
        }
    }

    /// The first meeting of a ray, given in the camera's frame, with the face, the edge or the ground.
    pub fn hit(&self, ray: Vector3<f32>) -> Hit {
        let d = self.into_side * ray;
        let aside = [d.x / d.z, d.y / d.z];
        let at = |height: f32| {
            let depth = -height - self.eye.z;
            [self.eye.x + depth * aside[0], self.eye.y + depth * aside[1]]
        };
        let ground = self.coin.ground_mm;
        let mut above = self.top(at(ground));
        // So that a step never leaves out a cell.
        let step = 0.7 / (self.coin.heights.px_per_mm * aside[0].hypot(aside[1])).max(0.2);
        let mut gap_above = above - self.coin.height(at(above));
        while gap_above > 0.0 {
            let below = (above - step).max(ground);
            let gap = below - self.coin.height(at(below));
            if gap <= 0.0 {
                let height = above + (below - above) * gap_above / (gap_above - gap);
                return Hit {
                    p: at(height),
                    height,
                };
            }
            if below <= ground {
                break;
            }
            (above, gap_above) = (below, gap);
        }
        let height = if gap_above > 0.0 { ground } else { above };
        Hit {
            p: at(height),
            height,
        }
    }

    /// Where a ray meets the ground, if nothing but ground is anywhere near.
    pub fn open_ground(&self, ray: Vector3<f32>) -> Option<P> {
        let d = self.into_side * ray;
        let depth = (-self.coin.ground_mm - self.eye.z) / d.z;
        let p = [self.eye.x + depth * d.x, self.eye.y + depth * d.y];
        (self.top(p) <= self.coin.ground_mm + 2e-3).then_some(p)
    }

    /// The highest point that a ray which ends about here can have met.
    fn top(&self, p: P) -> f32 {
        let heights = &self.coin.heights;
        let cells = (TILE_MM * heights.px_per_mm).ceil();
        let tile = |v: f32| {
            (((v + crate::parts::REACH_MM) * heights.px_per_mm / cells).max(0.0) as usize).min(self.tiles - 1)
        };
        self.tops[tile(p[1]) * self.tiles + tile(p[0])] + 1e-3
    }
}

/// The greatest value within so many tiles.
fn widened(values: &[f32], tiles: usize, reach: usize) -> Vec<f32> {
    let along = |values: &[f32], step: usize, stride: usize| -> Vec<f32> {
        (0..tiles * tiles)
            .map(|i| {
                let at = i / step % tiles;
                let (from, to) = (at.saturating_sub(reach), (at + reach).min(tiles - 1));
                (from..=to)
                    .map(|k| values[i + k * stride - at * stride])
                    .fold(f32::NEG_INFINITY, f32::max)
            })
            .collect()
    };
    let rows = along(values, 1, 1);
    along(&rows, tiles, tiles)
}
