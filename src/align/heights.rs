//! Learning the heights of landmarks from pictures taken at different tilts: bundle adjustment over what was placed.
//!
//! In a picture tilted by t a point at height h is displaced by h tan(t) away from the camera, and each picture by its
//! own tilt: over several, heights and transforms fit together at the least squares of all marks (Hartley & Zisserman,
//! Multiple View Geometry, 2nd ed., sec. 18.1 and A6.3). What all transforms can take up, a height common to all points
//! and one that grows along a line, is told by the prior alone.

use std::collections::BTreeMap;

use nalgebra::{DMatrix, DVector, Vector2};

use super::noise::placing_px;
use super::relief::{HeightPart, Relief};
use super::{Marked, align};
use crate::geometry::{Correspondence, Model, PicturePoint, SidePoint, SideVector, fit};
use crate::reference::{Height, Landmark, LandmarkName, Measures};

/// Fewer marks than this on a picture say nothing of heights: a homography takes up four.
const FEWEST_MARKS: usize = 5;
/// A picture is used whose direction of view is known with this probability.
const DIRECTION_KNOWN_FROM: f64 = 0.9;
/// How often the pictures are aligned anew: with the heights of the round before, more directions are known.
const ROUNDS: usize = 2;
/// The most steps of the adjustment, and the change in mm at which it ends. It is nearly linear.
const MOST_STEPS: usize = 30;
const SETTLED_MM: f64 = 1e-10;

/// One picture: from where it was taken, and where it shows which points.
#[derive(Debug, Clone)]
pub struct Sighting {
    /// The tangent of the tilt, as a vector on the side towards the camera's foot.
    pub tilt: SideVector,
    /// One over the camera's height above the side, in 1/mm.
    pub inverse_distance: f64,
    /// The standard deviation of a mark, in px a coordinate.
    pub noise_px: f64,
    /// Points by their index, in upright px.
    pub marks: Vec<(usize, PicturePoint)>,
}

/// Heights with their joint uncertainty.
#[derive(Debug, Clone, PartialEq)]
pub struct Heights {
    /// In mm above the field, in the order of the points.
    pub mm: Vec<f64>,
    /// Their covariance in mm^2.
    pub covariance_mm2: DMatrix<f64>,
}

impl Heights {
    /// One of them as a set keeps it.
    #[must_use]
    pub fn height(&self, index: usize) -> Option<Height> {
        Some(Height {
            mm: *self.mm.get(index)?,
            deviation_mm: self.covariance_mm2.get((index, index))?.sqrt(),
        })
    }
}

/// The heights of `points` (side mm) that fit all pictures best, each with a homography of its own, given what is
/// expected of each height before (mean and deviation above 0, in mm). Pictures of too few or degenerate marks are left
/// out; none where the equations have no solution.
#[must_use]
pub fn adjust_heights(points: &[SidePoint], expected: &[Height], pictures: &[Sighting]) -> Option<Heights> {
    let count = points.len().min(expected.len());
    let precision = |h: &Height| 1.0 / h.deviation_mm.powi(2);
    let prior = DVector::from_iterator(count, expected.iter().take(count).map(precision));
    let mean = DVector::from_iterator(count, expected.iter().take(count).map(|h| h.mm));
    let mut mm = mean.clone();
    let mut covariance_mm2 = DMatrix::zeros(count, count);
    for _ in 0..MOST_STEPS {
        let mut normal = DMatrix::from_diagonal(&prior);
        let mut pull = prior.component_mul(&(&mean - &mm));
        for picture in pictures {
            picture.add_to(points, &mm, &mut normal, &mut pull);
        }
        let factor = normal.cholesky()?;
        let step = factor.solve(&pull);
        mm += &step;
        covariance_mm2 = factor.inverse();
        if step.amax() < SETTLED_MM {
            break;
        }
    }
    let mm: Vec<f64> = mm.iter().copied().collect();
    mm.iter()
        .all(|h| h.is_finite())
        .then_some(Heights { mm, covariance_mm2 })
}

impl Sighting {
    /// Adds what the picture says of the heights once its homography has taken up what it can (the Schur complement).
    fn add_to(
        &self,
        points: &[SidePoint],
        mm: &DVector<f64>,
        normal: &mut DMatrix<f64>,
        pull: &mut DVector<f64>,
    ) {
        let a_mm = |p: SidePoint| p.to_vector() * self.inverse_distance - self.tilt;
        let marks = self.marks.iter().filter(|(index, _)| *index < mm.len());
        let raised: Vec<(usize, Correspondence)> = marks
            .map(|(index, in_picture)| {
                let p = points[*index];
                let on_side = p + a_mm(p) * mm[*index];
                let in_picture = *in_picture;
                (*index, Correspondence { on_side, in_picture })
            })
            .collect();
        if raised.len() < FEWEST_MARKS {
            return;
        }
        let at: Vec<Correspondence> = raised.iter().map(|(_, c)| *c).collect();
        let Ok(found) = fit(Model::Homography, &at) else {
            return;
        };
        let weight = 1.0 / self.noise_px.powi(2);
        // For each mark the derivative of its place in the picture by its own height, and by the homography.
        let by_height: Vec<Vector2<f64>> = raised
            .iter()
            .map(|(index, c)| {
                let a_mm = a_mm(points[*index]);
                found.picture_from_side.jacobian(c.on_side) * Vector2::new(a_mm.x, a_mm.y)
            })
            .collect();
        let by_plane: Vec<DMatrix<f64>> = at.iter().map(|c| found.point_jacobian(c.on_side)).collect();
        for (i, (row, _)) in raised.iter().enumerate() {
            let off = found.residuals_px[i];
            pull[*row] += weight * by_height[i].dot(&Vector2::new(off.x, off.y));
            normal[(*row, *row)] += weight * by_height[i].norm_squared();
            let own = by_plane[i].transpose() * by_height[i];
            for (j, (column, _)) in raised.iter().enumerate() {
                let other = by_plane[j].transpose() * by_height[j];
                normal[(*row, *column)] -= weight * own.dot(&(&found.unit_covariance * other));
            }
        }
    }
}

/// Learns the heights of a side's landmarks from what is marked on its plates and on specimens. Landmarks on no usable
/// picture keep what the relief leads to expect.
#[must_use]
pub fn learn_heights(
    landmarks: &[Landmark],
    measures: &Measures,
    pictures: &[&BTreeMap<LandmarkName, PicturePoint>],
) -> Option<Vec<Height>> {
    let relief = Relief::of(measures);
    let expect = |part: HeightPart| Height {
        mm: part.mm,
        deviation_mm: part.deviation_mm,
    };
    let expected = vec![expect(relief.surface()); landmarks.len()];
    let points: Vec<SidePoint> = landmarks.iter().map(|l| l.place_mm).collect();
    let mut known: Vec<Landmark> = landmarks.to_vec();
    let mut heights = None;
    for _ in 0..ROUNDS {
        let seen: Vec<Sighting> = pictures
            .iter()
            .filter_map(|marks| sighting(&known, measures, marks))
            .collect();
        let found = adjust_heights(&points, &expected, &seen)?;
        for (index, landmark) in known.iter_mut().enumerate() {
            landmark.height = found.height(index);
        }
        heights = Some(found);
    }
    let heights = heights?;
    (0..landmarks.len()).map(|index| heights.height(index)).collect()
}

/// What a picture can say of heights; none where it is not known from where it was taken.
fn sighting(
    landmarks: &[Landmark],
    measures: &Measures,
    marks: &BTreeMap<LandmarkName, PicturePoint>,
) -> Option<Sighting> {
    let alignment = align(landmarks, measures, Marked::from(marks), &[]).ok()?;
    let (parallax, probability) = alignment.belief.likelier_parallax()?;
    if probability < DIRECTION_KNOWN_FROM {
        return None;
    }
    let wrong = |name: &LandmarkName| alignment.landmarks.iter().any(|l| &l.name == name && l.disagrees);
    let indexed = landmarks.iter().enumerate().filter(|(_, l)| !wrong(&l.name));
    let px_per_mm = alignment.picture_from_side.px_per_mm(SidePoint::zero());
    Some(Sighting {
        tilt: SideVector::new(parallax.tilt.x, parallax.tilt.y),
        inverse_distance: parallax.inverse_distance.mean / (measures.diameter_mm / 2.0),
        noise_px: placing_px(px_per_mm),
        marks: indexed
            .filter_map(|(i, l)| Some((i, *marks.get(&l.name)?)))
            .collect(),
    })
}
