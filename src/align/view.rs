//! What is known of a photo before its landmarks: how far a camera is held from square and from how far it looks.

/// Tilts of the camera that are weighed, in degrees: the scale of each kind of view. A hand that means to hold it
/// square is a few degrees off; beyond 30 degrees nobody photographs a coin to study it. Common practice, no source.
const TILTS_DEG: [f64; 4] = [2.0, 6.0, 14.0, 26.0];
/// Distances of the camera that are weighed, in mm: a phone close up, a phone or camera at a stand.
const DISTANCES_MM: [f64; 2] = [130.0, 300.0];
/// The share of square views (scanners, copy stands), of tilted views from far away (a long lens), and of tilted
/// views close up. Common practice, no source.
const SHARES: [f64; 3] = [0.1, 0.1, 0.8];

/// What a kind of view says of one parameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Known {
    /// It is zero.
    Zero,
    /// It is near zero, with this standard deviation.
    NearZero(f64),
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
    // A circle tilted by t shrinks to cos t one way: a stretch of (1 - cos t) / 2 in a direction unknown, and a
    // perspective of sin t over the distance. Half of the square of each falls on either of its two parameters.
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
        for distance in DISTANCES_MM {
            let perspective = tilt.to_radians().sin() * radius_mm / distance / std::f64::consts::SQRT_2;
            kinds.push(View {
                share: SHARES[2] / (TILTS_DEG.len() * DISTANCES_MM.len()) as f64,
                stretch: stretch(tilt),
                perspective: Known::NearZero(perspective),
            });
        }
    }
    kinds
}
