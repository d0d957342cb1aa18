//! From light on the sensor to an 8-bit picture: blur, vignetting, noise, tone curve.

use image::RgbImage;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;

use super::light::{V3, add};

/// A picture in linear light, row by row.
pub(super) struct Film {
    pub width: usize,
    pub height: usize,
    pub cells: Vec<V3>,
}

impl Film {
    /// Blurs by a Gaussian of standard deviation `sigma` px, as a lens out of focus does nearly.
    pub fn defocus(&mut self, sigma: f64) {
        if sigma < 0.25 {
            return;
        }
        let reach = (3.0 * sigma).ceil() as i64;
        let taps: Vec<(i64, f32)> = (-reach..=reach)
            .map(|i| (i, (-0.5 * (i as f64 / sigma).powi(2)).exp() as f32))
            .collect();
        self.smear(&taps, (1, 0));
        self.smear(&taps, (0, 1));
    }

    /// Smears along a line of the given length in px, direction clockwise on the picture from the x axis.
    pub fn motion(&mut self, length: f64, direction_deg: f64) {
        if length < 0.5 {
            return;
        }
        let steps = length.ceil() as i64 + 1;
        let (sin, cos) = direction_deg.to_radians().sin_cos();
        let (width, height) = (self.width as i64, self.height as i64);
        let source = &self.cells;
        let mut out = vec![[0.0; 3]; source.len()];
        out.par_chunks_mut(self.width).enumerate().for_each(|(y, line)| {
            for (x, cell) in line.iter_mut().enumerate() {
                let mut sum: V3 = [0.0; 3];
                for i in 0..=steps {
                    let t = length * (i as f64 / steps as f64 - 0.5);
                    let (u, v) = (x as f64 + t * cos, y as f64 + t * sin);
                    let (u, v) = (
                        u.clamp(0.0, width as f64 - 1.001),
                        v.clamp(0.0, height as f64 - 1.001),
                    );
                    let (ui, vi) = (u as usize, v as usize);
                    let (fu, fv) = ((u - ui as f64) as f32, (v - vi as f64) as f32);
                    let at = |a: usize, b: usize| {
                        source[b.min(self.height - 1) * self.width + a.min(self.width - 1)]
                    };
                    let (a, b, c, d) = (at(ui, vi), at(ui + 1, vi), at(ui, vi + 1), at(ui + 1, vi + 1));
                    add(&mut sum, a, (1.0 - fu) * (1.0 - fv));
                    add(&mut sum, b, fu * (1.0 - fv));
                    add(&mut sum, c, (1.0 - fu) * fv);
                    add(&mut sum, d, fu * fv);
                }
                *cell = sum.map(|s| s / (steps + 1) as f32);
            }
        });
        self.cells = out;
    }

    fn smear(&mut self, taps: &[(i64, f32)], (dx, dy): (i64, i64)) {
        let total: f32 = taps.iter().map(|t| t.1).sum();
        let (width, height) = (self.width as i64, self.height as i64);
        let source = &self.cells;
        let mut out = vec![[0.0_f32; 3]; source.len()];
        out.par_chunks_mut(self.width).enumerate().for_each(|(y, line)| {
            for &(i, weight) in taps {
                let row = (y as i64 + dy * i).clamp(0, height - 1) * width;
                for (x, cell) in line.iter_mut().enumerate() {
                    let from = source[(row + (x as i64 + dx * i).clamp(0, width - 1)) as usize];
                    add(cell, from, weight);
                }
            }
            line.iter_mut().for_each(|c| *c = c.map(|v| v / total));
        });
        self.cells = out;
    }

    /// Develops the picture. `noise` 0..1 is the sensor's grain, `vignetting` 0..1 the fall of light to the corners.
    pub fn develop(&self, exposure: f64, noise: f64, vignetting: f64, seed: u64) -> RgbImage {
        let mut bytes = vec![0_u8; self.cells.len() * 3];
        let (cx, cy) = (self.width as f32 / 2.0, self.height as f32 / 2.0);
        let corner = cx * cx + cy * cy;
        bytes
            .par_chunks_mut(self.width * 3)
            .enumerate()
            .for_each(|(y, line)| {
                // A generator a row, so that rows may be developed in any order.
                let mut rng = ChaCha8Rng::seed_from_u64(seed);
                rng.set_stream(y as u64 + 1);
                for x in 0..self.width {
                    let cell = self.cells[y * self.width + x];
                    let (dx, dy) = (x as f32 - cx, y as f32 - cy);
                    let fall = 1.0 - vignetting as f32 * 0.6 * (dx * dx + dy * dy) / corner;
                    for k in 0..3 {
                        let mut light = cell[k] * exposure as f32 * fall;
                        if noise > 0.0 {
                            // Shot noise grows with the root of the light; read noise is constant. The sum of three
                            // uniform numbers stands in for a Gaussian of deviation 0.5.
                            let g: f32 = (0..3).map(|_| rng.random_range(-0.5_f32..0.5)).sum();
                            light += noise as f32 * 0.09 * g * (0.02 + light.max(0.0)).sqrt();
                        }
                        line[3 * x + k] = (255.0 * srgb(tone_curve(light.max(0.0))) + 0.5) as u8;
                    }
                }
            });
        let picture = RgbImage::from_raw(self.width as u32, self.height as u32, bytes);
        picture.unwrap_or_default()
    }
}

/// A soft shoulder: straight below a half, reaching white at about 2.4.
fn tone_curve(light: f32) -> f32 {
    const KNEE: f32 = 0.50;
    if light < KNEE {
        return light;
    }
    let over = (light - KNEE) / (1.0 - KNEE);
    KNEE + (1.0 - KNEE) * (over / (1.0 + 0.72 * over)).min(1.0)
}

/// The sRGB transfer curve (IEC 61966-2-1).
fn srgb(linear: f32) -> f32 {
    let linear = linear.clamp(0.0, 1.0);
    if linear <= 0.003_130_8 {
        12.92 * linear
    } else {
        1.055 * linear.powf(1.0 / 2.4) - 0.055
    }
}
