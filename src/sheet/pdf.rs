//! The PDF painter.

use std::io::Cursor;
use std::sync::Arc;

use image::{RgbImage, RgbaImage};
use krilla::color::rgb;
use krilla::configure::Configuration;
use krilla::geom::{Path, PathBuilder, Point, Size, Transform};
use krilla::metadata::{DateTime, Metadata};
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, Stroke};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Data, Document, SerializeSettings};

use super::display::{Colour, Pen, Shape, Sheet};
use super::error::SheetError;
use super::style;
use super::text::{Weight, shape};

/// Points in a mm.
const PT: f64 = 72.0 / 25.4;
/// JPEG quality of the pictures: edges of dies must not ring.
const JPEG_QUALITY: u8 = 93;
/// A cubic's handle for a quarter circle of radius 1: 4/3 (sqrt 2 - 1), off the circle by under 0.03 %.
const QUARTER: f64 = 0.552_284_749_830_793_4;

/// The bytes of a PDF file: the same for the same sheet.
///
/// # Errors
/// [`SheetError::Encode`] where the PDF could not be put together.
pub fn pdf_bytes(sheet: &Sheet) -> Result<Vec<u8>, SheetError> {
    let mut document = Document::new_with(SerializeSettings {
        configuration: Configuration::default(),
        enable_tagging: false,
        ..SerializeSettings::default()
    });
    let mut metadata = Metadata::new()
        .title(sheet.title.clone())
        .description(sheet.subject.clone())
        .creator(format!("{MAKER}{}", env!("CARGO_PKG_VERSION")))
        .language("en".to_owned());
    if let Some(date) = pdf_date(&sheet.made_on) {
        metadata = metadata.creation_date(date);
    }
    document.set_metadata(metadata);
    let fonts = Fonts::new()?;
    for page in &sheet.pages {
        let settings = PageSettings::from_wh(pt(page.width), pt(page.height))
            .ok_or_else(|| SheetError::encode("a page has no size"))?;
        let mut pdf_page = document.start_page_with(settings);
        let mut surface = pdf_page.surface();
        for item in &page.items {
            draw(&mut surface, &item.shape, &fonts)?;
        }
        surface.finish();
        pdf_page.finish();
    }
    let bytes = document
        .finish()
        .map_err(|error| SheetError::encode(&format!("{error:?}")))?;
    Ok(at_full_size(bytes))
}

/// The start of what a PDF file made here says of its maker.
pub(super) const MAKER: &str = "Dietell ";

/// Asks viewers to offer printing at full size (`/PrintScaling /None`: ISO 32000-1, 12.8 Table 150), which the PDF
/// library cannot write. The document catalog is its last object, so that only the place of the cross-reference
/// table after it moves. A file built in another way is left as it is: the sheet says on each page what to check.
fn at_full_size(bytes: Vec<u8>) -> Vec<u8> {
    const CATALOG: &[u8] = b"<</Type/Catalog";
    const WISH: &[u8] = b"/ViewerPreferences<</PrintScaling/None/DisplayDocTitle true>>";
    const START: &[u8] = b"startxref\n";
    let last = |what: &[u8]| bytes.windows(what.len()).rposition(|w| w == what);
    let (Some(catalog), Some(start)) = (last(CATALOG), last(START)) else {
        return bytes;
    };
    let digits = start + START.len();
    let end = bytes[digits..]
        .iter()
        .position(|b| !b.is_ascii_digit())
        .map_or(bytes.len(), |at| digits + at);
    let table: Option<usize> = std::str::from_utf8(&bytes[digits..end])
        .ok()
        .and_then(|text| text.parse().ok());
    let Some(table) = table.filter(|&table| catalog < table && table < start) else {
        return bytes;
    };
    let between = &bytes[catalog..table];
    let objects = between.windows(6).filter(|w| w == b"endobj").count();
    if objects != 1 || between.windows(19).any(|w| w == b"/ViewerPreferences<") {
        return bytes;
    }
    let at = catalog + CATALOG.len();
    let mut out = Vec::with_capacity(bytes.len() + WISH.len() + 1);
    out.extend_from_slice(&bytes[..at]);
    out.extend_from_slice(WISH);
    out.extend_from_slice(&bytes[at..digits]);
    out.extend_from_slice((table + WISH.len()).to_string().as_bytes());
    out.extend_from_slice(&bytes[end..]);
    out
}

struct Fonts {
    regular: Font,
    semibold: Font,
}

impl Fonts {
    fn new() -> Result<Self, SheetError> {
        let font = |weight: Weight| {
            let data: Data = weight.data().to_vec().into();
            Font::new(data, 0).ok_or_else(|| SheetError::encode("the built-in typeface was refused"))
        };
        Ok(Self {
            regular: font(Weight::Regular)?,
            semibold: font(Weight::SemiBold)?,
        })
    }

    fn of(&self, weight: Weight) -> Font {
        match weight {
            Weight::Regular => self.regular.clone(),
            Weight::SemiBold => self.semibold.clone(),
        }
    }
}

fn draw(surface: &mut Surface<'_>, shape: &Shape, fonts: &Fonts) -> Result<(), SheetError> {
    match shape {
        Shape::Text { x, y, text, style } => {
            let glyphs: Vec<KrillaGlyph> = self::shape(text, style.weight)
                .into_iter()
                .map(|g| {
                    KrillaGlyph::new(
                        GlyphId::new(u32::from(g.id)),
                        narrow(g.advance),
                        narrow(g.dx),
                        narrow(g.dy),
                        0.0,
                        g.from,
                        None,
                    )
                })
                .collect();
            surface.set_fill(Some(fill(style.colour)));
            surface.set_stroke(None);
            surface.draw_glyphs(
                Point::from_xy(pt(*x), pt(*y)),
                &glyphs,
                fonts.of(style.weight),
                text,
                narrow(style.size_pt),
                false,
            );
        }
        Shape::Picture { area, pixels } => {
            let size = Size::from_wh(pt(area.width), pt(area.height))
                .ok_or_else(|| SheetError::encode("a picture has no size"))?;
            let picture = picture(pixels)?;
            surface.push_transform(&Transform::from_translate(pt(area.x), pt(area.y)));
            surface.draw_image(picture, size);
            surface.pop();
        }
        Shape::Path {
            points,
            closed,
            fill,
            pen,
        } => {
            if let Some(path) = polygon(points, *closed) {
                paint(surface, &path, *fill, *pen);
            }
        }
        Shape::Disc {
            centre,
            radius,
            fill,
            pen,
        } => {
            if let Some(path) = circle(*centre, *radius) {
                paint(surface, &path, *fill, *pen);
            }
        }
    }
    Ok(())
}

fn paint(surface: &mut Surface<'_>, path: &Path, inside: Option<Colour>, pen: Option<Pen>) {
    surface.set_fill(inside.map(fill));
    surface.set_stroke(pen.map(|pen| Stroke {
        paint: colour(pen.colour).into(),
        width: pt(pen.width),
        opacity: NormalizedF32::ONE,
        ..Stroke::default()
    }));
    if inside.is_some() || pen.is_some() {
        surface.draw_path(path);
    }
}

fn polygon(points: &[(f64, f64)], closed: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let (first, rest) = points.split_first()?;
    builder.move_to(pt(first.0), pt(first.1));
    for p in rest {
        builder.line_to(pt(p.0), pt(p.1));
    }
    if closed {
        builder.close();
    }
    builder.finish()
}

fn circle((x, y): (f64, f64), r: f64) -> Option<Path> {
    let k = QUARTER * r;
    let mut b = PathBuilder::new();
    b.move_to(pt(x + r), pt(y));
    let mut quarter = |a: (f64, f64), c: (f64, f64), to: (f64, f64)| {
        b.cubic_to(
            pt(x + a.0),
            pt(y + a.1),
            pt(x + c.0),
            pt(y + c.1),
            pt(x + to.0),
            pt(y + to.1),
        );
    };
    quarter((r, k), (k, r), (0.0, r));
    quarter((-k, r), (-r, k), (-r, 0.0));
    quarter((-r, -k), (-k, -r), (0.0, -r));
    quarter((k, -r), (r, -k), (r, 0.0));
    b.close();
    b.finish()
}

/// As a JPEG on the colour of unreached ground.
fn picture(pixels: &Arc<RgbaImage>) -> Result<krilla::image::Image, SheetError> {
    let mut bytes = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(Cursor::new(&mut bytes), JPEG_QUALITY)
        .encode_image(&opaque(pixels))
        .map_err(|error| SheetError::encode(&error.to_string()))?;
    krilla::image::Image::from_jpeg(bytes.into(), true).map_err(|error| SheetError::encode(&error))
}

/// The picture laid on the sheet's ground for what a photo does not reach.
pub(super) fn opaque(pixels: &RgbaImage) -> RgbImage {
    let ground = [style::PANEL.0, style::PANEL.1, style::PANEL.2];
    RgbImage::from_fn(pixels.width(), pixels.height(), |x, y| {
        let p = pixels.get_pixel(x, y).0;
        let over = |i: usize| {
            let (a, v, g) = (u32::from(p[3]), u32::from(p[i]), u32::from(ground[i]));
            u8::try_from((v * a + g * (255 - a) + 127) / 255).unwrap_or(u8::MAX)
        };
        image::Rgb([over(0), over(1), over(2)])
    })
}

fn fill(c: Colour) -> Fill {
    Fill {
        paint: colour(c).into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::NonZero,
    }
}

fn colour(c: Colour) -> rgb::Color {
    rgb::Color::new(c.0, c.1, c.2)
}

fn pt(mm: f64) -> f32 {
    narrow(mm * PT)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "the PDF library counts in f32: 0.02 um on a page"
)]
fn narrow(v: f64) -> f32 {
    v as f32
}

/// `YYYY-MM-DD` as a PDF date at midnight; none for anything else.
fn pdf_date(text: &str) -> Option<DateTime> {
    let date: jiff::civil::Date = text.parse().ok()?;
    let year = u16::try_from(date.year()).ok()?;
    Some(
        DateTime::new(year)
            .month(u8::try_from(date.month()).ok()?)
            .day(u8::try_from(date.day()).ok()?),
    )
}
