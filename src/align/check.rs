//! What the landmarks say of one another: residuals, who disagrees, a poor layout, and which to place next.

use std::collections::BTreeMap;

use super::belief::{Belief, Marks};
use super::view::View;
use super::{Advice, LandmarkError};
use crate::geometry::{Correspondence, Model, PictureFromSide, PicturePoint, SidePoint, fit};
use crate::reference::{Landmark, LandmarkName};

/// How often a placed landmark is plainly wrong: a neighbouring stop, a slip. Common practice, no source.
const WRONG_SHARE: f64 = 0.01;
/// Landmarks whose estimated noise is below this many times the expected one, at a tilt that a camera may have, are
/// not looked at for a wrong one: a wrong one shows in either, and the look costs time while a landmark is dragged.
const SUSPICIOUS_NOISE: f64 = 1.3;
/// A landmark is named when it is wrong with this probability.
const NAMED_FROM: f64 = 0.9;
/// The sentence that some landmark is wrong is said when none is with less than this probability.
const ALL_RIGHT_BELOW: f64 = 0.05;
/// Landmarks whose spread across their line is below this share of that along it lie nearly on one line.
const NEARLY_COLLINEAR_SHARE: f64 = 0.15;
/// Landmarks whose spread about their centroid (root mean square) is below this share of the radius are clustered.
const CLUSTERED_SHARE: f64 = 0.35;
/// A next landmark is named when it lowers the expected error at the zones at least to this share.
const HELPS_TO: f64 = 0.95;

/// The marks that others contradict.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Suspects {
    /// Those wrong almost certainly, by index.
    pub(super) named: Vec<usize>,
    /// Whether a further one is wrong that cannot be told.
    pub(super) some_unnamed: bool,
}

/// Compares, for each mark, that it is wrong (anywhere on the coin) with all being right.
pub(super) fn disagreeing(marks: &Marks, kinds: &[View], belief: &Belief) -> Suspects {
    let mut suspects = Suspects::default();
    let quiet = belief.noise_px() < SUSPICIOUS_NOISE * marks.expected_noise * marks.px_per_radius;
    if quiet && belief.is_camera_plausible() {
        return suspects;
    }
    let mut left: Vec<usize> = (0..marks.marks.len()).collect();
    let mut marks = marks.clone();
    let mut all_right = belief.log_evidence;
    // Two landmarks explain each other always, so three must be left when one is taken out.
    let least = if marks.rim.is_some() { 2 } else { 3 };
    while left.len() >= least {
        // A mark that is wrong lies anywhere on the coin, whose area is pi in coin radii.
        let log_odds = (WRONG_SHARE / (1.0 - WRONG_SHARE) / std::f64::consts::PI).ln();
        let without: Vec<f64> = (0..left.len())
            .map(|i| {
                Belief::log_evidence_of(&marks.without(i), kinds).map_or(f64::NEG_INFINITY, |e| e + log_odds)
            })
            .collect();
        let best = without.iter().copied().fold(all_right, f64::max);
        let total = (all_right - best).exp() + without.iter().map(|w| (w - best).exp()).sum::<f64>();
        let Some((worst, log)) = without
            .iter()
            .enumerate()
            .max_by(|a, b| a.1.total_cmp(b.1))
            .map(|(i, w)| (i, *w))
        else {
            break;
        };
        if (log - best).exp() / total < NAMED_FROM {
            suspects.some_unnamed = (all_right - best).exp() / total < ALL_RIGHT_BELOW;
            break;
        }
        suspects.named.push(left.remove(worst));
        marks = marks.without(worst);
        all_right = log - log_odds;
    }
    suspects
}

/// Each landmark against the fit, and against the fit of the others.
pub(super) fn landmark_errors(
    model: Model,
    transform: &PictureFromSide,
    names: &[LandmarkName],
    points: &[Correspondence],
    named: &[usize],
) -> Vec<LandmarkError> {
    (0..points.len())
        .map(|i| {
            let c = points[i];
            let others: Vec<_> = (0..points.len()).filter(|k| *k != i).map(|k| points[k]).collect();
            LandmarkError {
                name: names[i].clone(),
                residual_px: c.in_picture - transform.point_in_picture(c.on_side),
                residual_mm: (transform.point_on_side(c.in_picture) - c.on_side).length(),
                left_out_px: fit(model, &others)
                    .ok()
                    .map(|f| c.in_picture - f.picture_from_side.point_in_picture(c.on_side)),
                disagrees: named.contains(&i),
            }
        })
        .collect()
}

/// The sentence for a layout that leaves the transform poorly fixed.
pub(super) fn layout_advice(points: &[Correspondence], radius_mm: f64) -> Option<Advice> {
    if points.len() < 2 {
        return None;
    }
    let n = points.len() as f64;
    let centre = points
        .iter()
        .fold(SidePoint::zero(), |a, c| a + c.on_side.to_vector() / n);
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for c in points {
        let d = c.on_side - centre;
        xx += d.x * d.x / n;
        xy += d.x * d.y / n;
        yy += d.y * d.y / n;
    }
    if (xx + yy).sqrt() < CLUSTERED_SHARE * radius_mm {
        return Some(Advice::Clustered);
    }
    let (mean, half) = ((xx + yy) / 2.0, ((xx - yy) / 2.0).hypot(xy));
    let flat = (mean - half).max(0.0) < NEARLY_COLLINEAR_SHARE.powi(2) * (mean + half);
    (flat && points.len() > 2).then_some(Advice::NearlyCollinear)
}

/// The landmark not yet placed whose placing would lower the expected error at the zones most.
pub(super) fn next_landmark(
    landmarks: &[Landmark],
    placed: &BTreeMap<LandmarkName, PicturePoint>,
    belief: &Belief,
    positions: &[SidePoint],
) -> Option<Advice> {
    let now = belief.square_left_by(None, positions);
    landmarks
        .iter()
        .filter(|l| !placed.contains_key(&l.name))
        .map(|l| (belief.square_left_by(Some(l.place_mm), positions), l))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .filter(|(left, _)| *left < HELPS_TO.powi(2) * now)
        .map(|(_, l)| Advice::PlaceNext { name: l.name.clone() })
}
