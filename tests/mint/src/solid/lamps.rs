//! Several lamps, coloured, low or high, in a room; all of them far away.

use std::f32::consts::{PI, TAU};

use rand::Rng;
use rand_chacha::ChaCha8Rng;

use crate::light::{V3, add, dot};

/// One lamp, far away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lamp {
    /// Where it stands, degrees clockwise from the top of the picture.
    pub direction_deg: f64,
    /// How high it stands over the plane of the picture, in degrees: 90 is from the camera.
    pub elevation_deg: f64,
    /// Its angular radius in degrees: a bulb has 2, a window 15.
    pub radius_deg: f64,
    /// Its radiance, linear sRGB.
    pub radiance: [f32; 3],
}

impl Lamp {
    /// Towards it, in the camera's frame.
    pub(super) fn towards(&self) -> V3 {
        let (sin, cos) = self.direction_deg.to_radians().sin_cos();
        let (up, flat) = self.elevation_deg.to_radians().sin_cos();
        [(flat * sin) as f32, (-flat * cos) as f32, -up as f32]
    }

    /// The cosine of its angular radius.
    fn cos_radius(&self) -> f32 {
        self.radius_deg.to_radians().cos() as f32
    }
}

/// The most lamps of a picture; further ones are left out.
pub(super) const MOST_LAMPS: usize = 6;

/// What lights a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Lighting {
    /// The lamps; each casts shadows.
    pub lamps: Vec<Lamp>,
    /// The room's own light from above, from the side and from below, linear sRGB.
    pub room: [[f32; 3]; 3],
}

impl Lighting {
    /// A main lamp at an elevation within a range in degrees, perhaps others, in a room.
    pub fn by_chance(elevation_deg: std::ops::Range<f64>, r: &mut ChaCha8Rng) -> Self {
        let tint = |r: &mut ChaCha8Rng| match r.random_range(0..4) {
            0 => [1.15, 1.0, 0.78],
            1 => [0.86, 0.98, 1.18],
            2 => [1.06, 1.0, 0.93],
            _ => [1.0, 1.0, 1.0],
        };
        let direction = r.random_range(-180.0..180.0);
        let elevation = r.random_range(elevation_deg);
        // The flux on the coin is about the same for a bulb and a window.
        let radius: f64 = r.random_range(2.5..16.0);
        let flux = |radius_deg: f64, strength: f32, tint: [f32; 3]| {
            let share = strength / (radius_deg.to_radians().sin() as f32).powi(2);
            tint.map(|t: f32| t * share)
        };
        let mut lamps = vec![Lamp {
            direction_deg: direction,
            elevation_deg: elevation,
            radius_deg: radius,
            radiance: flux(radius, r.random_range(0.25..0.5), tint(r)),
        }];
        for _ in 0..r.random_range(0..3) {
            let radius = r.random_range(4.0..18.0);
            lamps.push(Lamp {
                direction_deg: r.random_range(-180.0..180.0),
                elevation_deg: r.random_range(15.0..75.0),
                radius_deg: radius,
                radiance: flux(radius, r.random_range(0.02..0.14), tint(r)),
            });
        }
        let bright = r.random_range(0.4..1.3_f32);
        Self {
            lamps,
            room: [[0.20, 0.195, 0.185], [0.08, 0.078, 0.075], [0.14, 0.135, 0.125]]
                .map(|c| c.map(|v: f32| v * bright)),
        }
    }

    /// A soft main lamp from a direction, 52 degrees up, and two weaker ones, as plates are taken.
    #[must_use]
    pub fn studio(direction_deg: f64) -> Self {
        let lamp = |aside: f64, elevation_deg, radius_deg, radiance| Lamp {
            direction_deg: direction_deg + aside,
            elevation_deg,
            radius_deg,
            radiance: [radiance; 3],
        };
        Self {
            lamps: vec![
                lamp(0.0, 52.0, 14.0, 6.0),
                lamp(170.0, 56.0, 11.0, 0.8),
                lamp(-78.0, 30.0, 12.0, 1.0),
            ],
            room: [[0.12; 3], [0.055; 3], [0.13; 3]],
        }
    }

    /// The radiance from a direction in the camera's frame, lamps included: what an environment map holds.
    #[must_use]
    pub fn radiance(&self, towards: [f32; 3]) -> [f32; 3] {
        let mut light = self.room_light(towards);
        for lamp in &self.lamps {
            if dot(towards, lamp.towards()) >= lamp.cos_radius() {
                add(&mut light, lamp.radiance, 1.0);
            }
        }
        light
    }

    fn room_light(&self, towards: V3) -> V3 {
        let up = -towards[2];
        let [above, side, below] = self.room;
        std::array::from_fn(|k| {
            if up >= 0.0 {
                side[k] + (above[k] - side[k]) * up
            } else {
                side[k] + (below[k] - side[k]) * -up
            }
        })
    }
}

/// A map of directions of the half space towards the camera and a little beyond, to what rough metal mirrors from there.
struct Lobe {
    /// `SIZE` by `SIZE` directions in an azimuthal equal-area map about the camera's.
    cells: Vec<V3>,
}

/// Cells along each axis of a lobe's map.
const SIZE: usize = 256;
/// The greatest angle from the camera's direction that the map holds, as its radius in the equal-area projection: a
/// little more than 120 degrees.
const REACH: f32 = 1.75;

impl Lobe {
    fn of(light: impl Fn(V3) -> V3) -> Self {
        let mut cells = Vec::with_capacity(SIZE * SIZE);
        for row in 0..SIZE {
            for column in 0..SIZE {
                let at = |i: usize| (2.0 * (i as f32 + 0.5) / SIZE as f32 - 1.0) * REACH;
                let (x, y) = (at(column), at(row));
                let r2 = (x * x + y * y).min(3.98);
                // Lambert's azimuthal equal-area projection, inverse.
                let k = (1.0 - r2 / 4.0).sqrt();
                cells.push(light([x * k, y * k, -(1.0 - r2 / 2.0)]));
            }
        }
        Self { cells }
    }

    fn sum(all: &[Self]) -> Self {
        let cells =
            (0..SIZE * SIZE).map(|i| std::array::from_fn(|k| all.iter().map(|l| l.cells[i][k]).sum()));
        Self {
            cells: cells.collect(),
        }
    }

    fn at(&self, towards: V3) -> V3 {
        let k = (2.0 / (1.0 - towards[2]).max(1e-3)).sqrt();
        let cell = |v: f32| ((v * k / REACH + 1.0) * 0.5 * SIZE as f32 - 0.5).clamp(0.0, SIZE as f32 - 1.001);
        let (u, v) = (cell(towards[0]), cell(towards[1]));
        let (x, y) = (u as usize, v as usize);
        let (fx, fy) = (u - x as f32, v - y as f32);
        let (a, b) = (self.cells[y * SIZE + x], self.cells[y * SIZE + x + 1]);
        let (c, d) = (self.cells[(y + 1) * SIZE + x], self.cells[(y + 1) * SIZE + x + 1]);
        std::array::from_fn(|k| {
            let top = a[k] + (b[k] - a[k]) * fx;
            let bottom = c[k] + (d[k] - c[k]) * fx;
            top + (bottom - top) * fy
        })
    }
}

/// The lighting as metal of a few roughnesses mirrors it, each lamp by itself so that its shadow can be taken off.
pub(super) struct Mirrored {
    /// For each roughness of [`ROUGH`] the room, then every lamp.
    lobes: Vec<Vec<Lobe>>,
    /// For each roughness all of it together, for what lies in no shadow.
    unshaded: Vec<Lobe>,
    lamps: Vec<(V3, V3)>,
    room_falling: V3,
}

/// The roughnesses (GGX alpha) for which maps are made.
const ROUGH: [f32; 4] = [0.10, 0.18, 0.30, 0.60];

impl Mirrored {
    pub fn of(lighting: &Lighting) -> Self {
        let lobes = ROUGH
            .iter()
            .map(|alpha| {
                let mut maps = vec![Lobe::of(|d| lighting.room_light(d))];
                maps.extend(lighting.lamps.iter().take(MOST_LAMPS).map(|lamp| {
                    let (towards, radius) = (lamp.towards(), lamp.radius_deg.to_radians() as f32);
                    Lobe::of(|d| {
                        // A disc widened by the lobe, its energy kept: flat within its own radius, beyond it falling
                        // with the tail of GGX (Walter et al., Microfacet Models for Refraction, EGSR 2007).
                        let wide = 1.6 * alpha;
                        let angle = dot(d, towards).clamp(-1.0, 1.0).acos();
                        let beyond = (angle - radius).max(0.0) / (0.04 + wide);
                        let tail = 1.0 / (1.0 + beyond * beyond);
                        let kept = radius * radius / (radius * radius + 0.55 * wide * wide);
                        lamp.radiance.map(|v| v * kept * tail * tail)
                    })
                }));
                maps
            })
            .collect::<Vec<Vec<Lobe>>>();
        let unshaded = lobes.iter().map(|maps| Lobe::sum(maps)).collect();
        let lamps = lighting.lamps.iter().take(MOST_LAMPS).map(|lamp| {
            let share = (lamp.radius_deg.to_radians().sin() as f32).powi(2);
            (lamp.towards(), lamp.radiance.map(|v| v * share))
        });
        Self {
            lobes,
            unshaded,
            lamps: lamps.collect(),
            room_falling: std::array::from_fn(|k| 0.6 * lighting.room[0][k] + 0.4 * lighting.room[1][k]),
        }
    }

    /// How many lamps there are.
    pub fn lamps(&self) -> usize {
        self.lamps.len()
    }

    /// Towards a lamp.
    pub fn towards(&self, lamp: usize) -> V3 {
        self.lamps[lamp].0
    }

    /// What metal of a roughness mirrors from a direction; `lit` is the share of each lamp that is not in shadow.
    pub fn seen(&self, towards: V3, alpha: f32, lit: &[f32]) -> V3 {
        let above = ROUGH
            .iter()
            .position(|a| *a >= alpha)
            .unwrap_or(ROUGH.len() - 1)
            .max(1);
        let (low, high) = (ROUGH[above - 1], ROUGH[above]);
        let share = ((alpha - low) / (high - low)).clamp(0.0, 1.0);
        let mut light = [0.0; 3];
        let in_no_shadow = lit.iter().all(|lit| *lit >= 0.999);
        for (level, weight) in [(above - 1, 1.0 - share), (above, share)] {
            if weight > 0.0 && in_no_shadow {
                add(&mut light, self.unshaded[level].at(towards), weight);
            } else if weight > 0.0 {
                let map = &self.lobes[level];
                add(&mut light, map[0].at(towards), weight);
                for (lobe, lit) in map[1..].iter().zip(lit) {
                    if *lit > 0.0 {
                        add(&mut light, lobe.at(towards), weight * lit);
                    }
                }
            }
        }
        light
    }

    /// The light that falls on a matt surface, over pi.
    pub fn falling(&self, normal: V3, lit: &[f32]) -> V3 {
        let open = 0.5 * (1.0 - normal[2]);
        let mut light = self.room_falling.map(|v| v * open);
        for ((towards, flux), lit) in self.lamps.iter().zip(lit) {
            add(&mut light, *flux, dot(normal, *towards).max(0.0) * lit);
        }
        light
    }
}

/// An environment map of a lighting: rows from straight up (against the camera's down) to straight down, columns once
/// round, as latitude and longitude with the pole on the camera's -y axis.
#[must_use]
pub fn environment(lighting: &Lighting, width: usize, height: usize) -> Vec<[f32; 3]> {
    let mut cells = Vec::with_capacity(width * height);
    for row in 0..height {
        let theta = PI * (row as f32 + 0.5) / height as f32;
        for column in 0..width {
            let phi = TAU * (column as f32 + 0.5) / width as f32;
            let (st, ct) = theta.sin_cos();
            let (sp, cp) = phi.sin_cos();
            cells.push(lighting.radiance([st * sp, -ct, -st * cp]));
        }
    }
    cells
}
