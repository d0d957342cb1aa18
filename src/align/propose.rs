//! Proposing every remaining landmark once two or three stand.

use std::collections::BTreeMap;

use super::snap::{Snap, snap};
use super::snap_refused::SnapRefused;
use super::{AlignError, Alignment, Marked, align};
use crate::photo::Picture;
use crate::reference::{Landmark, LandmarkName, Measures};

/// How far a landmark is looked for, in mm: at least, so that the peak stands free; at most, so that the neighbouring
/// letter is not found.
const LEAST_REACH_MM: f64 = 0.25;
const MOST_REACH_MM: f64 = 1.0;

/// A landmark with the position proposed for it, or why none is.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// Its name.
    pub name: LandmarkName,
    /// Its position.
    pub outcome: Result<Snap, SnapRefused>,
}

/// Proposes a position for every landmark not yet placed, in the side's order.
///
/// The landmark whose position is least uncertain is snapped first; each that is found makes the alignment better for
/// the next. In a [`Snap`] here, `moved_px` is measured from where the alignment put the landmark. At the end those
/// that the alignment by all of them contradicts are taken back.
///
/// # Errors
/// [`AlignError`] where what is placed does not align the photo.
pub fn propose_rest(
    photo: &Picture,
    plate: &Picture,
    plate_alignment: &Alignment,
    landmarks: &[Landmark],
    measures: &Measures,
    marked: Marked<'_>,
) -> Result<Vec<Proposal>, AlignError> {
    let mut known = marked.landmarks.clone();
    let mut alignment = align(landmarks, measures, marked, &[])?;
    let mut outcomes: BTreeMap<LandmarkName, Result<Snap, SnapRefused>> = BTreeMap::new();
    loop {
        let next = landmarks
            .iter()
            .filter(|l| !known.contains_key(&l.name) && !outcomes.contains_key(&l.name))
            .map(|l| (alignment.landmark_uncertainty(l).radius95_mm, l))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((radius_mm, landmark)) = next else { break };
        let photo_from_side = alignment.landmark_transform(landmark);
        let there = photo_from_side.point_in_picture(landmark.place_mm);
        let outcome = snap(
            photo,
            &photo_from_side,
            plate,
            &plate_alignment.landmark_transform(landmark),
            landmark.place_mm,
            there,
            radius_mm.clamp(LEAST_REACH_MM, MOST_REACH_MM),
        );
        if let Ok(found) = &outcome {
            known.insert(landmark.name.clone(), found.to);
            let so_far = Marked {
                landmarks: &known,
                hold: None,
                ..marked
            };
            if let Ok(better) = align(landmarks, measures, so_far, &[]) {
                alignment = better;
            }
        }
        outcomes.insert(landmark.name.clone(), outcome);
    }
    for error in alignment.landmarks.iter().filter(|l| l.disagrees) {
        if let Some(outcome) = outcomes.get_mut(&error.name) {
            *outcome = Err(SnapRefused::Disagrees);
        }
    }
    Ok(landmarks
        .iter()
        .filter_map(|l| {
            let outcome = outcomes.remove(&l.name)?;
            let name = l.name.clone();
            Some(Proposal { name, outcome })
        })
        .collect())
}
