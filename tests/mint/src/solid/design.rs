//! A side by its seed: legends, a device, a border or none, a field flat or hollow, and the dies that bear it.

use dietell::reference::{Landmark, LandmarkName, Zone, ZoneId};
use rand::seq::SliceRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::devices::device;
use super::pieces::{Form, Piece};
use crate::landmarks::rounded;
use crate::lettering::{Legend, Spacing, letter, on_circle, on_line};
use crate::noise::smoothstep;
use crate::parts::{Bevel, Join, Part, Scene};
use crate::shapes::{P, Stroke, on_clock};

/// The drawing of one side, common to its dies but for small things that differ.
#[derive(Debug, Clone)]
pub struct Design {
    /// The seed that it follows from.
    pub seed: u64,
    /// The radius of the rim's outer edge on the die, in mm.
    pub radius_mm: f32,
    /// How far the field's middle lies below its edge, in mm; below zero it bulges.
    pub dish_mm: f32,
    /// The height of the device over the field, in mm.
    pub relief_mm: f32,
    rim: Rim,
    pieces: Vec<Piece>,
    /// Points of the design common to all its dies, with their positions in side mm; well spread.
    pub landmarks: Vec<Landmark>,
    /// Spots where its dies may differ.
    pub zones: Vec<Zone>,
}

/// The raised edge.
#[derive(Debug, Clone, Copy)]
struct Rim {
    width_mm: f32,
    height_mm: f32,
}

impl Design {
    /// The design of a seed.
    #[must_use]
    pub fn by_seed(seed: u64) -> Self {
        let mut r = ChaCha8Rng::seed_from_u64(seed ^ 0x6465_7369_676e);
        let radius_mm: f32 = r.random_range(10.5..13.6);
        let relief_mm = r.random_range(0.10..0.35);
        let rim = Rim {
            width_mm: r.random_range(0.35..1.3),
            height_mm: if r.random_bool(0.2) {
                0.0
            } else {
                relief_mm * r.random_range(0.7..1.5)
            },
        };
        let mut edge = radius_mm - rim.width_mm - 0.15;
        let mut pieces = border(&mut edge, relief_mm, &mut r);
        if r.random_bool(0.88) {
            pieces.extend(legend(&mut edge, relief_mm, &mut r));
        }
        let exergue = r.random_bool(0.3);
        let room = if exergue { 0.78 * edge } else { edge };
        let mut middle = device(room, relief_mm, &mut r);
        if exergue {
            middle = middle
                .into_iter()
                .map(|piece| lifted(piece, 0.2 * edge))
                .collect();
            pieces.extend(date(edge, relief_mm, &mut r));
        }
        pieces.extend(middle);
        let dish_mm = if r.random_bool(0.4) {
            0.0
        } else {
            r.random_range(-0.06..0.16)
        };
        let landmarks = landmarks(&mut pieces, &mut r);
        let zones = zones(&pieces, &mut r);
        Self {
            seed,
            radius_mm,
            dish_mm,
            relief_mm,
            rim,
            pieces,
            landmarks,
            zones,
        }
    }

    /// The height of the bare field at a place, in mm over the field's edge.
    #[must_use]
    pub fn field_mm(&self, p: P) -> f32 {
        let t = (p[0].hypot(p[1]) / (self.radius_mm - self.rim.width_mm)).min(1.0);
        -self.dish_mm * (1.0 - t * t)
    }

    /// The height of the rim at a place, in mm over the field's edge.
    pub(super) fn rim_mm(&self, p: P) -> f32 {
        let inner = self.radius_mm - self.rim.width_mm;
        self.rim.height_mm * smoothstep(inner - 0.06, inner + 0.22, p[0].hypot(p[1]))
    }

    /// The highest point of the side over the field's edge, in mm.
    pub(super) fn highest_mm(&self) -> f32 {
        (1.3 * self.relief_mm).max(self.rim.height_mm)
    }

    /// The relief of one of its dies: what is no landmark stands a little elsewhere on each.
    pub(super) fn scene(&self, die: u64) -> Scene {
        let mut r = ChaCha8Rng::seed_from_u64(self.seed.wrapping_mul(31).wrapping_add(die) ^ 0x64_6965);
        let parts = self.pieces.iter().map(|piece| {
            let moves = r.random_bool(0.5);
            let shift = [r.random_range(-0.16..0.16), r.random_range(-0.16..0.16)];
            piece.part(if piece.fixed || !moves { [0.0, 0.0] } else { shift })
        });
        Scene::new(parts.collect::<Vec<Box<dyn Part>>>())
    }
}

fn lifted(mut piece: Piece, by: f32) -> Piece {
    let up = |p: P| [p[0], p[1] - by];
    piece.middle = up(piece.middle);
    piece.points.iter_mut().for_each(|(_, p)| *p = up(*p));
    match &mut piece.form {
        Form::Letter(letter, _) => letter.outline = letter.outline.mapped(up),
        Form::Shape(outline, _) => *outline = outline.mapped(up),
        Form::Line(stroke, _) => stroke.spine.iter_mut().for_each(|(p, _)| *p = up(*p)),
        Form::Mound(mound) => mound.centre = up(mound.centre),
        Form::Leaf(leaf) => leaf.base = up(leaf.base),
        Form::Dome { .. } => {}
    }
    piece
}

/// Beads, teeth, a line or nothing inside the rim; moves the free edge inwards by what it takes.
fn border(edge: &mut f32, relief_mm: f32, r: &mut ChaCha8Rng) -> Vec<Piece> {
    let height = relief_mm * r.random_range(0.5..1.0);
    match r.random_range(0..4) {
        0 => Vec::new(),
        1 => {
            let radius = *edge - 0.12;
            *edge -= 0.45;
            let ring = Stroke::along(160, |t| (on_clock(radius, 360.0 * t), 0.06));
            let form = Form::Line(ring, Bevel::plain(height, 0.12));
            vec![Piece::new(form, [0.0, 0.0], radius).fixed()]
        }
        2 => {
            let bead = r.random_range(0.16..0.36);
            let at = *edge - bead;
            *edge -= 2.0 * bead + 0.25;
            let count = (std::f32::consts::TAU * at / (bead * r.random_range(2.2..3.0))) as usize;
            let beads = (0..count).map(|i| {
                let p = on_clock(at, 360.0 * i as f32 / count as f32);
                let form = Form::Dome {
                    radius: bead,
                    height,
                    join: Join::Raise,
                };
                Piece::new(form, p, bead)
            });
            beads.collect()
        }
        _ => {
            let length = r.random_range(0.4..0.9);
            let (outer, inner) = (*edge + 0.1, *edge - length);
            *edge -= length + 0.3;
            let count = (std::f32::consts::TAU * outer / r.random_range(0.5..0.9)) as usize;
            let teeth = (0..count).map(|i| {
                let clock = 360.0 * i as f32 / count as f32;
                let (a, b) = (on_clock(outer, clock), on_clock(inner, clock));
                let stroke = Stroke {
                    spine: vec![(a, 0.13), (b, 0.10)],
                };
                Piece::new(Form::Line(stroke, Bevel::plain(height, 0.16)), b, 0.5 * length)
            });
            teeth.collect()
        }
    }
}

/// A made-up word of so many letters.
fn word(length: usize, r: &mut ChaCha8Rng) -> String {
    const HARD: &[u8] = b"BCDFGHKLMNPRSTVW";
    const SOFT: &[u8] = b"AEIOUY";
    let start = usize::from(r.random_bool(0.3));
    (0..length)
        .map(|i| {
            let set = if (i + start).is_multiple_of(2) { HARD } else { SOFT };
            char::from(set[r.random_range(0..set.len())])
        })
        .filter(|c| letter(*c).is_some())
        .collect()
}

/// One to four words round the side with stops between them.
fn legend(edge: &mut f32, relief_mm: f32, r: &mut ChaCha8Rng) -> Vec<Piece> {
    let cap = r.random_range(1.2..2.1_f32);
    let baseline = *edge - cap - 0.1;
    let spacing = Spacing {
        letter: r.random_range(0.26..0.5),
        word: r.random_range(0.8..1.3),
    };
    let middle = if r.random_bool(0.7) {
        0.0
    } else {
        r.random_range(-40.0..40.0)
    };
    let mut words = vec![word(r.random_range(3..9), r)];
    let mut set = on_circle(&words[0], baseline, cap, middle, spacing);
    for _ in 0..r.random_range(0..4) {
        words.push(word(r.random_range(3..9), r));
        let longer = on_circle(&words.join("\u{b7}"), baseline, cap, middle, spacing);
        if length(&longer) > 0.9 * std::f32::consts::TAU * baseline {
            words.pop();
            break;
        }
        set = longer;
    }
    *edge = baseline - 0.35;
    let bevel = Bevel {
        height: relief_mm * r.random_range(0.55..0.95),
        width: r.random_range(0.16..0.28),
        swell: r.random_range(0.0..0.05),
    };
    let signs: Vec<char> = words.concat().chars().collect();
    let letters = set.letters.into_iter().zip(signs);
    let mut pieces: Vec<Piece> = letters
        .enumerate()
        .map(|(i, (letter, c))| {
            let first = letter.corner(-1.0, -0.6);
            let last = letter.corner(1.0, 0.7);
            let middle = letter.place(0.0, 0.5);
            Piece::new(Form::Letter(letter, bevel), middle, 0.55 * cap)
                .with_point(format!("{c}, letter {}, first foot", i + 1), first)
                .with_point(format!("{c}, letter {}, last head", i + 1), last)
        })
        .collect();
    for (i, clock) in set.stops_deg.iter().enumerate() {
        let p = on_clock(baseline + 0.5 * cap, *clock);
        let form = Form::Dome {
            radius: 0.15 * cap + 0.05,
            height: bevel.height,
            join: Join::Raise,
        };
        pieces.push(Piece::new(form, p, 0.5).with_point(format!("stop {}", i + 1), p));
    }
    pieces
}

/// How far a legend reaches along its circle, in mm, from the first letter's foot to the last's.
fn length(legend: &Legend) -> f32 {
    let feet = legend.letters.windows(2);
    feet.map(|pair| (pair[1].foot[0] - pair[0].foot[0]).hypot(pair[1].foot[1] - pair[0].foot[1]))
        .sum()
}

/// A line with a year or a word under it.
fn date(edge: f32, relief_mm: f32, r: &mut ChaCha8Rng) -> Vec<Piece> {
    let (y, half) = (0.58 * edge, 0.75 * edge);
    let bevel = Bevel::plain(0.7 * relief_mm, 0.16);
    let stroke = Stroke {
        spine: vec![([-half, y], 0.08), ([half, y], 0.08)],
    };
    let mut pieces = vec![
        Piece::new(Form::Line(stroke, bevel), [0.0, y], half)
            .with_point("left end of the exergue line".into(), [-half, y])
            .with_point("right end of the exergue line".into(), [half, y])
            .fixed(),
    ];
    let text = if r.random_bool(0.6) {
        r.random_range(100..1000).to_string()
    } else {
        word(3, r)
    };
    let cap = 0.24 * edge;
    for (i, letter) in on_line(&text, [0.0, y + 0.3 + cap], cap, 0.26)
        .into_iter()
        .enumerate()
    {
        let (foot, middle) = (letter.corner(-1.0, -0.6), letter.place(0.0, 0.5));
        let piece = Piece::new(Form::Letter(letter, bevel), middle, 0.55 * cap);
        pieces.push(piece.with_point(format!("sign {} under the line, foot", i + 1), foot));
    }
    pieces
}

/// The most landmarks of a side, and the least distance between two of them in mm.
const MOST_LANDMARKS: usize = 14;
const APART_MM: f32 = 2.0;

/// Chooses landmarks well spread over the side; the pieces that bear them stand alike on all dies.
fn landmarks(pieces: &mut [Piece], r: &mut ChaCha8Rng) -> Vec<Landmark> {
    let mut open: Vec<(usize, String, P)> = Vec::new();
    for (i, piece) in pieces.iter().enumerate() {
        open.extend(piece.points.iter().map(|(name, p)| (i, name.clone(), *p)));
    }
    open.shuffle(r);
    let mut chosen: Vec<(usize, String, P)> = Vec::new();
    while chosen.len() < MOST_LANDMARKS {
        let nearest = |p: &P| {
            let distance = |c: &(usize, String, P)| (c.2[0] - p[0]).hypot(c.2[1] - p[1]);
            chosen.iter().map(distance).fold(99.0, f32::min)
        };
        // The furthest from those chosen, of a few at random: spread, but as a person would do it.
        let Some((at, far)) = (0..open.len().min(12))
            .map(|k| (k, nearest(&open[k].2)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
        else {
            break;
        };
        let candidate = open.swap_remove(at);
        if far >= APART_MM && !chosen.iter().any(|c| c.1 == candidate.1) {
            pieces[candidate.0].fixed = true;
            chosen.push(candidate);
        }
    }
    let landmark = |(_, name, p): (usize, String, P)| Landmark {
        name: LandmarkName::from(name.as_str()),
        place_mm: rounded(p),
        hint: String::new(),
        height: None,
    };
    chosen.into_iter().map(landmark).collect()
}

/// Chooses spots where the dies may differ.
fn zones(pieces: &[Piece], r: &mut ChaCha8Rng) -> Vec<Zone> {
    const MOST: usize = 8;
    let mut open: Vec<&Piece> = pieces.iter().filter(|p| !p.fixed && p.reach < 3.0).collect();
    open.shuffle(r);
    // Where little may differ, spots that all dies share are looked at as well.
    open.extend(pieces.iter().filter(|p| p.fixed && p.reach < 3.0));
    let mut chosen: Vec<&Piece> = Vec::new();
    // On a bare design closer together.
    for apart_mm in [3.0, 1.5] {
        for piece in &open {
            let off = |c: &&Piece| (c.middle[0] - piece.middle[0]).hypot(c.middle[1] - piece.middle[1]);
            if chosen.len() < MOST && chosen.iter().all(|c| off(c) > apart_mm) {
                chosen.push(piece);
            }
        }
    }
    let zone = |(i, piece): (usize, &Piece)| Zone {
        id: ZoneId::from(format!("zone-{}", i + 1).as_str()),
        title: format!("Spot {}", i + 1),
        centre_mm: rounded(piece.middle),
        size_mm: (
            f64::from(2.4 * piece.reach.max(0.6)),
            f64::from(2.4 * piece.reach.max(0.6)),
        ),
        telling_detail_mm: 0.2,
        height: None,
    };
    chosen.into_iter().enumerate().map(zone).collect()
}
