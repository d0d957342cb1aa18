//! Base silver under light: mirror, tone, dirt.

use super::coin::StrikeOptions;
use super::light::{Surroundings, V3, add, dot, unit};
use super::noise::{fractal_noise, smoothstep};
use super::shapes::P;
use super::surface::Texel;

/// The reflectance of clean base silver at normal incidence, linear sRGB: a warm grey.
pub(super) const SILVER: V3 = [0.86, 0.83, 0.775];
/// Toning's colours from thin to thick, as linear sRGB reflectance.
const TONES: [V3; 4] = [
    [0.86, 0.83, 0.775],
    [0.76, 0.69, 0.56],
    [0.48, 0.39, 0.32],
    [0.30, 0.31, 0.37],
];
/// The colour of dirt.
pub(super) const DIRT: V3 = [0.055, 0.046, 0.037];

/// A place of the coin as the camera sees it; directions are in the camera's frame.
pub(super) struct Place<'a> {
    /// In side mm.
    pub p: P,
    pub texel: &'a Texel,
    pub normal: V3,
    pub to_eye: V3,
    /// Along the surface, across the flow lines.
    pub across: V3,
    /// From the coin's middle, as a share of the lights' distance: what the place sees is shifted by it.
    pub aside: V3,
}

impl Place<'_> {
    /// Where the light comes from that a facet with this normal sends to the eye.
    fn mirrored_from(&self, normal: V3) -> V3 {
        let facing = dot(normal, self.to_eye).max(0.02);
        unit(std::array::from_fn(|k| {
            2.0 * facing * normal[k] - self.to_eye[k] + self.aside[k]
        }))
    }
}

/// How one coin's metal looks.
pub(super) struct Metal {
    toning: f32,
    dirt: f32,
    wear: f32,
    seed: u32,
}

impl Metal {
    pub fn new(options: &StrikeOptions) -> Self {
        Self {
            toning: options.toning as f32,
            dirt: options.dirt as f32,
            wear: options.wear as f32,
            seed: options.seed as u32 ^ 0x746f_6e65,
        }
    }

    /// The colour seen at a place of the coin.
    pub fn seen(&self, place: &Place, around: &Surroundings) -> V3 {
        let Place {
            p,
            texel,
            normal,
            to_eye,
            ..
        } = *place;
        let facing = dot(normal, to_eye).max(0.02);
        let rubbed = texel.rubbed;
        let hollow = texel.cavity.max(0.0);

        // Worn metal is matt from countless hairlines, rubbed high points are smoother again.
        let alpha = 0.10 + 0.18 * self.wear.sqrt() - 0.05 * rubbed;
        let sharp = self.lustre(place, alpha, around);
        let broad = around.mirrored(place.mirrored_from(normal), 0.60);
        let gloss = 0.86 - 0.26 * self.wear.sqrt();

        let patch = fractal_noise(p[0] / 5.5 + 9.0, p[1] / 5.5, 3, self.seed);
        let fine = fractal_noise(p[0] / 0.7, p[1] / 0.7, 2, self.seed ^ 9);
        let radial = (p[0] * p[0] + p[1] * p[1]) / 196.0;
        let thickness =
            self.toning * (0.42 + 0.50 * patch + 0.28 * radial + 0.30 * hollow + 0.05 * fine) - 0.55 * rubbed;
        let metal = tone(thickness.clamp(0.0, 1.0));
        // Schlick's approximation of the Fresnel term.
        let grazing = (1.0 - facing).powi(5);

        let open = 1.0 - 0.62 * smoothstep(0.10, 1.1, hollow);
        let lift = 1.0 + 0.10 * smoothstep(0.1, 0.8, -texel.cavity);
        let dirt = self.dirt
            * smoothstep(
                0.30 - 0.14 * self.dirt,
                1.0 - 0.25 * self.dirt,
                hollow + 0.16 * fine + 0.10 * patch,
            )
            * (1.0 - 0.8 * rubbed);
        let film = self.dirt * 0.10 * (1.0 - rubbed) * (1.0 + fine);
        let matt = around.falling(normal);
        std::array::from_fn(|k| {
            let reflectance = metal[k] + (1.0 - metal[k]) * grazing;
            let mirror = reflectance * (gloss * sharp[k] + (1.0 - gloss) * broad[k]) * lift;
            let cover = (dirt + film).min(0.95);
            (mirror * (1.0 - cover) + cover * DIRT[k] * matt[k] * 1.6) * open
        })
    }

    /// What metal with flow lines mirrors: its facets lean to either side of the lines, never along them, so that
    /// light draws out across them: the cartwheel of a struck coin.
    fn lustre(&self, place: &Place, alpha: f32, around: &Surroundings) -> V3 {
        const LEANS: [(f32, f32); 5] = [(-2.0, 0.12), (-1.0, 0.23), (0.0, 0.30), (1.0, 0.23), (2.0, 0.12)];
        let radius = place.p[0].hypot(place.p[1]);
        let spread =
            0.21 * (1.0 - 0.8 * self.wear.sqrt()) * smoothstep(1.5, 8.0, radius) * (1.0 - place.texel.rubbed);
        if spread < 0.01 {
            return around.mirrored(place.mirrored_from(place.normal), alpha);
        }
        let mut light = [0.0; 3];
        for (lean, weight) in LEANS {
            let mut normal = place.normal;
            add(&mut normal, place.across, lean * spread);
            add(
                &mut light,
                around.mirrored(place.mirrored_from(unit(normal)), alpha),
                weight,
            );
        }
        light
    }

    /// The flan's edge, a plain smooth cylinder: `normal` outwards.
    pub fn edge(&self, normal: V3, to_eye: V3, around: &Surroundings) -> V3 {
        let facing = dot(normal, to_eye).max(0.02);
        let from: V3 = std::array::from_fn(|k| 2.0 * facing * normal[k] - to_eye[k]);
        let light = around.mirrored(from, 0.4);
        std::array::from_fn(|k| 0.55 * SILVER[k] * light[k])
    }
}

/// The reflectance of toned metal, by the toning's thickness from 0 to 1.
pub(super) fn tone(thickness: f32) -> V3 {
    let at = thickness * (TONES.len() - 1) as f32;
    let i = (at as usize).min(TONES.len() - 2);
    let t = at - i as f32;
    std::array::from_fn(|k| TONES[i][k] + (TONES[i + 1][k] - TONES[i][k]) * t)
}
