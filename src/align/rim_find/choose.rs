//! Which of the edges that run round is the coin's outline.
//!
//! Most coins show several: the inner ends of the border, the rim's inner edge, its outer one; where the coin is tilted
//! the foot of its wall; beyond it shadows. The outline is the outermost of those that are truly seen all round; one
//! that passes from one edge to another is seen less well than either.

use super::ellipse::Ellipse;
use super::outline::{Finder, Outline};
use image::RgbImage;

/// Edges are compared when they lie near a curve in this share of the directions.
const LEAST_SUPPORT: f64 = 0.6;
/// The outermost edge is taken that is seen this well, as a share of the best one. Chosen, as those below, on minted
/// photos other than those of the tests.
const OUTER_SHARE: f64 = 0.92;
/// An edge as round about the one taken, this far outside it, is the rim's outer one when it is seen so well.
const RING_WIDTHS: std::ops::Range<f64> = 0.03..0.125;
const RING_SEEN: f64 = 0.65;
/// How far the middles of two such edges lie apart, as a share of the radius, and how their axes' ratios differ.
const SAME_MIDDLE: f64 = 0.01;
const SAME_SHAPE: f64 = 0.02;
/// The outline in the picture's levels lies on the bright side of a blurred edge, that in ratios on the dark side;
/// this far apart, as a share of the radius, they are one edge, and the truth lies between them.
const ONE_EDGE: f64 = 0.007;
const ONE_EDGE_SEEN: f64 = 0.6;

/// The outline near a likely rim, with its ellipse between those of both tones.
pub(super) fn outline(level: &RgbImage, likely: &Ellipse) -> Option<Outline> {
    let finder = Finder::new(level, likely);
    let mut all = finder.close(likely);
    let mut taken = outermost(&all)?;
    let rings = finder.far(&taken.ellipse);
    if let Some(outer) = rings
        .iter()
        .filter(|o| o.support > LEAST_SUPPORT && o.seen() >= RING_SEEN && is_ring(&taken.ellipse, &o.ellipse))
        .max_by(|a, b| a.seen().total_cmp(&b.seen()))
    {
        all = finder.close(&outer.ellipse);
        taken = outermost(&all)?;
    }
    let near = |tones: fn(&Outline) -> f64| {
        all.iter()
            .filter(|o| tones(o) >= ONE_EDGE_SEEN * taken.seen() && is_one_edge(&taken.ellipse, &o.ellipse))
            .max_by(|a, b| tones(a).total_cmp(&tones(b)))
            .map_or(taken.ellipse, |o| o.ellipse)
    };
    let (bright, dark) = (near(|o| o.in_levels), near(|o| o.in_ratios));
    Some(Outline {
        ellipse: bright.halfway(&dark),
        ..taken
    })
}

/// The outermost of those that are seen about as well as the best.
fn outermost(all: &[Outline]) -> Option<Outline> {
    let supported = || all.iter().filter(|o| o.support > LEAST_SUPPORT);
    let best = supported().map(Outline::seen).fold(0.0, f64::max);
    supported()
        .filter(|o| o.seen() >= OUTER_SHARE * best)
        .max_by(|a, b| a.ellipse.mean_radius().total_cmp(&b.ellipse.mean_radius()))
        .copied()
}

fn middles_apart(a: &Ellipse, b: &Ellipse) -> f64 {
    (a.x - b.x).hypot(a.y - b.y) / a.mean_radius()
}

fn is_ring(inner: &Ellipse, outer: &Ellipse) -> bool {
    RING_WIDTHS.contains(&(outer.mean_radius() / inner.mean_radius() - 1.0))
        && middles_apart(inner, outer) < SAME_MIDDLE
        && ((outer.short / outer.long) / (inner.short / inner.long) - 1.0).abs() < SAME_SHAPE
}

fn is_one_edge(a: &Ellipse, b: &Ellipse) -> bool {
    (b.mean_radius() / a.mean_radius() - 1.0).abs() < ONE_EDGE && middles_apart(a, b) < ONE_EDGE
}
