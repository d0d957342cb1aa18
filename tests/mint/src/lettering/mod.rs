//! Lettering: outlines of an inscriptional face set on a circle or a line, evenly spaced by eye.
//!
//! The face is Cinzel Bold, cut down to capitals and numerals (SIL Open Font License 1.1, `CINZEL-OFL.txt`).

use ttf_parser::{Face, OutlineBuilder};

use super::shapes::{Outline, P, on_clock};

const FACE: &[u8] = include_bytes!("cinzel-capitals.ttf");

/// The height of the face's capitals in its own units.
const CAP_UNITS: f32 = 700.0;
/// The number of heights at which the room between two letters is measured.
const ROOM_LEVELS: usize = 24;
/// Room beyond this share of the cap height does not count, so that L or T do not pull their neighbours in too far.
const ROOM_CAP: f32 = 0.34;
/// The greatest distance between an outline and the chords that stand for it, in cap heights.
const FLATNESS: f32 = 0.0015;

/// One letter with its origin at the left end of its ink on the baseline, y down, cap height 1.
#[derive(Debug, Clone)]
pub(super) struct Letter {
    pub outline: Outline,
    pub width: f32,
    left: [f32; ROOM_LEVELS],
    right: [f32; ROOM_LEVELS],
}

/// A letter where it stands on the coin.
#[derive(Debug, Clone)]
pub(super) struct SetLetter {
    pub outline: Outline,
    /// The middle of its foot.
    pub foot: P,
    /// The unit vectors along the baseline and towards its head.
    pub along: P,
    pub up: P,
    pub cap_mm: f32,
    pub width_mm: f32,
}

impl SetLetter {
    /// The place at shares of the letter's width (from its middle) and of the cap height (from the foot).
    pub fn place(&self, across: f32, height: f32) -> P {
        let (a, h) = (across * self.width_mm, height * self.cap_mm);
        [
            self.foot[0] + a * self.along[0] + h * self.up[0],
            self.foot[1] + a * self.along[1] + h * self.up[1],
        ]
    }

    /// The corner of the outline that lies furthest in a direction given in the letter's own frame.
    pub fn corner(&self, across: f32, height: f32) -> P {
        let direction = [
            across * self.along[0] + height * self.up[0],
            across * self.along[1] + height * self.up[1],
        ];
        let reach = |p: &P| p[0] * direction[0] + p[1] * direction[1];
        self.outline
            .points()
            .max_by(|a, b| reach(a).total_cmp(&reach(b)))
            .unwrap_or(self.foot)
    }

    /// The same letter moved in its own frame, in mm.
    pub fn shifted(&self, along_mm: f32, up_mm: f32) -> Self {
        let dx = along_mm * self.along[0] + up_mm * self.up[0];
        let dy = along_mm * self.along[1] + up_mm * self.up[1];
        let mut moved = self.clone();
        moved.outline = self.outline.mapped(|p| [p[0] + dx, p[1] + dy]);
        moved.foot = [self.foot[0] + dx, self.foot[1] + dy];
        moved
    }
}

/// What stands in a line of lettering.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Slot {
    Letter(char),
    Stop,
    Gap,
}

/// How a legend is spaced, in cap heights.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spacing {
    pub letter: f32,
    pub word: f32,
}

/// A legend as set: its letters, and the places of its stops with the free arc to either side of them.
#[derive(Debug, Clone)]
pub(super) struct Legend {
    pub letters: Vec<SetLetter>,
    /// The clock angles of the middles of the stops' gaps, in degrees.
    pub stops_deg: Vec<f32>,
}

/// Sets a legend on a circle, heads outwards, its middle at `middle_deg` on the clock. A `\u{b7}` in the text is a
/// stop.
pub(super) fn on_circle(
    text: &str,
    baseline_mm: f32,
    cap_mm: f32,
    middle_deg: f32,
    spacing: Spacing,
) -> Legend {
    let slots: Vec<Slot> = text
        .chars()
        .map(|c| match c {
            '\u{b7}' => Slot::Stop,
            ' ' => Slot::Gap,
            c => Slot::Letter(c),
        })
        .collect();
    let mut placed: Vec<(Slot, f32, Option<Letter>)> = Vec::new();
    let mut pen = 0.0;
    let mut before: Option<Letter> = None;
    for slot in slots {
        match slot {
            Slot::Letter(c) => {
                let Some(letter) = letter(c) else { continue };
                if let Some(previous) = &before {
                    pen += room_between(previous, &letter, spacing.letter);
                }
                placed.push((slot, pen, Some(letter.clone())));
                pen += letter.width;
                before = Some(letter);
            }
            Slot::Stop | Slot::Gap => {
                placed.push((slot, pen + spacing.word / 2.0, None));
                pen += spacing.word;
                before = None;
            }
        }
    }
    let total = pen;
    // Letters stand upright on the circle, so their spacing is right at half their height.
    let reading_radius = baseline_mm + 0.5 * cap_mm;
    let angle = |at: f32| middle_deg + ((at - total / 2.0) * cap_mm / reading_radius).to_degrees();
    let mut legend = Legend {
        letters: Vec::new(),
        stops_deg: Vec::new(),
    };
    for (slot, at, found) in placed {
        match (slot, found) {
            (Slot::Letter(_), Some(letter)) => {
                let clock = angle(at + letter.width / 2.0);
                let up = on_clock(1.0, clock);
                legend
                    .letters
                    .push(set(&letter, on_clock(baseline_mm, clock), up, cap_mm));
            }
            (Slot::Stop, _) => legend.stops_deg.push(angle(at)),
            _ => {}
        }
    }
    legend
}

/// Sets a word on a straight baseline, its middle at `foot`.
pub(super) fn on_line(text: &str, foot: P, cap_mm: f32, letter_room: f32) -> Vec<SetLetter> {
    let letters: Vec<Letter> = text.chars().filter_map(letter).collect();
    let mut at = Vec::new();
    let mut pen = 0.0;
    for (i, letter) in letters.iter().enumerate() {
        if i > 0 {
            pen += room_between(&letters[i - 1], letter, letter_room);
        }
        at.push(pen + letter.width / 2.0);
        pen += letter.width;
    }
    letters
        .iter()
        .zip(at)
        .map(|(letter, middle)| {
            let place = [foot[0] + (middle - pen / 2.0) * cap_mm, foot[1]];
            set(letter, place, [0.0, -1.0], cap_mm)
        })
        .collect()
}

fn set(letter: &Letter, foot: P, up: P, cap_mm: f32) -> SetLetter {
    let along = [-up[1], up[0]];
    let outline = letter.outline.mapped(|p| {
        let (a, h) = ((p[0] - letter.width / 2.0) * cap_mm, -p[1] * cap_mm);
        [
            foot[0] + a * along[0] + h * up[0],
            foot[1] + a * along[1] + h * up[1],
        ]
    });
    SetLetter {
        outline,
        foot,
        along,
        up,
        cap_mm,
        width_mm: letter.width * cap_mm,
    }
}

/// The pen's step between two letters that makes the mean free room between their outlines `wanted` cap heights.
fn room_between(a: &Letter, b: &Letter, wanted: f32) -> f32 {
    let room = |step: f32| {
        let sum: f32 = (0..ROOM_LEVELS)
            .map(|k| (a.right[k] + step + b.left[k]).clamp(0.0, ROOM_CAP))
            .sum();
        sum / ROOM_LEVELS as f32
    };
    let (mut low, mut high) = (-0.4, 1.0);
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        if room(middle) < wanted {
            low = middle
        } else {
            high = middle
        }
    }
    // Never closer than a third of the wanted room at any one height.
    let closest = (0..ROOM_LEVELS)
        .map(|k| a.right[k] + b.left[k])
        .fold(f32::INFINITY, f32::min);
    high.max(wanted / 3.0 - closest)
}

/// One letter of the face; `None` for a character that the face was cut down without.
pub(super) fn letter(character: char) -> Option<Letter> {
    let face = Face::parse(FACE, 0).ok()?;
    let mut pen = Pen::default();
    face.outline_glyph(face.glyph_index(character)?, &mut pen)?;
    let (lo, hi) = pen
        .outline
        .points()
        .fold((f32::MAX, f32::MIN), |(l, h), p| (l.min(p[0]), h.max(p[0])));
    let outline = pen.outline.mapped(|p| [p[0] - lo, p[1]]);
    let width = hi - lo;
    let (mut left, mut right) = ([ROOM_CAP; ROOM_LEVELS], [ROOM_CAP; ROOM_LEVELS]);
    for k in 0..ROOM_LEVELS {
        let (from, to) = (
            -(k as f32 + 1.0) / ROOM_LEVELS as f32,
            -(k as f32) / ROOM_LEVELS as f32,
        );
        let (mut least, mut most) = (f32::MAX, f32::MIN);
        for contour in &outline.contours {
            for (i, a) in contour.iter().enumerate() {
                let b = contour[(i + 1) % contour.len()];
                if a[1].max(b[1]) >= from && a[1].min(b[1]) <= to {
                    least = least.min(a[0].min(b[0]));
                    most = most.max(a[0].max(b[0]));
                }
            }
        }
        if most > least {
            left[k] = least;
            right[k] = width - most;
        }
    }
    Some(Letter {
        outline,
        width,
        left,
        right,
    })
}

/// Gathers an outline from the font in cap heights, y down, with curves cut into chords.
#[derive(Default)]
struct Pen {
    outline: Outline,
    at: P,
}

impl Pen {
    fn point(x: f32, y: f32) -> P {
        [x / CAP_UNITS, -y / CAP_UNITS]
    }

    fn push(&mut self, p: P) {
        if let Some(contour) = self.outline.contours.last_mut() {
            contour.push(p);
        }
        self.at = p;
    }
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.outline.contours.push(Vec::new());
        self.push(Self::point(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.push(Self::point(x, y));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let (a, c, b) = (self.at, Self::point(x1, y1), Self::point(x, y));
        // A quadratic's distance from its chord is a quarter of the control point's distance from the chord's
        // middle; n equal pieces divide it by n^2.
        let bow = 0.25 * ((2.0 * c[0] - a[0] - b[0]).hypot(2.0 * c[1] - a[1] - b[1]));
        let pieces = (bow / FLATNESS).sqrt().ceil().clamp(1.0, 12.0) as usize;
        for i in 1..=pieces {
            let t = i as f32 / pieces as f32;
            let (s0, s1, s2) = ((1.0 - t) * (1.0 - t), 2.0 * t * (1.0 - t), t * t);
            self.push([
                s0 * a[0] + s1 * c[0] + s2 * b[0],
                s0 * a[1] + s1 * c[1] + s2 * b[1],
            ]);
        }
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let (a, c, d, b) = (
            self.at,
            Self::point(x1, y1),
            Self::point(x2, y2),
            Self::point(x, y),
        );
        for i in 1..=10 {
            let t = i as f32 / 10.0;
            let u = 1.0 - t;
            let (s0, s1, s2, s3) = (u * u * u, 3.0 * t * u * u, 3.0 * t * t * u, t * t * t);
            let axis = |k: usize| s0 * a[k] + s1 * c[k] + s2 * d[k] + s3 * b[k];
            self.push([axis(0), axis(1)]);
        }
    }

    fn close(&mut self) {}
}
