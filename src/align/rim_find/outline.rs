//! The closed curves about a likely rim: every edge that runs round the coin, and some that only seem to.

use image::RgbImage;
use rayon::prelude::*;

use super::ellipse::Ellipse;
use super::ring::{Curve, RAYS, Ring, Sureness, Tones, Turns};

/// How curves are looked for about a likely one. All lengths are shares of its radius.
struct Search {
    /// How far inside and outside of it.
    inwards: f64,
    outwards: f64,
    /// Between the radii from which curves are sought.
    start_step: f64,
    /// Blurs across the ring at which a curve is climbed to, from coarse to fine.
    blurs: &'static [f64],
    /// The farthest a curve may lean from the likely one: each harmonic.
    most_lean: f64,
    /// Curves nearer to one another are one.
    apart: f64,
}

/// Finds the rim's edges, off by as much as a coarse look may be.
const WIDE: Search = Search {
    inwards: 0.11,
    outwards: 0.13,
    start_step: 0.006,
    blurs: &[0.018, 0.008, 0.0035],
    most_lean: 0.06,
    apart: 0.008,
};
/// Tells edges from one another that lie close together.
const NARROW: Search = Search {
    inwards: 0.02,
    outwards: 0.03,
    start_step: 0.002,
    blurs: &[0.004, 0.002],
    most_lean: 0.015,
    apart: 0.003,
};
/// Curves that are kept of a search.
const MOST_CURVES: usize = 10;
/// A curve is followed up when its edges are this share as sure as the best one's.
const LEAST_SHARE: f64 = 0.5;
/// The share of the directions that must lie inside the picture.
const LEAST_INSIDE: f64 = 0.45;
/// A change this many times the usual one, and of this size at least, is as likely an edge as not: in levels per px
/// over all the ring; in ratios per px over all of it and over what lies outside the coin.
const LEVELS_HALF: f32 = 1.5;
const LEAST_LEVELS: f32 = 1.5;
const RATIOS_HALF: f32 = 1.0;
const RATIOS_HALF_BEYOND: f32 = 2.5;
const LEAST_RATIO: f32 = 0.012;
/// An edge this share of the radius from a curve, or this many px, belongs to it.
const ON_SHARE: f64 = 0.004;
const ON_PX: f64 = 1.2;
/// How closely edges lie on a curve that is one: as a share of the radius, and in px.
const TIGHT_SHARE: f64 = 0.0015;
const TIGHT_PX: f64 = 0.6;

/// An edge that runs round.
#[derive(Debug, Clone, Copy)]
pub(super) struct Outline {
    pub(super) ellipse: Ellipse,
    /// In which share of the directions inside the picture an edge lies near it.
    pub(super) support: f64,
    /// How sure and how close edges lie on it, 0 to 1: of the picture's levels, and of their ratios.
    pub(super) in_levels: f64,
    pub(super) in_ratios: f64,
}

impl Outline {
    /// How well it is seen, in whichever tones it is seen better.
    pub(super) fn seen(&self) -> f64 {
        self.in_levels.max(self.in_ratios)
    }
}

/// Looks for edges about a likely rim on one level.
pub(super) struct Finder<'p> {
    looks: [Look<'p>; 2],
    turns: Turns,
}

impl<'p> Finder<'p> {
    pub(super) fn new(level: &'p RgbImage, likely: &Ellipse) -> Self {
        Self {
            looks: [Tones::Levels, Tones::Ratios].map(|tones| Look::at(level, likely, tones)),
            turns: Turns::new(),
        }
    }

    /// The edges within a few hundredths of the radius.
    pub(super) fn close(&self, likely: &Ellipse) -> Vec<Outline> {
        self.outlines(likely, &NARROW)
    }

    /// The edges within a tenth of the radius; of those that lie close together not all.
    pub(super) fn far(&self, likely: &Ellipse) -> Vec<Outline> {
        self.outlines(likely, &WIDE)
    }

    fn outlines(&self, likely: &Ellipse, search: &Search) -> Vec<Outline> {
        let measured: Vec<Measured> = self
            .looks
            .par_iter()
            .flat_map_iter(|look| look.curves(likely, search, &self.turns))
            .collect();
        measured
            .into_par_iter()
            .map(|m| {
                let [in_levels, in_ratios] = [0, 1].map(|i| self.looks[i].tight(&m.ellipse));
                Outline {
                    ellipse: m.ellipse,
                    support: m.support,
                    in_levels,
                    in_ratios,
                }
            })
            .collect()
    }
}

/// A curve measured at its edges.
#[derive(Debug, Clone, Copy)]
struct Measured {
    ellipse: Ellipse,
    support: f64,
}

/// A picture's level with the tones in which it is looked at.
struct Look<'p> {
    level: &'p RgbImage,
    tones: Tones,
    /// A change of this strength is as likely an edge as not, by channel.
    half: [f32; 3],
}

impl<'p> Look<'p> {
    fn at(level: &'p RgbImage, about: &Ellipse, tones: Tones) -> Self {
        let ring = Ring::about(level, about, (0.85, 1.2), tones);
        let (all, beyond) = (ring.usual(0.85, 1.15), ring.usual(1.06, 1.2));
        let half = std::array::from_fn(|c| match tones {
            Tones::Levels => (LEVELS_HALF * all[c]).max(LEAST_LEVELS),
            Tones::Ratios => (RATIOS_HALF * all[c])
                .max(RATIOS_HALF_BEYOND * beyond[c])
                .max(LEAST_RATIO),
        });
        Self { level, tones, half }
    }

    fn ring(&self, about: &Ellipse, least: f64, most: f64) -> Ring {
        Ring::about(self.level, about, (least, most), self.tones)
    }

    /// The curves about a likely one, each measured at its edges.
    fn curves(&self, likely: &Ellipse, search: &Search, turns: &Turns) -> Vec<Measured> {
        let margin = search.most_lean;
        let ring = self.ring(
            likely,
            1.0 - search.inwards - margin,
            1.0 + search.outwards + margin,
        );
        let maps: Vec<_> = search
            .blurs
            .iter()
            .map(|blur| ring.sureness(self.half, *blur))
            .collect();
        let starts = ((search.inwards + search.outwards) / search.start_step) as usize;
        let mut curves: Vec<(f64, Curve)> = (0..=starts)
            .into_par_iter()
            .map(|start| {
                let radius = 1.0 - search.inwards + search.start_step * start as f64;
                let start = Curve([radius, 0.0, 0.0, 0.0, 0.0]);
                climb(&maps, search, start, turns)
            })
            .collect();
        curves.sort_by(|a, b| b.0.total_cmp(&a.0));
        let top = curves.first().map_or(0.0, |c| c.0);
        let mut kept: Vec<Curve> = Vec::new();
        for (score, curve) in curves {
            let known = kept.iter().any(|k| {
                let apart: f64 = (0..5).map(|i| (k.0[i] - curve.0[i]).powi(2)).sum();
                apart.sqrt() < search.apart
            });
            if !known && score > LEAST_SHARE * top && kept.len() < MOST_CURVES {
                kept.push(curve);
            }
        }
        kept.par_iter()
            .filter_map(|curve| {
                let points: Vec<_> = (0..RAYS)
                    .map(|ray| ring.point(ray, curve.radius(ray, turns)))
                    .collect();
                let first = self.measured(&Ellipse::fit(&points)?)?;
                self.measured(&first.ellipse)
            })
            .filter(|m| m.ellipse.may_be_a_coin())
            .collect()
    }

    /// Fits the ellipse to the edges near one.
    fn measured(&self, about: &Ellipse) -> Option<Measured> {
        let ring = self.ring(about, 0.96, 1.04);
        let radius = about.mean_radius();
        let tolerance = (ON_SHARE * radius).max(ON_PX);
        let mut inside = 0_usize;
        let edges: Vec<Vec<EdgePoint>> = (0..RAYS)
            .filter(|ray| ring.inside(*ray, 1.0))
            .map(|ray| {
                inside += 1;
                ring.crests(ray, 0.97, 1.03, self.half)
                    .into_iter()
                    .map(|(r, sure)| EdgePoint {
                        at: ring.point(ray, r),
                        sure,
                    })
                    .collect()
            })
            .collect();
        let mut ellipse = *about;
        let mut near: Vec<EdgePoint> = Vec::new();
        for reach in [2.0, 2.0, 1.0, 1.0].map(|times| times * tolerance) {
            let worth = |e: &EdgePoint| e.sure * (1.0 - (ellipse.outside(e.at.0, e.at.1) / reach).powi(2));
            near = edges
                .iter()
                .filter_map(|ray| {
                    ray.iter()
                        .copied()
                        .filter(|e| worth(e) > 0.0)
                        .max_by(|a, b| worth(a).total_cmp(&worth(b)))
                })
                .collect();
            let points: Vec<_> = near.iter().map(|e| e.at).collect();
            ellipse = Ellipse::fit(&points)?;
        }
        Some(Measured {
            ellipse,
            support: near.len() as f64 / inside.max(1) as f64,
        })
    }

    /// How sure and how close edges lie on an ellipse, 0 to 1.
    fn tight(&self, ellipse: &Ellipse) -> f64 {
        let ring = self.ring(ellipse, 0.97, 1.03);
        let tolerance = TIGHT_SHARE.max(TIGHT_PX / ellipse.mean_radius());
        let (mut sum, mut inside) = (0.0, 0_usize);
        for ray in (0..RAYS).filter(|ray| ring.inside(*ray, 1.0)) {
            inside += 1;
            sum += ring
                .crests(ray, 1.0 - tolerance, 1.0 + tolerance, self.half)
                .into_iter()
                .map(|(r, sure)| sure * (1.0 - ((r - 1.0) / tolerance).powi(2)).max(0.0))
                .fold(0.0, f64::max);
        }
        sum / inside.max(1) as f64
    }
}

/// An edge across a ray, in px of the level, and how sure it is, 0 to 1.
#[derive(Debug, Clone, Copy)]
struct EdgePoint {
    at: (f64, f64),
    sure: f64,
}

/// Moves radius and harmonics one by one while the sureness along the curve grows, from coarse to fine.
fn climb(maps: &[Sureness<'_>], search: &Search, start: Curve, turns: &Turns) -> (f64, Curve) {
    const ROUNDS: usize = 12;
    let (mut curve, mut score) = (start, 0.0);
    for (map, blur) in maps.iter().zip(search.blurs) {
        let of = |c: &Curve| {
            let (mean, inside) = map.along(c, turns);
            if inside < LEAST_INSIDE { 0.0 } else { mean }
        };
        score = of(&curve);
        for size in [0.6 * blur, 0.3 * blur] {
            for _ in 0..ROUNDS {
                let before = score;
                for k in 0..5 {
                    for sign in [-1.0, 1.0] {
                        let mut next = curve;
                        next.0[k] += sign * size;
                        if k > 0 && next.0[k].abs() > search.most_lean {
                            continue;
                        }
                        let s = of(&next);
                        if s > score {
                            (score, curve) = (s, next);
                        }
                    }
                }
                if score <= before {
                    break;
                }
            }
        }
    }
    (score, curve)
}
