//! The ring about a likely rim, unrolled: one row a direction, smoothed along the rim, so that what runs with it
//! (its edges) stands out and what does not (teeth, letters, grain, cloth) is averaged away.

use image::RgbImage;
use rayon::prelude::*;

use super::ellipse::Ellipse;

/// Directions from the centre.
pub(super) const RAYS: usize = 360;
/// Rows each side that are averaged, with binomial-like weights: 3 degrees, about a tooth of a border, each side.
const SMOOTH_RAYS: usize = 3;
/// Px of the level between columns, and the fewest columns.
const COLUMN_PX: f64 = 0.7;
const LEAST_COLUMNS: f64 = 16.0;
/// Standard deviation of the blur across the rim, in px of the level.
const ACROSS_PX: f64 = 0.9;

/// A crest lower than this many times what is as likely an edge as not is passed over.
const LEAST_CREST: f32 = 0.5;

/// In which terms a change is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tones {
    /// The picture's own levels of red, green and blue.
    Levels,
    /// Brightness and two colours by their ratios, so that a change in the dark counts as much as one in the light.
    Ratios,
}

/// How the picture changes across a ring about an ellipse. Radii are shares of the ellipse's own in each direction.
pub(super) struct Ring {
    /// The ellipse of radius 1.
    pub(super) about: Ellipse,
    /// The radius of the first column.
    least: f64,
    /// The radius between columns.
    step: f64,
    /// Columns.
    steps: usize,
    /// The change per px across the rim in each channel, [`RAYS`] rows of `steps`; below zero outside the picture.
    rise: [Vec<f32>; 3],
}

impl Ring {
    /// Unrolls the ring from `least` to `most` times the ellipse.
    pub(super) fn about(level: &RgbImage, about: &Ellipse, (least, most): (f64, f64), tones: Tones) -> Self {
        let channels = match tones {
            Tones::Levels => |rgb: [f32; 3]| rgb,
            Tones::Ratios => ratios,
        };
        let step = (COLUMN_PX / about.mean_radius()).min((most - least) / LEAST_COLUMNS);
        let steps = ((most - least) / step).ceil() as usize + 1;
        let rows: Vec<Vec<[f32; 3]>> = (0..RAYS)
            .into_par_iter()
            .map(|ray| {
                let theta = direction(ray);
                let (sin, cos) = theta.sin_cos();
                let reach = about.reach(theta);
                (0..steps)
                    .map(|k| {
                        let r = reach * (least + step * k as f64);
                        channels(sample(level, about.x + r * cos, about.y + r * sin))
                    })
                    .collect()
            })
            .collect();
        let kernel = slope_kernel(ACROSS_PX / (step * about.mean_radius()));
        let half = kernel.len() / 2;
        // Levels per column to levels per px.
        let per_px = (1.0 / (step * about.mean_radius())) as f32;
        let slopes: Vec<Vec<[f32; 3]>> = rows
            .par_iter()
            .map(|row| {
                (0..steps)
                    .map(|k| {
                        if k < half || k + half >= steps {
                            return [f32::NAN; 3];
                        }
                        let mut sum = [0.0; 3];
                        for (w, v) in kernel.iter().zip(&row[k - half..]) {
                            for c in 0..3 {
                                sum[c] += w * v[c];
                            }
                        }
                        sum.map(|s| s * per_px)
                    })
                    .collect()
            })
            .collect();
        let mut rise: [Vec<f32>; 3] = std::array::from_fn(|_| vec![-1.0_f32; RAYS * steps]);
        for (c, rise) in rise.iter_mut().enumerate() {
            rise.par_chunks_mut(steps).enumerate().for_each(|(ray, out)| {
                for (k, out) in out.iter_mut().enumerate() {
                    if slopes[ray][k][0].is_nan() {
                        continue;
                    }
                    let (mut sum, mut total) = (0.0, 0.0);
                    for off in 0..=2 * SMOOTH_RAYS {
                        let v = slopes[(ray + RAYS + off - SMOOTH_RAYS) % RAYS][k][c];
                        if v.is_nan() {
                            continue;
                        }
                        let w = (SMOOTH_RAYS + 1 - off.abs_diff(SMOOTH_RAYS)) as f32;
                        total += w;
                        sum += w * v;
                    }
                    *out = (sum / total).abs();
                }
            });
        }
        Self {
            about: *about,
            least,
            step,
            steps,
            rise,
        }
    }

    /// The median change from one radius to another, by channel.
    pub(super) fn usual(&self, from: f64, to: f64) -> [f32; 3] {
        let column = |r: f64| (((r - self.least) / self.step).round().max(0.0) as usize).min(self.steps);
        let (first, last) = (column(from), column(to));
        std::array::from_fn(|c| {
            let mut known: Vec<f32> = (0..RAYS)
                .flat_map(|ray| &self.rise[c][ray * self.steps..][first..last])
                .copied()
                .filter(|v| *v >= 0.0)
                .collect();
            if known.is_empty() {
                return 0.0;
            }
            let middle = known.len() / 2;
            *known.select_nth_unstable_by(middle, f32::total_cmp).1
        })
    }

    /// Whether a place lies inside picture and ring.
    pub(super) fn inside(&self, ray: usize, radius: f64) -> bool {
        let at = (radius - self.least) / self.step;
        at >= 0.0 && (at as usize) < self.steps && self.rise[0][ray * self.steps + at as usize] >= 0.0
    }

    /// The crests of the change in a direction between the radii `from` and `to`: the radius of each and its sureness,
    /// 0 to 1, where `half` is the change by channel that is as likely an edge as not.
    pub(super) fn crests(&self, ray: usize, from: f64, to: f64, half: [f32; 3]) -> Vec<(f64, f64)> {
        let mut all = Vec::new();
        let first = (((from - self.least) / self.step).ceil().max(1.0)) as usize;
        let last = (((to - self.least) / self.step).floor().max(0.0) as usize).min(self.steps - 2);
        for (rise, half) in self.rise.iter().zip(half) {
            let row = &rise[ray * self.steps..][..self.steps];
            all.extend(
                (first..=last)
                    .filter(|&k| row[k] >= LEAST_CREST * half && is_crest(row, k))
                    .map(|k| {
                        let (a, b, c) = (f64::from(row[k - 1]), f64::from(row[k]), f64::from(row[k + 1]));
                        let off = 0.5 * (a - c) / (a - 2.0 * b + c);
                        let sure = f64::from(sure(row[k], half));
                        (self.least + self.step * (k as f64 + off), sure)
                    }),
            );
        }
        all
    }

    /// The point of the picture at a radius in a direction, in px of the level.
    pub(super) fn point(&self, ray: usize, radius: f64) -> (f64, f64) {
        let theta = direction(ray);
        let r = radius * self.about.reach(theta);
        (self.about.x + r * theta.cos(), self.about.y + r * theta.sin())
    }

    /// The sureness of an edge, 0 to 1, at each place of the ring blurred across by `blur` of the radius; below zero
    /// outside the picture.
    pub(super) fn sureness(&self, half: [f32; 3], blur: f64) -> Sureness<'_> {
        let reach = (blur / self.step).round() as usize;
        let mut at = vec![-1.0_f32; RAYS * self.steps];
        at.par_chunks_mut(self.steps).enumerate().for_each(|(ray, out)| {
            for (out, v) in out
                .iter_mut()
                .zip(&self.rise[0][ray * self.steps..][..self.steps])
            {
                if *v >= 0.0 {
                    *out = 0.0;
                }
            }
            for (rise, half) in self.rise.iter().zip(half) {
                let row = &rise[ray * self.steps..][..self.steps];
                // Only the crest of an edge counts.
                for k in (1..self.steps - 1).filter(|k| is_crest(row, *k)) {
                    let most = sure(row[k], half);
                    for j in k.saturating_sub(reach)..=(k + reach).min(self.steps - 1) {
                        let near = 1.0 - (j.abs_diff(k) as f32) / (reach as f32 + 1.0);
                        if row[j] >= 0.0 {
                            out[j] = out[j].max(near * most);
                        }
                    }
                }
            }
        });
        Sureness { ring: self, at }
    }
}

fn sure(rise: f32, half: f32) -> f32 {
    rise * rise / (rise * rise + half * half)
}

fn is_crest(row: &[f32], k: usize) -> bool {
    row[k - 1] >= 0.0 && row[k + 1] >= 0.0 && row[k] >= row[k - 1] && row[k] > row[k + 1]
}

/// Brightness and two colours of a px, in logarithms, so that a change counts by its ratio: the rounded edge of a coin
/// is dark, and what lies beyond often differs from it by colour alone. The floor keeps the noise of black px down.
fn ratios(rgb: [f32; 3]) -> [f32; 3] {
    const FLOOR: f32 = 12.0;
    let [r, g, b] = rgb.map(|v| (v + FLOOR).ln());
    [(r + g + b) / 3.0, r - b, g - (r + b) / 2.0]
}

/// How sure an edge runs at each place of a ring.
pub(super) struct Sureness<'r> {
    ring: &'r Ring,
    at: Vec<f32>,
}

impl Sureness<'_> {
    /// Mean over the directions inside the picture for the curve of these offsets, with the share of directions inside.
    pub(super) fn along(&self, curve: &Curve, turns: &Turns) -> (f64, f64) {
        let ring = self.ring;
        let (mut sum, mut seen) = (0.0, 0_usize);
        for ray in (0..RAYS).step_by(2) {
            let at = ((curve.radius(ray, turns) - ring.least) / ring.step).round();
            if at < 0.0 || at as usize >= ring.steps {
                continue;
            }
            let v = self.at[ray * ring.steps + at as usize];
            if v >= 0.0 {
                sum += f64::from(v);
                seen += 1;
            }
        }
        let share = seen as f64 / (RAYS / 2) as f64;
        (if seen == 0 { 0.0 } else { sum / seen as f64 }, share)
    }
}

/// A closed curve in a ring: its radius and first two harmonics, as shares of the ring's ellipse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Curve(pub(super) [f64; 5]);

impl Curve {
    pub(super) fn radius(&self, ray: usize, turns: &Turns) -> f64 {
        let t = &turns.0[ray];
        self.0[0] + self.0[1] * t[0] + self.0[2] * t[1] + self.0[3] * t[2] + self.0[4] * t[3]
    }
}

/// Cosine and sine of each direction and of its double.
pub(super) struct Turns(Vec<[f64; 4]>);

impl Turns {
    pub(super) fn new() -> Self {
        Self(
            (0..RAYS)
                .map(|ray| {
                    let t = direction(ray);
                    [t.cos(), t.sin(), (2.0 * t).cos(), (2.0 * t).sin()]
                })
                .collect(),
        )
    }
}

pub(super) fn direction(ray: usize) -> f64 {
    std::f64::consts::TAU * ray as f64 / RAYS as f64
}

/// Bilinear colour; not a number outside the picture.
fn sample(level: &RgbImage, x: f64, y: f64) -> [f32; 3] {
    let (w, h) = (level.width() as usize, level.height() as usize);
    if !(x >= 0.0 && y >= 0.0) || x as usize + 1 >= w || y as usize + 1 >= h {
        return [f32::NAN; 3];
    }
    let (i, j) = (x as usize, y as usize);
    let (fx, fy) = ((x - i as f64) as f32, (y - j as f64) as f32);
    let raw: &[u8] = level;
    let at = |i: usize, j: usize, c: usize| f32::from(raw[(j * w + i) * 3 + c]);
    std::array::from_fn(|c| {
        (at(i, j, c) * (1.0 - fx) + at(i + 1, j, c) * fx) * (1.0 - fy)
            + (at(i, j + 1, c) * (1.0 - fx) + at(i + 1, j + 1, c) * fx) * fy
    })
}

/// The slope of a Gaussian: applied to a ramp of one level a column it gives 1.
fn slope_kernel(deviation: f64) -> Vec<f32> {
    let half = (3.0 * deviation).ceil().max(1.0) as i64;
    let weights: Vec<f64> = (-half..=half)
        .map(|k| {
            let k = k as f64;
            k * (-k * k / (2.0 * deviation * deviation)).exp()
        })
        .collect();
    let ramp: f64 = weights.iter().zip(-half..=half).map(|(w, k)| w * k as f64).sum();
    weights.into_iter().map(|w| (w / ramp) as f32).collect()
}
