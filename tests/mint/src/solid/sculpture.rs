//! A struck coin as a solid: the height of every point of its face, its edge and the ground that it lies on.

use rayon::prelude::*;

use super::design::Design;
use super::flan::Flan;
use crate::coin::StrikeOptions;
use crate::grid::Grid;
use crate::marks::press_marks;
use crate::noise::value_noise;
use crate::shapes::P;
use crate::wear::{weaken, wear_down};

/// How far in from the flan's edge its rounding begins, in mm.
const ROUNDING_MM: f32 = 0.22;

/// The solid, as maps over the side.
#[derive(Debug)]
pub(super) struct Sculpture {
    /// Heights in mm over the field's edge: the face within the flan, the ground outside.
    pub heights: Grid,
    /// Slopes of the face by x and y, its own fine grain included.
    pub slopes: Vec<[f32; 2]>,
    /// From -1, standing out, to 1, in a corner that dirt keeps.
    pub hollow: Vec<f32>,
    /// 0 as struck, 1 rubbed bright.
    pub rubbed: Vec<f32>,
    /// Whether a cell lies on the face.
    pub face: Vec<bool>,
    /// The ground's height.
    pub ground_mm: f32,
    /// The highest point.
    pub highest_mm: f32,
}

impl Sculpture {
    /// Strikes a die on a flan and wears it; maps at so many px/mm.
    pub fn of(design: &Design, die: u64, flan: &Flan, options: &StrikeOptions, px_per_mm: f32) -> Self {
        let scene = design.scene(die);
        let seed = options.seed as u32 ^ (options.seed >> 32) as u32;
        let mut heights = Grid::from_fn(px_per_mm, |p| {
            if flan.inside(p) < -0.4 {
                return 0.0;
            }
            design.field_mm(p) + scene.height(p) + design.rim_mm(p)
        });
        weaken(&mut heights, options.weak_strike as f32, seed);
        let rubbed = wear_down(&mut heights, options.wear as f32, design.highest_mm(), seed);
        press_marks(&mut heights, options.marks, options.seed);
        let hollow = hollow(&heights, options.wear as f32);
        let ground_mm = -flan.thickness_mm;
        let face = cut_out(&mut heights, flan, ground_mm);
        let slopes = slopes(&heights, &face, options.wear as f32, seed);
        let highest_mm = heights.cells.iter().copied().fold(f32::NEG_INFINITY, f32::max);
        Self {
            heights,
            slopes,
            hollow,
            rubbed: rubbed.cells,
            face,
            ground_mm,
            highest_mm,
        }
    }

    /// The height at which the flan's edge begins to fall, in mm: about where its rounding ends, at its highest.
    pub fn edge_mm(&self, flan: &Flan) -> f32 {
        let inner = flan.radius_mm - ROUNDING_MM;
        let ring = (0..72).map(|i| {
            let p = crate::shapes::on_clock(inner, 5.0 * i as f32);
            self.height([p[0] + flan.middle[0], p[1] + flan.middle[1]])
        });
        ring.sum::<f32>() / 72.0 - ROUNDING_MM
    }

    /// The height at a place in mm, between cells.
    pub fn height(&self, p: P) -> f32 {
        self.heights.at(p)
    }
}

/// Rounds the face off at the flan's edge and lowers what lies outside to the ground; tells which cells are the face's.
fn cut_out(heights: &mut Grid, flan: &Flan, ground_mm: f32) -> Vec<bool> {
    let size = heights.size;
    let mut face = vec![false; heights.cells.len()];
    let places: Vec<f32> = (0..size).map(|i| heights.place(i, i)[0]).collect();
    heights
        .cells
        .par_chunks_mut(size)
        .zip(face.par_chunks_mut(size))
        .enumerate()
        .for_each(|(row, (line, face))| {
            for (column, (h, on)) in line.iter_mut().zip(face).enumerate() {
                let inside = flan.inside([places[column], places[row]]);
                *on = inside > 0.0;
                if inside <= 0.0 {
                    *h = ground_mm;
                } else if inside < ROUNDING_MM {
                    let t = 1.0 - inside / ROUNDING_MM;
                    *h -= ROUNDING_MM * (1.0 - (1.0 - t * t).sqrt());
                }
            }
        });
    face
}

fn hollow(heights: &Grid, wear: f32) -> Vec<f32> {
    let (near, wide) = (heights.smoothed(0.08), heights.smoothed(0.40));
    // Low relief shelters dirt as well as high relief does.
    let keep = 1.0 + 0.9 * wear;
    heights
        .cells
        .par_iter()
        .zip(&near.cells)
        .zip(&wide.cells)
        .map(|((h, near), wide)| {
            (keep * (0.70 * (near - h) / 0.045 + 0.30 * (wide - h) / 0.12)).clamp(-1.0, 1.0)
        })
        .collect()
}

/// Slopes by central differences; what lies off the face counts as level with it, so that the edge stays bright.
fn slopes(heights: &Grid, face: &[bool], wear: f32, seed: u32) -> Vec<[f32; 2]> {
    let size = heights.size;
    let half = 0.5 * heights.px_per_mm;
    let mut slopes = vec![[0.0; 2]; face.len()];
    slopes.par_chunks_mut(size).enumerate().for_each(|(row, line)| {
        for (column, slope) in line.iter_mut().enumerate() {
            let here = row * size + column;
            if !face[here] || row == 0 || column == 0 || row + 1 == size || column + 1 == size {
                continue;
            }
            let level = |i: usize| {
                if face[i] {
                    heights.cells[i]
                } else {
                    heights.cells[here]
                }
            };
            let p = heights.place(column, row);
            let grain = 0.014 + 0.010 * wear;
            let noise = |k: u32, scale: f32| value_noise(p[0] * scale, p[1] * scale, seed ^ k);
            *slope = [
                half * (level(here + 1) - level(here - 1)) + grain * (0.6 * noise(1, 9.0) + noise(3, 31.0)),
                half * (level(here + size) - level(here - size))
                    + grain * (0.6 * noise(2, 9.0) + noise(4, 31.0)),
            ];
        }
    });
    slopes
}
