//! Everything that the landmarks leave possible: kinds of view and sizes of noise, each weighed by how well it
//! explains the marks, each with its own best transform and covariance.
//!
//! A similarity fitted to a photo tilted by a few degrees is off by more than its own covariance says, and three or
//! four landmarks cannot tell. The mixture can: it keeps every explanation that the marks do not refute.

use nalgebra::{Cholesky, Const, Matrix2, Matrix3, SMatrix, Vector2};

use super::Uncertainty;
use super::mixture::Mixture;
use super::noise::log_prior;
use super::parallax::Parallax;
use super::relief::HeightPart;
use super::rim_evidence::RimEvidence;
use super::view::{Known, PERSPECTIVE, STRETCH, View, inverse_distance};
use crate::geometry::{
    Correspondence, MOST_PARAMETERS, PictureFromSide, PicturePoint, SidePoint, Tangent, TangentFrame,
};

/// The ratio between neighbouring sizes of noise that are weighed.
const NOISE_STEP: f64 = 1.4;
/// Explanations of less than this share of the best one's weight are dropped.
const LEAST_SHARE: f64 = 5e-3;
/// The most Gauss-Newton steps for one explanation; the problem is nearly linear.
const MOST_STEPS: usize = 5;
/// Steps end when no parameter moves by more than this (in coin radii: a ten-thousandth of a pixel at 1000 px).
const SETTLED: f64 = 1e-7;
/// The stretch of a view tilted by 30 degrees, (1 - cos 30) / 2.
const MOST_STRETCH: f64 = 0.067;
/// The perspective of a coin of 15 mm radius tilted by 30 degrees at 110 mm.
const MOST_PERSPECTIVE: f64 = 0.068;

type Square = SMatrix<f64, MOST_PARAMETERS, MOST_PARAMETERS>;

/// One placed landmark, in coin radii.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mark {
    /// Its position on the side.
    pub(super) on_side: Vector2<f64>,
    /// Where it was marked, taken back to the side by the similar start.
    pub(super) marked: Vector2<f64>,
    /// Its height above the plane that the transform maps, and the standard deviation of that.
    pub(super) height: f64,
    pub(super) height_deviation: f64,
}

/// The marks in the frame of a similar start: side and marks both in coin radii, so that noise stays equal each way.
#[derive(Debug, Clone)]
pub(super) struct Marks {
    /// The similar start.
    pub(super) base: PictureFromSide,
    /// Origin at the side's, scale the coin's radius.
    pub(super) frame: TangentFrame,
    /// Picture px to a coin radius.
    pub(super) px_per_radius: f64,
    /// The placed landmarks.
    pub(super) marks: Vec<Mark>,
    /// From where they are seen, as far as it is known.
    pub(super) parallax: Parallax,
    /// The rim as a further observation.
    pub(super) rim: Option<RimEvidence>,
    /// The expected noise of hand placing, in coin radii.
    pub(super) expected_noise: f64,
}

/// A landmark as it was placed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placed {
    /// Its position on the side and in the picture.
    pub(super) at: Correspondence,
    /// Its height above the field.
    pub(super) height: HeightPart,
}

impl Marks {
    /// `base` must be a similarity; the plane that the transform maps lies `plane_mm` above the field.
    pub(super) fn new(
        base: PictureFromSide,
        radius_mm: f64,
        placed: &[Placed],
        plane_mm: f64,
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
            marks: placed
                .iter()
                .map(|p| Mark {
                    on_side: relative(p.at.on_side),
                    marked: relative(base.point_on_side(p.at.in_picture)),
                    height: (p.height.mm - plane_mm) / radius_mm,
                    height_deviation: p.height.deviation_mm / radius_mm,
                })
                .collect(),
            parallax: Parallax::NONE,
            rim: None,
            expected_noise: expected_noise_px / px_per_radius,
        }
    }

    /// The same without one mark.
    pub(super) fn without(&self, index: usize) -> Self {
        let mut fewer = self.clone();
        fewer.marks.remove(index);
        fewer
    }

    /// The same seen with this parallax.
    fn seen_with(&self, parallax: Parallax) -> Self {
        Self {
            parallax,
            ..self.clone()
        }
    }
}

/// Where the parameters put a position, and its derivative by them; all in coin radii.
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

/// The marks' squared misfit as a quadratic of the parameters about a point, without the rim. Each mark is weighed by the
/// inverse of its covariance: the noise of its placing, and what its height may displace it by.
#[derive(Debug, Clone)]
struct Quadratic {
    about: Tangent,
    normal: Square,
    pull: Tangent,
    misfit: f64,
    /// Sum over the marks of the log of their covariance's determinant, with the density's factor of two pi.
    log_determinants: f64,
    noise: f64,
    /// The perspective that goes with the tilt: expectation and covariance.
    perspective: (Vector2<f64>, Matrix2<f64>),
}

impl Quadratic {
    fn about(marks: &Marks, about: Tangent, noise: f64) -> Self {
        let mut quadratic = Self {
            about,
            normal: Square::zeros(),
            pull: Tangent::zeros(),
            misfit: 0.0,
            log_determinants: 0.0,
            noise,
            perspective: marks.parallax.perspective(),
        };
        for mark in &marks.marks {
            let parallax = &marks.parallax;
            let raised = mark.on_side + parallax.a_unit(mark.on_side) * mark.height;
            let (put, j) = predict(&about, raised);
            let off = mark.marked - put;
            let covariance = Matrix2::identity() * (noise * noise)
                + parallax.covariance(mark.on_side, mark.height, mark.height_deviation);
            let determinant = covariance.determinant();
            let weight =
                Matrix2::new(covariance.m22, -covariance.m12, -covariance.m21, covariance.m11) / determinant;
            let weighed = j.transpose() * weight;
            quadratic.misfit += off.dot(&(weight * off));
            quadratic.normal += weighed * j;
            quadratic.pull += weighed * off;
            quadratic.log_determinants += (std::f64::consts::TAU.powi(2) * determinant).ln();
        }
        quadratic
    }

    /// Takes the fixed parameters out of the equations: each changes by a known step, to zero, which is returned.
    fn fix(
        &self,
        fixed: &[bool; MOST_PARAMETERS],
        normal: &mut Square,
        pull: &mut Tangent,
        misfit: &mut f64,
    ) -> Tangent {
        let mut step = Tangent::zeros();
        for k in (0..MOST_PARAMETERS).filter(|k| fixed[*k]) {
            step[k] = -self.about[k];
        }
        *misfit += (-2.0 * *pull + *normal * step).dot(&step);
        *pull -= *normal * step;
        for k in (0..MOST_PARAMETERS).filter(|k| fixed[*k]) {
            normal.row_mut(k).fill(0.0);
            normal.column_mut(k).fill(0.0);
            normal[(k, k)] = 1.0;
            pull[k] = 0.0;
        }
        step
    }

    /// The best parameters for one kind of view. None where the marks do not fix it.
    fn solve(&self, rim: Option<&RimEvidence>, view: &View) -> Option<Solution> {
        let mut normal = self.normal;
        let mut pull = self.pull;
        let mut misfit = self.misfit;
        if let Some(rim) = rim {
            misfit += rim.add_to(&self.about, &mut normal, &mut pull);
        }
        // All in terms of the change d from `about`: misfit - 2 pull.d + d.normal.d, priors on about + d.
        let mut log_precision = 0.0;
        let mut fixed = [false; MOST_PARAMETERS];
        for (range, known) in [
            (STRETCH..PERSPECTIVE, view.stretch),
            (PERSPECTIVE..MOST_PARAMETERS, view.perspective),
        ] {
            let (mean, covariance) = match known {
                Known::Zero => {
                    fixed[range].fill(true);
                    continue;
                }
                Known::Free => continue,
                Known::NearZero(sd) => (Vector2::zeros(), Matrix2::identity() * (sd * sd)),
                Known::ByTilt => self.perspective,
            };
            let precision = covariance.try_inverse()?;
            let off = self.about.fixed_rows::<2>(range.start) - mean;
            let mut block = normal.fixed_view_mut::<2, 2>(range.start, range.start);
            block += precision;
            let mut pulled = pull.fixed_rows_mut::<2>(range.start);
            pulled -= precision * off;
            misfit += off.dot(&(precision * off));
            log_precision += precision.determinant().ln();
        }
        let step = self.fix(&fixed, &mut normal, &mut pull, &mut misfit);
        let factor = normal.cholesky()?;
        let change = factor.solve(&pull);
        misfit -= change.dot(&pull);
        let change = change + step;
        let squares = self.misfit - 2.0 * self.pull.dot(&change) + change.dot(&(self.normal * change));
        let log_determinant: f64 = 2.0 * factor.l_dirty().diagonal().iter().map(|d| d.ln()).sum::<f64>();
        // The factors of two pi of the integrated parameters and of their priors cancel but for the four that every
        // view shares.
        let log_evidence = -0.5 * (misfit + self.log_determinants - log_precision + log_determinant);
        log_evidence.is_finite().then_some(Solution {
            at: self.about + change,
            factor,
            fixed,
            log_evidence,
            squares: squares.max(0.0) * self.noise * self.noise,
        })
    }
}

/// The best parameters of one kind of view at one size of noise.
#[derive(Debug, Clone)]
pub(super) struct Solution {
    pub(super) at: Tangent,
    factor: Cholesky<f64, Const<MOST_PARAMETERS>>,
    fixed: [bool; MOST_PARAMETERS],
    /// Log of the probability of the marks, parameters integrated out, up to a constant that all views share.
    log_evidence: f64,
    /// Sum of the squared misfits of the marks as by noise alone, in squared coin radii.
    squares: f64,
}

impl Solution {
    pub(super) fn covariance(&self) -> Square {
        let mut covariance = self.factor.inverse();
        for k in 0..MOST_PARAMETERS {
            if self.fixed[k] {
                covariance[(k, k)] = 0.0;
            }
        }
        covariance
    }
}

/// Solves one kind of view at one size of noise (in coin radii) by Gauss-Newton steps. None where the marks do not
/// fix it.
pub(super) fn solve(marks: &Marks, view: &View, noise: f64) -> Option<Solution> {
    let mut about = Tangent::zeros();
    let mut solution = None;
    for _ in 0..MOST_STEPS {
        let next = Quadratic::about(marks, about, noise).solve(marks.rim.as_ref(), view)?;
        let moved = (next.at - about).amax();
        about = next.at;
        solution = Some(next);
        if moved < SETTLED {
            break;
        }
    }
    solution
}

/// One explanation and its share.
#[derive(Debug, Clone, PartialEq)]
struct Explanation {
    share: f64,
    noise: f64,
    at: Tangent,
    covariance: Square,
    parallax: Parallax,
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
        let found = explain(marks, views)?;
        let best = best_of(&found);
        let kept: Vec<_> = found
            .iter()
            .filter(|f| (f.log - best).exp() > LEAST_SHARE)
            .collect();
        let total: f64 = kept.iter().map(|f| (f.log - best).exp()).sum();
        Some(Self {
            base: marks.base,
            frame: marks.frame,
            px_per_radius: marks.px_per_radius,
            explanations: kept
                .into_iter()
                .map(|f| Explanation {
                    share: (f.log - best).exp() / total,
                    noise: f.noise,
                    at: f.solution.at,
                    covariance: f.solution.covariance(),
                    parallax: f.parallax,
                })
                .collect(),
            log_evidence: log_sum(&found),
        })
    }

    /// Log of the probability of the marks over all explanations, up to a constant.
    pub(super) fn log_evidence_of(marks: &Marks, views: &[View]) -> Option<f64> {
        Some(log_sum(&explain(marks, views)?))
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
                parallax: Parallax::NONE,
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

    /// Whether stretch and perspective are those of a camera that a hand would hold: a wrong landmark among few is
    /// explained as a tilt that nobody would choose.
    pub(super) fn is_camera_plausible(&self) -> bool {
        let mean = |k: usize| -> f64 { self.explanations.iter().map(|e| e.share * e.at[k]).sum() };
        mean(STRETCH).hypot(mean(STRETCH + 1)) < MOST_STRETCH
            && mean(PERSPECTIVE).hypot(mean(PERSPECTIVE + 1)) < MOST_PERSPECTIVE
    }

    /// The parallax to expect: the mean over the explanations.
    pub(super) fn parallax(&self) -> Parallax {
        let mut mean = Parallax::NONE;
        for e in &self.explanations {
            mean.tilt += e.parallax.tilt * e.share;
            mean.inverse_distance.mean += e.parallax.inverse_distance.mean * e.share;
        }
        mean
    }

    /// The likelier of the two directions of view, with its probability.
    pub(super) fn likelier_parallax(&self) -> Option<(Parallax, f64)> {
        let first = self.explanations.first()?.parallax;
        let alike = |e: &&Explanation| e.parallax.tilt.dot(&first.tilt) >= 0.0;
        let share: f64 = self.explanations.iter().filter(alike).map(|e| e.share).sum();
        if share >= 0.5 {
            return Some((first, share));
        }
        let other = self.explanations.iter().find(|e| !alike(e))?;
        Some((other.parallax, 1.0 - share))
    }

    /// The matrix on side mm that moves each point of the plane to where the point `above_mm` over it is seen.
    pub(super) fn raise(&self, above_mm: f64) -> Matrix3<f64> {
        let parallax = self.parallax();
        let grown = 1.0 + above_mm / self.frame.scale_mm * parallax.inverse_distance.mean;
        let shift = parallax.tilt * -above_mm;
        Matrix3::new(grown, 0.0, shift.x, 0.0, grown, shift.y, 0.0, 0.0, 1.0)
    }

    /// For each explanation and each possible height above the transform's plane its share, how far it puts `position`
    /// from where `chosen` has it, and the covariance of that, in mm on the side.
    fn errors_of<'a>(
        &'a self,
        chosen: &'a PictureFromSide,
        position: SidePoint,
        heights: &'a [HeightPart],
    ) -> impl Iterator<Item = (f64, Vector2<f64>, Matrix2<f64>)> + 'a {
        let (x, y) = self.frame.relative(position);
        let p = Vector2::new(x, y);
        let radius_mm = self.frame.scale_mm;
        let side_by_picture = chosen.jacobian(position).try_inverse();
        let pairs = self
            .explanations
            .iter()
            .flat_map(|e| heights.iter().map(move |h| (e, h)));
        pairs.filter_map(move |(e, height)| {
            let above = height.mm / radius_mm;
            let (put, j) = predict(&e.at, p + e.parallax.a_unit(p) * above);
            let on_base = self.frame.centre + (SidePoint::new(put.x, put.y).to_vector() * radius_mm);
            let in_picture: PicturePoint = self.base.point_in_picture(on_base);
            let off = chosen.point_on_side(in_picture) - position;
            let to_mm = side_by_picture? * self.base.jacobian(on_base) * radius_mm;
            let raised = e.parallax.covariance(p, above, height.deviation_mm / radius_mm);
            let fitted = j * e.covariance * j.transpose();
            Some((
                e.share * height.share,
                Vector2::new(off.x, off.y),
                to_mm * (fitted + raised) * to_mm.transpose(),
            ))
        })
    }

    /// The expected squared error of `chosen` at a position in its plane, in mm^2.
    pub(super) fn expected_square_mm2(&self, chosen: &PictureFromSide, position: SidePoint) -> f64 {
        self.errors_of(chosen, position, &[IN_PLANE])
            .map(|(share, off, c)| share * (off.norm_squared() + c.trace()))
            .sum()
    }

    /// How far `chosen` may be off at a position of these heights above the transform's plane.
    pub(super) fn uncertainty(
        &self,
        chosen: &PictureFromSide,
        position: SidePoint,
        heights: &[HeightPart],
    ) -> Uncertainty {
        let mixture = Mixture::of(self.errors_of(chosen, position, heights));
        Uncertainty {
            covariance_mm2: mixture.square(),
            radius95_mm: mixture.radius_holding(super::HELD_PROBABILITY),
        }
    }

    /// The expected mean square of the error at `positions` that a further mark at `at_mm` would leave, in mm^2,
    /// measured by the scale of `chosen`.
    pub(super) fn square_left_by(&self, at_mm: Option<SidePoint>, positions: &[SidePoint]) -> f64 {
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
            for position in positions {
                let (_, j) = predict(&e.at, relative(*position));
                sum += e.share * (j * covariance * j.transpose()).trace();
            }
        }
        sum * self.frame.scale_mm.powi(2) / positions.len().max(1) as f64
    }
}

/// A point of the plane that the transform maps.
const IN_PLANE: HeightPart = HeightPart {
    share: 1.0,
    mm: 0.0,
    deviation_mm: 0.0,
};

/// One kind of view at one size of noise from one direction, solved.
struct Found {
    log: f64,
    noise: f64,
    solution: Solution,
    parallax: Parallax,
}

fn best_of(found: &[Found]) -> f64 {
    found.iter().map(|f| f.log).fold(f64::NEG_INFINITY, f64::max)
}

fn log_sum(found: &[Found]) -> f64 {
    let best = best_of(found);
    best + found.iter().map(|f| (f.log - best).exp()).sum::<f64>().ln()
}

/// Solves every kind of view at every size of noise from each direction that the camera may have looked from.
fn explain(marks: &Marks, views: &[View]) -> Option<Vec<Found>> {
    let flat = solve(marks, &widest(views), marks.expected_noise)?;
    let directions = Parallax::seen_in(
        &flat.at,
        &flat.covariance(),
        inverse_distance(marks.frame.scale_mm),
    );
    let mut found = Vec::new();
    for parallax in directions {
        found.extend(explain_from(&marks.seen_with(parallax), views)?);
    }
    best_of(&found).is_finite().then_some(found)
}

/// Solves every kind of view at every size of noise, all about the best point of the widest kind.
fn explain_from(marks: &Marks, views: &[View]) -> Option<Vec<Found>> {
    let widest = solve(marks, &widest(views), marks.expected_noise)?;
    let rim = marks.rim.as_ref();
    let square = views
        .first()
        .and_then(|view| Quadratic::about(marks, widest.at, marks.expected_noise).solve(rim, view))
        .map_or(widest.squares, |s| s.squares);
    let mut found = Vec::new();
    for noise in noises(marks, widest.squares, square) {
        let quadratic = Quadratic::about(marks, widest.at, noise);
        for view in views {
            if let Some(solution) = quadratic.solve(rim, view) {
                let log = solution.log_evidence + view.share.ln() + log_prior(noise / marks.expected_noise);
                found.push(Found {
                    log,
                    noise,
                    solution,
                    parallax: marks.parallax,
                });
            }
        }
    }
    Some(found)
}

/// The kind of view that leaves both stretch and perspective as wide as any does.
pub(super) fn widest(views: &[View]) -> View {
    let widest = |of: fn(&View) -> Known| {
        let sd = views.iter().map(of).map(|known| match known {
            Known::NearZero(sd) => sd,
            Known::Zero | Known::Free | Known::ByTilt => 0.0,
        });
        Known::NearZero(sd.fold(0.0, f64::max))
    };
    View {
        share: 1.0,
        stretch: widest(|v| v.stretch),
        perspective: widest(|v| v.perspective),
    }
}

/// The sizes of noise to weigh: a ladder that spans those which the widest (`free`) and the square (`tight`) kind of
/// view ask for by their squared misfits. Its rungs are the same for any marks of one coin, so that sums over it
/// compare.
fn noises(marks: &Marks, free: f64, tight: f64) -> impl Iterator<Item = f64> {
    use super::noise::PRIOR_FREEDOM;
    let count = 2.0 * marks.marks.len() as f64;
    let pooled = |squares: f64, freedom: f64| {
        let expected = marks.expected_noise.powi(2);
        ((PRIOR_FREEDOM * expected + squares) / (PRIOR_FREEDOM + freedom) / expected).sqrt()
    };
    let rung = |ratio: f64| ratio.ln() / NOISE_STEP.ln();
    let least = rung(pooled(free, count) / 1.8).floor();
    let most = rung(pooled(tight, (count - 4.0).max(0.0)) * 2.3).ceil();
    #[expect(clippy::cast_possible_truncation, reason = "clamped")]
    let (least, most) = (least.clamp(-40.0, 60.0) as i32, most.clamp(-40.0, 60.0) as i32);
    let expected = marks.expected_noise;
    (least..=most).map(move |rung| expected * NOISE_STEP.powi(rung))
}
