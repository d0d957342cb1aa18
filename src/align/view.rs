//! What is known of a photo before its landmarks: how far a camera is held from square and from how far it looks.

/// Tilts of the camera that are weighed, in degrees: the scale of each kind of view. A hand that means to hold it
/// square is a few degrees off; beyond 30 degrees nobody photographs a coin to study it. Common practice, no source.
const TILTS_DEG: [f64; 4] = [2.0, 6.0, 14.0, 26.0];
/// Distances of the camera that are weighed, in mm: a phone close up, a phone or camera at a stand.
const DISTANCES_MM: [f64; 2] = [130.0, 300.0];
/// The shares of square views (scanners, copy stands), of tilted views from far away (a long lens), of tilted views close
/// up aimed at the coin, and of such views whose axis is elsewhere (the coin in a corner, or cut out of a larger
/// picture). Common practice, no source.
const SHARES: [f64; 4] = [0.1, 0.1, 0.65, 0.15];

/// The first parameter that is a stretch, and the first that is a perspective, in [`crate::geometry::Tangent`].
pub(super) const STRETCH: usize = 4;
pub(super) const PERSPECTIVE: usize = 6;

/// What is known of the camera's distance: mean and deviation of its inverse, in one over coin radii.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct InverseDistance {
    pub(super) mean: f64,
    pub(super) deviation: f64,
}

/// What the distances above say of the inverse of the camera's, for a coin of this radius.
pub(super) fn inverse_distance(radius_mm: f64) -> InverseDistance {
    let [near, far] = DISTANCES_MM.map(|distance| radius_mm / distance);
    InverseDistance {
        mean: (near + far) / 2.0,
        deviation: (near - far) / 2.0,
    }
}

/// What a kind of view says of one parameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Known {
    /// It is zero.
    Zero,
    /// It is near zero, with this standard deviation.
    NearZero(f64),
    /// It is what the tilt makes of it, as far as the camera's distance is known.
    ByTilt,
    /// Nothing.
    Free,
}

/// A kind of view: what it says of stretch and of perspective, in the units of a coin radius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct View {
    /// Its share among photos.
    pub(super) share: f64,
    /// Of each of the two stretches.
    pub(super) stretch: Known,
    /// Of each of the two perspective parameters.
    pub(super) perspective: Known,
}

/// The kinds of view that are weighed for a coin of this radius.
pub(super) fn views(radius_mm: f64) -> Vec<View> {
    // A circle tilted by t shrinks to cos t one way: a stretch of (1 - cos t) / 2 in a direction unknown. Half of its
    // square falls on either of the two parameters.
    let stretch = |tilt: f64| Known::NearZero((1.0 - tilt.to_radians().cos()) / 8.0_f64.sqrt());
    let mut kinds = vec![View {
        share: SHARES[0],
        stretch: Known::Zero,
        perspective: Known::Zero,
    }];
    for tilt in &TILTS_DEG[1..] {
        kinds.push(View {
            share: SHARES[1] / (TILTS_DEG.len() - 1) as f64,
            stretch: stretch(*tilt),
            perspective: Known::Zero,
        });
    }
    for tilt in TILTS_DEG {
        // Half of the square falls on either of its two parameters.
        let unaimed = tilt.to_radians().sin() * radius_mm / DISTANCES_MM[0] / std::f64::consts::SQRT_2;
        for (share, perspective) in [(SHARES[2], Known::ByTilt), (SHARES[3], Known::NearZero(unaimed))] {
            kinds.push(View {
                share: share / TILTS_DEG.len() as f64,
                stretch: stretch(tilt),
                perspective,
            });
        }
    }
    kinds
}
