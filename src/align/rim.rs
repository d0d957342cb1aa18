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
