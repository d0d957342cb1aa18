//! How sharp a picture is, measured on its own edges.

use image::GrayImage;

/// The measured blur of edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeBlur {
    /// The deviation of the Gaussian that would blur a perfect edge as much, in px: the median over the edges.
    pub sigma_px: f64,
    /// The same for the sharper third of the edges (their 33rd percentile). A coin's soft shoulders are blurred in the
    /// metal and not by the photo, so where edges differ this tells more of the photo; grain makes it a little too
    /// small.
    pub sharpest_px: f64,
    /// How many edge pixels it was measured on.
    pub edges: usize,
}

/// Fewer edge pixels than this tell nothing.
const FEWEST_EDGES: usize = 24;

/// Edge pixels are those with at least this share of the strong gradients (their 99th percentile).
const EDGE_SHARE: f32 = 0.35;

/// The picture counts as without edges where its strong gradients are below this, in levels of 255 per px: grain of a
/// few levels reaches it once smoothed.
const LEAST_GRADIENT: f32 = 2.0;

/// Smoothing before any gradient is taken, against grain: deviation in px.
const FIRST_SIGMA: f64 = 0.8;

/// How much more the second, reblurred copy is smoothed: deviation in px.
const SECOND_SIGMA: f64 = 1.2;

/// The variance that a central difference adds to an edge: it is a box 2 px wide, 2^2 / 12.
const DIFFERENCE_VARIANCE: f64 = 1.0 / 3.0;

/// A blur above this is measured again on a halved copy, where it is half as wide: reblurring by much less than the
/// blur itself changes an edge too little to measure.
const MOST_AT_FULL_SIZE_PX: f64 = 1.6;

/// Pictures with a shorter side than this, in px, are not halved.
const SMALLEST_HALVED_PX: usize = 64;

/// Measures the blur of a picture's edges by reblurring (S. Zhuo & T. Sim, Defocus map estimation from a single image,
/// Pattern Recognition 44(9), 2011, 1852-1858): a second known blur lowers the gradient of a sharp edge more than that
/// of a soft one. None where there are too few edges to tell.
#[must_use]
pub fn edge_blur(grey: &GrayImage) -> Option<EdgeBlur> {
    let mut plane = Plane {
        width: grey.width() as usize,
        height: grey.height() as usize,
        values: grey.iter().map(|v| f32::from(*v)).collect(),
    };
    let mut scale = 1.0;
    let mut best = None;
    loop {
        // A copy too small to measure leaves what the larger one gave.
        best = measure(&plane).map(|found| at_full_size(found, scale)).or(best);
        let soft = best.is_none_or(|b| b.sigma_px > MOST_AT_FULL_SIZE_PX * scale);
        if !soft || plane.width.min(plane.height) < SMALLEST_HALVED_PX {
            return best;
        }
        plane = plane.halved();
        scale *= 2.0;
    }
}

/// A blur on a copy halved to 1 / `scale`, at full size: the halving's own box (variance (scale^2 - 1) / 12) taken off.
fn at_full_size(found: EdgeBlur, scale: f64) -> EdgeBlur {
    let full = |sigma: f64| {
        ((sigma * scale).powi(2) - (scale * scale - 1.0) / 12.0)
            .max(0.0)
            .sqrt()
    };
    EdgeBlur {
        sigma_px: full(found.sigma_px),
        sharpest_px: full(found.sharpest_px),
        edges: found.edges,
    }
}

struct Plane {
    width: usize,
    height: usize,
    values: Vec<f32>,
}

impl Plane {
    fn halved(&self) -> Self {
        let (width, height) = (self.width / 2, self.height / 2);
        let at = |x: usize, y: usize| self.values[y * self.width + x];
        let values = (0..height)
            .flat_map(|y| (0..width).map(move |x| (2 * x, 2 * y)))
            .map(|(x, y)| (at(x, y) + at(x + 1, y) + at(x, y + 1) + at(x + 1, y + 1)) / 4.0)
            .collect();
        Self {
            width,
            height,
            values,
        }
    }

    /// Gaussian blur; the kernel reaches 4 deviations, borders repeat.
    fn blurred(&self, sigma: f64) -> Self {
        let reach = (4.0 * sigma).ceil() as isize;
        let raw: Vec<f64> = (-reach..=reach)
            .map(|i| (-0.5 * (i as f64 / sigma).powi(2)).exp())
            .collect();
        let sum: f64 = raw.iter().sum();
        let kernel: Vec<f32> = raw.iter().map(|k| (k / sum) as f32).collect();
        let (w, h) = (self.width as isize, self.height as isize);
        let pass = |values: &[f32], dx: isize, dy: isize| -> Vec<f32> {
            let mut out = Vec::with_capacity(values.len());
            for y in 0..h {
                for x in 0..w {
                    let mut total = 0.0;
                    for (k, i) in kernel.iter().zip(-reach..) {
                        let (u, v) = ((x + i * dx).clamp(0, w - 1), (y + i * dy).clamp(0, h - 1));
                        total += k * values[(v * w + u) as usize];
                    }
                    out.push(total);
                }
            }
            out
        };
        let across = pass(&self.values, 1, 0);
        Self {
            width: self.width,
            height: self.height,
            values: pass(&across, 0, 1),
        }
    }

    /// Central differences at an inner pixel.
    fn gradient(&self, x: usize, y: usize) -> (f32, f32) {
        let at = |x: usize, y: usize| self.values[y * self.width + x];
        (
            (at(x + 1, y) - at(x - 1, y)) / 2.0,
            (at(x, y + 1) - at(x, y - 1)) / 2.0,
        )
    }
}

fn measure(plane: &Plane) -> Option<EdgeBlur> {
    const MARGIN: usize = 3;
    if plane.width < 16 || plane.height < 16 {
        return None;
    }
    let first = plane.blurred(FIRST_SIGMA);
    let second = first.blurred(SECOND_SIGMA);
    let length = |(x, y): (f32, f32)| x.hypot(y);
    let mut strengths = vec![0f32; plane.values.len()];
    for y in 1..plane.height - 1 {
        for x in 1..plane.width - 1 {
            strengths[y * plane.width + x] = length(first.gradient(x, y));
        }
    }
    let mut sorted = strengths.clone();
    let at = sorted.len() * 99 / 100;
    let (_, strong, _) = sorted.select_nth_unstable_by(at, f32::total_cmp);
    if *strong < LEAST_GRADIENT {
        return None;
    }
    let least = *strong * EDGE_SHARE;
    let mut blurs = Vec::new();
    for y in MARGIN..plane.height - MARGIN {
        for x in MARGIN..plane.width - MARGIN {
            let here = strengths[y * plane.width + x];
            if here < least {
                continue;
            }
            // The ridge of the gradient, to the nearest of four directions across the edge.
            let (gx, gy) = first.gradient(x, y);
            let (dx, dy): (isize, isize) = match (gx.abs() > 2.414 * gy.abs(), gy.abs() > 2.414 * gx.abs()) {
                (true, _) => (1, 0),
                (_, true) => (0, 1),
                _ if gx * gy > 0.0 => (1, 1),
                _ => (1, -1),
            };
            let near = |sign: isize| {
                let i = (y as isize + sign * dy) * plane.width as isize + x as isize + sign * dx;
                usize::try_from(i)
                    .ok()
                    .and_then(|i| strengths.get(i))
                    .copied()
                    .unwrap_or(0.0)
            };
            if near(-1) > here || near(1) >= here {
                continue;
            }
            let ratio = f64::from(here / length(second.gradient(x, y)).max(1e-6));
            if ratio > 1.0 {
                let variance =
                    SECOND_SIGMA.powi(2) / (ratio * ratio - 1.0) - FIRST_SIGMA.powi(2) - DIFFERENCE_VARIANCE;
                blurs.push(variance);
            }
        }
    }
    if blurs.len() < FEWEST_EDGES {
        return None;
    }
    blurs.sort_unstable_by(f64::total_cmp);
    let sigma_at = |share: f64| blurs[(blurs.len() as f64 * share) as usize].max(0.0).sqrt();
    Some(EdgeBlur {
        sigma_px: sigma_at(0.5),
        sharpest_px: sigma_at(1.0 / 3.0),
        edges: blurs.len(),
    })
}
