//! The obverse's device: a nautilus shell in section, a logarithmic spiral with septa and a beaded lip.

use std::f32::consts::{PI, TAU};

use super::noise::smoothstep;
use super::parts::{Bevel, Part};
use super::shapes::{Bounds, P};

/// The shell's growth: how many times the spiral widens in a full turn. Living nautilus shells are near 3 (common
/// knowledge of the shell, no source).
const GROWTH_PER_TURN: f32 = 3.0;
/// Septa in a full turn.
const SEPTA_PER_TURN: f32 = 17.0;
/// The last septum's place before the lip, in radians along the spiral: the living chamber.
const LIVING_CHAMBER: f32 = 1.75;

/// The shell as one die has it.
pub(super) struct Nautilus {
    /// The spiral's pole in side mm.
    pub pole: P,
    /// The outer wall's distance from the pole at the lip, in mm.
    pub radius: f32,
    /// The direction of the lip from the pole, degrees clockwise on the page from the x axis. The shell grows
    /// clockwise.
    pub lip_deg: f32,
    /// A septum that stops short of the outer wall: its number from the living chamber, and the gap in mm.
    pub open_septum: Option<(usize, f32)>,
}

/// A place in the shell's own measure.
struct Place {
    /// Distance from the pole in mm.
    rho: f32,
    /// Angle along the spiral, 0 at the lip, negative towards the eye.
    theta: f32,
    /// 0 at the outer wall of this whorl, 1 at its inner wall.
    depth: f32,
}

impl Nautilus {
    fn growth() -> f32 {
        GROWTH_PER_TURN.ln() / TAU
    }

    /// The spiral's radius in mm at an angle along it.
    fn wall(&self, theta: f32) -> f32 {
        self.radius * (Self::growth() * theta).exp()
    }

    /// Where the lip stands, as an angle along the spiral, by depth: drawn back in the middle, forward at the wall.
    pub fn lip(depth: f32) -> f32 {
        0.30 * (PI * depth).sin() - 0.16 * depth
    }

    fn septum_curve(depth: f32) -> f32 {
        // Back in the middle, swept forward to the outer wall.
        -0.42 * (PI * depth.powf(0.85)).sin() - 0.30 * depth
    }

    fn locate(&self, p: P) -> Place {
        let (dx, dy) = (p[0] - self.pole[0], p[1] - self.pole[1]);
        let rho = dx.hypot(dy).max(0.01);
        let phi = (dy.atan2(dx) - self.lip_deg.to_radians()).rem_euclid(TAU) - TAU;
        let wall_theta = (rho / self.radius).ln() / Self::growth();
        let turns = ((wall_theta - phi) / TAU).ceil();
        let theta = phi + TAU * turns;
        Place {
            rho,
            theta,
            depth: (theta - wall_theta) / TAU,
        }
    }

    /// The side-frame point at an angle along the spiral and a depth in its whorl.
    pub fn point(&self, theta: f32, depth: f32) -> P {
        let rho = self.wall(theta - TAU * depth);
        let (sin, cos) = (theta + self.lip_deg.to_radians()).sin_cos();
        [self.pole[0] + rho * cos, self.pole[1] + rho * sin]
    }

    /// Where a septum meets the outer wall; septa are numbered from the living chamber.
    pub fn septum_foot(&self, number: usize, depth: f32) -> P {
        let theta = -LIVING_CHAMBER - number as f32 * TAU / SEPTA_PER_TURN + Self::septum_curve(depth);
        self.point(theta, depth)
    }

    /// Points along the lip at equal steps, from the outer wall inwards.
    pub fn lip_beads(&self, step_mm: f32) -> Vec<P> {
        let mut beads: Vec<P> = Vec::new();
        for i in 0..=600 {
            let depth = 0.035 + 0.93 * i as f32 / 600.0;
            let p = self.point(Self::lip(depth) - 0.29 / self.wall(-TAU * depth), depth);
            let far = beads
                .last()
                .is_none_or(|b: &P| (p[0] - b[0]).hypot(p[1] - b[1]) >= step_mm);
            if far {
                beads.push(p);
            }
        }
        beads
    }
}

impl Part for Nautilus {
    fn bounds(&self) -> Bounds {
        let ring = (0..64).map(|i| self.point(0.7 - TAU * i as f32 / 63.0, 0.0));
        Bounds::around(ring, 0.5)
    }

    fn height(&self, p: P) -> f32 {
        let Place { rho, theta, depth } = self.locate(p);
        let lip_theta = Self::lip(depth);
        let outline = Bevel::plain(0.13, 0.26);
        if theta > lip_theta {
            // Outside: only the fillet at the foot of the wall or the lip.
            let mut last = theta - TAU;
            while last > Self::lip(0.0) {
                last -= TAU;
            }
            let to_wall = rho - self.wall(last);
            let to_lip = rho * (theta - lip_theta);
            return outline.at(-to_wall.min(to_lip));
        }
        let (outer, inner) = (self.wall(theta), self.wall(theta - TAU));
        let outermost = theta + TAU > Self::lip(0.0);
        let (to_outer, to_inner) = (outer - rho, rho - inner);
        let to_lip = rho * (lip_theta - theta);
        let mut edge = to_lip.max(0.0);
        if outermost {
            edge = edge.min(to_outer);
        }
        let base = outline.at(if theta + TAU > lip_theta - 3.0 { edge } else { 1.0 });

        // Everything on the shell shrinks towards the eye, a little slower than the shell itself.
        let size = (outer / self.radius).powf(0.62);
        let across = (4.0 * depth * (1.0 - depth)).clamp(0.0, 1.0);

        // The septa: evenly spaced in angle, bowed by their curve.
        let b = Self::growth();
        let step = TAU / SEPTA_PER_TURN;
        let along = theta - Self::septum_curve(depth);
        let number = (-LIVING_CHAMBER - along) / step;
        let slope = (Self::septum_curve(depth + 0.01) - Self::septum_curve(depth - 0.01)) / 0.02;
        let per_mm = ((1.0 - slope / TAU).powi(2) + (slope / (TAU * b)).powi(2)).sqrt() / rho;
        let nearest = number.round().max(0.0);
        let to_septum = (number - nearest).abs() * step / per_mm;
        let line = 0.085 * size.max(0.22) + 0.01;
        let mut septum = line_profile(to_septum, line) * 0.10 * size;
        if let Some((open, gap)) = self.open_septum
            && nearest as usize == open
        {
            septum *= smoothstep(gap * 0.75, gap * 1.2, to_outer);
        }
        let detail = smoothstep(0.16, 0.45, rho);
        septum *= detail;

        // Chambers swell like cushions between their walls; the living chamber is one smooth vault.
        let chamber = if number < 0.0 {
            let settle = smoothstep(0.0, -1.2, number);
            let between = (4.0 * 0.5_f32.min(-number) * (1.0 - 0.5_f32.min(-number)))
                .max(0.0)
                .sqrt();
            (across.sqrt()) * (between * (1.0 - settle) + settle)
        } else {
            let u = number.fract();
            (4.0 * u * (1.0 - u)).sqrt().mul_add(0.8, 0.2) * across.sqrt()
        };
        let swell = 0.21 * size * chamber * detail;

        // Growth lines on the living chamber, along the lip.
        let behind = to_lip;
        let growth_lines = if number < 0.3 {
            let lines =
                (behind * TAU / 0.34).cos() * smoothstep(0.3, 0.7, behind) * smoothstep(3.6, 1.2, behind);
            0.011 * lines * smoothstep(0.02, 0.2, depth) * smoothstep(0.99, 0.8, depth)
        } else {
            0.0
        };

        // The walls: a rounded ridge on the spiral.
        let width = 0.21 * size + 0.012;
        let wall_outer = line_profile(
            (to_outer - 0.7 * width).max(0.0).max(0.7 * width - to_outer),
            width,
        );
        let inner_size = ((inner / self.radius).powf(0.62)).max(0.02);
        let width_in = 0.21 * inner_size + 0.012;
        let wall_inner = line_profile(to_inner + 0.7 * width_in, width_in);
        let wall =
            (0.20 * size * wall_outer).max(0.20 * inner_size * wall_inner) * smoothstep(0.05, 0.2, rho);

        // The lip: a flat band on which the beads sit.
        let lip = 0.07 * smoothstep(0.62, 0.48, behind) * smoothstep(0.0, 0.06, behind);

        let eye = 0.05 * (1.0 - smoothstep(0.0, 0.22, rho));
        let body = swell + septum + growth_lines;
        base * (1.0 + 0.25 * size)
            + (body.max(wall) + 0.25 * body.min(wall) + lip + eye) * (base / outline.height)
    }
}

/// A rounded ridge: 1 on the line, 0 at `half_width` from it and beyond.
fn line_profile(distance: f32, half_width: f32) -> f32 {
    let t = (1.0 - distance / half_width).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}
