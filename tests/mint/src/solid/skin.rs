//! The colour of every point of a coin's face as one camera sees it in one light.

use nalgebra::{Matrix3, Vector3};
use rayon::prelude::*;

use super::lamps::{Lighting, MOST_LAMPS, Mirrored};
use super::sculpture::Sculpture;
use super::shadow::{Terrain, lit};
use crate::coin::StrikeOptions;
use crate::light::{V3, add, dot, unit};
use crate::metal::{DIRT, tone};
use crate::noise::{fractal_noise, smoothstep};

/// Where the camera stands, in single precision: from the side's frame to its own.
pub(super) struct Standpoint {
    pub to_camera: Matrix3<f32>,
    pub shift: Vector3<f32>,
}

impl Standpoint {
    /// A direction of the camera's frame in the side's.
    pub fn in_side(&self, direction: V3) -> V3 {
        let d = self.to_camera.transpose() * Vector3::from(direction);
        [d.x, d.y, d.z]
    }
}

/// What one coin's metal is like.
struct Metal {
    toning: f32,
    dirt: f32,
    wear: f32,
    seed: u32,
}

/// The face's colours, cell for cell of the sculpture's maps; black off the face.
pub(super) fn colours(
    coin: &Sculpture,
    options: &StrikeOptions,
    lighting: &Lighting,
    mirrored: &Mirrored,
    from: &Standpoint,
) -> Vec<V3> {
    let size = coin.heights.size;
    let terrain = Terrain {
        size,
        px_per_mm: coin.heights.px_per_mm,
        heights: &coin.heights.cells,
    };
    let lit: Vec<Vec<f32>> = lighting
        .lamps
        .par_iter()
        .take(MOST_LAMPS)
        .enumerate()
        .map(|(i, lamp)| lit(&terrain, lamp, from.in_side(mirrored.towards(i))))
        .collect();
    let metal = Metal {
        toning: options.toning as f32,
        dirt: options.dirt as f32,
        wear: options.wear as f32,
        seed: options.seed as u32 ^ 0x746f_6e65,
    };
    let mut colours = vec![[0.0; 3]; size * size];
    colours.par_chunks_mut(size).enumerate().for_each(|(row, line)| {
        let mut shares = vec![0.0; lit.len()];
        for (column, colour) in line.iter_mut().enumerate() {
            let cell = row * size + column;
            if coin.face[cell] {
                shares.iter_mut().zip(&lit).for_each(|(s, lit)| *s = lit[cell]);
                *colour = metal.seen(coin, cell, mirrored, &shares, from);
            }
        }
    });
    beyond_the_edge(&mut colours, &coin.face, size);
    colours
}

impl Metal {
    fn seen(&self, coin: &Sculpture, cell: usize, light: &Mirrored, lit: &[f32], from: &Standpoint) -> V3 {
        let size = coin.heights.size;
        let p = coin.heights.place(cell % size, cell / size);
        let seen_at = from.to_camera * Vector3::new(p[0], p[1], -coin.heights.cells[cell]) + from.shift;
        let to_eye = unit([-seen_at.x, -seen_at.y, -seen_at.z]);
        let slope = coin.slopes[cell];
        let normal = from.to_camera * Vector3::new(-slope[0], -slope[1], -1.0);
        let normal = unit([normal.x, normal.y, normal.z]);
        let facing = dot(normal, to_eye).max(0.02);
        let from_where: V3 = std::array::from_fn(|k| 2.0 * facing * normal[k] - to_eye[k]);
        let (rubbed, hollow) = (coin.rubbed[cell], coin.hollow[cell].max(0.0));

        // Worn metal is matt from countless hairlines, rubbed high points are smoother again.
        let alpha = 0.13 + 0.17 * self.wear.sqrt() - 0.04 * rubbed;
        let gloss = 0.84 - 0.26 * self.wear.sqrt();
        let mut mirror = [0.0; 3];
        add(&mut mirror, light.seen(from_where, alpha, lit), gloss);
        add(&mut mirror, light.seen(from_where, 0.60, lit), 1.0 - gloss);

        let patch = fractal_noise(p[0] / 5.5 + 9.0, p[1] / 5.5, 2, self.seed);
        let thickness = self.toning * (0.42 + 0.50 * patch + 0.30 * hollow) - 0.55 * rubbed;
        let metal = tone(thickness.clamp(0.0, 1.0));
        // Schlick's approximation of the Fresnel term.
        let grazing = (1.0 - facing).powi(5);
        let open = 1.0 - 0.5 * smoothstep(0.10, 1.1, hollow);
        let dirt = self.dirt * smoothstep(0.26, 0.85, hollow + 0.10 * patch) * (1.0 - 0.8 * rubbed);
        let matt = light.falling(normal, lit);
        std::array::from_fn(|k| {
            let reflectance = metal[k] + (1.0 - metal[k]) * grazing;
            (mirror[k] * reflectance * (1.0 - dirt) + dirt * DIRT[k] * matt[k] * 1.6) * open
        })
    }
}

/// Gives the cells just off the face the colour beside them, so that the edge is not mixed with black.
fn beyond_the_edge(colours: &mut [V3], face: &[bool], size: usize) {
    let known: Vec<V3> = colours.to_vec();
    colours.par_chunks_mut(size).enumerate().for_each(|(row, line)| {
        if row == 0 || row + 1 == size {
            return;
        }
        for (column, colour) in line.iter_mut().enumerate().take(size - 1).skip(1) {
            let cell = row * size + column;
            if face[cell] {
                continue;
            }
            let (mut sum, mut count) = ([0.0; 3], 0.0);
            for near in [
                cell - size - 1,
                cell - size,
                cell - size + 1,
                cell - 1,
                cell + 1,
                cell + size - 1,
                cell + size,
                cell + size + 1,
            ] {
                if face[near] {
                    add(&mut sum, known[near], 1.0);
                    count += 1.0;
                }
            }
            if count > 0.0 {
                *colour = sum.map(|v| v / count);
            }
        }
    });
}
