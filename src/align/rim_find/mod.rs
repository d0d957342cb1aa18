//! Finding the rim in a photo before anything is known of it.
//!
//! The coin's centre is where its edges' normals meet. About it, rays are searched for edges across them, and the
//! closed curve of ellipse shape that most rays agree on is looked for from coarse to fine; of several such curves
//! (the border's teeth and the rim's inner edge are others) the outermost that is as well supported is the rim. At a
//! finer level every ray's edges near it vote in a consensus of direct ellipse fits.

mod coarse;
mod edges;
mod ellipse;
mod fine;

use super::Rim;
use crate::geometry::PicturePoint;
use crate::photo::Picture;
use coarse::coarse_rims;
use edges::Gradients;
use ellipse::Ellipse;
use fine::{Refined, refine};
use image::RgbImage;

/// The longer side of the level on which the coin is looked for, at most, in px.
const COARSE_PX: u32 = 480;
/// The radius on the level on which the rim is measured, at most, in px.
const FINE_RADIUS_PX: f64 = 640.0;
/// A picture smaller than this along its shorter side holds no coin worth studying.
const SMALLEST_PX: u32 = 48;
/// How far the rim's inner edge lies inside the outer one, about, as a share of the radius.
const RING_WIDTH: f64 = 0.05;
/// A curve that is seen in this share of the directions is not doubted for one further in.
const WELL_SEEN: f64 = 0.8;
/// A rim seen in this share of the directions needs no comparison with other candidates.
const CERTAIN: f64 = 0.9;
/// An outer curve is taken before an inner one that is better seen, down to this share of its support.
const OUTER_SUPPORT_SHARE: f64 = 0.75;
/// An outer curve's edges are at least this share as strong as the inner one's: a shadow's are not.
const OUTER_WEIGHT: f64 = 0.12;
/// A coin's edge is rounded, and its brightness falls most where it begins to turn away, inside the outermost circle:
/// by so much of the radius, on the mean of minted coins (0.1 to 1.1 % by wear and light).
const EDGE_ROUNDING: f64 = 0.0035;
/// The share of the directions seen in which the rim must be found.
const LEAST_SUPPORT: f64 = 0.5;

/// Why no rim is given. Each message is a sentence for the user.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RimNotFound {
    /// The picture is too small.
    #[error("The picture is too small to look for the coin\u{2019}s rim.")]
    TooSmall,
    /// Nothing round stands out.
    #[error("The coin\u{2019}s rim was not found: draw it, or place two landmarks.")]
    NothingRound,
    /// The best curve has too little support.
    #[error(
        "The coin\u{2019}s rim was not found for certain ({:.0} % of it seen): draw it, or place two landmarks.",
        support * 100.0
    )]
    Unsure {
        /// In which share of the directions an edge lies on the best curve, 0 to 1.
        support: f64,
    },
}

/// A rim with how well it was seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoundRim {
    /// The rim.
    pub rim: Rim,
    /// In which share of the directions inside the picture an edge lies on it, 0 to 1.
    pub support: f64,
    /// How far those edges lie from it, root mean square, as a share of the radius.
    pub scatter: f64,
}

/// Finds the coin's outer edge.
///
/// # Errors
/// [`RimNotFound`] where no ellipse is well enough supported: that is an answer, and no rim is made up.
pub fn find_rim(picture: &Picture) -> Result<FoundRim, RimNotFound> {
    if picture.width().min(picture.height()) < SMALLEST_PX {
        return Err(RimNotFound::TooSmall);
    }
    let levels = picture.levels();
    let longer = |k: usize| levels[k].width().max(levels[k].height());
    let coarse_level = (0..levels.len())
        .find(|k| longer(*k) <= COARSE_PX)
        .unwrap_or(levels.len() - 1);
    let gradients = Gradients::of(&levels[coarse_level]);
    let candidates = coarse_rims(&gradients);
    let mut best: Option<FoundRim> = None;
    for candidate in candidates {
        let radius = candidate.mean_radius() * f64::from(1 << coarse_level);
        let fine_level = (0..=coarse_level)
            .find(|k| radius / f64::from(1 << k) <= FINE_RADIUS_PX)
            .unwrap_or(coarse_level);
        let start = candidate.to_level(coarse_level, fine_level);
        let Some(found) = outermost(&levels[fine_level], &start) else {
            continue;
        };
        let ellipse = found.ellipse.to_level(fine_level, 0);
        let rim = FoundRim {
            rim: Rim {
                centre: PicturePoint::new(ellipse.x, ellipse.y),
                long_px: ellipse.long * (1.0 + EDGE_ROUNDING),
                short_px: ellipse.short * (1.0 + EDGE_ROUNDING),
                turn_deg: ellipse.turn.to_degrees(),
                by_hand: false,
            },
            support: found.support,
            scatter: found.scatter,
        };
        // The candidates come best first; a later one must be plainly better seen.
        if best.is_none_or(|b| rim.support > b.support + 0.1) {
            best = Some(rim);
        }
        if best.is_some_and(|b| b.support > CERTAIN) {
            break;
        }
    }
    match best {
        None => Err(RimNotFound::NothingRound),
        Some(found) if found.support < LEAST_SUPPORT => Err(RimNotFound::Unsure {
            support: found.support,
        }),
        Some(found) => Ok(found),
    }
}

/// The curve measured from the coarse one and from one a little inside and outside of it: of those well seen, the
/// outermost. The rim's inner edge and the border's teeth are as round as the rim, and often crisper.
fn outermost(level: &RgbImage, start: &Ellipse) -> Option<Refined> {
    let gradients = Gradients::of(level);
    let middle = refine(&gradients, start, 0.0);
    let about = middle.map_or(*start, |m| m.ellipse);
    let weight = middle.map_or(0.0, |m| m.weight);
    let outer = refine(&gradients, &about.scaled(1.0 + RING_WIDTH), OUTER_WEIGHT * weight)
        .filter(|outer| about.is_around(&outer.ellipse));
    let inner = if middle.is_some_and(|m| m.support > WELL_SEEN) {
        None
    } else {
        refine(&gradients, &start.scaled(1.0 - RING_WIDTH), 0.0)
    };
    let found = [outer, middle, inner];
    let most = found.iter().flatten().map(|f| f.support).fold(0.0, f64::max);
    found
        .into_iter()
        .flatten()
        .find(|f| f.support >= OUTER_SUPPORT_SHARE * most)
}
