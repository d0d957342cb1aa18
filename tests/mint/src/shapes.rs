//! Flat shapes in side mm with their signed distances (positive inside).

/// A point in side mm, in single precision: relief needs micrometres, not more.
pub(super) type P = [f32; 2];

/// A box in side mm, along the axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bounds {
    pub min: P,
    pub max: P,
}

impl Bounds {
    /// The least box around points, grown by `margin` mm on every side.
    pub fn around(points: impl IntoIterator<Item = P>, margin: f32) -> Self {
        let mut bounds = Self {
            min: [f32::INFINITY; 2],
            max: [f32::NEG_INFINITY; 2],
        };
        for p in points {
            bounds.min = [bounds.min[0].min(p[0] - margin), bounds.min[1].min(p[1] - margin)];
            bounds.max = [bounds.max[0].max(p[0] + margin), bounds.max[1].max(p[1] + margin)];
        }
        bounds
    }

    /// Whether two boxes overlap.
    pub fn meets(&self, other: &Self) -> bool {
        (0..2).all(|k| self.min[k] <= other.max[k] && other.min[k] <= self.max[k])
    }

    /// Whether the box holds the point.
    pub fn holds(&self, p: P) -> bool {
        (0..2).all(|k| self.min[k] <= p[k] && p[k] <= self.max[k])
    }
}

/// Closed outlines that together bound a shape by the non-zero winding rule, as in TrueType fonts.
#[derive(Debug, Clone, Default)]
pub(super) struct Outline {
    /// Each contour's corners; the last is joined to the first.
    pub contours: Vec<Vec<P>>,
}

impl Outline {
    /// The distance to the nearest edge in mm, positive inside.
    pub fn signed_distance(&self, p: P) -> f32 {
        let mut nearest = f32::INFINITY;
        let mut winding = 0;
        for contour in &self.contours {
            let Some(&last) = contour.last() else { continue };
            let mut a = last;
            for &b in contour {
                nearest = nearest.min(distance_squared_to_segment(p, a, b));
                if (a[1] <= p[1]) != (b[1] <= p[1]) {
                    let side = (b[0] - a[0]) * (p[1] - a[1]) - (p[0] - a[0]) * (b[1] - a[1]);
                    if b[1] > a[1] && side > 0.0 {
                        winding += 1;
                    } else if b[1] <= a[1] && side < 0.0 {
                        winding -= 1;
                    }
                }
                a = b;
            }
        }
        if winding == 0 {
            -nearest.sqrt()
        } else {
            nearest.sqrt()
        }
    }

    /// All corners.
    pub fn points(&self) -> impl Iterator<Item = P> + '_ {
        self.contours.iter().flatten().copied()
    }

    /// The same shape with every corner moved by `map`.
    pub fn mapped(&self, map: impl Fn(P) -> P) -> Self {
        Self {
            contours: self
                .contours
                .iter()
                .map(|c| c.iter().map(|&p| map(p)).collect())
                .collect(),
        }
    }
}

fn distance_squared_to_segment(p: P, a: P, b: P) -> f32 {
    let (vx, vy) = (b[0] - a[0], b[1] - a[1]);
    let (wx, wy) = (p[0] - a[0], p[1] - a[1]);
    let length2 = vx * vx + vy * vy;
    let t = if length2 > 0.0 {
        ((wx * vx + wy * vy) / length2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let (dx, dy) = (wx - t * vx, wy - t * vy);
    dx * dx + dy * dy
}

/// A line drawn with a width that varies along it, round at the joints and ends.
#[derive(Debug, Clone)]
pub(super) struct Stroke {
    /// Points with the half width there, in mm.
    pub spine: Vec<(P, f32)>,
}

impl Stroke {
    /// A stroke along a curve given by a parameter 0..1: `at` returns the point and the half width.
    pub fn along(steps: usize, at: impl Fn(f32) -> (P, f32)) -> Self {
        Self {
            spine: (0..=steps).map(|i| at(i as f32 / steps as f32)).collect(),
        }
    }

    /// The distance to the stroke's edge in mm, positive inside.
    pub fn signed_distance(&self, p: P) -> f32 {
        let mut best = f32::NEG_INFINITY;
        for pair in self.spine.windows(2) {
            let ((a, wa), (b, wb)) = (pair[0], pair[1]);
            let (vx, vy) = (b[0] - a[0], b[1] - a[1]);
            let (px, py) = (p[0] - a[0], p[1] - a[1]);
            let length2 = vx * vx + vy * vy;
            let t = if length2 > 0.0 {
                ((px * vx + py * vy) / length2).clamp(0.0, 1.0)
            } else {
                0.0
            };
            let distance = (px - t * vx).hypot(py - t * vy);
            best = best.max(wa + (wb - wa) * t - distance);
        }
        best
    }

    /// The box around it.
    pub fn bounds(&self, margin: f32) -> Bounds {
        let widest = self.spine.iter().map(|s| s.1).fold(0.0, f32::max);
        Bounds::around(self.spine.iter().map(|s| s.0), widest + margin)
    }
}

/// The point at `radius` mm from the centre, `clock_deg` clockwise from twelve o'clock.
#[must_use]
pub(super) fn on_clock(radius: f32, clock_deg: f32) -> P {
    let (sin, cos) = clock_deg.to_radians().sin_cos();
    [radius * sin, -radius * cos]
}
