//! Finding the rim in a photo before anything is known of it.
//!
//! The coin's centre is where its edges' normals meet. About it, rays are searched for edges across them, and the
//! closed curve of ellipse shape that most rays agree on is looked for from coarse to fine. Then the ring about that
//! curve is unrolled, every edge that runs round it is measured, and the outermost one that is truly seen is the rim:
//! the border's teeth and the rim's inner edge are as round, and often crisper.

mod choose;
mod coarse;
mod edges;
mod ellipse;
mod fine;
mod outline;
mod ring;

use super::Rim;
use crate::geometry::PicturePoint;
use crate::photo::Picture;
use choose::outline;
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
/// Of two round things in a picture the one this many times larger was meant, if its outline is seen this well, as a
/// share of the other's.
const MEANT_LARGER: f64 = 1.15;
const MEANT_SHARE: f64 = 0.8;
/// A rim is plainly better seen when it is in this much more of the directions.
const PLAINLY_BETTER: f64 = 0.1;
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
    let mut best: Option<Seen> = None;
    for candidate in candidates {
        let radius = candidate.mean_radius() * f64::from(1 << coarse_level);
        let fine_level = (0..=coarse_level)
            .find(|k| radius / f64::from(1 << k) <= FINE_RADIUS_PX)
            .unwrap_or(coarse_level);
        let start = candidate.to_level(coarse_level, fine_level);
        // The candidates come best first: a later one matters where it may be larger, or the first was doubtful.
        if best.is_some_and(|b| b.found.support > CERTAIN && radius < MEANT_LARGER * b.mean_radius()) {
            continue;
        }
        let Some(near) = outermost(&levels[fine_level], &start) else {
            continue;
        };
        let outline = outline(&levels[fine_level], &near.ellipse);
        let ellipse = outline
            .map_or(near.ellipse, |o| o.ellipse)
            .to_level(fine_level, 0);
        let rim = Rim {
            centre: PicturePoint::new(ellipse.x, ellipse.y),
            long_px: ellipse.long,
            short_px: ellipse.short,
            turn_deg: ellipse.turn.to_degrees(),
            by_hand: false,
        };
        let found = FoundRim {
            rim,
            support: near.support,
            scatter: near.scatter,
        };
        let seen = Seen {
            found,
            outline: outline.map_or(0.0, |o| o.seen()),
        };
        if best.is_none_or(|b| seen.is_better_than(&b)) {
            best = Some(seen);
        }
    }
    let best = best.map(|b| b.found);
    match best {
        None => Err(RimNotFound::NothingRound),
        Some(found) if found.support < LEAST_SUPPORT => Err(RimNotFound::Unsure {
            support: found.support,
        }),
        Some(found) => Ok(found),
    }
}

/// A rim with how surely and closely its outline is seen, 0 to 1.
#[derive(Debug, Clone, Copy)]
struct Seen {
    found: FoundRim,
    outline: f64,
}

impl Seen {
    fn mean_radius(&self) -> f64 {
        (self.found.rim.long_px * self.found.rim.short_px).sqrt()
    }

    /// Of two round things in a picture the plainly larger one was meant; of two readings of one thing the plainly
    /// better seen one is right.
    fn is_better_than(&self, other: &Self) -> bool {
        let apart = (self.found.rim.centre - other.found.rim.centre).length();
        if apart > other.mean_radius().max(self.mean_radius()) {
            let larger = self.mean_radius() / other.mean_radius();
            if larger > MEANT_LARGER {
                return self.outline > MEANT_SHARE * other.outline;
            }
            if larger < 1.0 / MEANT_LARGER {
                return self.outline * MEANT_SHARE > other.outline;
            }
        }
        self.found.support > other.found.support + PLAINLY_BETTER
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
