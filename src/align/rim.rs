//! The rim: the coin's outer edge in a picture.

use serde::{Deserialize, Serialize};

use crate::geometry::PicturePoint;

/// The coin's outer edge in a photo: an ellipse.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rim {
    /// Its centre in upright px.
    pub centre: PicturePoint,
    /// The longer half axis in px.
    pub long_px: f64,
    /// The shorter half axis in px.
    pub short_px: f64,
    /// The rotation of the longer axis from the picture's x axis, clockwise on screen, in degrees.
    pub turn_deg: f64,
    /// Whether the user drew or corrected it.
    #[serde(default)]
    pub by_hand: bool,
}

impl Rim {
    /// A circle in the middle of a picture of this size in px, to be drawn on by hand; its radius is a share of the
    /// picture's shorter side.
    #[must_use]
    pub fn in_the_middle((width_px, height_px): (u32, u32), radius_share: f64) -> Self {
        let (w, h) = (f64::from(width_px), f64::from(height_px));
        let radius = w.min(h) * radius_share;
        Self {
            centre: PicturePoint::new((w - 1.0) / 2.0, (h - 1.0) / 2.0),
            long_px: radius,
            short_px: radius,
            turn_deg: 0.0,
            by_hand: true,
        }
    }
}
