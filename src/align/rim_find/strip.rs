//! The ring about a likely rim, unrolled: a row for each sector of directions, a column for each radius.

use std::sync::LazyLock;

use rayon::prelude::*;

use super::ellipse::Ellipse;
use crate::photo::Level;

/// Sectors of directions, from x towards y; each is the mean of its rays.
pub(super) const SECTORS: usize = 72;
const RAYS_A_SECTOR: usize = 5;
/// Radii, as shares of the ellipse's reach in each direction: the first, the step, how many.
pub(super) const LEAST: f64 = 0.8;
pub(super) const STEP: f64 = 0.002;
pub(super) const COLUMNS: usize = 200;
/// What is told of each position: brightness in two scales and two colours.
pub(super) const CHANNELS: usize = 4;

/// Added to each colour's light, as a share of white: what is darker counts as equally dark.
const DARK: f32 = 0.004;

/// The light of each encoded level, as a share of white (IEC 61966-2-1): blur of focus is symmetrical in light, and
/// a camera's levels would move a bright coin's edge outwards.
static LIGHT: LazyLock<[f32; 256]> = LazyLock::new(|| {
    std::array::from_fn(|level| {
        let v = level as f32 / 255.0;
        if v <= 0.04045 {
            v / 12.92
        } else {
            ((v + 0.055) / 1.055).powf(2.4)
        }
    })
});

/// A ring, unrolled about an ellipse of radius 1.
pub(super) struct Strip {
    /// [`SECTORS`] rows of [`COLUMNS`] positions of [`CHANNELS`] values, each channel's mean zero; zeros outside the
    /// picture.
    pub(super) values: Vec<f32>,
    /// Whether a position lies inside the picture, row by row.
    pub(super) inside: Vec<bool>,
}

impl Strip {
    /// Unrolls the ring about an ellipse in px of this level.
    pub(super) fn about(level: &Level, about: &Ellipse) -> Self {
        let mut values = vec![0.0; SECTORS * COLUMNS * CHANNELS];
        let mut inside = vec![true; SECTORS * COLUMNS];
        values
            .par_chunks_mut(COLUMNS * CHANNELS)
            .zip(inside.par_chunks_mut(COLUMNS))
            .enumerate()
            .for_each(|(sector, (values, inside))| {
                let mut light = [[0.0_f32; 3]; COLUMNS];
                for ray in 0..RAYS_A_SECTOR {
                    let angle = direction(sector * RAYS_A_SECTOR + ray);
                    let (sin, cos) = angle.sin_cos();
                    let reach = about.reach(angle);
                    for (column, (light, inside)) in light.iter_mut().zip(&mut *inside).enumerate() {
                        let r = reach * radius(column as f64);
                        match sample(level, about.x + r * cos, about.y + r * sin) {
                            Some(rgb) => (0..3).for_each(|c| light[c] += rgb[c] / RAYS_A_SECTOR as f32),
                            None => *inside = false,
                        }
                    }
                }
                for ((position, light), inside) in values.chunks_exact_mut(CHANNELS).zip(light).zip(inside) {
                    if *inside {
                        position.copy_from_slice(&channels(light));
                    }
                }
            });
        let mut strip = Self { values, inside };
        strip.take_mean_off();
        strip
    }

    fn take_mean_off(&mut self) {
        let known = self.inside.iter().filter(|inside| **inside).count().max(1) as f32;
        let mut mean = [0.0_f32; CHANNELS];
        for position in self.values.chunks_exact(CHANNELS) {
            (0..CHANNELS).for_each(|c| mean[c] += position[c] / known);
        }
        for (position, inside) in self.values.chunks_exact_mut(CHANNELS).zip(&self.inside) {
            if *inside {
                (0..CHANNELS).for_each(|c| position[c] -= mean[c]);
            }
        }
    }
}

/// The radius of a column, as a share of the ellipse's reach.
pub(super) fn radius(column: f64) -> f64 {
    LEAST + STEP * column
}

/// The middle of a sector, in radians from x towards y.
pub(super) fn middle(sector: usize) -> f64 {
    (direction(sector * RAYS_A_SECTOR) + direction((sector + 1) * RAYS_A_SECTOR - 1)) / 2.0
}

fn direction(ray: usize) -> f64 {
    std::f64::consts::TAU * ray as f64 / (SECTORS * RAYS_A_SECTOR) as f64
}

/// Brightness by ratios and by the eye, and two colours by ratios.
fn channels(light: [f32; 3]) -> [f32; CHANNELS] {
    let [r, g, b] = light.map(|v| v + DARK);
    let luminance = 0.2126 * r + 0.7152 * g + 0.0722 * b;
    [
        luminance.ln(),
        2.0 * luminance.sqrt(),
        2.0 * (r / g).ln(),
        2.0 * (b / g).ln(),
    ]
}

/// The light at a position, bilinear between px; none outside the picture.
fn sample(level: &Level, x: f64, y: f64) -> Option<[f32; 3]> {
    let (width, height) = (level.width() as usize, level.height() as usize);
    if !(x >= 0.0 && y >= 0.0 && x <= width as f64 - 1.0 && y <= height as f64 - 1.0) {
        return None;
    }
    let (i, j) = (
        (x as usize).min(width.checked_sub(2)?),
        (y as usize).min(height.checked_sub(2)?),
    );
    let (fx, fy) = ((x - i as f64) as f32, (y - j as f64) as f32);
    let values: &[u8] = level;
    let row = |j: usize| values.get((j * width + i) * 3..)?.first_chunk::<6>();
    let (upper, lower) = (row(j)?, row(j + 1)?);
    let light = |v: u8| LIGHT[usize::from(v)];
    Some(std::array::from_fn(|c| {
        let across = |row: &[u8; 6]| light(row[c]) * (1.0 - fx) + light(row[c + 3]) * fx;
        across(upper) * (1.0 - fy) + across(lower) * fy
    }))
}
