//! Where in the picture a coin may lie.

use super::edges::Gradients;
use super::ellipse::Ellipse;

/// The smallest and largest radius looked for, as shares of the picture's shorter side.
const LEAST_RADIUS: f64 = 0.1;
const MOST_RADIUS: f64 = 0.75;
/// How many centres are looked at.
const CENTRES: usize = 6;
/// Centres nearer to one another than this share of the shorter side are one.
const CENTRES_APART: f64 = 0.08;
/// Rays about a centre.
const RAYS: usize = 64;
/// The step along a ray, in logarithms of the radius.
const STEP: f64 = 0.012;
/// The share of the rays on which the edge must lie inside the picture.
const LEAST_SEEN: f64 = 0.45;
/// Off-centre and stretch that are tried, in logarithms of the radius: harmonics 1 and 2 of the edge about the
/// centre. A tilt of 30 degrees is a second harmonic of 0.07.
const SHIFTS: [f64; 9] = [-0.2, -0.15, -0.1, -0.05, 0.0, 0.05, 0.1, 0.15, 0.2];
const STRETCHES: [(f64, f64); 9] = [
    (0.0, 0.0),
    (0.045, 0.0),
    (-0.045, 0.0),
    (0.0, 0.045),
    (0.0, -0.045),
    (0.035, 0.035),
    (0.035, -0.035),
    (-0.035, 0.035),
    (-0.035, -0.035),
];
/// How many likely rims are measured at most.
const MOST_RIMS: usize = 5;
/// A curve further out is taken for the rim when its support is at least this share of the best one's.
const OUTER_SHARE: f64 = 0.72;

/// Likely rims, the likeliest first.
pub(super) fn coarse_rims(gradients: &Gradients) -> Vec<Ellipse> {
    let mut found: Vec<(f64, Ellipse)> = centres(gradients)
        .into_iter()
        .filter_map(|centre| rim_about(gradients, centre))
        .collect();
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut kept: Vec<(f64, Ellipse)> = Vec::new();
    for (score, ellipse) in found {
        let known = kept.iter().any(|(_, k)| {
            let apart = (k.x - ellipse.x).hypot(k.y - ellipse.y);
            apart < 0.1 * k.mean_radius() && (k.mean_radius() / ellipse.mean_radius()).ln().abs() < 0.08
        });
        if !known {
            kept.push((score, ellipse));
        }
    }
    kept.truncate(MOST_RIMS);
    kept.into_iter().map(|k| k.1).collect()
}

/// Where many edges' normals meet.
fn centres(gradients: &Gradients) -> Vec<(f64, f64)> {
    let (w, h) = (gradients.width, gradients.height);
    let shorter = w.min(h) as f64;
    let strength = |g: [f32; 2]| g[0].hypot(g[1]);
    let mut strengths: Vec<f32> = gradients.at.iter().map(|g| strength(*g)).collect();
    let floor = {
        let middle = strengths.len() * 3 / 4;
        *strengths.select_nth_unstable_by(middle, f32::total_cmp).1
    };
    // Votes are gathered in cells of 2 px.
    let (cw, ch) = (w / 2 + 1, h / 2 + 1);
    let mut votes = vec![0.0_f32; cw * ch];
    let (least, most) = (LEAST_RADIUS * shorter, MOST_RADIUS * shorter);
    for y in 1..h.saturating_sub(1) {
        for x in 1..w.saturating_sub(1) {
            let g = gradients.at[y * w + x];
            let s = strength(g);
            if s <= floor.max(0.5) {
                continue;
            }
            let (ux, uy) = (f64::from(g[0] / s), f64::from(g[1] / s));
            // Only the crest of an edge votes.
            let ahead = gradients
                .sample(x as f64 + ux, y as f64 + uy)
                .map_or(0.0, strength);
            let behind = gradients
                .sample(x as f64 - ux, y as f64 - uy)
                .map_or(0.0, strength);
            if s < ahead || s <= behind {
                continue;
            }
            for sign in [-1.0, 1.0] {
                let mut r = least;
                while r < most {
                    let (i, j) = ((x as f64 + sign * ux * r) / 2.0, (y as f64 + sign * uy * r) / 2.0);
                    if i >= 0.0 && j >= 0.0 && (i as usize) < cw && (j as usize) < ch {
                        votes[j as usize * cw + i as usize] += 1.0;
                    }
                    r += 2.0;
                }
            }
        }
    }
    // Normals of a tilted circle meet only nearly.
    let reach = (0.02 * shorter / 2.0).round().max(1.0) as usize;
    let votes = box_blurred(&box_blurred(&votes, cw, ch, reach), cw, ch, reach);
    let apart = CENTRES_APART * shorter;
    let mut order: Vec<usize> = (0..votes.len()).collect();
    order.sort_by(|a, b| votes[*b].total_cmp(&votes[*a]).then(a.cmp(b)));
    let mut found: Vec<(f64, f64)> = Vec::new();
    for i in order {
        let (x, y) = ((i % cw) as f64 * 2.0 + 0.5, (i / cw) as f64 * 2.0 + 0.5);
        if found.iter().all(|(a, b)| (a - x).hypot(b - y) > apart) {
            found.push((x, y));
            if found.len() == CENTRES {
                break;
            }
        }
    }
    found
}

fn box_blurred(values: &[f32], w: usize, h: usize, reach: usize) -> Vec<f32> {
    let mut across = vec![0.0; values.len()];
    for y in 0..h {
        for x in 0..w {
            let (from, to) = (x.saturating_sub(reach), (x + reach).min(w - 1));
            across[y * w + x] = values[y * w + from..=y * w + to].iter().sum();
        }
    }
    let mut out = vec![0.0; values.len()];
    for y in 0..h {
        for j in y.saturating_sub(reach)..=(y + reach).min(h - 1) {
            for x in 0..w {
                out[y * w + x] += across[j * w + x];
            }
        }
    }
    out
}

/// Edges across the rays from a centre: for each ray and step of the radius how sure an edge is there, 0 to 1; below
/// zero outside the picture.
struct Polar {
    steps: usize,
    least: f64,
    at: Vec<f32>,
}

impl Polar {
    fn about(gradients: &Gradients, centre: (f64, f64), half: f32) -> Self {
        let shorter = gradients.width.min(gradients.height) as f64;
        let least = LEAST_RADIUS * shorter;
        let steps = ((MOST_RADIUS / LEAST_RADIUS).ln() / STEP) as usize;
        let mut at = vec![-1.0; RAYS * steps];
        for ray in 0..RAYS {
            let (sin, cos) = direction(ray).sin_cos();
            let row = &mut at[ray * steps..][..steps];
            for (k, out) in row.iter_mut().enumerate() {
                let r = least * (STEP * k as f64).exp();
                if let Some(g) = gradients.sample(centre.0 + r * cos, centre.1 + r * sin) {
                    let strength = g[0].hypot(g[1]);
                    let along = (g[0] * cos as f32 + g[1] * sin as f32).abs() / strength.max(1e-6);
                    let across = strength * along.powi(4);
                    *out = across / (across + half);
                }
            }
        }
        Self { steps, least, at }
    }

    /// Mean sureness over the rays for the curve of these harmonics at a step of the radius; less where much of it lies
    /// outside the picture, so that edges in the corners do not make a coin that is mostly not there.
    fn score(&self, offsets: &[f64; RAYS], step: f64) -> Option<f64> {
        let (mut sum, mut seen) = (0.0, 0);
        for (ray, offset) in offsets.iter().enumerate() {
            let k = (step + offset / STEP).round();
            if k >= 0.0 && (k as usize) < self.steps {
                let v = self.at[ray * self.steps + k as usize];
                if v >= 0.0 {
                    sum += f64::from(v);
                    seen += 1;
                }
            }
        }
        let share = f64::from(seen) / RAYS as f64;
        (share >= LEAST_SEEN).then(|| sum / f64::from(seen) * share.sqrt())
    }
}

fn direction(ray: usize) -> f64 {
    std::f64::consts::TAU * ray as f64 / RAYS as f64
}

fn offsets(c1: f64, s1: f64, c2: f64, s2: f64) -> [f64; RAYS] {
    std::array::from_fn(|ray| {
        let (sin, cos) = direction(ray).sin_cos();
        let (sin2, cos2) = (2.0 * direction(ray)).sin_cos();
        c1 * cos + s1 * sin + c2 * cos2 + s2 * sin2
    })
}

/// The best-supported outermost curve about a centre, with its support.
fn rim_about(gradients: &Gradients, centre: (f64, f64)) -> Option<(f64, Ellipse)> {
    let half = {
        let mut strengths: Vec<f32> = gradients.at.iter().map(|g| g[0].hypot(g[1])).collect();
        let middle = strengths.len() * 7 / 10;
        strengths
            .select_nth_unstable_by(middle, f32::total_cmp)
            .1
            .max(1.0)
    };
    let polar = Polar::about(gradients, centre, half);
    // For each radius the best harmonics.
    let mut best: Vec<(f64, [f64; 4])> = vec![(0.0, [0.0; 4]); polar.steps];
    for c1 in SHIFTS {
        for s1 in SHIFTS {
            if c1.hypot(s1) > 0.21 {
                continue;
            }
            for (c2, s2) in STRETCHES {
                let offsets = offsets(c1, s1, c2, s2);
                for (step, best) in best.iter_mut().enumerate() {
                    if let Some(score) = polar.score(&offsets, step as f64)
                        && score > best.0
                    {
                        *best = (score, [c1, s1, c2, s2]);
                    }
                }
            }
        }
    }
    // Climb from every local peak.
    let mut peaks: Vec<(f64, f64, [f64; 4])> = Vec::new();
    for step in 0..polar.steps {
        let from = step.saturating_sub(3);
        let to = (step + 3).min(polar.steps - 1);
        if best[step].0 > 0.0 && (from..=to).all(|k| best[k].0 <= best[step].0) {
            peaks.push(climb(&polar, step as f64, best[step].1));
        }
    }
    let top = peaks.iter().map(|p| p.0).fold(0.0, f64::max);
    let (score, step, harmonics) = peaks
        .into_iter()
        .filter(|p| p.0 >= OUTER_SHARE * top)
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let offsets = offsets(harmonics[0], harmonics[1], harmonics[2], harmonics[3]);
    let points: Vec<_> = (0..RAYS)
        .map(|ray| {
            let r = polar.least * (STEP * step + offsets[ray]).exp();
            let (sin, cos) = direction(ray).sin_cos();
            (centre.0 + r * cos, centre.1 + r * sin)
        })
        .collect();
    Some((score, Ellipse::fit(&points)?))
}

/// Moves radius and harmonics one by one while the support grows.
fn climb(polar: &Polar, step: f64, harmonics: [f64; 4]) -> (f64, f64, [f64; 4]) {
    let score_of =
        |step: f64, h: &[f64; 4]| polar.score(&offsets(h[0], h[1], h[2], h[3]), step).unwrap_or(0.0);
    let (mut step, mut h) = (step, harmonics);
    let mut score = score_of(step, &h);
    for size in [0.024, 0.012, 0.006] {
        for _ in 0..12 {
            let before = score;
            for k in 0..5 {
                for sign in [-1.0, 1.0] {
                    let (mut s2, mut h2) = (step, h);
                    if k == 4 {
                        s2 += sign * size / STEP;
                    } else {
                        h2[k] += sign * size;
                    }
                    let new = score_of(s2, &h2);
                    if new > score {
                        (score, step, h) = (new, s2, h2);
                    }
                }
            }
            if score <= before {
                break;
            }
        }
    }
    (score, step, h)
}
