//! The PNG painter.

use image::{RgbaImage, imageops};
use skrifa::GlyphId;
use skrifa::outline::OutlinePen;
use tiny_skia::{
    Color, FillRule, FilterQuality, Paint, Path, PathBuilder, Pixmap, PixmapPaint, PixmapRef, Stroke,
    Transform,
};

use super::display::{Colour, Page, Pen, Shape};
use super::error::SheetError;
use super::pdf::opaque;
use super::style;
use super::text::{TextStyle, shape};

/// Dots per inch of the PNG pages.
pub const DPI: f64 = 200.0;

/// Paints a page.
///
/// # Errors
/// [`SheetError::Encode`] for a page without size.
pub fn paint_page(page: &Page, dpi: f64) -> Result<Pixmap, SheetError> {
    let scale = dpi / 25.4;
    let mut map = Pixmap::new(whole(page.width * scale), whole(page.height * scale))
        .ok_or_else(|| SheetError::encode("a page has no size"))?;
    map.fill(colour(style::PAPER));
    for item in &page.items {
        draw(&mut map, &item.shape, scale);
    }
    Ok(map)
}

/// The bytes of a page's PNG file, with its dpi written in so that it prints at its true size.
///
/// # Errors
/// [`SheetError::Encode`].
pub fn png_bytes(page: &Page, dpi: f64) -> Result<Vec<u8>, SheetError> {
    let map = paint_page(page, dpi)?;
    // The paper is opaque, so that colours multiplied by their opacity are the colours themselves.
    encode_png(map.data(), (map.width(), map.height()), Some(whole(dpi / 0.0254)))
}

/// What a PNG file made here says of its maker.
const MAKER: (&str, &str) = ("Software", "Dietell");

/// A PNG file of RGBA bytes, that says what made it and, where given, how many px make a metre.
///
/// # Errors
/// [`SheetError::Encode`].
pub fn encode_png(
    rgba: &[u8],
    (width, height): (u32, u32),
    px_per_m: Option<u32>,
) -> Result<Vec<u8>, SheetError> {
    let fail = |error: png::EncodingError| SheetError::encode(&error.to_string());
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Rgba);
    encoder
        .add_text_chunk(MAKER.0.to_owned(), MAKER.1.to_owned())
        .map_err(fail)?;
    encoder.set_pixel_dims(px_per_m.map(|per_metre| png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: png::Unit::Meter,
    }));
    let mut writer = encoder.write_header().map_err(fail)?;
    writer.write_image_data(rgba).map_err(fail)?;
    writer.finish().map_err(fail)?;
    Ok(bytes)
}

/// Whether a file is a PNG made here.
#[must_use]
pub fn is_our_png(bytes: &[u8]) -> bool {
    let mark = format!("tEXt{}\0{}", MAKER.0, MAKER.1);
    bytes.starts_with(b"\x89PNG") && memchr::memmem::find(bytes, mark.as_bytes()).is_some()
}

fn draw(map: &mut Pixmap, shape: &Shape, scale: f64) {
    match shape {
        Shape::Text { x, y, text, style } => draw_text(map, (*x, *y), text, style, scale),
        Shape::Picture { area, pixels } => {
            draw_picture(
                map,
                pixels,
                (area.x * scale, area.y * scale),
                (area.width * scale, area.height * scale),
            );
        }
        Shape::Path {
            points,
            closed,
            fill,
            pen,
        } => {
            let mut builder = PathBuilder::new();
            let Some((first, rest)) = points.split_first() else {
                return;
            };
            builder.move_to(narrow(first.0 * scale), narrow(first.1 * scale));
            for p in rest {
                builder.line_to(narrow(p.0 * scale), narrow(p.1 * scale));
            }
            if *closed {
                builder.close();
            }
            if let Some(path) = builder.finish() {
                paint(map, &path, *fill, *pen, scale);
            }
        }
        Shape::Disc {
            centre,
            radius,
            fill,
            pen,
        } => {
            let path = PathBuilder::from_circle(
                narrow(centre.0 * scale),
                narrow(centre.1 * scale),
                narrow(radius * scale),
            );
            if let Some(path) = path {
                paint(map, &path, *fill, *pen, scale);
            }
        }
    }
}

fn paint(map: &mut Pixmap, path: &Path, fill: Option<Colour>, pen: Option<Pen>, scale: f64) {
    if let Some(c) = fill {
        map.fill_path(path, &solid(c), FillRule::Winding, Transform::identity(), None);
    }
    if let Some(pen) = pen {
        let stroke = Stroke {
            width: narrow(pen.width * scale),
            ..Stroke::default()
        };
        map.stroke_path(path, &solid(pen.colour), &stroke, Transform::identity(), None);
    }
}

/// Draws a picture to fill `size` px from `at`, shrunk with an averaging filter first so that fine detail does not
/// alias.
fn draw_picture(map: &mut Pixmap, pixels: &RgbaImage, at: (f64, f64), size: (f64, f64)) {
    let target = (
        whole(size.0).clamp(1, pixels.width().max(1)),
        whole(size.1).clamp(1, pixels.height().max(1)),
    );
    let flat = opaque(pixels);
    let flat = if target == (pixels.width(), pixels.height()) {
        flat
    } else {
        imageops::resize(&flat, target.0, target.1, imageops::FilterType::CatmullRom)
    };
    let rgba: Vec<u8> = flat
        .pixels()
        .flat_map(|p| [p.0[0], p.0[1], p.0[2], 255])
        .collect();
    let Some(source) = PixmapRef::from_bytes(&rgba, flat.width(), flat.height()) else {
        return;
    };
    let transform = Transform::from_row(
        narrow(size.0 / f64::from(flat.width())),
        0.0,
        0.0,
        narrow(size.1 / f64::from(flat.height())),
        narrow(at.0),
        narrow(at.1),
    );
    let paint = PixmapPaint {
        quality: FilterQuality::Bilinear,
        ..PixmapPaint::default()
    };
    map.draw_pixmap(0, 0, source, &paint, transform, None);
}

fn draw_text(map: &mut Pixmap, (x, y): (f64, f64), text: &str, style: &TextStyle, scale: f64) {
    let face = style.weight.face();
    let em = style.em() * scale;
    let unit = em / face.units_per_em;
    let mut outline = Outline {
        builder: PathBuilder::new(),
        x: 0.0,
        y: y * scale,
        unit,
    };
    let mut pen = x * scale;
    for glyph in shape(text, style.weight) {
        outline.x = pen + glyph.dx * em;
        outline.y = y * scale - glyph.dy * em;
        face.outline(GlyphId::new(glyph.id.into()), &mut outline);
        pen += glyph.advance * em;
    }
    if let Some(path) = outline.builder.finish() {
        map.fill_path(
            &path,
            &solid(style.colour),
            FillRule::Winding,
            Transform::identity(),
            None,
        );
    }
}

/// Collects glyph outlines, font units up to px down.
struct Outline {
    builder: PathBuilder,
    x: f64,
    y: f64,
    unit: f64,
}

impl Outline {
    fn at(&self, x: f32, y: f32) -> (f32, f32) {
        (
            narrow(self.x + f64::from(x) * self.unit),
            narrow(self.y - f64::from(y) * self.unit),
        )
    }
}

impl OutlinePen for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.move_to(x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.line_to(x, y);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let ((x1, y1), (x, y)) = (self.at(x1, y1), self.at(x, y));
        self.builder.quad_to(x1, y1, x, y);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let ((x1, y1), (x2, y2), (x, y)) = (self.at(x1, y1), self.at(x2, y2), self.at(x, y));
        self.builder.cubic_to(x1, y1, x2, y2, x, y);
    }

    fn close(&mut self) {
        self.builder.close();
    }
}

fn solid(c: Colour) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color(colour(c));
    paint.anti_alias = true;
    paint
}

fn colour(c: Colour) -> Color {
    Color::from_rgba8(c.0, c.1, c.2, 255)
}

#[expect(clippy::cast_possible_truncation, reason = "px of a page, well within f32")]
fn narrow(v: f64) -> f32 {
    v as f32
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped before"
)]
fn whole(v: f64) -> u32 {
    v.round().clamp(0.0, f64::from(u32::MAX)) as u32
}
