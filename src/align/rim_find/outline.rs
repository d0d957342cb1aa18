//! The ellipse that an unrolled ring's readings agree on.

use std::sync::LazyLock;

use super::ellipse::Ellipse;
use super::network;
use super::strip::{COLUMNS, LEAST, SECTORS, STEP, Strip, middle, radius};
use crate::photo::Level;

/// The share of sectors whose reading is taken for chance: a neighbour's edge, a scratch, a finger.
const CHANCE: f64 = 0.1;
/// Points through which the found curve is turned into an ellipse.
const POINTS: usize = 180;
/// A sector has seen the outline when more than half of its reading lies this near to it, as a share of the radius.
const SEEN_NEAR: f64 = 0.025;
/// The most by which the curve may lean from the ring's own ellipse, a harmonic, as a share of the radius.
const MOST_LEAN: f64 = 0.16;

/// One stage of the search, from coarse to fine.
struct Stage {
    /// By how many columns each way the readings are blurred, so that a curve further off is drawn in.
    blur: usize,
    /// How many of the best curves are followed.
    kept: usize,
    /// Sizes of the steps, as shares of the radius.
    steps: &'static [f64],
}

const WIDE: [Stage; 3] = [
    Stage {
        blur: 16,
        kept: 5,
        steps: &[0.03, 0.015],
    },
    Stage {
        blur: 5,
        kept: 5,
        steps: &[0.01, 0.005],
    },
    Stage {
        blur: 0,
        kept: 3,
        steps: &[0.002, 0.001, 0.0004],
    },
];
const NEAR: [Stage; 2] = [
    Stage {
        blur: 5,
        kept: 2,
        steps: &[0.008, 0.004],
    },
    Stage {
        blur: 0,
        kept: 2,
        steps: &[0.002, 0.001, 0.0004, 0.0002],
    },
];

/// How far the outline may lie from a likely one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reach {
    /// Anywhere in the ring.
    Wide,
    /// About where it is expected.
    Near,
}

/// An ellipse with how the ring speaks for it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Outline {
    pub(super) ellipse: Ellipse,
    /// The mean over the sectors of the natural logarithm of how much likelier the outline is on the curve than
    /// anywhere; zero where a sector is outside the picture.
    pub(super) evidence: f64,
    /// The share of the sectors inside the picture that have seen it.
    pub(super) support: f64,
    /// How far it was seen from the curve, root mean square, as a share of the radius.
    pub(super) scatter: f64,
}

/// Looks for the outline in the ring about an ellipse in px of this level; none where what is found is no coin's.
pub(super) fn outline(level: &Level, about: &Ellipse, reach: Reach) -> Option<Outline> {
    let strip = Strip::about(level, about);
    let readings = Readings::of(&strip);
    let (starts, stages): (Vec<f64>, &[Stage]) = match reach {
        Reach::Wide => ((0..15).map(|k| 0.86 + 0.02 * f64::from(k)).collect(), &WIDE),
        Reach::Near => ((0..5).map(|k| 0.98 + 0.01 * f64::from(k)).collect(), &NEAR),
    };
    let mut curves: Vec<(f64, Curve)> = (starts.into_iter())
        .map(|r| (0.0, Curve([r, 0.0, 0.0, 0.0, 0.0])))
        .collect();
    for stage in stages {
        let readings = readings.blurred(stage.blur);
        for (evidence, curve) in &mut curves {
            *evidence = readings.evidence(curve);
        }
        curves.sort_by(|a, b| b.0.total_cmp(&a.0));
        curves.truncate(stage.kept);
        for start in &mut curves {
            *start = readings.climb(start.1, stage.steps);
        }
    }
    let (evidence, curve) = curves.into_iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
    let points: Vec<_> = (0..POINTS)
        .map(|k| {
            let angle = std::f64::consts::TAU * k as f64 / POINTS as f64;
            let r = about.reach(angle) * curve.radius(&harmonics(angle));
            (about.x + r * angle.cos(), about.y + r * angle.sin())
        })
        .collect();
    let (support, scatter) = readings.seen(&curve);
    Some(Outline {
        ellipse: Ellipse::fit(&points).filter(Ellipse::may_be_a_coin)?,
        evidence,
        support,
        scatter,
    })
}

/// A closed curve in the ring: its radius and the first two harmonics of it by direction. For a ring about nearly the
/// right ellipse every ellipse is of this form.
#[derive(Debug, Clone, Copy)]
struct Curve([f64; 5]);

impl Curve {
    fn radius(&self, harmonics: &[f64; 4]) -> f64 {
        let ([r, c1, s1, c2, s2], [cos, sin, cos2, sin2]) = (self.0, *harmonics);
        r + c1 * cos + s1 * sin + c2 * cos2 + s2 * sin2
    }
}

/// What a curve's harmonics are multiplied by in a direction, in radians.
fn harmonics(angle: f64) -> [f64; 4] {
    [angle.cos(), angle.sin(), (2.0 * angle).cos(), (2.0 * angle).sin()]
}

/// Those of the middle of each sector: a climb asks for them some hundred thousand times.
static OF_SECTORS: LazyLock<[[f64; 4]; SECTORS]> =
    LazyLock::new(|| std::array::from_fn(|sector| harmonics(middle(sector))));

/// What each sector says: how likely the outline is at each column.
#[derive(Clone)]
struct Readings<'a> {
    /// [`SECTORS`] rows of [`COLUMNS`] shares that sum to 1.
    likely: Vec<f64>,
    inside: &'a [bool],
}

impl<'a> Readings<'a> {
    fn of(strip: &'a Strip) -> Self {
        let mut likely: Vec<f64> = network::read(strip).into_iter().map(f64::from).collect();
        for (row, inside) in likely
            .chunks_exact_mut(COLUMNS)
            .zip(strip.inside.chunks_exact(COLUMNS))
        {
            let known = || row.iter().zip(inside).filter(|(_, i)| **i).map(|(v, _)| *v);
            let most = known().fold(f64::NEG_INFINITY, f64::max);
            let sum: f64 = known().map(|v| (v - most).exp()).sum();
            for (v, inside) in row.iter_mut().zip(inside) {
                *v = if *inside { (*v - most).exp() / sum } else { 0.0 };
            }
        }
        Self {
            likely,
            inside: &strip.inside,
        }
    }

    /// With each sector's readings spread over so many columns each way, nearer ones more.
    fn blurred(&self, columns: usize) -> Self {
        let mut blurred = self.clone();
        // Two means over a window make a triangle.
        for _ in 0..2 {
            let (half, from) = (columns / 2, blurred.likely.clone());
            for (out, row) in blurred
                .likely
                .chunks_exact_mut(COLUMNS)
                .zip(from.chunks_exact(COLUMNS))
            {
                for (column, out) in out.iter_mut().enumerate() {
                    let window = column.saturating_sub(half)..(column + half + 1).min(COLUMNS);
                    *out = row[window].iter().sum::<f64>() / (2 * half + 1) as f64;
                }
            }
        }
        blurred
    }

    /// How likely the outline is at a radius in a sector; none outside ring or picture.
    fn at(&self, sector: usize, radius: f64) -> Option<f64> {
        let column = (radius - LEAST) / STEP;
        if !(0.0..(COLUMNS - 1) as f64).contains(&column)
            || !self.inside[sector * COLUMNS + column.round() as usize]
        {
            return None;
        }
        let (k, share) = (column as usize, column.fract());
        let row = &self.likely[sector * COLUMNS..][..COLUMNS];
        Some(row[k] * (1.0 - share) + row[k + 1] * share)
    }

    fn evidence(&self, curve: &Curve) -> f64 {
        let sum: f64 = (OF_SECTORS.iter().enumerate())
            .filter_map(|(sector, harmonics)| self.at(sector, curve.radius(harmonics)))
            .map(|likely| ((1.0 - CHANCE) * likely * COLUMNS as f64 + CHANCE).ln())
            .sum();
        sum / SECTORS as f64
    }

    /// Moves radius and harmonics one by one while the evidence grows, by each size of step in turn.
    fn climb(&self, start: Curve, sizes: &[f64]) -> (f64, Curve) {
        const ROUNDS: usize = 25;
        let (mut curve, mut best) = (start, self.evidence(&start));
        for size in sizes {
            for _ in 0..ROUNDS {
                let before = best;
                for k in 0..5 {
                    for step in [-size, *size] {
                        let mut next = curve;
                        next.0[k] += step;
                        if k > 0 && next.0[k].abs() > MOST_LEAN {
                            continue;
                        }
                        let evidence = self.evidence(&next);
                        if evidence > best {
                            (best, curve) = (evidence, next);
                        }
                    }
                }
                if best <= before {
                    break;
                }
            }
        }
        (best, curve)
    }

    /// The share of the sectors inside the picture that have seen the outline on a curve, and how far from it.
    fn seen(&self, curve: &Curve) -> (f64, f64) {
        let (mut inside, mut seen, mut squares) = (0.0, 0.0, 0.0);
        for (sector, harmonics) in OF_SECTORS.iter().enumerate() {
            let on_curve = curve.radius(harmonics);
            if self.at(sector, on_curve).is_none() {
                continue;
            }
            inside += 1.0;
            let row = self.likely[sector * COLUMNS..][..COLUMNS].iter().enumerate();
            let (mut near, mut mean) = (0.0, 0.0);
            for (column, likely) in row {
                let off = radius(column as f64) - on_curve;
                if off.abs() <= SEEN_NEAR {
                    near += likely;
                    mean += likely * off;
                }
            }
            if near > 0.5 {
                seen += 1.0;
                squares += (mean / near).powi(2);
            }
        }
        (
            seen / f64::max(inside, 1.0),
            f64::sqrt(squares / f64::max(seen, 1.0)),
        )
    }
}
