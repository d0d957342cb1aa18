//! What stands in the middle of a seeded design.

use std::f32::consts::TAU;

use rand::Rng;
use rand_chacha::ChaCha8Rng;

use super::pieces::{Form, Mound, Piece};
use crate::lettering::on_line;
use crate::parts::{Bevel, Join, Leaf};
use crate::shapes::{Outline, P, Stroke, on_clock};

/// A device within a circle of `room` mm, its highest point about `height` mm over the field.
pub(super) fn device(room: f32, height: f32, r: &mut ChaCha8Rng) -> Vec<Piece> {
    match r.random_range(0..6) {
        0 => portrait(room, height, r),
        1 => star(room, height, r),
        2 => shield(room, height, r),
        3 => wreath(room, height, r),
        4 => tower(room, height, r),
        _ => tree(room, height, r),
    }
}

fn bevel(height: f32, r: &mut ChaCha8Rng) -> Bevel {
    Bevel::plain(height, r.random_range(0.14..0.32))
}

fn polygon(corners: &[P]) -> Outline {
    Outline {
        contours: vec![corners.to_vec()],
    }
}

fn line(from: P, to: P, half_width: f32, bevel: Bevel) -> Piece {
    let stroke = Stroke {
        spine: vec![(from, half_width), (to, half_width)],
    };
    let middle = [0.5 * (from[0] + to[0]), 0.5 * (from[1] + to[1])];
    let reach = 0.5 * (to[0] - from[0]).hypot(to[1] - from[1]);
    Piece::new(Form::Line(stroke, bevel), middle, reach)
}

fn dome(centre: P, radius: f32, height: f32, join: Join) -> Piece {
    Piece::new(Form::Dome { radius, height, join }, centre, radius)
}

/// A head to one side: a high cheek, neck, locks of hair, eye, nose and mouth.
fn portrait(room: f32, height: f32, r: &mut ChaCha8Rng) -> Vec<Piece> {
    let s = if r.random_bool(0.5) { 1.0 } else { -1.0 };
    let k = 0.9 * room * r.random_range(0.85..1.0);
    let at = |x: f32, y: f32| [s * x * k, y * k];
    let mound = |x: f32, y: f32, half: P, turn: f32, high: f32, power: f32| {
        let form = Mound {
            centre: at(x, y),
            half: [half[0] * k, half[1] * k],
            turn_deg: s * turn,
            height: high * height,
            power,
        };
        Piece::new(Form::Mound(form), at(x, y), k * half[0].max(half[1])).fixed()
    };
    let mut pieces = vec![
        mound(-0.02, -0.14, [0.56, 0.50], 62.0, 1.0, 0.5),
        mound(-0.12, 0.60, [0.34, 0.40], 80.0, 0.75, 0.4),
    ];
    let thin = Bevel::plain(0.4 * height, 0.10);
    let nose = polygon(&[at(0.40, -0.22), at(0.66, 0.02), at(0.42, 0.07)]);
    let nose_piece = Piece::new(
        Form::Shape(nose, Bevel::plain(0.7 * height, 0.2)),
        at(0.5, -0.04),
        0.2 * k,
    );
    pieces.push(
        nose_piece
            .with_point("tip of the nose".into(), at(0.66, 0.02))
            .fixed(),
    );
    let chin = mound(0.28, 0.30, [0.20, 0.15], 20.0, 0.85, 0.5);
    pieces.push(chin.with_point("middle of the chin".into(), at(0.28, 0.30)));
    let eye = dome(at(0.30, -0.16), 0.055 * k, 0.3 * height, Join::Add).fixed();
    pieces.push(eye.with_point("middle of the eye".into(), at(0.30, -0.16)));
    pieces.push(
        line(at(0.38, 0.16), at(0.55, 0.15), 0.03 * k, thin)
            .with_point("corner of the mouth".into(), at(0.38, 0.16)),
    );
    pieces.extend(locks(&at, k, height, r));
    let cut = line(
        at(-0.42, 0.90),
        at(0.24, 0.88),
        0.03 * k,
        Bevel::plain(0.5 * height, 0.12),
    );
    pieces.push(cut.with_point("front end of the neck's cut".into(), at(0.24, 0.88)));
    pieces
}

/// Locks of hair on a head of a size in mm, each bent at its end; `at` gives places by shares of the size.
fn locks(at: &dyn Fn(f32, f32) -> P, k: f32, height: f32, r: &mut ChaCha8Rng) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for i in 0..r.random_range(6..11) {
        let turn = -0.35 + 0.24 * i as f32;
        let (a, b) = (0.28 + 0.03 * (i % 3) as f32, r.random_range(0.60..0.72));
        let point = |radius: f32, bend: f32| {
            let (sin, cos) = (turn + bend).sin_cos();
            at(-0.06 - radius * sin, -0.16 - radius * cos)
        };
        let stroke = Stroke::along(10, |t| {
            (point(a + (b - a) * t, 0.35 * t * t), 0.028 * k * (1.15 - t))
        });
        let tip = point(b, 0.35);
        let lock = Piece::new(
            Form::Line(stroke, Bevel::plain(0.45 * height, 0.12)),
            point(0.5 * (a + b), 0.1),
            0.2 * k,
        );
        pieces.push(lock.with_point(format!("end of lock {}", i + 1), tip));
    }
    pieces
}

/// A star or rosette with a boss.
fn star(room: f32, height: f32, r: &mut ChaCha8Rng) -> Vec<Piece> {
    let rays = r.random_range(4..9_usize);
    let (outer, inner) = (room * r.random_range(0.6..0.95), room * r.random_range(0.2..0.4));
    let turn = r.random_range(0.0..360.0);
    let corner = |i: usize| {
        let radius = if i.is_multiple_of(2) { outer } else { inner };
        on_clock(radius, turn + 180.0 * i as f32 / rays as f32)
    };
    let corners: Vec<P> = (0..2 * rays).map(corner).collect();
    let mut body = Piece::new(
        Form::Shape(polygon(&corners), bevel(0.8 * height, r)),
        [0.0, 0.0],
        outer,
    )
    .fixed();
    for (i, p) in corners.iter().enumerate().step_by(2) {
        body = body.with_point(format!("tip of ray {}", i / 2 + 1), *p);
    }
    let boss = dome([0.0, 0.0], 0.6 * inner, 0.5 * height, Join::Add);
    let mut pieces = vec![body, boss.with_point("middle of the boss".into(), [0.0, 0.0])];
    for i in 0..rays {
        let p = on_clock(0.75 * outer, turn + 360.0 * (i as f32 + 0.5) / rays as f32);
        pieces.push(
            dome(p, r.random_range(0.2..0.4), 0.6 * height, Join::Raise)
                .with_point(format!("pearl {}", i + 1), p),
        );
    }
    pieces
}

/// A shield with a charge.
fn shield(room: f32, height: f32, r: &mut ChaCha8Rng) -> Vec<Piece> {
    let (w, h) = (room * r.random_range(0.5..0.7), room * r.random_range(0.7..0.88));
    let mut corners = vec![[-w, -0.8 * h], [w, -0.8 * h]];
    for i in 0..=12 {
        let t = i as f32 / 12.0;
        corners.push([w * (1.0 - t * t), -0.2 * h + 1.2 * h * t]);
    }
    for i in (0..12).rev() {
        let t = i as f32 / 12.0;
        corners.push([-w * (1.0 - t * t), -0.2 * h + 1.2 * h * t]);
    }
    let mut pieces = vec![
        Piece::new(
            Form::Shape(polygon(&corners), bevel(0.55 * height, r)),
            [0.0, 0.0],
            h,
        )
        .with_point("left corner of the shield".into(), [-w, -0.8 * h])
        .with_point("right corner of the shield".into(), [w, -0.8 * h])
        .with_point("foot of the shield".into(), [0.0, h])
        .fixed(),
    ];
    let raised = |height: f32| Bevel::plain(height, 0.14);
    for i in 0..r.random_range(1..4) {
        let y = -0.5 * h + 0.36 * h * i as f32;
        let half = 0.75 * w * (1.0 - 0.25 * i as f32);
        let bar = line([-half, y], [half, y], 0.11, raised(height));
        pieces.push(
            bar.with_point(format!("left end of bar {}", i + 1), [-half, y])
                .with_point(format!("right end of bar {}", i + 1), [half, y]),
        );
        let p = [r.random_range(-0.5..0.5) * half, y + 0.18 * h];
        pieces
            .push(dome(p, 0.24, 0.45 * height, Join::Add).with_point(format!("ball under bar {}", i + 1), p));
    }
    pieces
}

/// Two branches about a value.
fn wreath(room: f32, height: f32, r: &mut ChaCha8Rng) -> Vec<Piece> {
    let radius = 0.80 * room;
    let mut pieces = Vec::new();
    let count = r.random_range(7..13);
    for side in [-1.0_f32, 1.0] {
        for i in 0..count {
            let clock = side * (165.0 - 140.0 * i as f32 / count as f32);
            for away in [-1.0, 1.0] {
                let base = on_clock(radius, clock);
                let leaf = Leaf {
                    base,
                    direction_deg: clock - 90.0 - side * 90.0 + away * side * 42.0,
                    length: 0.22 * room,
                    half_width: 0.045 * room,
                    bend: away * 0.03 * room,
                    height: 0.8 * height,
                };
                let (tip, middle) = (leaf.tip(), leaf.middle());
                let name = format!(
                    "tip of the {} {} leaf {}",
                    if side < 0.0 { "left" } else { "right" },
                    if away < 0.0 { "inner" } else { "outer" },
                    i + 1
                );
                pieces.push(Piece::new(Form::Leaf(leaf), middle, 0.11 * room).with_point(name, tip));
            }
        }
    }
    let cap = 0.45 * room;
    let text = ["7", "12", "25", "50", "XV", "VI", "M"][r.random_range(0..7)];
    for (i, letter) in on_line(text, [0.0, 0.45 * cap], cap, 0.22)
        .into_iter()
        .enumerate()
    {
        let foot = letter.corner(-1.0, -0.6);
        let head = letter.corner(1.0, 0.6);
        let middle = letter.place(0.0, 0.5);
        pieces.push(
            Piece::new(Form::Letter(letter, bevel(height, r)), middle, 0.5 * cap)
                .with_point(format!("foot of sign {}", i + 1), foot)
                .with_point(format!("head of sign {}", i + 1), head)
                .fixed(),
        );
    }
    pieces
}

/// A gate tower.
fn tower(room: f32, height: f32, r: &mut ChaCha8Rng) -> Vec<Piece> {
    let (w, top, foot) = (room * r.random_range(0.28..0.42), -0.35 * room, 0.72 * room);
    let mut corners = vec![[-1.25 * w, foot], [-w, top + 0.25 * room], [-1.2 * w, top]];
    for i in 0..5 {
        let x = -1.2 * w + 2.4 * w * i as f32 / 5.0;
        let y = if i % 2 == 0 { top - 0.16 * room } else { top };
        corners.push([x, y]);
        corners.push([x + 2.4 * w / 5.0, y]);
    }
    corners.extend([[1.2 * w, top], [w, top + 0.25 * room], [1.25 * w, foot]]);
    let body = Piece::new(
        Form::Shape(polygon(&corners), bevel(0.7 * height, r)),
        [0.0, 0.2 * room],
        0.5 * room,
    )
    .with_point("left corner of the foot".into(), [-1.25 * w, foot])
    .with_point("right corner of the foot".into(), [1.25 * w, foot])
    .with_point("left battlement".into(), [-1.2 * w, top - 0.16 * room])
    .with_point("right battlement".into(), [1.2 * w, top - 0.16 * room])
    .fixed();
    let mut pieces = vec![body];
    for (i, (x, y)) in [
        (-0.45, 0.02),
        (0.45, 0.02),
        (0.0, 0.22),
        (-0.4, 0.45),
        (0.4, 0.45),
    ]
    .iter()
    .enumerate()
    {
        let p = [x * w, y * room];
        pieces
            .push(dome(p, 0.16 * w + 0.12, 0.5 * height, Join::Add).with_point(format!("boss {}", i + 1), p));
    }
    let pole = line(
        [0.0, top - 0.05 * room],
        [0.0, -0.85 * room],
        0.07,
        Bevel::plain(0.5 * height, 0.12),
    );
    pieces.push(
        pole.with_point("top of the flagpole".into(), [0.0, -0.85 * room])
            .fixed(),
    );
    let flag = polygon(&[
        [0.05, -0.82 * room],
        [0.30 * room, -0.74 * room],
        [0.05, -0.66 * room],
    ]);
    pieces.push(
        Piece::new(
            Form::Shape(flag, bevel(0.5 * height, r)),
            [0.12 * room, -0.74 * room],
            0.15 * room,
        )
        .with_point("tip of the flag".into(), [0.30 * room, -0.74 * room]),
    );
    pieces
}

/// A tree with fruit.
fn tree(room: f32, height: f32, r: &mut ChaCha8Rng) -> Vec<Piece> {
    let trunk = Stroke::along(20, |t| {
        (
            [0.10 * room * (t * TAU).sin() * t, room * (0.85 - 1.2 * t)],
            0.10 * room * (1.05 - t),
        )
    });
    let foot = [0.0, 0.85 * room];
    let mut pieces = vec![
        Piece::new(
            Form::Line(trunk, bevel(0.9 * height, r)),
            [0.0, 0.3 * room],
            0.5 * room,
        )
        .fixed(),
        line(
            [-0.4 * room, foot[1]],
            [0.4 * room, foot[1]],
            0.09,
            Bevel::plain(0.5 * height, 0.14),
        )
        .with_point("left end of the ground".into(), [-0.4 * room, foot[1]])
        .with_point("right end of the ground".into(), [0.4 * room, foot[1]])
        .fixed(),
    ];
    for i in 0..r.random_range(10..19) {
        let clock = -125.0 + 250.0 * (i as f32 + r.random_range(-0.2..0.2)) / 14.0;
        let start = on_clock(0.16 * room, clock);
        let leaf = Leaf {
            base: [start[0], start[1] - 0.25 * room],
            direction_deg: clock - 90.0,
            length: room * r.random_range(0.30..0.55),
            half_width: 0.06 * room,
            bend: room * r.random_range(-0.08..0.08),
            height: 0.85 * height,
        };
        let (tip, middle) = (leaf.tip(), leaf.middle());
        pieces.push(
            Piece::new(Form::Leaf(leaf), middle, 0.2 * room)
                .with_point(format!("tip of leaf {}", i + 1), tip),
        );
    }
    for i in 0..r.random_range(3..8) {
        let p = on_clock(room * r.random_range(0.35..0.75), r.random_range(-110.0..110.0));
        let p = [p[0], p[1] - 0.1 * room];
        pieces.push(
            dome(p, room * r.random_range(0.035..0.06), 0.6 * height, Join::Add)
                .with_point(format!("fruit {}", i + 1), p),
        );
    }
    pieces
}
