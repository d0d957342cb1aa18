//! A piece of a page under construction, in mm from its own top-left corner.

use std::sync::Arc;

use image::RgbaImage;

use super::display::{Area, Colour, Item, Layer, Pen, Shape};
use super::text::{TextStyle, wrap};

/// Items with the height that they take.
#[derive(Debug, Clone, Default)]
pub struct Block {
    /// What it shows.
    pub items: Vec<Item>,
    /// Its height in mm.
    pub height: f64,
}

impl Block {
    /// Makes the block reach down to `y` at least.
    pub fn reach(&mut self, y: f64) {
        self.height = self.height.max(y);
    }

    fn push(&mut self, layer: Layer, shape: Shape) {
        self.items.push(Item { shape, layer });
    }

    /// One line of text, already printable, in the line box that begins at `top`. Returns its width.
    pub fn text(&mut self, x: f64, top: f64, text: &str, style: &TextStyle) -> f64 {
        self.baseline_text(Layer::Ground, x, baseline(top, style), text, style);
        self.reach(top + style.leading);
        style.width(text)
    }

    /// As [`Block::text`], with its right end at `right`.
    pub fn text_right(&mut self, right: f64, top: f64, text: &str, style: &TextStyle) {
        let width = style.width(text);
        self.text(right - width, top, text, style);
    }

    /// One line of text as a mark on something else, its capitals centred on a point.
    pub fn text_centred(&mut self, (x, y): (f64, f64), text: &str, style: &TextStyle) {
        let left = x - style.width(text) / 2.0;
        self.baseline_text(Layer::Mark, left, y + style.cap_height() / 2.0, text, style);
    }

    fn baseline_text(&mut self, layer: Layer, x: f64, y: f64, text: &str, style: &TextStyle) {
        if text.trim().is_empty() {
            return;
        }
        self.push(
            layer,
            Shape::Text {
                x,
                y,
                text: text.to_owned(),
                style: *style,
            },
        );
    }

    /// Text broken to `width`, from `top` down, with `most` lines at the most, the last ending in an ellipsis where more was to come.
    /// Returns the lower edge and whether all was shown.
    pub fn paragraph_capped(
        &mut self,
        x: f64,
        top: f64,
        width: f64,
        text: &str,
        style: &TextStyle,
        most: usize,
    ) -> (f64, bool) {
        let lines = wrap(text, style, width);
        let mut y = top;
        for (i, line) in lines.iter().take(most).enumerate() {
            if i + 1 == most && lines.len() > most {
                let cut = super::text::one_line(&format!("{line} {}", lines[most]), style, width);
                self.text(x, y, &cut, style);
            } else {
                self.text(x, y, line, style);
            }
            y += style.leading;
        }
        (y, lines.len() <= most)
    }

    /// A picture filling an area.
    pub fn picture(&mut self, area: Area, pixels: &Arc<RgbaImage>) {
        self.reach(area.bottom());
        self.push(
            Layer::Ground,
            Shape::Picture {
                area,
                pixels: Arc::clone(pixels),
            },
        );
    }

    /// A straight line.
    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), pen: Pen) {
        self.polyline(&[from, to], pen);
    }

    /// An open line.
    pub fn polyline(&mut self, points: &[(f64, f64)], pen: Pen) {
        self.push(
            Layer::Mark,
            Shape::Path {
                points: points.to_vec(),
                closed: false,
                fill: None,
                pen: Some(pen),
            },
        );
    }

    /// A filled or outlined polygon.
    pub fn polygon(&mut self, points: &[(f64, f64)], fill: Option<Colour>, pen: Option<Pen>) {
        self.push(
            Layer::Mark,
            Shape::Path {
                points: points.to_vec(),
                closed: true,
                fill,
                pen,
            },
        );
    }

    /// A rectangle.
    pub fn rect(&mut self, area: Area, fill: Option<Colour>, pen: Option<Pen>) {
        let Area { x, y, .. } = area;
        let (right, bottom) = (area.right(), area.bottom());
        self.polygon(&[(x, y), (right, y), (right, bottom), (x, bottom)], fill, pen);
    }

    /// A disc or ring.
    pub fn disc(&mut self, centre: (f64, f64), radius: f64, fill: Option<Colour>, pen: Option<Pen>) {
        self.push(
            Layer::Mark,
            Shape::Disc {
                centre,
                radius,
                fill,
                pen,
            },
        );
    }

    /// Takes in another block with its corner at (x, y).
    pub fn take(&mut self, other: Block, x: f64, y: f64) {
        self.reach(y + other.height);
        self.items
            .extend(other.items.into_iter().map(|item| item.moved(x, y)));
    }
}

/// The baseline of a line box that begins at `top`: capitals stand in its middle.
#[must_use]
pub fn baseline(top: f64, style: &TextStyle) -> f64 {
    top + (style.leading + style.cap_height()) / 2.0
}
