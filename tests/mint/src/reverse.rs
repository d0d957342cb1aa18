//! The reverse: a storm lantern between two fern fronds, the denomination above, the date in the exergue.

use super::border::{Border, Crowding};
use super::die::DieDesign;
use super::fern::{LACKING_LEAF, LEAF_PAIRS, frond, leaf, top_leaf};
use super::lantern::lantern;
use super::lettering::{SetLetter, Spacing, on_circle, on_line};
use super::obverse::{LETTER_BEVEL, clock_of, punch};
use super::parts::{Bevel, Join, Line, Part, Punch, Scene};
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
