//! The fern fronds to either side of the lantern.

use super::parts::Leaf;
use super::shapes::{P, on_clock};

/// The spine of a frond: left is -1, right is 1; `t` runs from its foot to its tip.
pub(super) fn frond(side: f32, t: f32) -> P {
    let clock = 152.0 - 118.0 * t;
    let radius = 7.25 + 0.85 * (std::f32::consts::PI * t).sin() - 1.1 * (1.0 - t).powi(3);
    let p = on_clock(radius, clock);
    [side * p[0], p[1] - 0.35]
}

/// Pairs of leaves on a frond.
pub(super) const LEAF_PAIRS: usize = 21;
/// The pair of which the left frond's outer leaf may be lacking.
pub(super) const LACKING_LEAF: usize = 11;

/// The leaf of a pair on a frond; `outer` is the one away from the lantern.
pub(super) fn leaf(side: f32, pair: usize, outer: bool) -> Leaf {
    let t = 0.07 + 0.86 * pair as f32 / (LEAF_PAIRS - 1) as f32;
    let (a, b) = (frond(side, t - 0.01), frond(side, t + 0.01));
    let heading = (b[1] - a[1]).atan2(b[0] - a[0]).to_degrees();
    let away = if outer { side } else { -side };
    // Long in the lower half, short at the tip.
    let length = 2.05 * (1.0 - t).powf(0.75) * (0.70 + 0.30 * (t / 0.2).min(1.0)) + 0.36;
    let length = if outer { length } else { 0.90 * length };
    Leaf {
        base: frond(side, t),
        direction_deg: heading + away * (64.0 - 14.0 * t),
        length,
        half_width: 0.115 * length.powf(0.6) + 0.06,
        bend: -away * 0.20 * length,
        height: 0.20,
    }
}

/// The leaf that ends a frond.
pub(super) fn top_leaf(side: f32) -> Leaf {
    let (a, b) = (frond(side, 0.93), frond(side, 0.97));
    let direction_deg = (b[1] - a[1]).atan2(b[0] - a[0]).to_degrees();
    Leaf {
        base: frond(side, 0.94),
        direction_deg,
        length: 0.95,
        half_width: 0.16,
        bend: 0.0,
        height: 0.16,
    }
}

/// The tip of a frond.
pub(super) fn frond_tip(side: f32) -> P {
    top_leaf(side).tip()
}
