//! A camera over the coin: perspective, light, backdrop; the picture comes with the exact transform.

use std::collections::BTreeMap;

use image::RgbImage;
use nalgebra::{Matrix3, Rotation3, Unit, Vector3};
use rayon::prelude::*;

use super::backdrop::{Backdrop, THICKNESS_MM};
use super::border::FLAN_MM;
use super::coin::Coin;
use super::die::DieDesign;
use super::landmarks::landmarks;
use super::lens::Film;
use super::light::{Light, Surroundings, V3, add, unit};
use super::metal::{Metal, Place};
use super::relief::relief_scale;
use super::surface::Surface;
use super::{MintError, shapes::P};
use dietell::geometry::{PictureFromSide, PicturePoint, SidePoint};
use dietell::reference::{LandmarkName, Side};

/// How large the coin appears.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Framing {
    /// So many px per mm at the coin's middle.
    PxPerMm(f64),
    /// The coin's diameter as a share of the picture's shorter side.
    Fill(f64),
}

/// How a picture is taken. Directions turn clockwise as seen on the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CameraOptions {
    /// Width and height of the upright picture in px.
    pub size_px: (u32, u32),
    /// How large the coin appears.
    pub framing: Framing,
    /// The coin's middle against the picture's middle, right and down, in px.
    pub offset_px: (f64, f64),
    /// The camera's distance from the coin's middle in mm: the nearer, the stronger the perspective.
    pub distance_mm: f64,
    /// How far the coin leans from square to the camera, in degrees; up to 60.
    pub tilt_deg: f64,
    /// Towards which edge it leans away: 0 is right, 90 is down.
    pub tilt_direction_deg: f64,
    /// How far the coin's own upright is turned clockwise on the picture, in degrees.
    pub turn_deg: f64,
    /// The light.
    pub light: Light,
    /// What the coin lies on.
    pub backdrop: Backdrop,
    /// Standard deviation of the blur of focus, in px.
    pub defocus_px: f64,
    /// Length of the smear of an unsteady hand, in px, and its direction in degrees.
    pub motion_px: f64,
    /// Its direction in degrees.
    pub motion_direction_deg: f64,
    /// The sensor's grain, 0 to 1.
    pub noise: f64,
    /// The fall of light to the corners, 0 to 1.
    pub vignetting: f64,
    /// Brightness, 1 is usual.
    pub exposure: f64,
    /// Chooses noise and the backdrop's pattern.
    pub seed: u64,
}

impl Default for CameraOptions {
    /// A clean, square studio picture of 800 px.
    fn default() -> Self {
        Self {
            size_px: (800, 800),
            framing: Framing::Fill(0.9),
            offset_px: (0.0, 0.0),
            distance_mm: 400.0,
            tilt_deg: 0.0,
            tilt_direction_deg: 0.0,
            turn_deg: 0.0,
            light: Light::default(),
            backdrop: Backdrop::Studio,
            defocus_px: 0.0,
            motion_px: 0.0,
            motion_direction_deg: 0.0,
            noise: 0.0,
            vignetting: 0.0,
            exposure: 1.0,
            seed: 1,
        }
    }
}

impl CameraOptions {
    /// The transform of a picture taken so, from side mm to px, without taking it.
    ///
    /// # Errors
    /// [`MintError::NoSuchView`] where no such camera is possible.
    pub fn truth(&self) -> Result<PictureFromSide, MintError> {
        Pose::of(self, FLAN_MM).picture_from_plane(0.0)
    }
}

/// A picture with all that is true of it.
#[derive(Debug, Clone)]
pub struct Shot {
    /// The upright picture.
    pub pixels: RgbImage,
    /// Where each place of the side lies in it: exact, for the plane of the rim.
    pub truth: PictureFromSide,
    /// The die that struck the coin.
    pub die: DieDesign,
}

impl Shot {
    /// The side pictured.
    #[must_use]
    pub fn side(&self) -> Side {
        self.die.side
    }

    /// The scale at the coin's middle in px/mm.
    #[must_use]
    pub fn px_per_mm(&self) -> f64 {
        self.truth.px_per_mm(SidePoint::origin())
    }

    /// Where every landmark of the side truly is, in px.
    #[must_use]
    pub fn landmarks(&self) -> BTreeMap<LandmarkName, PicturePoint> {
        landmarks(self.side())
            .into_iter()
            .map(|l| (l.name, self.truth.point_in_picture(l.place_mm)))
            .collect()
    }
}

/// Where the camera is: rotation and shift from the side's frame (z into the coin) to the camera's frame.
#[derive(Debug)]
pub(crate) struct Pose {
    pub rotation: Matrix3<f64>,
    pub shift: Vector3<f64>,
    pub focal_px: f64,
    /// Where the camera's axis meets the picture, in px.
    pub middle: (f64, f64),
}

impl Pose {
    /// How a coin of a radius in mm is seen.
    pub fn of(options: &CameraOptions, radius_mm: f32) -> Self {
        let px_per_mm = match options.framing {
            Framing::PxPerMm(scale) => scale,
            Framing::Fill(share) => {
                share * f64::from(options.size_px.0.min(options.size_px.1)) / (2.0 * f64::from(radius_mm))
            }
        };
        let focal_px = px_per_mm * options.distance_mm;
        let (sin, cos) = options.tilt_direction_deg.to_radians().sin_cos();
        // This axis turns the direction (cos, sin) of the picture away from the camera.
        let axis = Unit::new_normalize(Vector3::new(sin, -cos, 0.0));
        let tilt = Rotation3::from_axis_angle(&axis, options.tilt_deg.clamp(0.0, 60.0).to_radians());
        let turn = Rotation3::from_axis_angle(&Vector3::z_axis(), options.turn_deg.to_radians());
        let shift = Vector3::new(
            options.offset_px.0 / px_per_mm,
            options.offset_px.1 / px_per_mm,
            options.distance_mm,
        );
        let (width, height) = options.size_px;
        Self {
            rotation: (tilt * turn).into_inner(),
            shift,
            focal_px,
            middle: (f64::from(width) / 2.0 - 0.5, f64::from(height) / 2.0 - 0.5),
        }
    }

    /// The transform of the plane at a height in mm towards the camera.
    pub fn picture_from_plane(&self, height_mm: f64) -> Result<PictureFromSide, MintError> {
        let camera = Matrix3::new(
            self.focal_px,
            0.0,
            self.middle.0,
            0.0,
            self.focal_px,
            self.middle.1,
            0.0,
            0.0,
            1.0,
        );
        let plane = Matrix3::from_columns(&[
            self.rotation.column(0).into_owned(),
            self.rotation.column(1).into_owned(),
            self.shift - height_mm * self.rotation.column(2),
        ]);
        PictureFromSide::new(camera * plane).map_err(|_| MintError::NoSuchView)
    }

    /// Where a point of the side at a height in mm lies in the picture.
    pub fn point(&self, p: SidePoint, height_mm: f64) -> PicturePoint {
        let seen = self.rotation * Vector3::new(p.x, p.y, -height_mm) + self.shift;
        PicturePoint::new(
            self.middle.0 + self.focal_px * seen.x / seen.z,
            self.middle.1 + self.focal_px * seen.y / seen.z,
        )
    }

    /// The ray of a picture point, in the camera's frame.
    pub fn ray(&self, x: f64, y: f64) -> Vector3<f32> {
        let ray = Vector3::new(
            (x - self.middle.0) / self.focal_px,
            (y - self.middle.1) / self.focal_px,
            1.0,
        );
        ray.map(|v| v as f32)
    }
}

/// Takes a picture of a coin.
///
/// # Errors
/// [`MintError::NoSuchView`] where the options describe no possible camera (a scale or distance of zero, a picture
/// without pixels).
pub fn photograph(coin: &Coin, options: &CameraOptions) -> Result<Shot, MintError> {
    let (width, height) = (options.size_px.0 as usize, options.size_px.1 as usize);
    if width == 0 || height == 0 {
        return Err(MintError::NoSuchView);
    }
    let pose = Pose::of(options, FLAN_MM);
    let truth = pose.picture_from_plane(0.0)?;
    let px_per_mm = truth.px_per_mm(SidePoint::origin());
    let view = View {
        surface: &coin.surface(relief_scale(px_per_mm)),
        metal: Metal::new(coin.options()),
        around: Surroundings::new(&options.light),
        backdrop: options.backdrop,
        seed: options.seed as u32 ^ 0x6261_636b,
        into_side: pose.rotation.transpose().map(|v| v as f32),
        to_camera: pose.rotation.map(|v| v as f32),
        eye: (-pose.rotation.transpose() * pose.shift).map(|v| v as f32),
        pose: &pose,
    };
    // Small pictures need more samples a pixel: each covers more of the relief.
    let samples: &[(f64, f64)] = if px_per_mm < 60.0 {
        &[(-0.375, -0.125), (0.125, -0.375), (0.375, 0.125), (-0.125, 0.375)]
    } else {
        &[(-0.25, -0.25), (0.25, 0.25)]
    };
    let mut cells = vec![[0.0_f32; 3]; width * height];
    cells.par_chunks_mut(width).enumerate().for_each(|(y, line)| {
        for (x, cell) in line.iter_mut().enumerate() {
            let mut sum: V3 = [0.0; 3];
            for (dx, dy) in samples {
                let seen = view.seen(pose.ray(x as f64 + dx, y as f64 + dy));
                add(&mut sum, seen.map(|v| v.min(6.0)), 1.0);
            }
            *cell = sum.map(|s| s / samples.len() as f32);
        }
    });
    let metered = view.mean_light(&truth);
    let mut film = Film { width, height, cells };
    film.defocus(options.defocus_px);
    film.motion(options.motion_px, options.motion_direction_deg);
    let pixels = film.develop(
        options.exposure * METERED_LIGHT / metered,
        options.noise,
        options.vignetting,
        options.seed,
    );
    Ok(Shot {
        pixels,
        truth,
        die: coin.die().clone(),
    })
}

/// The lights' distance from the coin, in mm: near enough that the light changes over the coin.
const LIGHTS_MM: f32 = 95.0;

struct View<'a> {
    surface: &'a Surface,
    metal: Metal,
    around: Surroundings,
    backdrop: Backdrop,
    seed: u32,
    into_side: Matrix3<f32>,
    to_camera: Matrix3<f32>,
    /// The camera's place in the side's frame, z into the coin.
    eye: Vector3<f32>,
    pose: &'a Pose,
}

/// The mean light that the camera's meter makes of the coin, linear, for an exposure of 1.
pub(crate) const METERED_LIGHT: f64 = 0.33;

impl View<'_> {
    /// The mean light of the coin's face, as a camera's meter would weigh it: over an even grid of places.
    fn mean_light(&self, truth: &PictureFromSide) -> f64 {
        const ACROSS: i32 = 40;
        let (mut sum, mut count) = (0.0, 0.0);
        for i in 0..ACROSS * ACROSS {
            let place = |k: i32| f64::from(k) / f64::from(ACROSS - 1) * 26.0 - 13.0;
            let p = SidePoint::new(place(i % ACROSS), place(i / ACROSS));
            if p.to_vector().length() < 13.0 {
                let at = truth.point_in_picture(p);
                let light = self.seen(self.pose.ray(at.x, at.y));
                sum += f64::from((light[0] + 2.0 * light[1] + light[2]).min(6.0)) / 4.0;
                count += 1.0;
            }
        }
        (sum / f64::max(count, 1.0)).max(1e-3)
    }

    /// The light that comes back along a ray given in the camera's frame.
    fn seen(&self, ray: Vector3<f32>) -> V3 {
        let d = self.into_side * ray;
        let to_eye = unit([-ray.x, -ray.y, -ray.z]);
        let hit = |z: f32| -> P {
            let s = (z - self.eye.z) / d.z;
            [self.eye.x + s * d.x, self.eye.y + s * d.y]
        };
        let top = hit(0.0);
        let r2 = top[0] * top[0] + top[1] * top[1];
        if r2 <= FLAN_MM * FLAN_MM {
            let texel = self.surface.at(top);
            // The surface is z = -height, seen from -z: its normal is (-slope, -1).
            let normal = self.to_camera * Vector3::new(-texel.slope[0], -texel.slope[1], -1.0);
            let r = r2.sqrt().max(0.1);
            let across = self.to_camera * Vector3::new(-top[1] / r, top[0] / r, 0.0);
            let aside = self.to_camera * Vector3::new(top[0], top[1], 0.0) / LIGHTS_MM;
            let place = Place {
                p: top,
                texel: &texel,
                normal: unit([normal.x, normal.y, normal.z]),
                to_eye,
                across: [across.x, across.y, across.z],
                aside: [aside.x, aside.y, aside.z],
            };
            return self.metal.seen(&place, &self.around);
        }
        if let Some(normal) = self.edge_normal(d) {
            let n = self.to_camera * normal;
            return self.metal.edge([n.x, n.y, n.z], to_eye, &self.around);
        }
        let table = hit(THICKNESS_MM);
        let on_picture = self.to_camera * Vector3::new(table[0], table[1], 0.0);
        self.backdrop
            .seen([on_picture.x, on_picture.y], &self.around, self.seed)
    }

    /// The outward normal where a ray that misses the face meets the flan's edge.
    fn edge_normal(&self, d: Vector3<f32>) -> Option<Vector3<f32>> {
        let (a, b) = (d.x * d.x + d.y * d.y, self.eye.x * d.x + self.eye.y * d.y);
        let c = self.eye.x * self.eye.x + self.eye.y * self.eye.y - FLAN_MM * FLAN_MM;
        let inside = b * b - a * c;
        if inside <= 0.0 || a <= 1e-9 {
            return None;
        }
        let s = (-b - inside.sqrt()) / a;
        let z = self.eye.z + s * d.z;
        if !(0.0..=THICKNESS_MM).contains(&z) {
            return None;
        }
        Some(Vector3::new(
            (self.eye.x + s * d.x) / FLAN_MM,
            (self.eye.y + s * d.y) / FLAN_MM,
            0.0,
        ))
    }
}
