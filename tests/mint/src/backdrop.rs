//! What the coin lies on.

use super::border::FLAN_MM;
use super::light::{Surroundings, V3};
use super::noise::{fractal_noise, hash01, smoothstep, value_noise};
use super::shapes::P;

/// What the coin lies on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Backdrop {
    /// A seamless dark grey board.
    Studio,
    /// A planed wooden table.
    Wood,
    /// Woven cloth.
    Cloth,
    /// Off-white paper.
    Paper,
    /// A wooden table with a ruled card, a pencil and another round piece close by.
    Cluttered,
    /// A matt grey sheet of nearly the coin's own colour.
    LikeTheCoin,
}

/// The coin's thickness in mm.
pub(super) const THICKNESS_MM: f32 = 1.9;

impl Backdrop {
    /// The colour seen at a place of the table's plane, in mm from the coin's middle along the picture's own axes
    /// (so that the table does not turn with the coin).
    pub(super) fn seen(self, p: P, around: &Surroundings, seed: u32) -> V3 {
        let albedo = self.albedo(p, seed);
        let light = around.falling([0.0, 0.0, -1.0]);
        let shade = shadow(p, around);
        // Light falls off a little across the table.
        let fall = 1.0 + 0.006 * (p[0] * around.key[0] + p[1] * around.key[1]).clamp(-40.0, 40.0);
        std::array::from_fn(|k| albedo[k] * light[k] * shade * fall * 2.1)
    }

    /// The table's own colour there.
    pub(super) fn albedo(self, p: P, seed: u32) -> V3 {
        match self {
            Self::Studio => {
                let grain = 1.0 + 0.03 * value_noise(p[0] * 7.0, p[1] * 7.0, seed);
                [0.055 * grain, 0.057 * grain, 0.061 * grain]
            }
            Self::Wood => wood(p, seed),
            Self::Cloth => cloth(p, seed),
            Self::Paper => {
                let fibre = 1.0 + 0.025 * fractal_noise(p[0] * 3.0, p[1] * 3.0, 3, seed);
                [0.80 * fibre, 0.775 * fibre, 0.72 * fibre]
            }
            Self::LikeTheCoin => {
                let mottle = 1.0 + 0.10 * fractal_noise(p[0] / 3.0, p[1] / 3.0, 4, seed);
                [0.60 * mottle, 0.58 * mottle, 0.545 * mottle]
            }
            Self::Cluttered => clutter(p, seed),
        }
    }
}

fn wood(p: P, seed: u32) -> V3 {
    let (x, y) = (p[0] * 0.94 + p[1] * 0.34, p[1] * 0.94 - p[0] * 0.34);
    let bow = 2.6 * value_noise(x / 46.0, y / 15.0, seed) + 0.5 * value_noise(x / 12.0, y / 5.0, seed ^ 3);
    let rings = ((y + 2.4 * bow) / 3.3).fract();
    let rings = (rings + 1.0).fract();
    let late = smoothstep(0.15, 0.9, rings) * smoothstep(1.0, 0.93, rings);
    let pores = smoothstep(0.42, 0.75, value_noise(x / 3.2, y * 4.2, seed ^ 7));
    let fibre = value_noise(x / 2.0, y * 9.0, seed ^ 11);
    let dark = 0.42 * late + 0.30 * pores + 0.07 * fibre + 0.12 * value_noise(x / 30.0, y / 9.0, seed ^ 19);
    let light = (1.0 - dark).max(0.15);
    [0.33 * light, 0.185 * light.powf(1.15), 0.088 * light.powf(1.3)]
}

fn cloth(p: P, seed: u32) -> V3 {
    let pitch = 0.62;
    let (u, v) = (p[0] / pitch, p[1] / pitch);
    let wobble = 0.12 * value_noise(u * 0.4, v * 0.4, seed);
    let (iu, iv) = ((u + wobble).floor(), (v - wobble).floor());
    let over = ((iu + iv) as i32).rem_euclid(2) == 0;
    let (fu, fv) = ((u + wobble - iu) - 0.5, (v - wobble - iv) - 0.5);
    let round = if over {
        1.0 - 2.6 * fu * fu - 1.0 * fv * fv
    } else {
        1.0 - 2.6 * fv * fv - 1.0 * fu * fu
    };
    let thread = 0.85 + 0.3 * hash01(if over { iu as i32 } else { iv as i32 + 999 }, 3, seed);
    let fold = 1.0 + 0.12 * fractal_noise(p[0] / 22.0, p[1] / 22.0, 2, seed ^ 4);
    let l = (round * thread * fold).max(0.1);
    [0.060 * l, 0.085 * l, 0.135 * l]
}

fn clutter(p: P, seed: u32) -> V3 {
    let table = wood(p, seed);
    // A ruled card pushed under one side.
    let (cx, cy) = (p[0] * 0.97 - p[1] * 0.24, p[1] * 0.97 + p[0] * 0.24);
    let mut colour = table;
    if cx < -11.0 && cx > -75.0 && cy > -36.0 && cy < 13.0 {
        let ruled = (cy / 6.0 + 0.3).rem_euclid(1.0) < 0.05;
        let paper = 1.0 + 0.02 * value_noise(p[0] * 4.0, p[1] * 4.0, seed ^ 21);
        colour = if ruled {
            [0.30, 0.42, 0.60]
        } else {
            [0.80 * paper, 0.78 * paper, 0.70 * paper]
        };
    }
    // A pencil.
    let (tx, ty) = (p[0] * 0.80 + p[1] * 0.60, p[1] * 0.80 - p[0] * 0.60);
    let along = ty - 23.5;
    if along.abs() < 3.6 && tx > -40.0 && tx < 34.0 {
        let face = ((along + 3.6) / 2.4).floor();
        let light = [0.75, 1.1, 0.5][(face as usize).min(2)];
        colour = [0.52 * light, 0.09 * light, 0.05 * light];
    }
    // A round piece that is no coin of the set: a brass washer.
    let (wx, wy) = (p[0] - 29.0, p[1] + 9.0);
    let r = wx.hypot(wy);
    if r < 11.0 && r > 4.6 {
        let sheen = 0.75 + 0.35 * (wy.atan2(wx) * 2.0 + 1.0).sin() + 0.06 * value_noise(r * 18.0, 0.0, seed);
        let edge = smoothstep(11.0, 10.4, r) * smoothstep(4.6, 5.2, r);
        colour = [0.55 * sheen, 0.40 * sheen, 0.15 * sheen].map(|c| c * (0.45 + 0.55 * edge));
    }
    colour
}

/// The coin's shadow on the table: a soft cast shadow away from the light, and a dark line where it lies.
fn shadow(p: P, around: &Surroundings) -> f32 {
    let high = (-around.key[2]).max(0.15);
    let offset = THICKNESS_MM / high;
    let cast = (p[0] + 0.5 * offset * around.key[0]).hypot(p[1] + 0.5 * offset * around.key[1]);
    let width = THICKNESS_MM * (0.35 + 0.8 * around.softness);
    let lit = smoothstep(FLAN_MM - 0.3 * width, FLAN_MM + width + 0.3, cast);
    let beside = (p[0].hypot(p[1]) - FLAN_MM).max(0.0);
    let contact = 1.0 - 0.55 * (-beside / 0.55).exp();
    (0.30 + 0.70 * lit) * contact
}
