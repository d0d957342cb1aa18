//! What the metal mirrors: a dim room with soft boxes, and how rough metal blurs it.

/// A direction or a colour, in the camera's frame: x right, y down, z away from the camera.
pub(super) type V3 = [f32; 3];

/// How the coin is lit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Light {
    /// Where the main light comes from, degrees clockwise from the top of the picture.
    pub direction_deg: f64,
    /// How high it stands over the plane of the picture, in degrees: 90 is from the camera.
    pub elevation_deg: f64,
    /// What kind of light it is.
    pub kind: LightKind,
}

/// Kinds of light.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LightKind {
    /// A large soft box, a weaker one across from it and a bright ceiling.
    Studio,
    /// A window in a room.
    Window,
    /// One small lamp in a dim room: hard highlights.
    Lamp,
}

impl Default for Light {
    fn default() -> Self {
        Self {
            direction_deg: -40.0,
            elevation_deg: 52.0,
            kind: LightKind::Studio,
        }
    }
}

struct SoftBox {
    towards: V3,
    /// Angular radius in radians.
    size: f32,
    radiance: V3,
}

/// The surroundings, made for one picture.
pub(super) struct Surroundings {
    boxes: Vec<SoftBox>,
    ceiling: V3,
    horizon: V3,
    floor: V3,
    /// Towards the main light.
    pub key: V3,
    /// How wide its shadow's edge is, as a share of the caster's height.
    pub softness: f32,
}

impl Surroundings {
    pub fn new(light: &Light) -> Self {
        let towards = |direction: f64, elevation: f64| {
            let (s, c) = direction.to_radians().sin_cos();
            let (z, flat) = elevation.to_radians().sin_cos();
            [(flat * s) as f32, (-flat * c) as f32, -z as f32]
        };
        let key = towards(light.direction_deg, light.elevation_deg);
        let soft_box = |direction: f64, elevation: f64, size_deg: f32, radiance: V3| SoftBox {
            towards: towards(light.direction_deg + direction, elevation),
            size: size_deg.to_radians(),
            radiance,
        };
        let e = light.elevation_deg;
        match light.kind {
            LightKind::Studio => Self {
                boxes: vec![
                    soft_box(0.0, e, 14.0, [7.4, 7.3, 7.15]),
                    soft_box(8.0, 0.36 * e, 17.0, [3.6, 3.55, 3.5]),
                    soft_box(170.0, 56.0, 11.0, [0.75, 0.78, 0.84]),
                    soft_box(-78.0, 26.0, 12.0, [1.1, 1.12, 1.18]),
                    soft_box(112.0, 24.0, 10.0, [0.45, 0.45, 0.46]),
                ],
                ceiling: [0.12, 0.12, 0.125],
                horizon: [0.055, 0.055, 0.06],
                floor: [0.13, 0.127, 0.123],
                key,
                softness: 0.8,
            },
            LightKind::Window => Self {
                boxes: vec![
                    soft_box(0.0, e, 17.0, [4.3, 4.5, 4.8]),
                    soft_box(14.0, 0.5 * e, 15.0, [3.0, 3.15, 3.4]),
                    soft_box(-60.0, 30.0, 13.0, [0.9, 0.95, 1.0]),
                    soft_box(175.0, 34.0, 20.0, [0.40, 0.36, 0.31]),
                ],
                ceiling: [0.20, 0.19, 0.175],
                horizon: [0.085, 0.075, 0.065],
                floor: [0.16, 0.145, 0.13],
                key,
                softness: 0.9,
            },
            LightKind::Lamp => Self {
                boxes: vec![
                    soft_box(0.0, e, 7.0, [17.0, 15.6, 13.4]),
                    soft_box(120.0, 35.0, 20.0, [0.4, 0.38, 0.36]),
                ],
                ceiling: [0.24, 0.22, 0.2],
                horizon: [0.09, 0.08, 0.07],
                floor: [0.12, 0.11, 0.10],
                key,
                softness: 0.35,
            },
        }
    }

    /// The light that a surface of the given roughness (GGX alpha, 0..1) mirrors from about a direction.
    ///
    /// Each soft box is widened by the lobe analytically: flat within its own radius, beyond it falling off with
    /// the long tail of GGX (Walter et al., Microfacet Models for Refraction, EGSR 2007), its energy kept.
    pub fn mirrored(&self, towards: V3, alpha: f32) -> V3 {
        let up = -towards[2];
        let sky = smooth((up + 0.35 * alpha) / (0.9 + 0.5 * alpha));
        let over = smooth((up + 0.10 + 0.5 * alpha) / (0.22 + alpha));
        let mut light: V3 = std::array::from_fn(|k| {
            let above = self.horizon[k] + (self.ceiling[k] - self.horizon[k]) * sky;
            self.floor[k] + (above - self.floor[k]) * over
        });
        // The reflected lobe is about twice as wide as the lobe of normals.
        let lobe = 1.6 * alpha;
        for source in &self.boxes {
            let cos = dot(towards, source.towards);
            let angle = (2.0 * (1.0 - cos)).max(0.0).sqrt();
            let beyond = ((angle - source.size).max(0.0)) / (0.04 + lobe);
            let tail = 1.0 / (1.0 + beyond * beyond);
            let kept = source.size * source.size / (source.size * source.size + 0.55 * lobe * lobe);
            let share = kept * tail * tail * over;
            add(&mut light, source.radiance, share);
        }
        light
    }

    /// The light that falls on a matt surface with the given normal (towards the camera side).
    pub fn falling(&self, normal: V3) -> V3 {
        let up = 0.5 * (1.0 - normal[2]);
        let mut light: V3 =
            std::array::from_fn(|k| self.floor[k] + (0.75 * self.ceiling[k] - self.floor[k]) * up);
        for source in &self.boxes {
            let cos = dot(normal, source.towards).max(0.0);
            // Irradiance of a disc over pi: sin^2 of its angular radius.
            let share = source.size.sin().powi(2) * cos;
            add(&mut light, source.radiance, share);
        }
        light
    }
}

/// Adds a share of one colour to another.
pub(super) fn add(to: &mut V3, colour: V3, share: f32) {
    to.iter_mut().zip(colour).for_each(|(t, c)| *t += share * c);
}

pub(super) fn dot(a: V3, b: V3) -> f32 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn unit(v: V3) -> V3 {
    let n = dot(v, v).sqrt().max(1e-12);
    v.map(|x| x / n)
}

fn smooth(t: f32) -> f32 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}
