//! The reverse: a storm lantern between two fern fronds, the denomination above, the date in the exergue.

use super::border::{Border, Crowding};
use super::die::DieDesign;
use super::lettering::{SetLetter, Spacing, on_circle, on_line};
use super::obverse::{LETTER_BEVEL, clock_of, punch};
use super::parts::{Bevel, Dome, Group, Join, Leaf, Line, Part, Punch, Scene, Turned};
use super::shapes::{Outline, P, Stroke, on_clock};

const CAP_MM: f32 = 1.95;
const BASELINE_MM: f32 = 10.05;
const SPACING: Spacing = Spacing {
    letter: 0.31,
    word: 0.9,
};
/// The exergue line's height on the side, its half width and its usual reach to either side, in mm.
pub(super) const EXERGUE_Y: f32 = 6.55;
pub(super) const EXERGUE_REACH: f32 = 9.55;
/// How much further it runs to the left where it touches the teeth, in mm.
const EXERGUE_TOUCH: f32 = 1.2;
/// The date's baseline and height, in mm.
const DATE_Y: f32 = 9.35;
const DATE_CAP: f32 = 2.0;
/// Where the mint mark stands.
pub(super) const MINT_MARK: P = [0.0, 10.95];

/// The middle of the bail ring.
pub(super) const RING: P = [0.0, -7.75];
/// The roof's lower corners and the collar's rivets, in mm.
pub(super) const ROOF_REACH: f32 = 3.45;
pub(super) const ROOF_Y: f32 = -3.85;
pub(super) const RIVET_Y: f32 = 3.48;
/// The lower corners of the lantern's foot, in mm.
pub(super) const FOOT_REACH: f32 = 3.7;
pub(super) const FOOT_Y: f32 = 6.3;

/// The reverse's vector drawing.
pub(super) struct Reverse {
    pub five: Vec<SetLetter>,
    pub varn: Vec<SetLetter>,
}

impl Reverse {
    pub fn drawing() -> Self {
        let set = |text, middle| on_circle(text, BASELINE_MM, CAP_MM, middle, SPACING).letters;
        Self {
            five: set("FIVE", -43.0),
            varn: set("VARN", 43.0),
        }
    }

    pub fn date(text: &str) -> Vec<SetLetter> {
        on_line(text, [0.0, DATE_Y], DATE_CAP, 0.26)
    }
}

/// The spine of a frond: left is -1, right is 1; `t` runs from its foot to its tip.
pub(super) fn frond(side: f32, t: f32) -> P {
    let clock = 152.0 - 118.0 * t;
    let radius = 7.25 + 0.85 * (std::f32::consts::PI * t).sin() - 1.1 * (1.0 - t).powi(3);
    let p = on_clock(radius, clock);
    [side * p[0], p[1] - 0.35]
}

/// Pairs of leaves on a frond.
pub(super) const LEAF_PAIRS: usize = 21;
/// The pair of which the left frond's outer leaf may be lacking.
pub(super) const LACKING_LEAF: usize = 11;

/// The leaf of a pair on a frond; `outer` is the one away from the lantern.
pub(super) fn leaf(side: f32, pair: usize, outer: bool) -> Leaf {
    let t = 0.07 + 0.86 * pair as f32 / (LEAF_PAIRS - 1) as f32;
    let (a, b) = (frond(side, t - 0.01), frond(side, t + 0.01));
    let heading = (b[1] - a[1]).atan2(b[0] - a[0]).to_degrees();
    let away = if outer { side } else { -side };
    // Long in the lower half, short at the tip.
    let length = 2.05 * (1.0 - t).powf(0.75) * (0.70 + 0.30 * (t / 0.2).min(1.0)) + 0.36;
    let length = if outer { length } else { 0.90 * length };
    Leaf {
        base: frond(side, t),
        direction_deg: heading + away * (64.0 - 14.0 * t),
        length,
        half_width: 0.115 * length.powf(0.6) + 0.06,
        bend: -away * 0.20 * length,
        height: 0.20,
    }
}

/// The leaf that ends a frond.
fn top_leaf(side: f32) -> Leaf {
    let (a, b) = (frond(side, 0.93), frond(side, 0.97));
    let direction_deg = (b[1] - a[1]).atan2(b[0] - a[0]).to_degrees();
    Leaf {
        base: frond(side, 0.94),
        direction_deg,
        length: 0.95,
        half_width: 0.16,
        bend: 0.0,
        height: 0.16,
    }
}

/// The tip of a frond.
pub(super) fn frond_tip(side: f32) -> P {
    top_leaf(side).tip()
}

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

fn lantern(die: &DieDesign, parts: &mut Vec<Box<dyn Part>>) {
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

/// The reverse of one die.
pub(super) fn scene(die: &DieDesign) -> Scene {
    let drawing = Reverse::drawing();
    let mut parts: Vec<Box<dyn Part>> = Vec::new();

    let teeth = die.pick("teeth-at-f", &[("four", 4), ("five", 5)]);
    let f_clock = clock_of(drawing.five[0].foot);
    parts.push(Box::new(Border::new(Some(Crowding {
        middle_deg: f_clock,
        room: 4,
        teeth,
    }))));

    let bevel = Bevel {
        height: 0.20,
        ..LETTER_BEVEL
    };
    for letter in &drawing.five {
        parts.push(punch(letter, bevel));
    }
    let unbarred = die.pick("a-of-varn", &[("barred", false), ("unbarred", true)]);
    for (i, letter) in drawing.varn.iter().enumerate() {
        if i == 1 && unbarred {
            parts.push(Box::new(Punch {
                outline: letter.outline.clone(),
                without: Some(bar_of(letter)),
                bevel,
            }));
        } else {
            parts.push(punch(letter, bevel));
        }
    }

    // The fronds: stems first, leaves on them.
    let lacking = die.pick("leaf", &[("present", false), ("lacking", true)]);
    for side in [-1.0, 1.0] {
        let stem = Stroke::along(50, |t| (frond(side, t), 0.12 * (1.0 - t) + 0.035));
        parts.push(Box::new(Line {
            stroke: stem,
            bevel: Bevel::plain(0.15, 0.14),
            join: Join::Raise,
        }));
        for pair in 0..LEAF_PAIRS {
            for outer in [true, false] {
                if !(lacking && side < 0.0 && outer && pair == LACKING_LEAF) {
                    parts.push(Box::new(leaf(side, pair, outer)));
                }
            }
        }
        parts.push(Box::new(top_leaf(side)));
    }

    lantern(die, &mut parts);

    let left = -EXERGUE_REACH - die.pick("exergue-line", &[("short", 0.0), ("touching", EXERGUE_TOUCH)]);
    let line = Stroke {
        spine: vec![([left, EXERGUE_Y], 0.10), ([EXERGUE_REACH, EXERGUE_Y], 0.10)],
    };
    parts.push(Box::new(Line {
        stroke: line,
        bevel: Bevel::plain(0.15, 0.15),
        join: Join::Raise,
    }));

    let numerals = Reverse::date(&die.date);
    if let Some(last) = numerals.last()
        && die.pick("last-numeral", &[("clean", false), ("recut", true)])
    {
        let ghost = last.shifted(0.22, 0.16);
        parts.push(punch(&ghost, Bevel::plain(0.12, 0.16)));
    }
    for numeral in &numerals {
        parts.push(punch(
            numeral,
            Bevel {
                height: 0.20,
                width: 0.23,
                swell: 0.045,
            },
        ));
    }
    match die.mint_mark.as_str() {
        "star" => parts.push(Box::new(Punch {
            outline: star(MINT_MARK, 0.62),
            without: None,
            bevel: Bevel::plain(0.15, 0.16),
        })),
        "K" => {
            for letter in on_line("K", [MINT_MARK[0], MINT_MARK[1] + 0.5], 1.0, 0.2) {
                parts.push(punch(&letter, Bevel::plain(0.15, 0.13)));
            }
        }
        _ => {}
    }
    Scene::new(parts)
}

/// A five-pointed star.
fn star(centre: P, radius: f32) -> Outline {
    let contour = (0..10)
        .map(|i| {
            let r = if i % 2 == 0 { radius } else { 0.42 * radius };
            let p = on_clock(r, 36.0 * i as f32);
            [centre[0] + p[0], centre[1] + p[1]]
        })
        .collect();
    Outline {
        contours: vec![contour],
    }
}

/// The bar of a letter A: the counter's sides carried on downwards past it.
fn bar_of(letter: &SetLetter) -> Outline {
    let height = |p: &P| (p[0] - letter.foot[0]) * letter.up[0] + (p[1] - letter.foot[1]) * letter.up[1];
    let across =
        |p: &P| (p[0] - letter.foot[0]) * letter.along[0] + (p[1] - letter.foot[1]) * letter.along[1];
    let Some(counter) = letter
        .outline
        .contours
        .iter()
        .min_by(|a, b| extent(a).total_cmp(&extent(b)))
    else {
        return Outline::default();
    };
    let apex = counter
        .iter()
        .copied()
        .max_by(|a, b| height(a).total_cmp(&height(b)))
        .unwrap_or(letter.foot);
    let left = counter
        .iter()
        .copied()
        .min_by(|a, b| across(a).total_cmp(&across(b)))
        .unwrap_or(letter.foot);
    let right = counter
        .iter()
        .copied()
        .max_by(|a, b| across(a).total_cmp(&across(b)))
        .unwrap_or(letter.foot);
    // Far enough down to clear the bar, not so far that the feet's serifs are touched.
    let beyond = |p: P, by: f32| [p[0] + by * (p[0] - apex[0]), p[1] + by * (p[1] - apex[1])];
    let contour = vec![
        beyond(left, -0.3),
        beyond(left, 0.36),
        beyond(right, 0.36),
        beyond(right, -0.3),
    ];
    Outline {
        contours: vec![contour],
    }
}

fn extent(contour: &[P]) -> f32 {
    let (lo, hi) = contour
        .iter()
        .fold((f32::MAX, f32::MIN), |(lo, hi), p| (lo.min(p[1]), hi.max(p[1])));
    hi - lo
}
