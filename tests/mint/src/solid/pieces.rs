//! The pieces of a seeded design: letters, lines, domes and the like, each with the points on it that one can click.

use crate::lettering::SetLetter;
use crate::parts::{Bevel, Dome, Join, Leaf, Line, Part, Punch};
use crate::shapes::{Bounds, Outline, P, Stroke};

/// What a piece is.
#[derive(Debug, Clone)]
pub(super) enum Form {
    Letter(SetLetter, Bevel),
    Shape(Outline, Bevel),
    Line(Stroke, Bevel),
    Dome { radius: f32, height: f32, join: Join },
    Mound(Mound),
    Leaf(Leaf),
}

/// One piece of a design.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub form: Form,
    /// Its middle in side mm, and about how far it reaches.
    pub middle: P,
    pub reach: f32,
    /// Points on it that one can click, with their names.
    pub points: Vec<(String, P)>,
    /// Whether every die has it at the same place.
    pub fixed: bool,
}

impl Piece {
    pub fn new(form: Form, middle: P, reach: f32) -> Self {
        Self {
            form,
            middle,
            reach,
            points: Vec::new(),
            fixed: false,
        }
    }

    pub fn with_point(mut self, name: String, p: P) -> Self {
        self.points.push((name, p));
        self
    }

    /// A piece that larger ones rest on: every die has it alike.
    pub fn fixed(mut self) -> Self {
        self.fixed = true;
        self
    }

    /// The part of the relief, moved by so many mm.
    pub fn part(&self, shift: P) -> Box<dyn Part> {
        let moved = |p: P| [p[0] + shift[0], p[1] + shift[1]];
        match &self.form {
            Form::Letter(letter, bevel) => Box::new(Punch {
                outline: letter.outline.mapped(moved),
                without: None,
                bevel: *bevel,
            }),
            Form::Shape(outline, bevel) => Box::new(Punch {
                outline: outline.mapped(moved),
                without: None,
                bevel: *bevel,
            }),
            Form::Line(stroke, bevel) => Box::new(Line {
                stroke: Stroke {
                    spine: stroke.spine.iter().map(|(p, w)| (moved(*p), *w)).collect(),
                },
                bevel: *bevel,
                join: Join::Raise,
            }),
            Form::Dome { radius, height, join } => Box::new(Dome {
                centre: moved(self.middle),
                radius: *radius,
                height: *height,
                join: *join,
            }),
            Form::Mound(mound) => Box::new(Mound {
                centre: moved(mound.centre),
                ..*mound
            }),
            Form::Leaf(leaf) => Box::new(Leaf {
                base: moved(leaf.base),
                ..*leaf
            }),
        }
    }
}

/// A broad rounded form: a cheek, a sail, a breast.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mound {
    pub centre: P,
    /// Half its length along its axis and across it, in mm.
    pub half: P,
    /// Its axis, degrees clockwise on the page from the x axis.
    pub turn_deg: f32,
    pub height: f32,
    /// How steep its edge is: 1 a dome, towards 0.3 a flat top with a round shoulder.
    pub power: f32,
}

impl Part for Mound {
    fn bounds(&self) -> Bounds {
        Bounds::around([self.centre], self.half[0].max(self.half[1]) + 0.02)
    }
    fn height(&self, p: P) -> f32 {
        let (sin, cos) = self.turn_deg.to_radians().sin_cos();
        let (x, y) = (p[0] - self.centre[0], p[1] - self.centre[1]);
        let (u, v) = (
            (x * cos + y * sin) / self.half[0],
            (y * cos - x * sin) / self.half[1],
        );
        self.height * (1.0 - u * u - v * v).max(0.0).powf(self.power)
    }
    fn join(&self) -> Join {
        Join::Raise
    }
}
