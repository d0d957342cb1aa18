//! The display list: what a page shows, as primitives in mm from the page's top-left corner, x right, y down. Both
//! painters draw the same list, so that PDF and PNG cannot differ.

use std::sync::Arc;

use image::RgbaImage;

use super::text::TextStyle;

/// An sRGB colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

/// A rectangle in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

impl Area {
    /// A rectangle by its top-left corner and size, in mm.
    #[must_use]
    pub fn new(x: f64, y: f64, width: f64, height: f64) -> Self {
        Self { x, y, width, height }
    }

    /// Right edge in mm.
    #[must_use]
    pub fn right(&self) -> f64 {
        self.x + self.width
    }

    /// Bottom edge in mm.
    #[must_use]
    pub fn bottom(&self) -> f64 {
        self.y + self.height
    }

    /// The middle in mm.
    #[must_use]
    pub fn middle(&self) -> (f64, f64) {
        (self.x + self.width / 2.0, self.y + self.height / 2.0)
    }

    /// Whether the two share more than `slack` mm both ways.
    #[must_use]
    pub fn overlaps(&self, other: &Area, slack: f64) -> bool {
        self.x + slack < other.right()
            && other.x + slack < self.right()
            && self.y + slack < other.bottom()
            && other.y + slack < self.bottom()
    }

    /// Whether `other` lies inside, up to `slack` mm.
    #[must_use]
    pub fn holds(&self, other: &Area, slack: f64) -> bool {
        other.x >= self.x - slack
            && other.y >= self.y - slack
            && other.right() <= self.right() + slack
            && other.bottom() <= self.bottom() + slack
    }
}

/// A drawn line's look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Width in mm.
    pub width: f64,
    /// Colour.
    pub colour: Colour,
}

/// What is drawn.
#[derive(Debug, Clone)]
pub enum Shape {
    /// One line of text from the left end of its baseline.
    Text {
        /// Left end in mm.
        x: f64,
        /// Baseline in mm.
        y: f64,
        /// The characters, all of which the typeface has.
        text: String,
        /// Size, weight and colour.
        style: TextStyle,
    },
    /// Pixels filling an area exactly.
    Picture {
        /// Where.
        area: Area,
        /// Opaque sRGB; what is transparent shows the paper.
        pixels: Arc<RgbaImage>,
    },
    /// A polygon or open polyline.
    Path {
        /// Its corners in mm.
        points: Vec<(f64, f64)>,
        /// Whether the last is joined to the first.
        closed: bool,
        /// The inside, where filled.
        fill: Option<Colour>,
        /// The outline, where drawn.
        pen: Option<Pen>,
    },
    /// A disc or ring.
    Disc {
        /// Centre in mm.
        centre: (f64, f64),
        /// Radius in mm.
        radius: f64,
        /// The inside, where filled.
        fill: Option<Colour>,
        /// The outline, where drawn.
        pen: Option<Pen>,
    },
}

/// Whether a shape keeps its place to itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layer {
    /// It overlaps no other shape of this layer.
    Ground,
    /// It is drawn on top of a shape on purpose: a mark on a photo, a numeral in a disc, a rule behind words.
    Mark,
}

/// A shape with its layer.
#[derive(Debug, Clone)]
pub struct Item {
    /// What is drawn.
    pub shape: Shape,
    /// How it may meet others.
    pub layer: Layer,
}

impl Item {
    /// The area it covers in mm; a line's width is left out.
    #[must_use]
    pub fn area(&self) -> Area {
        match &self.shape {
            Shape::Text { x, y, text, style } => {
                let up = style.cap_height();
                Area::new(*x, y - up, style.width(text), up + style.depth())
            }
            Shape::Picture { area, .. } => *area,
            Shape::Path { points, .. } => {
                let (mut x0, mut y0) = (f64::INFINITY, f64::INFINITY);
                let (mut x1, mut y1) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
                for &(x, y) in points {
                    (x0, y0) = (x0.min(x), y0.min(y));
                    (x1, y1) = (x1.max(x), y1.max(y));
                }
                Area::new(x0, y0, x1 - x0, y1 - y0)
            }
            Shape::Disc { centre, radius, .. } => {
                Area::new(centre.0 - radius, centre.1 - radius, 2.0 * radius, 2.0 * radius)
            }
        }
    }

    /// The same, moved by mm.
    #[must_use]
    pub fn moved(mut self, dx: f64, dy: f64) -> Self {
        match &mut self.shape {
            Shape::Text { x, y, .. } => {
                *x += dx;
                *y += dy;
            }
            Shape::Picture { area, .. } => {
                area.x += dx;
                area.y += dy;
            }
            Shape::Path { points, .. } => {
                for point in points {
                    point.0 += dx;
                    point.1 += dy;
                }
            }
            Shape::Disc { centre, .. } => {
                centre.0 += dx;
                centre.1 += dy;
            }
        }
        self
    }
}

/// One page.
#[derive(Debug, Clone)]
pub struct Page {
    /// Width of the paper in mm.
    pub width: f64,
    /// Height of the paper in mm.
    pub height: f64,
    /// What it shows, in drawing order.
    pub items: Vec<Item>,
}

/// A laid-out sheet.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// The document's title.
    pub title: String,
    /// What the document is, in one line.
    pub subject: String,
    /// The date it was made, as the caller gave it: `YYYY-MM-DD`, anything else stands in print but not in the
    /// file's own date.
    pub made_on: String,
    /// The pages in order; at least one.
    pub pages: Vec<Page>,
}
