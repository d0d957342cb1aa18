//! A camera over a solid coin: heights are seen in perspective, flanks hide what lies behind them, and lamps cast shadows.

use std::sync::Arc;

use dietell::geometry::SidePoint;
use image::RgbImage;
use nalgebra::Vector3;
use rayon::prelude::*;

use super::coin::Struck;
use super::lamps::{Lighting, MOST_LAMPS, Mirrored};
use super::look::Look;
use super::sculpture::Sculpture;
use super::shadow::{Terrain, lit};
use super::skin::{Standpoint, colours};
use super::truth::SolidTruth;
use crate::MintError;
use crate::backdrop::Backdrop;
use crate::camera::{CameraOptions, METERED_LIGHT, Pose};
use crate::lens::Film;
use crate::light::{V3, add, dot, unit};
use crate::metal::SILVER;
use crate::relief::relief_scale;
use crate::shapes::P;

/// A picture of a solid coin with all that is true of it.
#[derive(Debug, Clone)]
pub struct SolidShot {
    /// The upright picture.
    pub pixels: RgbImage,
    /// Where everything is.
    pub truth: SolidTruth,
}

/// Takes a picture of a solid coin. The camera's own `light` is not used: `lighting` is.
///
/// # Errors
/// [`MintError::NoSuchView`] where the options describe no possible camera.
pub fn photograph_solid(
    coin: &Struck,
    camera: &CameraOptions,
    lighting: &Lighting,
) -> Result<SolidShot, MintError> {
    let (width, height) = (camera.size_px.0 as usize, camera.size_px.1 as usize);
    if width == 0 || height == 0 {
        return Err(MintError::NoSuchView);
    }
    let truth = truth(coin, camera)?;
    let scene = Scene::new(&truth, camera, lighting);
    let mut cells = vec![[0.0_f32; 3]; width * height];
    cells.par_chunks_mut(width).enumerate().for_each(|(y, line)| {
        for (x, cell) in line.iter_mut().enumerate() {
            *cell = scene.pixel(x as f64, y as f64);
        }
    });
    let metered = scene.mean_light();
    let mut film = Film { width, height, cells };
    film.defocus(camera.defocus_px);
    film.motion(camera.motion_px, camera.motion_direction_deg);
    let exposure = camera.exposure * METERED_LIGHT / metered;
    let pixels = film.develop(exposure, camera.noise, camera.vignetting, camera.seed);
    Ok(SolidShot { pixels, truth })
}

/// Where everything is in a picture taken so, without taking it.
///
/// # Errors
/// As [`photograph_solid`].
pub fn truth(coin: &Struck, camera: &CameraOptions) -> Result<SolidTruth, MintError> {
    let pose = Pose::of(camera, coin.flan().radius_mm);
    let plane = pose.picture_from_plane(0.0)?;
    let solid = coin.solid(relief_scale(plane.px_per_mm(SidePoint::origin())));
    Ok(SolidTruth {
        coin: coin.clone(),
        solid,
        pose: Arc::new(pose),
    })
}

/// All that a ray can meet, lit.
struct Scene<'a> {
    coin: &'a Struck,
    solid: &'a Sculpture,
    pose: &'a Pose,
    look: Look<'a>,
    from: Standpoint,
    mirrored: Mirrored,
    face: Vec<V3>,
    ground: Ground,
    backdrop: Backdrop,
    seed: u32,
}

impl<'a> Scene<'a> {
    fn new(truth: &'a SolidTruth, camera: &CameraOptions, lighting: &Lighting) -> Self {
        let (solid, pose) = (&*truth.solid, &*truth.pose);
        let from = Standpoint {
            to_camera: pose.rotation.map(|v| v as f32),
            shift: pose.shift.map(|v| v as f32),
        };
        let mirrored = Mirrored::of(lighting);
        Self {
            face: colours(solid, truth.coin.options(), lighting, &mirrored, &from),
            ground: Ground::of(solid, lighting, &mirrored, &from),
            coin: &truth.coin,
            look: Look::of(solid, pose),
            solid,
            pose,
            from,
            mirrored,
            backdrop: camera.backdrop,
            seed: camera.seed as u32 ^ 0x6261_636b,
        }
    }

    /// The mean light of a pixel: one sample on open ground, several on the coin.
    fn pixel(&self, x: f64, y: f64) -> V3 {
        const SPOTS: [(f64, f64); 4] = [(-0.375, -0.125), (0.125, -0.375), (0.375, 0.125), (-0.125, 0.375)];
        if let Some(p) = self.look.open_ground(self.pose.ray(x, y)) {
            return self.ground(p).map(|v| v.min(6.0));
        }
        let mut sum = [0.0; 3];
        for (dx, dy) in SPOTS {
            let seen = self.seen(self.pose.ray(x + dx, y + dy));
            add(&mut sum, seen.map(|v| v.min(6.0)), 0.25);
        }
        sum
    }

    fn seen(&self, ray: Vector3<f32>) -> V3 {
        let hit = self.look.hit(ray);
        if hit.height <= self.solid.ground_mm + 1e-3 {
            return self.ground(hit.p);
        }
        let inside = self.coin.flan().inside(hit.p);
        let cell = 1.0 / self.solid.heights.px_per_mm;
        if inside < 1.2 * cell && hit.height < self.solid.edge_mm(self.coin.flan()) - 0.02 {
            return self.edge(hit.p, ray);
        }
        self.face_at(hit.p)
    }

    fn face_at(&self, p: P) -> V3 {
        let (i, [fx, fy]) = self.solid.heights.cell(p);
        let size = self.solid.heights.size;
        let (a, b) = (self.face[i], self.face[i + 1]);
        let (c, d) = (self.face[i + size], self.face[i + size + 1]);
        std::array::from_fn(|k| {
            let top = a[k] + (b[k] - a[k]) * fx;
            let bottom = c[k] + (d[k] - c[k]) * fx;
            top + (bottom - top) * fy
        })
    }

    /// The flan's side: plain, smooth, a little dull.
    fn edge(&self, p: P, ray: Vector3<f32>) -> V3 {
        let out = self.coin.flan().outwards(p);
        let normal = self.from.to_camera * Vector3::new(out[0], out[1], 0.0);
        let normal = [normal.x, normal.y, normal.z];
        let to_eye = unit([-ray.x, -ray.y, -ray.z]);
        let facing = dot(normal, to_eye).max(0.02);
        let from: V3 = std::array::from_fn(|k| 2.0 * facing * normal[k] - to_eye[k]);
        let mut lit = [0.0; MOST_LAMPS];
        let lit = &mut lit[..self.mirrored.lamps()];
        for (lamp, lit) in lit.iter_mut().enumerate() {
            *lit = f32::from(dot(normal, self.mirrored.towards(lamp)) > 0.0);
        }
        let light = self.mirrored.seen(from, 0.4, lit);
        std::array::from_fn(|k| 0.6 * SILVER[k] * light[k])
    }

    fn ground(&self, p: P) -> V3 {
        let on_picture = self.from.to_camera * Vector3::new(p[0], p[1], 0.0);
        let albedo = self.backdrop.albedo([on_picture.x, on_picture.y], self.seed);
        let mut lit = [0.0; MOST_LAMPS];
        let lit = &mut lit[..self.mirrored.lamps()];
        lit.iter_mut()
            .zip(&self.ground.lit)
            .for_each(|(lit, map)| *lit = self.ground.at(map, p));
        let up = self.from.to_camera * Vector3::new(0.0, 0.0, -1.0);
        let light = self.mirrored.falling([up.x, up.y, up.z], lit);
        // The coin keeps the room's light from what lies close to it.
        let beside = (-self.coin.flan().inside(p)).max(0.0);
        let contact = 1.0 - 0.45 * (-beside / 0.6).exp();
        std::array::from_fn(|k| albedo[k] * light[k] * contact)
    }

    /// The mean light of the face, as a camera's meter would weigh it.
    fn mean_light(&self) -> f64 {
        let (mut sum, mut count) = (0.0, 0.0_f64);
        for (colour, _) in self.face.iter().zip(&self.solid.face).filter(|(_, on)| **on) {
            sum += f64::from((colour[0] + 2.0 * colour[1] + colour[2]).min(6.0)) / 4.0;
            count += 1.0;
        }
        (sum / count.max(1.0)).max(1e-3)
    }
}

/// How much of each lamp the ground sees, in a wide coarse map.
struct Ground {
    lit: Vec<Vec<f32>>,
}

/// The ground's map: cells along each axis and cells a mm.
const GROUND_CELLS: usize = 420;
const GROUND_PER_MM: f32 = 5.0;

impl Ground {
    fn of(solid: &Sculpture, lighting: &Lighting, mirrored: &Mirrored, from: &Standpoint) -> Self {
        let place = |i: usize| (i as f32 + 0.5 - 0.5 * GROUND_CELLS as f32) / GROUND_PER_MM;
        let mut heights = Vec::with_capacity(GROUND_CELLS * GROUND_CELLS);
        for row in 0..GROUND_CELLS {
            for column in 0..GROUND_CELLS {
                let p = [place(column), place(row)];
                let within = p[0].abs().max(p[1].abs()) < crate::parts::REACH_MM - 0.1;
                heights.push(if within { solid.height(p) } else { solid.ground_mm });
            }
        }
        let terrain = Terrain {
            size: GROUND_CELLS,
            px_per_mm: GROUND_PER_MM,
            heights: &heights,
        };
        let lamps = lighting.lamps.iter().take(MOST_LAMPS).enumerate();
        let lit = lamps.map(|(i, lamp)| lit(&terrain, lamp, from.in_side(mirrored.towards(i))));
        Self { lit: lit.collect() }
    }

    fn at(&self, map: &[f32], p: P) -> f32 {
        let cell = |v: f32| {
            (v * GROUND_PER_MM + 0.5 * GROUND_CELLS as f32 - 0.5).clamp(0.0, GROUND_CELLS as f32 - 1.001)
        };
        let (u, v) = (cell(p[0]), cell(p[1]));
        let (x, y) = (u as usize, v as usize);
        let (fx, fy) = (u - x as f32, v - y as f32);
        let i = y * GROUND_CELLS + x;
        let top = map[i] + (map[i + 1] - map[i]) * fx;
        let bottom = map[i + GROUND_CELLS] + (map[i + GROUND_CELLS + 1] - map[i + GROUND_CELLS]) * fx;
        top + (bottom - top) * fy
    }
}
