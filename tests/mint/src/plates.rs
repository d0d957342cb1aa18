//! The demo set's plates: one studio picture a die, each taken a little differently.

use super::camera::{CameraOptions, Framing, Shot, photograph};
use super::coin::{StrikeOptions, strike};
use super::light::{Light, LightKind};
use super::noise::hash01;
use super::{Backdrop, MintError};
use dietell::reference::{DieId, Side};

/// The plates' width and height in px.
pub const PLATE_PX: u32 = 1500;

/// Where a die's plate lies in the set's folder.
#[must_use]
pub fn plate_file(side: Side, die: &DieId) -> String {
    format!("plates/{}-{}.jpg", side.word(), die.as_str().to_lowercase())
}

/// How a die's plate was taken. `size_px` other than [`PLATE_PX`] gives the same picture smaller or larger.
#[must_use]
pub fn plate_camera(side: Side, die: &DieId, size_px: u32) -> CameraOptions {
    let seed = die.as_str().bytes().fold(side as u32 + 17, |s, b| {
        s.wrapping_mul(31).wrapping_add(u32::from(b))
    });
    let vary = |k: i32| f64::from(hash01(k, 0, seed)) * 2.0 - 1.0;
    let scale = f64::from(size_px) / f64::from(PLATE_PX);
    CameraOptions {
        size_px: (size_px, size_px),
        framing: Framing::Fill(0.92 + 0.025 * vary(1)),
        offset_px: (14.0 * vary(2) * scale, 14.0 * vary(3) * scale),
        distance_mm: 420.0,
        tilt_deg: 0.0,
        tilt_direction_deg: 0.0,
        turn_deg: 5.0 * vary(4),
        light: Light {
            direction_deg: -38.0 + 22.0 * vary(5),
            elevation_deg: 52.0 + 4.0 * vary(6),
            kind: LightKind::Studio,
        },
        backdrop: Backdrop::Studio,
        defocus_px: 0.5 * scale,
        exposure: 1.2,
        noise: 0.06,
        vignetting: 0.15,
        seed: u64::from(seed),
        ..CameraOptions::default()
    }
}

/// The plate of a die: a fine coin in studio light.
///
/// # Errors
/// [`MintError::NoSuchDie`] for a die that the demo set has not.
pub fn plate(side: Side, die: &DieId, size_px: u32) -> Result<Shot, MintError> {
    let camera = plate_camera(side, die, size_px);
    let options = StrikeOptions {
        seed: camera.seed ^ 0x5eed,
        ..StrikeOptions::default()
    };
    photograph(&strike(side, die, &options)?, &camera)
}
