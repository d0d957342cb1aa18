//! The reverse's device: a storm lantern.

use super::die::DieDesign;
use super::parts::{Bevel, Dome, Group, Join, Line, Part, Turned};
use super::shapes::{P, Stroke};

/// The middle of the bail ring.
pub(super) const RING: P = [0.0, -7.75];
/// The roof's lower corners and the collar's rivets, in mm.
pub(super) const ROOF_REACH: f32 = 3.45;
pub(super) const ROOF_Y: f32 = -3.85;
pub(super) const RIVET_Y: f32 = 3.48;
/// The lower corners of the lantern's foot, in mm.
pub(super) const FOOT_REACH: f32 = 3.7;
pub(super) const FOOT_Y: f32 = 6.3;

/// The bars of the cage: x at the globe's widest as a share of its half width.
const CAGE: [f32; 4] = [-0.80, -0.34, 0.34, 0.80];
/// Which bar may be broken, and the break's place and length in mm.
pub(super) const BROKEN_BAR: usize = 2;
pub(super) const BREAK_Y: f32 = 1.55;
const BREAK_MM: f32 = 0.34;
const GLOBE_TOP: f32 = -3.55;
const GLOBE_FOOT: f32 = 3.1;

/// The globe's half width by height on the side, in mm.
fn globe(y: f32) -> f32 {
    let t = ((y - GLOBE_TOP) / (GLOBE_FOOT - GLOBE_TOP)).clamp(0.0, 1.0);
    1.85 + 1.25 * (std::f32::consts::PI * (0.06 + 0.90 * t.powf(0.88))).sin()
}

/// A place on a bar of the cage.
pub(super) fn bar_place(bar: usize, y: f32) -> P {
    [CAGE[bar] * (globe(y) + 0.12), y]
}

/// Tip and foot of the flame.
pub(super) const FLAME_TIP: P = [0.12, -1.75];
pub(super) const FLAME_FOOT: P = [0.0, 1.75];

/// Adds the lantern of one die.
pub(super) fn lantern(die: &DieDesign, parts: &mut Vec<Box<dyn Part>>) {
    let bevel = Bevel::plain(0.15, 0.16);
    // The bail: a ring to hang it by, and the wire that carries it.
    let ring = Stroke::along(60, |t| {
        let (sin, cos) = (std::f32::consts::TAU * t).sin_cos();
        ([RING[0] + 1.12 * sin, RING[1] - 1.05 * cos], 0.15)
    });
    parts.push(Box::new(Line {
        stroke: ring,
        bevel: Bevel::plain(0.17, 0.17),
        join: Join::Raise,
    }));

    // The roof: a knob, a vented crown, a wide eave.
    let roof = [
        (-6.95, 0.38),
        (-6.5, 0.7),
        (-6.1, 0.5),
        (-5.9, 1.05),
        (-5.1, 1.5),
        (-4.75, 2.2),
        (-4.2, 3.2),
        (ROOF_Y, ROOF_REACH),
    ];
    parts.push(Box::new(Turned {
        axis: 0.0,
        profile: roof.to_vec(),
        bevel,
        dome: 0.34,
    }));
    // Vents cut into the crown.
    for k in -2..=2 {
        let x = 0.50 * k as f32;
        let slot = Stroke {
            spine: vec![([x, -5.62], 0.075), ([x * 1.12, -5.2], 0.075)],
        };
        parts.push(Box::new(Line {
            stroke: slot,
            bevel: Bevel::plain(-0.10, 0.09),
            join: Join::Add,
        }));
    }
    // Ribs of the eave.
    for k in -4..=4 {
        let x = k as f32 / 4.6;
        let rib = Stroke {
            spine: vec![([1.75 * x, -4.85], 0.03), ([3.35 * x, -4.0], 0.045)],
        };
        parts.push(Box::new(Line {
            stroke: rib,
            bevel: Bevel::plain(-0.045, 0.08),
            join: Join::Add,
        }));
    }

    // The globe, low and round, behind its cage.
    let profile = (0..=14)
        .map(|i| GLOBE_TOP + (GLOBE_FOOT - GLOBE_TOP) * i as f32 / 14.0)
        .map(|y| (y, globe(y)));
    let glass = Bevel::plain(0.05, 0.16);
    parts.push(Box::new(Turned {
        axis: 0.0,
        profile: profile.collect(),
        bevel: glass,
        dome: 0.26,
    }));

    // The flame.
    let flame = Stroke::along(160, |t| {
        let x = FLAME_FOOT[0] + (FLAME_TIP[0] - FLAME_FOOT[0]) * t + 0.16 * (5.2 * t).sin() * t;
        let y = FLAME_FOOT[1] + (FLAME_TIP[1] - FLAME_FOOT[1]) * t;
        (
            [x, y],
            0.74 * (1.0 - t).powf(0.85) * (3.4 * (t + 0.12)).min(1.0).powf(0.6) + 0.02,
        )
    });
    parts.push(Box::new(Line {
        stroke: flame,
        bevel: Bevel::plain(0.20, 0.50),
        join: Join::Add,
    }));
    if die.pick("flame", &[("plain", false), ("lined", true)]) {
        let heart = Stroke::along(20, |t| {
            let y = FLAME_FOOT[1] - 0.35 - 1.5 * t;
            ([0.10 * (4.0 * t).sin(), y], 0.055 * (1.0 - 0.6 * t) + 0.015)
        });
        parts.push(Box::new(Line {
            stroke: heart,
            bevel: Bevel::plain(-0.085, 0.10),
            join: Join::Add,
        }));
    }

    // The cage: bars and hoops, wound over the glass.
    let broken = die.pick("cage-bar", &[("whole", false), ("broken", true)]);
    let mut cage: Vec<Box<dyn Part>> = Vec::new();
    let wire = |stroke, height| Line {
        stroke,
        bevel: Bevel::plain(height, 0.17),
        join: Join::Raise,
    };
    for bar in 0..CAGE.len() {
        let spans = if bar == BROKEN_BAR && broken {
            vec![
                (GLOBE_TOP, BREAK_Y - BREAK_MM / 2.0),
                (BREAK_Y + BREAK_MM / 2.0, GLOBE_FOOT),
            ]
        } else {
            vec![(GLOBE_TOP, GLOBE_FOOT)]
        };
        for (from, to) in spans {
            let stroke = Stroke::along(24, |t| (bar_place(bar, from + (to - from) * t), 0.12));
            cage.push(Box::new(wire(stroke, 0.15)));
        }
    }
    for y in [-1.9, 0.35, 2.2] {
        let stroke = Stroke::along(24, |t| {
            let x = 2.0 * t - 1.0;
            ([x * (globe(y) + 0.18), y + 0.22 * (1.0 - x * x)], 0.10)
        });
        cage.push(Box::new(wire(stroke, 0.14)));
    }
    parts.push(Box::new(Group {
        parts: cage,
        join: Join::Add,
    }));

    // The collar with its rivets, the fount, and the foot.
    let collar = [(3.0, 2.55), (3.25, 2.75), (3.7, 2.75), (3.95, 2.5)];
    parts.push(Box::new(Turned {
        axis: 0.0,
        profile: collar.to_vec(),
        bevel,
        dome: 0.16,
    }));
    let fount = [(3.95, 2.2), (4.3, 3.05), (5.0, 3.45), (5.6, 3.15), (5.8, 3.1)];
    parts.push(Box::new(Turned {
        axis: 0.0,
        profile: fount.to_vec(),
        bevel,
        dome: 0.26,
    }));
    let foot = [(5.78, 3.4), (6.0, 3.7), (FOOT_Y, FOOT_REACH)];
    parts.push(Box::new(Turned {
        axis: 0.0,
        profile: foot.to_vec(),
        bevel: Bevel::plain(0.17, 0.12),
        dome: 0.08,
    }));
    for x in rivets(die.pick("collar-rivets", &[("three", 3), ("two", 2)])) {
        parts.push(Box::new(Dome {
            centre: [x, RIVET_Y],
            radius: 0.21,
            height: 0.09,
            join: Join::Add,
        }));
    }
    let band = Stroke::along(24, |t| {
        ([6.0 * t - 3.0, 4.62 + 0.24 * (4.0 * t * (1.0 - t))], 0.032)
    });
    parts.push(Box::new(Line {
        stroke: band,
        bevel: Bevel::plain(-0.05, 0.08),
        join: Join::Add,
    }));
}

/// The collar's rivets: x in mm.
pub(super) fn rivets(count: usize) -> Vec<f32> {
    if count == 3 {
        vec![-1.1, 0.0, 1.1]
    } else {
        vec![-1.1, 1.1]
    }
}
