//! The obverse: a nautilus over two waves, the town's name round it.

use std::f32::consts::{PI, TAU};

use super::border::{Border, Crowding, FLAN_MM};
use super::die::DieDesign;
use super::lettering::{Legend, SetLetter, Spacing, on_circle};
use super::nautilus::Nautilus;
use super::noise::{smoothstep, value_noise};
use super::parts::{Bevel, Dome, Join, Line, Part, Punch, Scene};
use super::shapes::{Outline, P, Stroke, on_clock};

const LEGEND: &str = "HARBOUR\u{b7}TOWN\u{b7}OF\u{b7}ORLEVAY";
/// The letters' height and the radius on which they stand, in mm.
const CAP_MM: f32 = 1.72;
const BASELINE_MM: f32 = 10.3;
const SPACING: Spacing = Spacing {
    letter: 0.305,
    word: 1.0,
};
/// A letter's cross-section.
pub(super) const LETTER_BEVEL: Bevel = Bevel {
    height: 0.19,
    width: 0.23,
    swell: 0.045,
};
/// The radius of a stop and its distance from the centre, in mm.
const STOP_MM: f32 = 0.30;
const STOP_RADIUS_MM: f32 = BASELINE_MM + 0.5 * CAP_MM;
/// How far the first stop stands from the middle of its gap where it is near a letter, in mm.
const STOP_SHIFT_MM: f32 = 0.30;
/// Which septum may be open, and how wide, in mm.
pub(super) const OPEN_SEPTUM: usize = 4;
const OPEN_GAP_MM: f32 = 0.36;
/// Which bead of the lip may be lacking.
pub(super) const LACKING_BEAD: usize = 5;
/// How much higher the E of ORLEVAY may stand than its neighbours, in mm.
pub(super) const E_RAISED_MM: f32 = 0.17;
/// Half widths of the lower wave's line at its crests, in mm.
const WAVE_THIN_MM: f32 = 0.20;
const WAVE_HEAVY_MM: f32 = 0.34;

/// The obverse's vector drawing, common to all dies.
pub(super) struct Obverse {
    pub legend: Legend,
    pub shell: Nautilus,
}

impl Obverse {
    pub fn drawing() -> Self {
        Self {
            legend: on_circle(LEGEND, BASELINE_MM, CAP_MM, 0.0, SPACING),
            shell: Nautilus {
                pole: [-1.5, -0.45],
                radius: 9.75,
                lip_deg: 22.0,
                open_septum: None,
            },
        }
    }

    /// The n-th letter of the legend, stops not counted.
    pub fn letter(&self, index: usize) -> &SetLetter {
        &self.legend.letters[index.min(self.legend.letters.len() - 1)]
    }

    /// Where the first stop stands in a die.
    pub fn first_stop(&self, shift_mm: f32) -> P {
        on_clock(
            STOP_RADIUS_MM,
            self.legend.stops_deg[0] + (shift_mm / STOP_RADIUS_MM).to_degrees(),
        )
    }

    /// The stops that all dies share.
    pub fn stop(&self, index: usize) -> P {
        on_clock(STOP_RADIUS_MM, self.legend.stops_deg[index])
    }

    /// Where the outer wall ends, as an angle along the shell's spiral.
    pub fn lip_end() -> f32 {
        Nautilus::lip(0.0)
    }

    pub fn beads(&self) -> Vec<P> {
        self.shell.lip_beads(0.56)
    }
}

/// Indexes of letters in the legend.
pub(super) const H_OF_HARBOUR: usize = 0;
pub(super) const B_OF_HARBOUR: usize = 3;
pub(super) const U_OF_HARBOUR: usize = 5;
pub(super) const R_OF_HARBOUR: usize = 6;
pub(super) const T_OF_TOWN: usize = 7;
pub(super) const O_OF_OF: usize = 11;
pub(super) const L_OF_ORLEVAY: usize = 15;
pub(super) const E_OF_ORLEVAY: usize = 16;
pub(super) const A_OF_ORLEVAY: usize = 18;
pub(super) const Y_OF_ORLEVAY: usize = 19;

/// The middle of the star at the foot of the side.
pub(super) const COMPASS: P = [0.0, 11.05];

/// Wave lengths drawn in the two waves.
const WAVES: [f32; 2] = [5.0, 4.0];
const WAVE_LENGTH_MM: f32 = 3.1;

/// A place on a wave's middle line: `t` runs from its left end, 0, to its right end, 1.
pub(super) fn wave_place(lower: bool, t: f32) -> P {
    let (level, count) = if lower { (8.6, WAVES[1]) } else { (6.85, WAVES[0]) };
    let radius = WAVE_LENGTH_MM / TAU;
    let phase = TAU * count * (t - 0.5) + if lower { 0.0 } else { PI };
    let along = WAVE_LENGTH_MM * count * (t - 0.5);
    // A trochoid, sharp at the crests, leaning a little forward.
    let x = along - 0.62 * radius * phase.sin() + 0.16 * phase.cos();
    [x, level - 0.46 * phase.cos()]
}

/// `middle` is the half width in the middle of the wave; towards its ends it is always `half_width`.
fn wave(lower: bool, half_width: f32, middle: f32) -> Line {
    let count = if lower { WAVES[1] } else { WAVES[0] };
    let stroke = Stroke::along(44 * count as usize, |t| {
        let phase = TAU * count * (t - 0.5) + if lower { 0.0 } else { PI };
        let taper = (1.0 - (2.0 * t - 1.0).abs().powi(5)).max(0.0).powf(0.7);
        // Thick behind the crest, thin before it, as a broad pen would draw it.
        let pen = 0.70 + 0.30 * (phase + 0.6).sin();
        let place = wave_place(lower, t);
        let width = middle + (half_width - middle) * smoothstep(1.3, 2.0, place[0].abs());
        (place, 0.025 + width * taper * pen)
    });
    Line {
        stroke,
        bevel: Bevel::plain(0.19, 0.24),
        join: Join::Raise,
    }
}

/// The obverse of one die.
pub(super) fn scene(die: &DieDesign) -> Scene {
    let drawing = Obverse::drawing();
    let mut parts: Vec<Box<dyn Part>> = Vec::new();

    let teeth = die.pick("teeth-at-y", &[("four", 4), ("five", 5)]);
    let y_clock = clock_of(drawing.letter(Y_OF_ORLEVAY).foot);
    parts.push(Box::new(Border::new(Some(Crowding {
        middle_deg: y_clock,
        room: 4,
        teeth,
    }))));

    let raised = die.pick("e-height", &[("level", 0.0), ("high", E_RAISED_MM)]);
    let doubled = die.pick("u-cut", &[("single", false), ("doubled", true)]);
    for (i, letter) in drawing.legend.letters.iter().enumerate() {
        let letter = if i == E_OF_ORLEVAY {
            letter.shifted(0.0, raised)
        } else {
            letter.clone()
        };
        if i == U_OF_HARBOUR && doubled {
            let ghost = letter.shifted(-0.15, -0.15);
            parts.push(punch(&ghost, Bevel::plain(0.11, 0.15)));
        }
        parts.push(punch(&letter, LETTER_BEVEL));
    }
    let shift = die.pick(
        "first-stop",
        &[
            ("central", 0.0),
            ("near-r", -STOP_SHIFT_MM),
            ("near-t", STOP_SHIFT_MM),
        ],
    );
    parts.push(stop(drawing.first_stop(shift)));
    parts.push(stop(drawing.stop(1)));
    parts.push(stop(drawing.stop(2)));

    let open = die.pick(
        "septum",
        &[("closed", None), ("open", Some((OPEN_SEPTUM, OPEN_GAP_MM)))],
    );
    parts.push(Box::new(Nautilus {
        open_septum: open,
        ..Obverse::drawing().shell
    }));
    let lacking = die.pick("lip-beads", &[("whole", None), ("lacking", Some(LACKING_BEAD))]);
    for (i, bead) in drawing.beads().into_iter().enumerate() {
        if lacking != Some(i) {
            parts.push(Box::new(Dome {
                centre: bead,
                radius: 0.245,
                height: 0.13,
                join: Join::Add,
            }));
        }
    }

    parts.push(Box::new(wave(false, 0.27, 0.27)));
    let middle = die.pick("lower-wave", &[("thin", WAVE_THIN_MM), ("heavy", WAVE_HEAVY_MM)]);
    parts.push(Box::new(wave(true, WAVE_THIN_MM, middle)));

    parts.push(Box::new(Punch {
        outline: compass_star(COMPASS, 0.85),
        without: None,
        bevel: Bevel::plain(0.19, 0.30),
    }));
    if die.pick("crack", &[("none", false), ("cracked", true)]) {
        parts.push(Box::new(crack()));
    }
    Scene::new(parts)
}

/// A four-pointed star whose sides curve in.
fn compass_star(centre: P, radius: f32) -> Outline {
    let contour = (0..48)
        .map(|i| {
            let turn = TAU * i as f32 / 48.0;
            // An astroid, drawn a little fuller.
            let (s, c) = turn.sin_cos();
            let power = |v: f32| v.signum() * v.abs().powf(2.6);
            [centre[0] + radius * power(c), centre[1] + radius * power(s)]
        })
        .collect();
    Outline {
        contours: vec![contour],
    }
}

/// A die crack from the rim past the O of OF into the field: metal pressed into it stands up as a thin line.
fn crack() -> Line {
    let (from, to) = crack_ends();
    let stroke = Stroke::along(60, |t| {
        let wander = 0.10 * value_noise(6.0 * t, 0.5, 77) + 0.03 * value_noise(25.0 * t, 0.5, 78);
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let length = dx.hypot(dy);
        let p = [
            from[0] + t * dx - wander * dy / length,
            from[1] + t * dy + wander * dx / length,
        ];
        (p, 0.05 * (1.0 - 0.7 * t))
    });
    Line {
        stroke,
        bevel: Bevel::plain(0.08, 0.09),
        join: Join::Add,
    }
}

/// Where the crack begins and ends.
pub(super) fn crack_ends() -> (P, P) {
    let drawing = Obverse::drawing();
    let clock = clock_of(drawing.letter(O_OF_OF).foot) - 5.6;
    (on_clock(FLAN_MM - 0.75, clock + 1.0), on_clock(8.9, clock - 2.0))
}

pub(super) fn punch(letter: &SetLetter, bevel: Bevel) -> Box<dyn Part> {
    Box::new(Punch {
        outline: letter.outline.clone(),
        without: None,
        bevel,
    })
}

/// What the states of the first stop measure: state, what, value and tolerance in mm.
pub(super) fn first_stop_measures() -> [(&'static str, &'static str, f64, f64); 3] {
    let drawing = Obverse::drawing();
    let foot = drawing.letter(R_OF_HARBOUR).corner(1.0, -0.6);
    let what = "middle of the stop from the tip of the R's tail";
    let distance = |shift| {
        let stop = drawing.first_stop(shift);
        let mm = f64::from((stop[0] - foot[0]).hypot(stop[1] - foot[1]));
        (mm * 100.0).round() / 100.0
    };
    [
        ("near-r", -STOP_SHIFT_MM),
        ("central", 0.0),
        ("near-t", STOP_SHIFT_MM),
    ]
    .map(|(s, d)| (s, what, distance(d), 0.07))
}

fn stop(centre: P) -> Box<dyn Part> {
    Box::new(Dome {
        centre,
        radius: STOP_MM,
        height: 0.17,
        join: Join::Raise,
    })
}

/// The clock angle of a place in degrees.
pub(super) fn clock_of(p: P) -> f32 {
    p[0].atan2(-p[1]).to_degrees()
}
