//! What a coin meets in circulation: bag marks, scratches, nicks in the rim.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;

use super::border::FLAN_MM;
use super::grid::Grid;
use super::noise::value_noise;
use super::shapes::{Bounds, P, Stroke, on_clock};

/// One dent or scratch: a stroke pressed in, with a small burr beside it.
struct Mark {
    stroke: Stroke,
    depth: f32,
    bounds: Bounds,
}

/// Presses marks into a height map. `amount` 0 leaves it as it is; 1 is a coin that lived loose in a sack.
pub(super) fn press_marks(height: &mut Grid, amount: f64, seed: u64) {
    let marks = marks(amount, seed);
    if marks.is_empty() {
        return;
    }
    let size = height.size;
    let (scale, reach) = (height.px_per_mm, super::parts::REACH_MM);
    height
        .cells
        .par_chunks_mut(size)
        .enumerate()
        .for_each(|(row, line)| {
            let y = (row as f32 + 0.5) / scale - reach;
            for mark in marks
                .iter()
                .filter(|m| m.bounds.min[1] <= y && y <= m.bounds.max[1])
            {
                let from = ((mark.bounds.min[0] + reach) * scale).max(0.0) as usize;
                let to = (((mark.bounds.max[0] + reach) * scale).max(0.0) as usize).min(size);
                for (column, cell) in line.iter_mut().enumerate().take(to).skip(from) {
                    let x = (column as f32 + 0.5) / scale - reach;
                    let inside = mark.stroke.signed_distance([x, y]);
                    // A cut with soft walls; beyond its edge a low burr of displaced metal.
                    let t = (inside / 0.035 + 0.5).clamp(0.0, 1.0);
                    let burr = (-((inside + 0.035) / 0.025).powi(2)).exp();
                    *cell += mark.depth * (0.16 * burr - t * t * (3.0 - 2.0 * t));
                }
            }
        });
}

fn marks(amount: f64, seed: u64) -> Vec<Mark> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed ^ 0x6d61_726b);
    let count = |most: f64| (most * amount).round() as usize;
    let mut marks = Vec::new();
    // Bag marks: short, a little bent, anywhere.
    for _ in 0..count(150.0) {
        let centre = on_disc(&mut rng, 13.2);
        let length = rng.random_range(0.10_f32..0.75) * rng.random_range(0.3_f32..1.0);
        let width = rng.random_range(0.006_f32..0.05) * rng.random_range(0.5_f32..1.0);
        let depth = 0.006 + width * rng.random_range(0.2..0.7);
        let heading = rng.random_range(0.0..std::f32::consts::TAU);
        let bend = rng.random_range(-0.4_f32..0.4).powi(3) * 6.0;
        marks.push(mark(centre, heading, length, bend, width, depth));
    }
    // Scratches: long, thin, shallow; mostly straight.
    for _ in 0..count(110.0) {
        let centre = on_disc(&mut rng, 11.5);
        let length = rng.random_range(0.6_f32..2.6) * rng.random_range(0.6_f32..2.4);
        let heading = rng.random_range(0.0..std::f32::consts::TAU);
        let depth = rng.random_range(0.0008..0.006);
        let width = rng.random_range(0.004..0.011);
        let bend = rng.random_range(-0.12..0.12);
        marks.push(mark(centre, heading, length, bend, width, depth));
    }
    // Nicks across the rim.
    for _ in 0..count(9.0) {
        let clock = rng.random_range(0.0_f32..360.0);
        let centre = on_clock(FLAN_MM - rng.random_range(0.05..0.5), clock);
        let heading = clock.to_radians() - std::f32::consts::FRAC_PI_2 + rng.random_range(-0.7..0.7);
        let length = rng.random_range(0.3..0.9);
        let (width, depth) = (rng.random_range(0.05..0.13), rng.random_range(0.03..0.09));
        marks.push(mark(centre, heading, length, 0.0, width, depth));
    }
    marks
}

fn mark(centre: P, heading: f32, length: f32, bend: f32, width: f32, depth: f32) -> Mark {
    let (sin, cos) = heading.sin_cos();
    let phase = heading * 7.0;
    let stroke = Stroke::along(10, |t| {
        let u = (t - 0.5) * length;
        let v = bend * length * (4.0 * (t - 0.5) * (t - 0.5) - 0.5);
        let swell = 1.0 + 0.3 * value_noise(4.0 * t + phase, 0.0, 5);
        let taper = (4.0 * t * (1.0 - t)).sqrt() * 1.1 - 0.1;
        (
            [centre[0] + u * cos - v * sin, centre[1] + u * sin + v * cos],
            width * taper * swell,
        )
    });
    let bounds = stroke.bounds(0.14);
    Mark {
        stroke,
        depth,
        bounds,
    }
}

fn on_disc(rng: &mut ChaCha8Rng, radius: f32) -> P {
    let r = radius * rng.random_range(0.0_f32..1.0).sqrt();
    on_clock(r, rng.random_range(0.0..360.0))
}
