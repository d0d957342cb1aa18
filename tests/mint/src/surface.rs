//! A coin's surface, ready to be lit: slopes, hollows and rubbed places.

use rayon::prelude::*;

use super::border::FLAN_MM;
use super::coin::StrikeOptions;
use super::die::DieDesign;
use super::grid::Grid;
use super::marks::press_marks;
use super::noise::{smoothstep, value_noise};
use super::parts::REACH_MM;
use super::relief::relief;
use super::shapes::P;
use super::wear::{weaken, wear_down};

/// The highest point of the relief over the field, in mm.
const HIGHEST_MM: f32 = 0.52;

/// What light meets at one place.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Texel {
    /// Slopes of the height by x and y.
    pub slope: [f32; 2],
    /// 0 in the open, towards 1 in a corner that light hardly reaches and dirt keeps.
    pub cavity: f32,
    /// 0 on metal as struck, 1 where circulation has rubbed it bright.
    pub rubbed: f32,
}

/// A coin's surface, ready to be lit.
#[derive(Debug)]
pub(super) struct Surface {
    pub px_per_mm: f32,
    size: usize,
    texels: Vec<Texel>,
}

impl Surface {
    /// Strikes the die's relief, wears it and reads the surface off it.
    pub fn of(die: &DieDesign, options: &StrikeOptions, px_per_mm: f32) -> Self {
        let struck = relief(die, px_per_mm);
        let mut height = Grid::clone(&struck);
        let seed = options.seed as u32 ^ (options.seed >> 32) as u32;
        weaken(&mut height, options.weak_strike as f32, seed);
        let rubbed = wear_down(&mut height, options.wear as f32, HIGHEST_MM, seed);
        press_marks(&mut height, options.marks, options.seed);
        let near = height.smoothed(0.08);
        let wide = height.smoothed(0.40);
        let size = height.size;
        let mut texels = vec![Texel::default(); size * size];
        // Low relief shelters dirt as well as high relief does.
        let keep = 1.0 + 0.9 * options.wear as f32;
        let grain = Grain {
            wear: options.wear as f32,
            fine: (px_per_mm / 60.0).min(1.0),
            seed,
        };
        texels.par_chunks_mut(size).enumerate().for_each(|(row, line)| {
            let (above, below) = (row.saturating_sub(1) * size, (row + 1).min(size - 1) * size);
            for (column, texel) in line.iter_mut().enumerate() {
                let (left, right) = (column.saturating_sub(1), (column + 1).min(size - 1));
                let i = row * size + column;
                let h = &height.cells;
                let half = 0.5 * px_per_mm;
                let mut slope = [
                    half * (h[row * size + right] - h[row * size + left]),
                    half * (h[below + column] - h[above + column]),
                ];
                let p = height.place(column, row);
                if p[0].hypot(p[1]) > FLAN_MM + 0.1 {
                    continue;
                }
                let g = grain.slope(p);
                slope[0] += g[0];
                slope[1] += g[1];
                let hollow =
                    keep * (0.70 * (near.cells[i] - h[i]) / 0.045 + 0.30 * (wide.cells[i] - h[i]) / 0.12);
                *texel = Texel {
                    slope,
                    cavity: hollow.clamp(-1.0, 1.0),
                    rubbed: rubbed.cells[i],
                };
            }
        });
        Self {
            px_per_mm,
            size,
            texels,
        }
    }

    /// The surface at a place in side mm, between texels.
    pub fn at(&self, p: P) -> Texel {
        let u = ((p[0] + REACH_MM) * self.px_per_mm - 0.5).clamp(0.0, self.size as f32 - 1.001);
        let v = ((p[1] + REACH_MM) * self.px_per_mm - 0.5).clamp(0.0, self.size as f32 - 1.001);
        let (x, y) = (u as usize, v as usize);
        let (fx, fy) = (u - x as f32, v - y as f32);
        let i = y * self.size + x;
        let (a, b) = (&self.texels[i], &self.texels[i + 1]);
        let (c, d) = (&self.texels[i + self.size], &self.texels[i + self.size + 1]);
        let (wa, wb) = ((1.0 - fx) * (1.0 - fy), fx * (1.0 - fy));
        let (wc, wd) = ((1.0 - fx) * fy, fx * fy);
        let mix = |f: fn(&Texel) -> f32| wa * f(a) + wb * f(b) + wc * f(c) + wd * f(d);
        Texel {
            slope: [mix(|t| t.slope[0]), mix(|t| t.slope[1])],
            cavity: mix(|t| t.cavity),
            rubbed: mix(|t| t.rubbed),
        }
    }
}

/// The metal's own fine relief: flow lines from the strike, grain, hairlines of handling.
struct Grain {
    wear: f32,
    /// 0..1: how much of the finest detail the map can hold.
    fine: f32,
    seed: u32,
}

impl Grain {
    fn slope(&self, p: P) -> [f32; 2] {
        let r = p[0].hypot(p[1]);
        // Flow lines run outwards and tighten towards the rim: their slope lies across them.
        let clock = p[0].atan2(-p[1]);
        let flow = value_noise(clock * 150.0, r * 0.55, 11)
            + 0.7 * value_noise(clock * 330.0, r * 0.9, 12) * self.fine;
        let strength = 0.022 * smoothstep(4.0, 11.5, r) * (1.0 - 0.75 * self.wear);
        let across = [-p[1] / r.max(0.1), p[0] / r.max(0.1)];
        let flow = [flow * strength * across[0], flow * strength * across[1]];
        let grain = 0.013 + 0.010 * self.wear;
        let s = self.seed;
        let coarse = [
            value_noise(p[0] * 9.0, p[1] * 9.0, s ^ 1),
            value_noise(p[0] * 9.0, p[1] * 9.0, s ^ 2),
        ];
        let fine = [
            value_noise(p[0] * 31.0, p[1] * 31.0, s ^ 3),
            value_noise(p[0] * 31.0, p[1] * 31.0, s ^ 4),
        ];
        let broad = [
            value_noise(p[0] * 1.3, p[1] * 1.3, s ^ 5),
            value_noise(p[0] * 1.3, p[1] * 1.3, s ^ 6),
        ];
        let sum = |k: usize| flow[k] + grain * (0.6 * coarse[k] + self.fine * fine[k]) + 0.012 * broad[k];
        [sum(0), sum(1)]
    }
}
