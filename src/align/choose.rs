//! Aligning a picture: the candidates, the choice among them, and what to say of it.

use std::collections::BTreeMap;

use super::belief::{Belief, Marks, Placed, solve, widest};
use super::check::{Suspects, disagreeing, landmark_errors, layout_advice, next_landmark};
use super::noise::placing_px;
use super::relief::Relief;
use super::rim_evidence::RimEvidence;
use super::view::{Known, View, views};
use super::{Advice, AlignError, Alignment, LandmarkError, Rim};
use crate::geometry::{
    Correspondence, FitError, Model, PictureFromSide, PicturePoint, SidePoint, SideVector, fit,
};
use crate::reference::{Landmark, LandmarkName, Measures};

/// With more landmarks than this the rim is no longer needed, and its centre, which strikes miss, is left out.
const RIM_UP_TO_LANDMARKS: usize = 3;
/// A rim whose squared misfit exceeds this is not the one that the landmarks show: the 99.9 % quantile of chi-square
/// with 5 degrees of freedom.
const RIM_MISFIT: f64 = 20.5;
/// One landmark nearer the centre than this share of the radius does not show the rotation.
const ROTATION_SHOWN_FROM: f64 = 0.15;
/// A mirrored fit is believed when its squared error is below this share of the best unmirrored similarity's.
const MIRRORED_SHARE: f64 = 0.05;

/// What is marked on one picture.
#[derive(Debug, Clone, Copy)]
pub struct Marked<'a> {
    /// Where the landmarks are, in upright px; those that the side does not name are left out.
    pub landmarks: &'a BTreeMap<LandmarkName, PicturePoint>,
    /// The rim, which lends centre, scale and tilt to one to three landmarks.
    pub rim: Option<&'a Rim>,
    /// The model to keep; chosen where none.
    pub hold: Option<Model>,
}

impl<'a> From<&'a BTreeMap<LandmarkName, PicturePoint>> for Marked<'a> {
    /// Landmarks placed by hand and nothing else.
    fn from(landmarks: &'a BTreeMap<LandmarkName, PicturePoint>) -> Self {
        Self {
            landmarks,
            rim: None,
            hold: None,
        }
    }
}

/// Aligns a picture by what is marked on it.
///
/// The model is chosen whose expected error at `zone_positions` (side mm; a ring of positions over the coin where empty)
/// is smallest, given all that the landmarks leave possible.
///
/// # Errors
/// [`AlignError`].
pub fn align(
    landmarks: &[Landmark],
    measures: &Measures,
    marked: Marked<'_>,
    zone_positions: &[SidePoint],
) -> Result<Alignment, AlignError> {
    let Marked { rim, hold, .. } = marked;
    let radius_mm = measures.diameter_mm / 2.0;
    let relief = Relief::of(measures);
    let (names, placed) = placed(landmarks, relief, &marked);
    let points: Vec<Correspondence> = placed.iter().map(|p| p.at).collect();
    let plane_mm = placed.iter().map(|p| p.height.mm).sum::<f64>() / placed.len().max(1) as f64;
    let default_positions = ring(radius_mm);
    let positions = if zone_positions.is_empty() {
        &default_positions[..]
    } else {
        zone_positions
    };

    let base = similar_start(&points, rim, radius_mm)?;
    let kinds = views(radius_mm);
    let expected_noise_px = placing_px(base.px_per_mm(SidePoint::zero()));
    let mut marks = Marks::new(base, radius_mm, &placed, plane_mm, expected_noise_px);
    let mut advice = Vec::new();
    if let Some(evidence) = rim.and_then(|rim| RimEvidence::new(rim, &base, radius_mm)) {
        let fits = points.len() == 1 || rim_fits(&marks, &evidence, &kinds);
        if !fits {
            advice.push(Advice::RimDisagrees);
        } else if points.len() <= RIM_UP_TO_LANDMARKS {
            marks.rim = Some(evidence);
        }
    }
    let belief = Belief::weigh(&marks, &kinds).ok_or(AlignError::Degenerate)?;
    marks.parallax = belief.parallax();
    let points = in_plane(&points, &marks, radius_mm);
    let (model, picture_from_side) = least_expected_error(&points, &marks, &belief, hold, positions)?;
    let suspects = disagreeing(&marks, &kinds, &belief);
    let errors = landmark_errors(model, &picture_from_side, &names, &points, &suspects.named);
    let mut said = Vec::from_iter(mirrored(&points).then_some(Advice::Mirrored));
    said.extend(suspicions(&suspects, &errors));
    said.append(&mut advice);
    said.extend(layout_advice(&points, radius_mm));
    said.extend(next_landmark(landmarks, marked.landmarks, &belief, positions));
    Ok(Alignment {
        model,
        held: hold.is_some(),
        picture_from_side,
        noise_px: belief.noise_px(),
        landmarks: errors,
        advice: said,
        belief,
        relief,
        plane_mm,
    })
}

/// The landmarks that are placed, with their heights.
fn placed(landmarks: &[Landmark], relief: Relief, marked: &Marked<'_>) -> (Vec<LandmarkName>, Vec<Placed>) {
    landmarks
        .iter()
        .filter_map(|l| {
            let at = Correspondence {
                on_side: l.place_mm,
                in_picture: *marked.landmarks.get(&l.name)?,
            };
            let height = relief.of_landmark(l);
            Some((l.name.clone(), Placed { at, height }))
        })
        .unzip()
}

/// The landmarks where the plane that the transform maps would show what they show.
fn in_plane(points: &[Correspondence], marks: &Marks, radius_mm: f64) -> Vec<Correspondence> {
    points
        .iter()
        .zip(&marks.marks)
        .map(|(point, mark)| {
            let moved = marks.parallax.a_unit(mark.on_side) * (mark.height * radius_mm);
            Correspondence {
                on_side: point.on_side + SideVector::new(moved.x, moved.y),
                ..*point
            }
        })
        .collect()
}

/// The model, or the one held, whose fit has the least expected error at the positions.
fn least_expected_error(
    points: &[Correspondence],
    marks: &Marks,
    belief: &Belief,
    hold: Option<Model>,
    positions: &[SidePoint],
) -> Result<(Model, PictureFromSide), AlignError> {
    let mut candidates = Vec::new();
    for model in Model::ALL
        .into_iter()
        .filter(|m| hold.is_none_or(|held| held == *m))
    {
        match candidate(model, points, marks) {
            Ok(transform) => candidates.push((model, transform)),
            Err(error) if hold.is_some() => return Err(error),
            Err(_) => {}
        }
    }
    let loss = |transform: &PictureFromSide| -> f64 {
        positions
            .iter()
            .map(|p| belief.expected_square_mm2(transform, *p))
            .sum()
    };
    candidates
        .into_iter()
        .map(|(model, transform)| (loss(&transform), model, transform))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, model, transform)| (model, transform))
        .ok_or(AlignError::Degenerate)
}

/// What is said of landmarks that the others contradict.
fn suspicions(suspects: &Suspects, errors: &[LandmarkError]) -> impl Iterator<Item = Advice> {
    let named = suspects.named.iter().map(|&index| {
        let error = &errors[index];
        Advice::Disagrees {
            name: error.name.clone(),
            off_px: error.left_out_px.unwrap_or(error.residual_px).length(),
        }
    });
    named.chain(suspects.some_unnamed.then_some(Advice::Disagreement))
}

/// The centre and two rings of positions that stand for the coin where no zones are given.
fn ring(radius_mm: f64) -> Vec<SidePoint> {
    let mut positions = vec![SidePoint::zero()];
    for i in 0..8 {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / 8.0).sin_cos();
        for share in [0.5, 0.85] {
            positions.push(SidePoint::new(share * radius_mm * cos, share * radius_mm * sin));
        }
    }
    positions
}

/// A similarity near the truth: of two landmarks or more, or of the rim with one.
fn similar_start(
    points: &[Correspondence],
    rim: Option<&Rim>,
    radius_mm: f64,
) -> Result<PictureFromSide, AlignError> {
    match (points, rim) {
        ([], Some(_)) => Err(AlignError::TooFew { needed: 1, given: 0 }),
        ([] | [_], None) => Err(AlignError::TooFew {
            needed: 2,
            given: points.len(),
        }),
        ([one], Some(rim)) => {
            let position = one.on_side.to_vector();
            if position.length() < ROTATION_SHOWN_FROM * radius_mm {
                return Err(AlignError::NoRotation);
            }
            let mark = one.in_picture - rim.centre;
            let rotation = mark.angle_from_x_axis() - position.angle_from_x_axis();
            let px_per_mm = (rim.long_px * rim.short_px).sqrt() / radius_mm;
            PictureFromSide::similarity(px_per_mm, rotation.to_degrees(), rim.centre)
                .map_err(|_| AlignError::Degenerate)
        }
        _ => match fit(Model::Similarity, points) {
            Ok(found) => Ok(found.picture_from_side),
            Err(_) => Err(AlignError::Degenerate),
        },
    }
}

/// Whether the rim lies where the landmarks alone, at the widest kind of view, allow it.
fn rim_fits(marks: &Marks, evidence: &RimEvidence, kinds: &[View]) -> bool {
    solve(marks, &widest(kinds), marks.expected_noise)
        .is_none_or(|s| evidence.disagreement(&s.at, &s.covariance()) < RIM_MISFIT)
}

/// The transform of one model: least squares on the landmarks, with the rim where it is used.
fn candidate(model: Model, points: &[Correspondence], marks: &Marks) -> Result<PictureFromSide, AlignError> {
    let upright = |t: PictureFromSide| t.jacobian(SidePoint::zero()).determinant() > 0.0;
    let too_few = AlignError::TooFew {
        needed: model.fewest_landmarks(),
        given: points.len(),
    };
    if marks.rim.is_some() {
        let view = View {
            share: 1.0,
            stretch: match model {
                Model::Similarity => Known::Zero,
                Model::Affine => Known::Free,
                Model::Homography => return Err(too_few),
            },
            perspective: Known::Zero,
        };
        let solved = solve(marks, &view, marks.expected_noise).ok_or(AlignError::Degenerate)?;
        return marks
            .frame
            .changed(&marks.base, &solved.at)
            .ok()
            .filter(|t| upright(*t))
            .ok_or(AlignError::Degenerate);
    }
    match fit(model, points) {
        Ok(found) if upright(found.picture_from_side) => Ok(found.picture_from_side),
        Ok(_) | Err(FitError::Degenerate) => Err(AlignError::Degenerate),
        Err(FitError::TooFew { .. }) => Err(too_few),
    }
}

/// The same marks on a mirrored side.
pub(super) fn flipped(points: &[Correspondence]) -> Vec<Correspondence> {
    let flip = |c: &Correspondence| Correspondence {
        on_side: SidePoint::new(-c.on_side.x, c.on_side.y),
        ..*c
    };
    points.iter().map(flip).collect()
}

/// Whether the marks fit a mirrored coin, and no unmirrored one.
fn mirrored(points: &[Correspondence]) -> bool {
    if points.len() < Model::Affine.fewest_landmarks() {
        return false;
    }
    match (
        fit(Model::Similarity, points),
        fit(Model::Similarity, &flipped(points)),
    ) {
        (Ok(plain), Ok(mirror)) => mirror.squared_error_px2() < MIRRORED_SHARE * plain.squared_error_px2(),
        _ => false,
    }
}
