//! The rim and the border teeth.

use std::f32::consts::TAU;

use super::noise::smoothstep;
use super::parts::{Join, Part};
use super::shapes::{Bounds, P};

/// The flan's radius in mm.
pub(super) const FLAN_MM: f32 = 14.0;
/// Where the rim's inner shoulder stands, in mm from the centre.
const RIM_INNER_MM: f32 = 13.12;
/// The rim's height over the field in mm: more than any device, so that coins stack.
const RIM_HEIGHT_MM: f32 = 0.50;
/// Where the teeth's inner ends stand, in mm from the centre.
const TEETH_INNER_MM: f32 = 12.52;
/// The number of teeth where none are crowded.
pub(super) const TEETH: usize = 120;

/// A stretch of border in which the teeth are cut closer or wider than elsewhere.
#[derive(Debug, Clone, Copy)]
pub(super) struct Crowding {
    /// The clock angle of its middle in degrees.
    pub middle_deg: f32,
    /// How many teeth it takes the room of.
    pub room: usize,
    /// How many stand there.
    pub teeth: usize,
}

/// The rim with its teeth.
pub(super) struct Border {
    crowding: Option<(f32, f32, f32)>,
}

impl Border {
    pub fn new(crowding: Option<Crowding>) -> Self {
        let pitch = TAU / TEETH as f32;
        Self {
            crowding: crowding.map(|c| {
                // The stretch begins and ends midway between two teeth, so that its neighbours are untouched.
                let middle = (c.middle_deg.to_radians() / pitch).round();
                let start = middle - (c.room as f32 / 2.0).floor() - 0.5;
                (start.rem_euclid(TEETH as f32), c.room as f32, c.teeth as f32)
            }),
        }
    }

    /// The tooth number at a clock angle, whole in the middle of a tooth, and the teeth's pitch there in radians.
    fn tooth(&self, clock: f32) -> (f32, f32) {
        let pitch = TAU / TEETH as f32;
        let at = (clock / pitch).rem_euclid(TEETH as f32);
        if let Some((start, room, teeth)) = self.crowding {
            let into = (at - start).rem_euclid(TEETH as f32);
            if into < room {
                return (into * teeth / room - 0.5, pitch * room / teeth);
            }
        }
        (at, pitch)
    }
}

impl Part for Border {
    fn bounds(&self) -> Bounds {
        Bounds {
            min: [-FLAN_MM - 0.5; 2],
            max: [FLAN_MM + 0.5; 2],
        }
    }
    fn join(&self) -> Join {
        Join::Raise
    }
    fn height(&self, p: P) -> f32 {
        let r = p[0].hypot(p[1]);
        if r < TEETH_INNER_MM - 0.15 {
            return 0.0;
        }
        let shoulder = smoothstep(RIM_INNER_MM - 0.08, RIM_INNER_MM + 0.24, r);
        let rim = RIM_HEIGHT_MM * shoulder;
        let mut tooth_height = 0.0;
        if shoulder < 1.0 {
            let (tooth, pitch) = self.tooth(p[0].atan2(-p[1]));
            let aside = (tooth - tooth.round()).abs() * pitch * r;
            // A tooth: a bar with a rounded inner end, a rounded back, and a gap between it and the next.
            let half = 0.37 * pitch * r;
            let end = TEETH_INNER_MM + half;
            let off = if r < end { aside.hypot(end - r) } else { aside };
            let t = 1.0 - off / (half + 0.03);
            if t > 0.0 {
                let back = (t * (2.0 - t)).sqrt();
                tooth_height = 0.25 * back * smoothstep(0.0, 0.22, t);
            }
        }
        rim.max(tooth_height) + 0.12 * rim.min(tooth_height)
    }
}

/// The fall of the flan's edge: how far the surface lies below the rim's plane at a radius, in mm.
#[must_use]
pub(super) fn edge_fall(r: f32) -> f32 {
    let t = ((r - (FLAN_MM - 0.32)) / 0.32).clamp(0.0, 1.0);
    // A quarter round at the flan's edge.
    0.30 * (1.0 - (1.0 - t * t).max(0.0).sqrt())
}

/// The field's dish: how far the field lies below its level at the border, in mm, at a radius.
#[must_use]
pub(super) fn dish(r: f32) -> f32 {
    let t = (r / 12.5).min(1.0);
    -0.11 * (1.0 - t * t)
}
