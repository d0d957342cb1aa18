//! The flan's outline: round, off the die's centre, clipped, scalloped or nearly square.

use std::f32::consts::TAU;

use rand::Rng;
use rand_chacha::ChaCha8Rng;

use crate::shapes::P;

/// The shape of a flan, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FlanShape {
    /// A circle.
    Round,
    /// A circle with a piece cut off: by a straight edge at this share of the radius, towards a clock angle in degrees.
    ClippedStraight {
        /// Share of the radius at which the edge runs.
        at: f32,
        /// Its direction from the middle.
        clock_deg: f32,
    },
    /// A circle with a round bite, as by the punch's hole beside it, towards a clock angle in degrees.
    ClippedRound {
        /// How deep the bite reaches, in mm.
        depth: f32,
        /// Its direction from the middle.
        clock_deg: f32,
    },
    /// A wavy edge.
    Scalloped {
        /// How many waves.
        lobes: u32,
        /// Half their height as a share of the radius.
        amplitude: f32,
    },
    /// A square with round corners: a superellipse of this exponent, 2 for a circle.
    Squarish {
        /// The exponent.
        exponent: f32,
        /// How far it is turned, in degrees.
        turn_deg: f32,
    },
}

/// A flan as the die met it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flan {
    /// Its outline.
    pub shape: FlanShape,
    /// Its mean radius in mm.
    pub radius_mm: f32,
    /// Its middle in the die's frame, in side mm.
    pub middle: [f32; 2],
    /// Its thickness at the edge in mm.
    pub thickness_mm: f32,
}

impl Flan {
    /// A flan for a die of a radius in mm: half of them round and nearly centred, the others of every kind.
    pub(super) fn by_chance(radius_mm: f32, r: &mut ChaCha8Rng) -> Self {
        let shape = match r.random_range(0..10) {
            0 => FlanShape::ClippedStraight {
                at: r.random_range(0.86..0.97),
                clock_deg: r.random_range(0.0..360.0),
            },
            1 => FlanShape::ClippedRound {
                depth: r.random_range(0.3..1.6),
                clock_deg: r.random_range(0.0..360.0),
            },
            2 => FlanShape::Scalloped {
                lobes: r.random_range(8..15),
                amplitude: r.random_range(0.012..0.03),
            },
            3 => FlanShape::Squarish {
                exponent: r.random_range(2.3..4.5),
                turn_deg: r.random_range(0.0..90.0),
            },
            _ => FlanShape::Round,
        };
        let off = if r.random_bool(0.35) {
            r.random_range(0.1..0.9)
        } else {
            0.0_f32
        };
        let (sin, cos) = r.random_range(0.0..TAU).sin_cos();
        Self {
            shape,
            radius_mm,
            middle: [off * cos, off * sin],
            thickness_mm: r.random_range(1.2..2.4),
        }
    }

    /// Whether its outline is a circle.
    #[must_use]
    pub fn is_round(&self) -> bool {
        self.shape == FlanShape::Round
    }

    /// About the distance from a place to the outline, in mm, positive inside; exact to first order at the outline.
    pub(super) fn inside(&self, p: P) -> f32 {
        let (x, y) = (p[0] - self.middle[0], p[1] - self.middle[1]);
        let r = x.hypot(y);
        let round = self.radius_mm - r;
        let towards = |clock_deg: f32| {
            let (sin, cos) = clock_deg.to_radians().sin_cos();
            x * sin - y * cos
        };
        match self.shape {
            FlanShape::Round => round,
            FlanShape::ClippedStraight { at, clock_deg } => {
                round.min(at * self.radius_mm - towards(clock_deg))
            }
            FlanShape::ClippedRound { depth, clock_deg } => {
                let (sin, cos) = clock_deg.to_radians().sin_cos();
                let off = 2.0 * self.radius_mm - depth;
                round.min((x - off * sin).hypot(y + off * cos) - self.radius_mm)
            }
            FlanShape::Scalloped { lobes, amplitude } => {
                let waves = lobes as f32;
                let angle = x.atan2(-y) * waves;
                let slope = amplitude * waves * angle.sin() * self.radius_mm / r.max(1.0);
                (self.radius_mm * (1.0 + amplitude * angle.cos()) - r) / (1.0 + slope * slope).sqrt()
            }
            FlanShape::Squarish { exponent, turn_deg } => {
                let (sin, cos) = turn_deg.to_radians().sin_cos();
                let (u, v) = ((x * cos + y * sin).abs(), (y * cos - x * sin).abs());
                // As wide across as the circle of its radius is at the mean of side and corner.
                let corner = 2.0_f32.powf(0.5 - 1.0 / exponent);
                let half = self.radius_mm * 2.0 / (1.0 + corner);
                let norm = (u.powf(exponent) + v.powf(exponent))
                    .powf(1.0 / exponent)
                    .max(1e-3);
                let gradient =
                    ((u / norm).powf(2.0 * exponent - 2.0) + (v / norm).powf(2.0 * exponent - 2.0)).sqrt();
                (half - norm) / gradient.max(0.2)
            }
        }
    }

    /// The outward direction at a place.
    pub(super) fn outwards(&self, p: P) -> P {
        const STEP: f32 = 0.02;
        let dx = self.inside([p[0] - STEP, p[1]]) - self.inside([p[0] + STEP, p[1]]);
        let dy = self.inside([p[0], p[1] - STEP]) - self.inside([p[0], p[1] + STEP]);
        let length = dx.hypot(dy).max(1e-9);
        [dx / length, dy / length]
    }
}
