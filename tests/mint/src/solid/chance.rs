//! Photos of solid coins as people take them, chosen by a seed.

use std::ops::Range;
use std::sync::Arc;

use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::coin::Struck;
use super::design::Design;
use super::lamps::Lighting;
use super::photo::{SolidShot, photograph_solid};
use crate::MintError;
use crate::backdrop::Backdrop;
use crate::camera::{CameraOptions, Framing};
use crate::coin::StrikeOptions;

/// Between which bounds a photo is chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Chances {
    /// Width and height of the picture in px.
    pub size_px: (u32, u32),
    /// The coin's diameter as a share of the shorter side.
    pub fill: Range<f64>,
    /// How far the coin leans from the camera, in degrees.
    pub tilt_deg: Range<f64>,
    /// How far it is turned, in degrees either way.
    pub turn_deg: f64,
    /// How high the main lamp stands, in degrees.
    pub elevation_deg: Range<f64>,
    /// Wear, 0 to 1.
    pub wear: Range<f64>,
}

impl Default for Chances {
    /// A phone's photo in ordinary light.
    fn default() -> Self {
        Self {
            size_px: (1400, 1050),
            fill: 0.6..0.93,
            tilt_deg: 0.0..20.0,
            turn_deg: 40.0,
            elevation_deg: 35.0..70.0,
            wear: 0.0..0.5,
        }
    }
}

/// What there is to photograph, and how.
#[derive(Debug, Clone)]
pub struct Occasion {
    /// The coin.
    pub coin: Struck,
    /// The camera.
    pub camera: CameraOptions,
    /// The light.
    pub lighting: Lighting,
}

impl Occasion {
    /// Chooses by a seed: a coin of a die of the design, a camera, a ground and lamps.
    #[must_use]
    pub fn by_chance(design: &Arc<Design>, die: u64, chances: &Chances, seed: u64) -> Self {
        let mut r = ChaCha8Rng::seed_from_u64(seed ^ 0x6f_6363_6173);
        let wear = r.random_range(chances.wear.clone());
        let options = StrikeOptions {
            wear,
            marks: r.random_range(0.0..1.0) * (0.2 + 0.8 * wear),
            toning: r.random_range(0.0..0.7),
            dirt: r.random_range(0.0..0.8),
            weak_strike: 0.0,
            seed,
        };
        let grounds = [
            Backdrop::Studio,
            Backdrop::Wood,
            Backdrop::Cloth,
            Backdrop::Paper,
            Backdrop::Paper,
            Backdrop::Cluttered,
            Backdrop::LikeTheCoin,
        ];
        let fill = r.random_range(chances.fill.clone());
        let (w, h) = (f64::from(chances.size_px.0), f64::from(chances.size_px.1));
        let short = w.min(h);
        let camera = CameraOptions {
            size_px: chances.size_px,
            framing: Framing::Fill(fill),
            offset_px: (
                r.random_range(-1.0..1.0) * 0.4 * (w - fill * short),
                r.random_range(-1.0..1.0) * 0.4 * (h - fill * short),
            ),
            distance_mm: r.random_range(130.0..350.0),
            tilt_deg: r.random_range(chances.tilt_deg.clone()),
            tilt_direction_deg: r.random_range(0.0..360.0),
            turn_deg: r.random_range(-1.0..1.0) * chances.turn_deg,
            backdrop: *grounds.choose(&mut r).unwrap_or(&Backdrop::Wood),
            defocus_px: r.random_range(0.5..1.4),
            noise: r.random_range(0.03..0.25),
            vignetting: r.random_range(0.0..0.3),
            exposure: r.random_range(0.8..1.25),
            seed,
            ..CameraOptions::default()
        };
        let lighting = Lighting::by_chance(chances.elevation_deg.clone(), &mut r);
        Self {
            coin: Struck::by_chance(design, die, &options),
            camera,
            lighting,
        }
    }

    /// The plate of a die: a fine coin, square to the camera, under a soft lamp from the upper left.
    #[must_use]
    pub fn plate(design: &Arc<Design>, die: u64, size_px: u32) -> Self {
        let seed = design.seed.wrapping_mul(131).wrapping_add(die);
        let mut r = ChaCha8Rng::seed_from_u64(seed ^ 0x70_6c61_7465);
        let camera = CameraOptions {
            size_px: (size_px, size_px),
            framing: Framing::Fill(0.92),
            distance_mm: 420.0,
            turn_deg: r.random_range(-5.0..5.0),
            defocus_px: 0.5 * f64::from(size_px) / 1500.0,
            noise: 0.05,
            seed,
            ..CameraOptions::default()
        };
        let options = StrikeOptions {
            seed,
            ..StrikeOptions::default()
        };
        Self {
            coin: Struck::by_chance(design, die, &options),
            camera,
            lighting: Lighting::studio(-40.0 + r.random_range(-15.0..15.0)),
        }
    }

    /// Takes the photo.
    ///
    /// # Errors
    /// As [`photograph_solid`].
    pub fn shot(&self) -> Result<SolidShot, MintError> {
        photograph_solid(&self.coin, &self.camera, &self.lighting)
    }
}
