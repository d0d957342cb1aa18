//! Finding the rim in a photo before anything is known of it.
//!
//! The coin's centre is where its edges' normals meet. About it, rays are searched for edges across them, and the
//! closed curves of ellipse shape that most rays agree on are likely rims. The ring about each is unrolled, a small
//! network reads from it where the outline runs, and the ellipse that its readings agree on is measured.

mod coarse;
mod edges;
mod ellipse;
mod network;
mod outline;
mod strip;

use super::Rim;
use crate::geometry::PicturePoint;
use crate::photo::Picture;
use coarse::coarse_rims;
use edges::Gradients;
use outline::{Outline, Reach, outline};

/// The longer side of the level on which the coin is looked for, at most, in px.
const COARSE_PX: u32 = 480;
/// The radius on the level on which the rim is measured, at most, in px.
const FINE_RADIUS_PX: f64 = 480.0;
/// A picture smaller than this along its shorter side holds no coin worth studying.
const SMALLEST_PX: u32 = 48;
/// How often, at most, the outline is looked for again in a wide ring about the one found while that is doubtful, ...
const WIDE_AGAIN: usize = 3;
/// ... and then in a narrow one.
const NEAR_AGAIN: usize = 2;
/// The evidence and the share of the sectors seen that a rim needs. Minted coins have 3.4 or more and nearly all
/// sectors, real worn ones of 25 px in radius 1.0 and 0.6; what lies beside a coin hardly ever has both.
const LEAST_EVIDENCE: f64 = 0.8;
const LEAST_SUPPORT: f64 = 0.5;
/// A rim with this much evidence needs no comparison with other candidates, unless they are larger.
const CERTAIN: f64 = 3.0;
/// Of two round things in a picture the one this many times larger was meant, if there is this much evidence for it,
/// as a share of the other's.
const MEANT_LARGER: f64 = 1.15;
const MEANT_SHARE: f64 = 0.8;

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
    let mut best: Option<Outline> = None;
    for candidate in candidates {
        let radius = candidate.mean_radius() * f64::from(1 << coarse_level);
        // The candidates come best first: a later one matters where it may be larger, or the first was doubtful.
        if best.is_some_and(|b| b.evidence > CERTAIN && radius < MEANT_LARGER * b.ellipse.mean_radius()) {
            continue;
        }
        let fine_level = (0..=coarse_level)
            .find(|k| radius / f64::from(1 << k) <= FINE_RADIUS_PX)
            .unwrap_or(coarse_level);
        let level = &levels[fine_level];
        let start = candidate.rounded().to_level(coarse_level, fine_level);
        let mut found = outline(level, &start, Reach::Wide);
        // A rough candidate is drawn in step by step.
        for _ in 0..WIDE_AGAIN {
            let Some(rough) = found.filter(|found| found.evidence < CERTAIN) else {
                break;
            };
            match outline(level, &rough.ellipse.rounded(), Reach::Wide) {
                Some(better) if better.evidence > rough.evidence => found = Some(better),
                _ => break,
            }
        }
        for _ in 0..NEAR_AGAIN {
            found = found.and_then(|found| outline(level, &found.ellipse, Reach::Near));
        }
        let found = found.map(|found| Outline {
            ellipse: found.ellipse.to_level(fine_level, 0),
            ..found
        });
        if let Some(found) = found.filter(|found| best.is_none_or(|best| is_meant(found, &best))) {
            best = Some(found);
        }
    }
    let found = best.ok_or(RimNotFound::NothingRound)?;
    if found.evidence < LEAST_EVIDENCE || found.support < LEAST_SUPPORT {
        return Err(RimNotFound::Unsure {
            support: found.support,
        });
    }
    Ok(FoundRim {
        rim: Rim {
            centre: PicturePoint::new(found.ellipse.x, found.ellipse.y),
            long_px: found.ellipse.long,
            short_px: found.ellipse.short,
            turn_deg: found.ellipse.rotation.to_degrees(),
            by_hand: false,
        },
        support: found.support,
        scatter: found.scatter,
    })
}

/// Whether the first of two outlines is the rim: of two round things in a picture the plainly larger one was meant, of
/// two readings of one thing that with more evidence is right.
fn is_meant(found: &Outline, best: &Outline) -> bool {
    let larger = found.ellipse.mean_radius() / best.ellipse.mean_radius();
    let apart = (found.ellipse.x - best.ellipse.x).hypot(found.ellipse.y - best.ellipse.y);
    if apart > found.ellipse.mean_radius().max(best.ellipse.mean_radius()) {
        if larger > MEANT_LARGER {
            return found.evidence > MEANT_SHARE * best.evidence;
        }
        if larger < 1.0 / MEANT_LARGER {
            return found.evidence * MEANT_SHARE > best.evidence;
        }
    }
    found.evidence > best.evidence
}
