//! Parts of a relief: each gives its height over the field; a scene joins them.

use super::noise::smoothstep;
use super::shapes::{Bounds, Outline, P, Stroke};

/// Half the side of the square that a relief covers, in mm: the flan and a little more.
pub(super) const REACH_MM: f32 = 14.5;

/// How a part joins what is already there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Join {
    /// The higher of the two stands out, with a soft seam.
    Raise,
    /// Its height is added; negative heights cut in.
    Add,
}

/// A part of the relief.
pub(super) trait Part: Send + Sync {
    /// Where it can be other than zero.
    fn bounds(&self) -> Bounds;
    /// Its height over the field in mm, zero outside itself.
    fn height(&self, p: P) -> f32;
    /// How it joins the parts before it.
    fn join(&self) -> Join {
        Join::Raise
    }
}

/// The cross-section of a raised shape: how height rises with the distance inside its edge.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bevel {
    /// Height of the flat top in mm.
    pub height: f32,
    /// Width of the slope in mm.
    pub width: f32,
    /// How far the shape is swollen beyond its drawn edge, in mm: metal fills a punch more fully than a pen does.
    pub swell: f32,
}

impl Bevel {
    /// The share of the slope that lies outside the drawn edge, as a soft fillet.
    const FOOT: f32 = 0.3;

    /// A bevel that keeps to the drawn edge.
    pub const fn plain(height: f32, width: f32) -> Self {
        Self {
            height,
            width,
            swell: 0.0,
        }
    }

    /// How far the slope reaches beyond the drawn edge, in mm.
    pub fn foot(&self) -> f32 {
        self.width * Self::FOOT + self.swell
    }

    /// The height at a signed distance inside the edge.
    pub fn at(&self, inside_mm: f32) -> f32 {
        let t = ((inside_mm + self.swell) / self.width + Self::FOOT).clamp(0.0, 1.0);
        // A quick rise with a small fillet at the foot and a wide soft shoulder, as metal flows into a die.
        let rise = t * t * (3.0 - 2.0 * t);
        let shoulder = 1.0 - (1.0 - t) * (1.0 - t);
        self.height * (0.65 * rise + 0.35 * rise * shoulder)
    }
}

/// A flat-topped shape with bevelled edges: letters and the like.
pub(super) struct Punch {
    pub outline: Outline,
    /// A shape left out of it.
    pub without: Option<Outline>,
    pub bevel: Bevel,
}

impl Part for Punch {
    fn bounds(&self) -> Bounds {
        Bounds::around(self.outline.points(), self.bevel.foot() + 0.01)
    }
    fn height(&self, p: P) -> f32 {
        let inside = self.outline.signed_distance(p);
        let inside = self
            .without
            .as_ref()
            .map_or(inside, |cut| inside.min(-cut.signed_distance(p)));
        self.bevel.at(inside)
    }
}

/// A raised or incised line.
pub(super) struct Line {
    pub stroke: Stroke,
    pub bevel: Bevel,
    pub join: Join,
}

impl Part for Line {
    fn bounds(&self) -> Bounds {
        self.stroke.bounds(self.bevel.foot() + 0.01)
    }
    fn height(&self, p: P) -> f32 {
        self.bevel.at(self.stroke.signed_distance(p))
    }
    fn join(&self) -> Join {
        self.join
    }
}

/// Parts that first join each other and then what is there.
pub(super) struct Group {
    pub parts: Vec<Box<dyn Part>>,
    pub join: Join,
}

impl Part for Group {
    fn bounds(&self) -> Bounds {
        let corners = self
            .parts
            .iter()
            .flat_map(|part| [part.bounds().min, part.bounds().max]);
        Bounds::around(corners, 0.0)
    }
    fn height(&self, p: P) -> f32 {
        self.parts
            .iter()
            .filter(|part| part.bounds().holds(p))
            .fold(0.0, |h, part| soft_max(h, part.height(p)))
    }
    fn join(&self) -> Join {
        self.join
    }
}

/// A round dome: a stop, a bead, a rivet.
pub(super) struct Dome {
    pub centre: P,
    pub radius: f32,
    pub height: f32,
    pub join: Join,
}

impl Part for Dome {
    fn bounds(&self) -> Bounds {
        Bounds::around([self.centre], self.radius + 0.06)
    }
    fn height(&self, p: P) -> f32 {
        let r = (p[0] - self.centre[0]).hypot(p[1] - self.centre[1]) / self.radius;
        if r >= 1.0 {
            return 0.0;
        }
        // A dome with a small fillet at its foot.
        let dome = (1.0 - r * r).sqrt();
        self.height * dome * smoothstep(1.0, 0.82, r)
    }
    fn join(&self) -> Join {
        self.join
    }
}

/// A body turned about an upright axis: its outline mirrored about the axis, its surface round across.
pub(super) struct Turned {
    /// The axis's x in mm.
    pub axis: f32,
    /// y and half width, in mm, from top to bottom; joined smoothly.
    pub profile: Vec<(f32, f32)>,
    pub bevel: Bevel,
    /// Height that the roundness adds on the axis, in mm.
    pub dome: f32,
}

impl Turned {
    /// The half width at a height and its derivative by y.
    fn half_width(&self, y: f32) -> Option<(f32, f32)> {
        let profile = &self.profile;
        let i = profile.windows(2).position(|w| w[0].0 <= y && y <= w[1].0)?;
        let (y0, w0) = profile[i];
        let (y1, w1) = profile[i + 1];
        let span = (y1 - y0).max(1e-4);
        let slope_at = |j: usize| {
            let (a, b) = (
                profile[j.saturating_sub(1)],
                profile[(j + 1).min(profile.len() - 1)],
            );
            (b.1 - a.1) / (b.0 - a.0).max(1e-4)
        };
        let (m0, m1) = (slope_at(i) * span, slope_at(i + 1) * span);
        // Cubic Hermite between the given points.
        let t = (y - y0) / span;
        let (t2, t3) = (t * t, t * t * t);
        let w = (2.0 * t3 - 3.0 * t2 + 1.0) * w0
            + (t3 - 2.0 * t2 + t) * m0
            + (3.0 * t2 - 2.0 * t3) * w1
            + (t3 - t2) * m1;
        let d =
            ((6.0 * t2 - 6.0 * t) * (w0 - w1) + (3.0 * t2 - 4.0 * t + 1.0) * m0 + (3.0 * t2 - 2.0 * t) * m1)
                / span;
        Some((w.max(0.0), d))
    }
}

impl Part for Turned {
    fn bounds(&self) -> Bounds {
        let corners = self
            .profile
            .iter()
            .flat_map(|&(y, w)| [[self.axis - 1.15 * w, y], [self.axis + 1.15 * w, y]]);
        Bounds::around(corners, self.bevel.foot() + 0.01)
    }
    fn height(&self, p: P) -> f32 {
        let (Some(first), Some(last)) = (self.profile.first(), self.profile.last()) else {
            return 0.0;
        };
        let y = p[1].clamp(first.0, last.0);
        let Some((w, slope)) = self.half_width(y) else {
            return 0.0;
        };
        let x = (p[0] - self.axis).abs();
        let across = (w - x) / (1.0 + slope * slope).sqrt();
        let ends = (p[1] - first.0).min(last.0 - p[1]);
        let round = if x < w {
            (1.0 - (x / w) * (x / w)).sqrt()
        } else {
            0.0
        };
        let bevel = self.bevel.at(across.min(ends));
        bevel + self.dome * round * (bevel / self.bevel.height)
    }
}

/// A leaf with a ridge-and-groove midrib, bent along its length.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leaf {
    pub base: P,
    /// The direction of its axis, degrees clockwise on the page from the x axis.
    pub direction_deg: f32,
    pub length: f32,
    pub half_width: f32,
    /// How far the axis bends aside at its tip, in mm.
    pub bend: f32,
    pub height: f32,
}

impl Leaf {
    /// The tip of the leaf.
    pub fn tip(&self) -> P {
        self.at(self.length, self.bend)
    }

    /// The middle of the leaf.
    pub fn middle(&self) -> P {
        self.at(0.5 * self.length, 0.25 * self.bend)
    }

    fn at(&self, u: f32, v: f32) -> P {
        let (sin, cos) = self.direction_deg.to_radians().sin_cos();
        [self.base[0] + u * cos - v * sin, self.base[1] + u * sin + v * cos]
    }
}

impl Part for Leaf {
    fn bounds(&self) -> Bounds {
        let side = self.half_width + self.bend.abs();
        let corners = [
            (0.0, -side),
            (0.0, side),
            (self.length, -side),
            (self.length, side),
        ];
        Bounds::around(corners.map(|(u, v)| self.at(u, v)), 0.08)
    }
    fn height(&self, p: P) -> f32 {
        let (sin, cos) = self.direction_deg.to_radians().sin_cos();
        let (dx, dy) = (p[0] - self.base[0], p[1] - self.base[1]);
        let (u, v) = (dx * cos + dy * sin, dy * cos - dx * sin);
        let t = (u / self.length).clamp(0.0, 1.0);
        let v = v - self.bend * t * t;
        // A lance shape: full a little below the middle, pointed at the tip.
        let w = self.half_width * 2.2 * t.powf(0.55) * (1.0 - t).powf(0.9);
        let ends = u.min(self.length - u);
        let inside = (w - v.abs()).min(ends * 0.6);
        let bevel = Bevel::plain(1.0, (0.9 * self.half_width).min(0.16));
        let edge = bevel.at(inside);
        if edge <= 0.0 {
            return 0.0;
        }
        // Two faces that fall away from the midrib, and the midrib cut in as a fine groove.
        let ridge = 1.0 - 0.45 * (v.abs() / w.max(0.02)).min(1.0);
        let groove = 0.28 * (-(v / 0.035) * (v / 0.035)).exp() * smoothstep(0.95, 0.7, t);
        self.height * edge * (ridge - groove)
    }
}

/// All parts of one side, sorted into cells so that a point asks only those near it.
pub(super) struct Scene {
    parts: Vec<(Bounds, Box<dyn Part>)>,
    cells: Vec<Vec<u16>>,
}

/// Cells along each axis of a scene; about 1 mm each.
const CELLS: usize = 29;

impl Scene {
    pub fn new(parts: Vec<Box<dyn Part>>) -> Self {
        let step = 2.0 * REACH_MM / CELLS as f32;
        let mut cells = vec![Vec::new(); CELLS * CELLS];
        let parts: Vec<_> = parts.into_iter().map(|part| (part.bounds(), part)).collect();
        for (index, (bounds, _)) in parts.iter().enumerate() {
            for (k, cell) in cells.iter_mut().enumerate() {
                let min = [
                    (k % CELLS) as f32 * step - REACH_MM,
                    (k / CELLS) as f32 * step - REACH_MM,
                ];
                let square = Bounds {
                    min,
                    max: [min[0] + step, min[1] + step],
                };
                if bounds.meets(&square) {
                    cell.push(index as u16);
                }
            }
        }
        Self { parts, cells }
    }

    /// The height of the devices over the field in mm.
    pub fn height(&self, p: P) -> f32 {
        let scale = CELLS as f32 / (2.0 * REACH_MM);
        let cell = |v: f32| (((v + REACH_MM) * scale).max(0.0) as usize).min(CELLS - 1);
        let mut h = 0.0;
        for &index in &self.cells[cell(p[1]) * CELLS + cell(p[0])] {
            let (bounds, part) = &self.parts[index as usize];
            if !bounds.holds(p) {
                continue;
            }
            let own = part.height(p);
            h = match part.join() {
                Join::Add => h + own,
                Join::Raise => soft_max(h, own),
            };
        }
        h
    }
}

/// The higher of two heights with a soft seam where they meet; exact where either is zero.
fn soft_max(a: f32, b: f32) -> f32 {
    let (low, high) = if a < b { (a, b) } else { (b, a) };
    if low <= 0.25 * high {
        return high;
    }
    let ratio = (low / high - 0.25) / 0.75;
    high * (1.0 + 0.07 * ratio * ratio * ratio)
}
