//! The rim to a fraction of a pixel.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::edges::Gradients;
use super::ellipse::Ellipse;

/// Rays on which the rim is measured.
const RAYS: usize = 240;
/// How far from the coarse curve edges are looked for, as a share of the radius.
const BAND: f64 = 0.045;
/// The most edges kept of one ray.
const EDGES_A_RAY: usize = 4;
/// An edge this share of the radius from the curve lies on it, or this many px.
const ON_SHARE: f64 = 0.0025;
const ON_PX: f64 = 0.6;
/// Tries of the consensus.
const TRIES: usize = 300;
/// The seed of its choices: the same picture gives the same rim.
const SEED: u64 = 7;

/// The rim on one level.
#[derive(Debug, Clone, Copy)]
pub(super) struct Refined {
    pub(super) ellipse: Ellipse,
    pub(super) support: f64,
    pub(super) scatter: f64,
    /// The median strength of the edges on it, in levels per px.
    pub(super) weight: f64,
}

/// An edge across a ray.
#[derive(Debug, Clone, Copy)]
struct Edge {
    x: f64,
    y: f64,
    weight: f64,
}

/// Measures the curve near `start`, by edges of at least `least_weight` (levels per px).
pub(super) fn refine(gradients: &Gradients, start: &Ellipse, least_weight: f64) -> Option<Refined> {
    let mut ellipse = *start;
    let mut refined = None;
    // The second pass looks about the first one's curve, so that a coarse one may be off by the band.
    for _ in 0..2 {
        let rays = edges_near(gradients, &ellipse, least_weight);
        let found = consensus(&rays, &ellipse)?;
        ellipse = found.ellipse;
        refined = Some(found);
    }
    refined
}

/// For each ray inside the picture, its edges near the curve.
fn edges_near(gradients: &Gradients, about: &Ellipse, least_weight: f64) -> Vec<Vec<Edge>> {
    let mut rays = Vec::with_capacity(RAYS);
    for ray in 0..RAYS {
        let direction = std::f64::consts::TAU * ray as f64 / RAYS as f64;
        let (sin, cos) = direction.sin_cos();
        let reach = about.reach(direction);
        let band = (BAND * about.mean_radius()).max(3.0);
        let count = (2.0 * band).ceil() as usize;
        let at = |k: f64| {
            (
                about.x + (reach - band + k) * cos,
                about.y + (reach - band + k) * sin,
            )
        };
        let across: Option<Vec<f64>> = (0..=count)
            .map(|k| {
                let (x, y) = at(k as f64);
                gradients
                    .sample(x, y)
                    .map(|g| (f64::from(g[0]) * cos + f64::from(g[1]) * sin).abs())
            })
            .collect();
        let Some(across) = across else { continue };
        let least = (0.12 * across.iter().copied().fold(0.0, f64::max)).max(least_weight);
        let mut edges: Vec<Edge> = (1..count)
            .filter(|&k| across[k] >= across[k - 1] && across[k] > across[k + 1] && across[k] > least)
            .map(|k| {
                let (a, b, c) = (across[k - 1], across[k], across[k + 1]);
                let off = 0.5 * (a - c) / (a - 2.0 * b + c);
                let (x, y) = at(k as f64 + off);
                Edge { x, y, weight: b }
            })
            .collect();
        edges.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        edges.truncate(EDGES_A_RAY);
        rays.push(edges);
    }
    rays
}

/// The ellipse that most rays agree on, measured by those that do.
fn consensus(rays: &[Vec<Edge>], start: &Ellipse) -> Option<Refined> {
    let with_edges: Vec<usize> = (0..rays.len()).filter(|i| !rays[*i].is_empty()).collect();
    if with_edges.len() < RAYS / 4 {
        return None;
    }
    let radius = start.mean_radius();
    let tolerance = (ON_SHARE * radius).max(ON_PX);
    let mut rng = ChaCha8Rng::seed_from_u64(SEED);
    let mut best: Option<(f64, Ellipse)> = None;
    for _ in 0..TRIES {
        // One ray from each fifth, so that the five points go round.
        let points: Vec<_> = (0..5)
            .map(|k| {
                let (from, to) = (k * with_edges.len() / 5, (k + 1) * with_edges.len() / 5);
                let edges = &rays[with_edges[rng.random_range(from..to)]];
                // The stronger edges are likelier.
                let pick = rng
                    .random_range(0..edges.len())
                    .min(rng.random_range(0..edges.len()));
                (edges[pick].x, edges[pick].y)
            })
            .collect();
        let Some(ellipse) = Ellipse::fit(&points).filter(|e| plausible(e, start)) else {
            continue;
        };
        let score = score(rays, &ellipse, tolerance);
        if best.is_none_or(|b| score > b.0) {
            best = Some((score, ellipse));
        }
    }
    let mut ellipse = best?.1;
    let mut nearest = Vec::new();
    for _ in 0..4 {
        nearest = rays
            .iter()
            .filter_map(|edges| nearest_edge(edges, &ellipse))
            .filter(|(off, _)| off.abs() <= tolerance)
            .collect();
        let points: Vec<_> = nearest.iter().map(|(_, e)| (e.x, e.y)).collect();
        match Ellipse::fit(&points).filter(|e| plausible(e, start)) {
            Some(better) => ellipse = better,
            None => break,
        }
    }
    let squares: f64 = nearest
        .iter()
        .map(|(_, e)| ellipse.outside(e.x, e.y).powi(2))
        .sum();
    let count = nearest.len().max(1) as f64;
    let mut weights: Vec<f64> = nearest.iter().map(|(_, e)| e.weight).collect();
    weights.sort_by(f64::total_cmp);
    Some(Refined {
        weight: weights.get(weights.len() / 2).copied().unwrap_or(0.0),
        ellipse,
        support: nearest.len() as f64 / rays.len() as f64,
        scatter: (squares / count).sqrt() / radius,
    })
}

fn plausible(ellipse: &Ellipse, start: &Ellipse) -> bool {
    let radius = start.mean_radius();
    ellipse.may_be_a_coin()
        && (ellipse.mean_radius() / radius).ln().abs() < 0.1
        && (ellipse.x - start.x).hypot(ellipse.y - start.y) < 0.1 * radius
}

fn nearest_edge<'a>(edges: &'a [Edge], ellipse: &Ellipse) -> Option<(f64, &'a Edge)> {
    edges
        .iter()
        .map(|e| (ellipse.outside(e.x, e.y), e))
        .min_by(|a, b| a.0.abs().total_cmp(&b.0.abs()))
}

/// How many rays have an edge on the curve, nearer edges counting more.
fn score(rays: &[Vec<Edge>], ellipse: &Ellipse, tolerance: f64) -> f64 {
    rays.iter()
        .filter_map(|edges| nearest_edge(edges, ellipse))
        .map(|(off, _)| (1.0 - (off / tolerance).powi(2)).max(0.0))
        .sum()
}
