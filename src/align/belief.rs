//! Everything that the landmarks leave possible: kinds of view and sizes of noise, each weighed by how well it
//! explains the marks, each with its own best transform and covariance.
//!
//! A similarity fitted to a photo tilted by a few degrees is off by more than its own covariance says, and three or
//! four landmarks cannot tell. The mixture can: it keeps every explanation that the marks do not refute.

use nalgebra::{Matrix2, SMatrix, Vector2};

use super::Uncertainty;
use super::noise::log_prior;
use super::radius::{Blob, radius_holding};
use super::rim_evidence::RimEvidence;
use super::view::{Known, View};
use crate::geometry::{
    Correspondence, MOST_PARAMETERS, PictureFromSide, PicturePoint, SidePoint, Tangent, TangentFrame,
};

/// The ratio between neighbouring sizes of noise that are weighed.
const NOISE_STEP: f64 = 1.3;
/// Explanations of less than this share of the best one's weight are dropped.
const LEAST_SHARE: f64 = 2e-3;
/// The most Gauss-Newton steps for one explanation; the problem is nearly linear.
const MOST_STEPS: usize = 5;
/// Steps end when no parameter moves by more than this (in coin radii: a ten-thousandth of a pixel at 1000 px).
const SETTLED: f64 = 1e-7;
/// The first parameter that is a stretch, and the first that is a perspective, in [`Tangent`].
const STRETCH: usize = 4;
const PERSPECTIVE: usize = 6;

type Square = SMatrix<f64, MOST_PARAMETERS, MOST_PARAMETERS>;

/// The marks in the frame of a similar start: side and marks both in coin radii, so that noise stays equal each way.
#[derive(Debug, Clone)]
pub(super) struct Marks {
    /// The similar start.
    pub(super) base: PictureFromSide,
    /// Origin at the side's, scale the coin's radius.
    pub(super) frame: TangentFrame,
    /// Picture px to a coin radius.
    pub(super) px_per_radius: f64,
    /// Place on the side and mark, both in coin radii.
    pub(super) pairs: Vec<(Vector2<f64>, Vector2<f64>)>,
    /// The rim as a further observation.
    pub(super) rim: Option<RimEvidence>,
    /// The expected noise of hand placing, in coin radii.
    pub(super) expected_noise: f64,
}

impl Marks {
    /// `base` must be a similarity.
    pub(super) fn new(
        base: PictureFromSide,
        radius_mm: f64,
        points: &[Correspondence],
        rim: Option<RimEvidence>,
        expected_noise_px: f64,
    ) -> Self {
        let frame = TangentFrame {
            centre: SidePoint::zero(),
            scale_mm: radius_mm,
        };
        let px_per_radius = base.px_per_mm(SidePoint::zero()) * radius_mm;
        let relative = |p: SidePoint| {
            let (x, y) = frame.relative(p);
            Vector2::new(x, y)
        };
        Self {
            base,
            frame,
            px_per_radius,
            pairs: points
                .iter()
                .map(|c| (relative(c.on_side), relative(base.point_on_side(c.in_picture))))
                .collect(),
            rim,
            expected_noise: expected_noise_px / px_per_radius,
        }
    }

    /// The same without one mark.
    pub(super) fn without(&self, index: usize) -> Self {
        let mut fewer = self.clone();
        fewer.pairs.remove(index);
        fewer
    }
}

/// Where the parameters put a place, and its derivative by them; all in coin radii.
fn predict(at: &Tangent, p: Vector2<f64>) -> (Vector2<f64>, SMatrix<f64, 2, MOST_PARAMETERS>) {
    let (x, y) = (p.x, p.y);
    let w = 1.0 + at[6] * x + at[7] * y;
    let u = ((1.0 + at[2] + at[4]) * x + (at[5] - at[3]) * y + at[0]) / w;
    let v = ((at[3] + at[5]) * x + (1.0 + at[2] - at[4]) * y + at[1]) / w;
    #[rustfmt::skip]
    let j = SMatrix::from_row_slice(&[
        1.0, 0.0, x, -y, x,  y, -u * x, -u * y,
        0.0, 1.0, y,  x, -y, x, -v * x, -v * y,
    ]);
    (Vector2::new(u, v), j / w)
}

/// The best parameters of one kind of view at one size of noise.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Solution {
    pub(super) at: Tangent,
    pub(super) covariance: Square,
    /// Log of the probability of the marks, parameters integrated out, up to a constant that all views share.
    pub(super) log_evidence: f64,
    /// Sum of the squared misfits of the marks, in squared coin radii.
    pub(super) squares: f64,
}

/// Solves one kind of view at one size of noise (in coin radii). None where the marks do not fix it.
pub(super) fn solve(marks: &Marks, view: &View, noise: f64, start: &Tangent) -> Option<Solution> {
    let mut at = *start;
    let mut fixed = [false; MOST_PARAMETERS];
    let mut precision = [0.0; MOST_PARAMETERS];
    for (range, known) in [
        (STRETCH..PERSPECTIVE, view.stretch),
        (PERSPECTIVE..MOST_PARAMETERS, view.perspective),
    ] {
        for k in range {
            match known {
                Known::Zero => {
                    fixed[k] = true;
                    at[k] = 0.0;
                }
                Known::NearZero(sd) => precision[k] = 1.0 / (sd * sd),
                Known::Free => {}
            }
        }
    }
    let weight = 1.0 / (noise * noise);
    for step in 0..=MOST_STEPS {
        let mut normal = Square::zeros();
        let mut pull = Tangent::zeros();
        let mut squares = 0.0;
        for (p, mark) in &marks.pairs {
            let (put, j) = predict(&at, *p);
            let off = mark - put;
            squares += off.norm_squared();
            normal += j.transpose() * j * weight;
            pull += j.transpose() * off * weight;
        }
        let mut misfit = squares * weight;
        if let Some(rim) = &marks.rim {
            misfit += rim.add_to(&at, &mut normal, &mut pull);
        }
        let mut log_precision = 0.0;
        for k in 0..MOST_PARAMETERS {
            if fixed[k] {
                normal.row_mut(k).fill(0.0);
                normal.column_mut(k).fill(0.0);
                normal[(k, k)] = 1.0;
                pull[k] = 0.0;
            } else if precision[k] > 0.0 {
                normal[(k, k)] += precision[k];
                pull[k] -= precision[k] * at[k];
                misfit += precision[k] * at[k] * at[k];
                log_precision += precision[k].ln();
            }
        }
        let factor = normal.cholesky()?;
        let change = factor.solve(&pull);
        if change.amax() > SETTLED && step < MOST_STEPS {
            at += change;
            continue;
        }
        let mut covariance = factor.inverse();
        for k in 0..MOST_PARAMETERS {
            if fixed[k] {
                covariance[(k, k)] = 0.0;
            }
        }
        let log_determinant: f64 = 2.0 * factor.l_dirty().diagonal().iter().map(|d| d.ln()).sum::<f64>();
        let count = marks.pairs.len() as f64;
        // Each mark's own normal density, 1 / (2 pi noise^2), and 2 pi for each integrated parameter; those of the
        // views' own priors cancel.
        let log_evidence = -0.5 * misfit - count * (std::f64::consts::TAU * noise * noise).ln()
            + 0.5 * log_precision
            - 0.5 * log_determinant;
        return log_evidence.is_finite().then_some(Solution {
            at,
            covariance,
            log_evidence,
            squares,
        });
    }
    None
}

/// One explanation and its share.
#[derive(Debug, Clone, PartialEq)]
struct Explanation {
    share: f64,
    noise: f64,
    at: Tangent,
    covariance: Square,
}

/// The weighed explanations of an alignment.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Belief {
    base: PictureFromSide,
    frame: TangentFrame,
    px_per_radius: f64,
    explanations: Vec<Explanation>,
    /// Log of the probability of the marks over all explanations, up to a constant.
    pub(super) log_evidence: f64,
}

impl Belief {
    /// Weighs all kinds of view and sizes of noise. None where the marks fix no view at all.
    pub(super) fn weigh(marks: &Marks, views: &[View]) -> Option<Self> {
        let mut found: Vec<(f64, Explanation)> = Vec::new();
        for noise in noises(marks, views)? {
            let mut start = Tangent::zeros();
            for view in views {
                let Some(solution) = solve(marks, view, noise, &start) else {
                    continue;
                };
                let log = solution.log_evidence + view.share.ln() + log_prior(noise / marks.expected_noise);
                start = solution.at;
                found.push((
                    log,
                    Explanation {
                        share: 0.0,
                        noise,
                        at: solution.at,
                        covariance: solution.covariance,
                    },
                ));
            }
        }
        let best = found.iter().map(|f| f.0).fold(f64::NEG_INFINITY, f64::max);
        if !best.is_finite() {
            return None;
        }
        let total: f64 = found.iter().map(|f| (f.0 - best).exp()).sum();
        found.retain(|f| (f.0 - best).exp() > LEAST_SHARE);
        let kept: f64 = found.iter().map(|f| (f.0 - best).exp()).sum();
        Some(Self {
            base: marks.base,
            frame: marks.frame,
            px_per_radius: marks.px_per_radius,
            explanations: found
                .into_iter()
                .map(|(log, e)| Explanation {
                    share: (log - best).exp() / kept,
                    ..e
                })
                .collect(),
            log_evidence: best + total.ln() + NOISE_STEP.ln().ln(),
        })
    }

    /// A transform that is known without error.
    pub(super) fn certain(transform: PictureFromSide, radius_mm: f64) -> Self {
        Self {
            base: transform,
            frame: TangentFrame {
                centre: SidePoint::zero(),
                scale_mm: radius_mm,
            },
            px_per_radius: transform.px_per_mm(SidePoint::zero()) * radius_mm,
            explanations: vec![Explanation {
                share: 1.0,
                noise: 0.0,
                at: Tangent::zeros(),
                covariance: Square::zeros(),
            }],
            log_evidence: 0.0,
        }
    }

    /// The noise of the marks in px a coordinate: root of the mean square over the explanations.
    pub(super) fn noise_px(&self) -> f64 {
        let square: f64 = self
            .explanations
            .iter()
            .map(|e| e.share * e.noise * e.noise)
            .sum();
        square.sqrt() * self.px_per_radius
    }

    /// For each explanation its share, how far it puts `place` from where `chosen` has it, and the covariance of
    /// that, in mm on the side.
    fn errors_of<'a>(
        &'a self,
        chosen: &'a PictureFromSide,
        place: SidePoint,
    ) -> impl Iterator<Item = (f64, Vector2<f64>, Matrix2<f64>)> + 'a {
        let (x, y) = self.frame.relative(place);
        let side_by_picture = chosen.jacobian(place).try_inverse();
        self.explanations.iter().filter_map(move |e| {
            let (put, j) = predict(&e.at, Vector2::new(x, y));
            let on_base =
                self.frame.centre + (SidePoint::new(put.x, put.y).to_vector() * self.frame.scale_mm);
            let in_picture: PicturePoint = self.base.point_in_picture(on_base);
            let off = chosen.point_on_side(in_picture) - place;
            let to_mm = side_by_picture? * self.base.jacobian(on_base) * self.frame.scale_mm;
            let j = to_mm * j;
            Some((
                e.share,
                Vector2::new(off.x, off.y),
                j * e.covariance * j.transpose(),
            ))
        })
    }

    /// The expected squared error of `chosen` at a place, in mm^2.
    pub(super) fn expected_square_mm2(&self, chosen: &PictureFromSide, place: SidePoint) -> f64 {
        self.errors_of(chosen, place)
            .map(|(share, off, c)| share * (off.norm_squared() + c.trace()))
            .sum()
    }

    /// How far `chosen` may be off at a place.
    pub(super) fn uncertainty(&self, chosen: &PictureFromSide, place: SidePoint) -> Uncertainty {
        let mut covariance_mm2 = Matrix2::zeros();
        let mut blobs = Vec::with_capacity(self.explanations.len());
        for (share, off, c) in self.errors_of(chosen, place) {
            covariance_mm2 += (c + off * off.transpose()) * share;
            blobs.push(Blob::new(share, off, &c));
        }
        Uncertainty {
            covariance_mm2,
            radius95_mm: radius_holding(super::HELD_PROBABILITY, &blobs),
        }
    }

    /// The expected mean square of the error at `places` that a further mark at `at_mm` would leave, in mm^2,
    /// measured by the scale of `chosen`.
    pub(super) fn square_left_by(&self, at_mm: Option<SidePoint>, places: &[SidePoint]) -> f64 {
        let relative = |p: SidePoint| {
            let (x, y) = self.frame.relative(p);
            Vector2::new(x, y)
        };
        let mut sum = 0.0;
        for e in &self.explanations {
            let mut covariance = e.covariance;
            if let Some(at_mm) = at_mm {
                let (_, j) = predict(&e.at, relative(at_mm));
                let jc = j * e.covariance;
                let seen = jc * j.transpose() + Matrix2::identity() * (e.noise * e.noise);
                if let Some(inverse) = seen.try_inverse() {
                    covariance -= jc.transpose() * inverse * jc;
                }
            }
            for place in places {
                let (_, j) = predict(&e.at, relative(*place));
                sum += e.share * (j * covariance * j.transpose()).trace();
            }
        }
        sum * self.frame.scale_mm.powi(2) / places.len().max(1) as f64
    }
}

/// The sizes of noise to weigh: a ladder that spans those which the freest and the tightest kind of view ask for.
fn noises(marks: &Marks, views: &[View]) -> Option<Vec<f64>> {
    use super::noise::PRIOR_FREEDOM;
    let count = 2.0 * marks.pairs.len() as f64;
    let pooled = |squares: f64, freedom: f64| {
        ((PRIOR_FREEDOM * marks.expected_noise.powi(2) + squares) / (PRIOR_FREEDOM + freedom)).sqrt()
    };
    let mut least = f64::INFINITY;
    let mut most: f64 = 0.0;
    for view in [views.first()?, views.last()?] {
        if let Some(s) = solve(marks, view, marks.expected_noise, &Tangent::zeros()) {
            least = least.min(pooled(s.squares, count));
            most = most.max(pooled(s.squares, (count - 4.0).max(0.0)));
        }
    }
    if !least.is_finite() {
        return None;
    }
    let (from, to) = (least / 1.8, most * 2.3);
    let steps = ((to / from).ln() / NOISE_STEP.ln()).ceil().clamp(1.0, 60.0) as usize;
    Some((0..=steps).map(|i| from * NOISE_STEP.powi(i as i32)).collect())
}
