//! A struck coin: a die's relief with how it was struck and what became of it since.

use std::sync::{Arc, Mutex, PoisonError};

use rayon::prelude::*;

use super::border::FLAN_MM;
use super::die::{DieDesign, dies};
use super::grid::Grid;
use super::marks::press_marks;
use super::noise::{fractal_noise, smoothstep, value_noise};
use super::parts::REACH_MM;
use super::relief::relief;
use super::{MintError, shapes::P};
use crate::reference::{DieId, Side};

/// How a coin was struck and what became of it. All amounts run from 0 (none) to 1 (as much as the mint can do).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrikeOptions {
    /// Flattened high points and softened edges; 0.35 is a coin some years in purses, 0.8 a slug with a legend.
    pub wear: f64,
    /// Bag marks, scratches and nicks in the rim.
    pub marks: f64,
    /// Coloured toning, varying smoothly over the side.
    pub toning: f64,
    /// Dirt in the recesses.
    pub dirt: f64,
    /// How much of the relief a weak strike left out, on one part of the side.
    pub weak_strike: f64,
    /// Chooses where all of it falls.
    pub seed: u64,
}

impl Default for StrikeOptions {
    /// A fine coin: hardly worn, a few marks, a little tone.
    fn default() -> Self {
        Self {
            wear: 0.06,
            marks: 0.08,
            toning: 0.25,
            dirt: 0.2,
            weak_strike: 0.0,
            seed: 1,
        }
    }
}

impl StrikeOptions {
    /// A coin as it left the dies.
    #[must_use]
    pub fn as_struck(seed: u64) -> Self {
        Self {
            wear: 0.0,
            marks: 0.0,
            toning: 0.1,
            dirt: 0.05,
            weak_strike: 0.0,
            seed,
        }
    }

    /// An honest circulated coin.
    #[must_use]
    pub fn circulated(seed: u64) -> Self {
        Self {
            wear: 0.32,
            marks: 0.45,
            toning: 0.5,
            dirt: 0.75,
            weak_strike: 0.0,
            seed,
        }
    }

    /// A coin with much of its life behind it.
    #[must_use]
    pub fn well_worn(seed: u64) -> Self {
        Self {
            wear: 0.62,
            marks: 0.8,
            toning: 0.6,
            dirt: 0.85,
            weak_strike: 0.1,
            seed,
        }
    }
}

/// One side of a struck coin.
#[derive(Debug, Clone)]
pub struct Coin {
    die: DieDesign,
    options: StrikeOptions,
    surface: Arc<Mutex<Option<Arc<Surface>>>>,
}

impl Coin {
    /// The die that struck it.
    #[must_use]
    pub fn die(&self) -> &DieDesign {
        &self.die
    }

    /// How it was struck.
    #[must_use]
    pub fn options(&self) -> &StrikeOptions {
        &self.options
    }

    /// The coin's surface at a scale in px/mm; the last one is kept.
    pub(super) fn surface(&self, px_per_mm: f32) -> Arc<Surface> {
        let mut kept = self.surface.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = kept.as_ref().filter(|s| s.px_per_mm == px_per_mm) {
            return Arc::clone(found);
        }
        let made = Arc::new(Surface::of(&self.die, &self.options, px_per_mm));
        *kept = Some(Arc::clone(&made));
        made
    }
}

/// Strikes one side with a die of the demo set.
///
/// # Errors
/// [`MintError::NoSuchDie`] where the side has no die of that name.
pub fn strike(side: Side, die: &DieId, options: &StrikeOptions) -> Result<Coin, MintError> {
    let found = dies(side).into_iter().find(|d| &d.id == die);
    found
        .map(|d| strike_design(&d, options))
        .ok_or_else(|| MintError::NoSuchDie {
            side,
            die: die.clone(),
        })
}

/// Strikes one side with a die of the caller's own making.
#[must_use]
pub fn strike_design(die: &DieDesign, options: &StrikeOptions) -> Coin {
    Coin {
        die: die.clone(),
        options: *options,
        surface: Arc::default(),
    }
}

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

/// The highest point of the relief over the field, in mm.
const HIGHEST_MM: f32 = 0.52;

impl Surface {
    fn of(die: &DieDesign, options: &StrikeOptions, px_per_mm: f32) -> Self {
        let struck = relief(die, px_per_mm);
        let mut height = Grid::clone(&struck);
        let seed = options.seed as u32 ^ (options.seed >> 32) as u32;
        weaken(&mut height, options.weak_strike as f32, seed);
        let rubbed = wear_down(&mut height, options.wear as f32, seed);
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

/// Leaves the relief low over one part of the side.
fn weaken(height: &mut Grid, amount: f32, seed: u32) {
    if amount <= 0.0 {
        return;
    }
    let size = height.size;
    let places: Vec<P> = (0..size).map(|i| height.place(i, i)).collect();
    height
        .cells
        .par_chunks_mut(size)
        .enumerate()
        .for_each(|(row, line)| {
            for (column, h) in line.iter_mut().enumerate() {
                let (x, y) = (places[column][0], places[row][1]);
                let weak = smoothstep(-0.1, 0.7, value_noise(x / 9.0 + 3.7, y / 9.0, seed ^ 0x77));
                if *h > 0.0 && x.hypot(y) < 13.0 {
                    *h *= 1.0 - amount * weak;
                }
            }
        });
}

/// Wears the high points down and rounds edges; returns how much each place was rubbed, 0..1.
fn wear_down(height: &mut Grid, wear: f32, seed: u32) -> Grid {
    let mut rubbed = Grid {
        cells: vec![0.0; height.cells.len()],
        ..height.clone()
    };
    if wear <= 0.0 {
        return rubbed;
    }
    let around = height.smoothed(0.55);
    let size = height.size;
    let places: Vec<P> = (0..size).map(|i| height.place(i, i)).collect();
    height
        .cells
        .par_chunks_mut(size)
        .zip(rubbed.cells.par_chunks_mut(size))
        .enumerate()
        .for_each(|(row, (line, rubbed))| {
            for (column, h) in line.iter_mut().enumerate() {
                let p = [places[column][0], places[row][1]];
                let uneven = 0.03 * fractal_noise(p[0] / 3.5, p[1] / 3.5, 2, seed ^ 0x51);
                let level = around.cells[row * size + column];
                // What rubs a coin is soft: it follows the broad forms and takes most from what stands out of them.
                let cut = (HIGHEST_MM + 0.02) * (1.0 - wear).powf(1.2)
                    + 0.55 * wear.sqrt() * level
                    + uneven * wear.sqrt()
                    - 0.02 * wear;
                let worn = soft_min(*h, cut, 0.05 + 0.05 * wear);
                let lost = *h - worn;
                *h = worn;
                let stands_out = smoothstep(0.0, 0.09, worn - level + 0.02);
                rubbed[column] = (smoothstep(0.004, 0.05, lost) + 0.5 * wear * stands_out).min(1.0);
            }
        });
    let soft = height.smoothed(0.012 + 0.045 * wear);
    let share = (1.6 * wear).min(1.0);
    height
        .cells
        .par_iter_mut()
        .zip(&soft.cells)
        .for_each(|(h, s)| *h += share * (s - *h));
    rubbed
}

/// The lower of two heights, with a soft seam `k` wide.
fn soft_min(a: f32, b: f32, k: f32) -> f32 {
    let t = (k - (a - b).abs()).max(0.0);
    a.min(b) - t * t / (4.0 * k)
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
