//! Canvases: places on the screen that show a picture resampled to the screen's own pixels by a worker. While the new
//! picture is on its way the last one is drawn in the right place, so that panning and zooming never wait.

use std::collections::HashMap;
use std::sync::Arc;

use egui::epaint::Vertex;
use egui::{Color32, ColorImage, Mesh, Painter, Pos2, Rect, TextureHandle, TextureId, TextureOptions, Ui};
use image::RgbaImage;
use nalgebra::{Matrix3, Vector3};

use super::camera::Sight;
use crate::crop::{Crop, CropFrame, edges_over, even_light, magnification, signed_difference, view_picture};
use crate::geometry::SidePoint;
use crate::photo::Picture;

/// Names a canvas: a page's own text, such as "photo/obverse" or "cell/3".
pub type CanvasKey = String;

/// What a canvas shows.
#[derive(Clone)]
pub struct Shown {
    /// The picture; compared by identity.
    pub picture: Arc<Picture>,
    /// From the canvas's physical pixels (top-left pixel's centre at 0, 0) to upright picture px.
    pub picture_from_canvas: Matrix3<f64>,
    /// Width and height in physical pixels.
    pub size_px: [u32; 2],
    /// What is done to the cut pixels.
    pub treatment: Treatment,
}

/// What is done to the cut pixels before they are shown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Treatment {
    /// How strongly the light is evened, 0 to 1.
    pub light_evened: f32,
    /// Canvas px per mm of the side, which says how far the light's surroundings reach; 0 where no light is evened.
    pub px_per_mm: f64,
    /// A second picture to compare with, pixel by pixel.
    pub against: Option<Against>,
}

/// A second picture seen through the same canvas.
#[derive(Debug, Clone)]
pub struct Against {
    /// The picture; compared by identity.
    pub picture: Arc<Picture>,
    /// As [`Shown::picture_from_canvas`].
    pub picture_from_canvas: Matrix3<f64>,
    /// What is shown of the two.
    pub how: PixelInstrument,
}

impl PartialEq for Against {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.picture, &other.picture)
            && self.picture_from_canvas == other.picture_from_canvas
            && self.how == other.how
    }
}

/// The instruments that look at two pictures pixel by pixel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PixelInstrument {
    /// The first picture's edges as lines over the second in grey.
    EdgesOver,
    /// The second's brightness less the first's, in diverging colours.
    SignedDifference,
}

/// The colour of the edges of [`PixelInstrument::EdgesOver`]: seen on grey metal in any light.
pub const EDGE_COLOUR: [u8; 3] = [255, 196, 0];
/// The difference in levels of 255 at which the colours of [`PixelInstrument::SignedDifference`] end.
pub const DIFFERENCE_RANGE: f64 = 96.0;

impl Shown {
    fn same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.picture, &other.picture)
            && self.picture_from_canvas == other.picture_from_canvas
            && self.size_px == other.size_px
            && self.treatment == other.treatment
    }
}

/// A canvas drawn by a worker.
pub struct Drawn {
    /// Which.
    pub key: CanvasKey,
    /// What was asked for.
    pub shown: Shown,
    /// Its pixels.
    pub image: ColorImage,
}

/// Draws what a canvas shows; runs on a worker. Clear where the picture does not reach.
#[must_use]
pub fn draw(key: CanvasKey, shown: Shown) -> Drawn {
    let [w, h] = shown.size_px;
    let cut =
        |picture: &Picture, from: &Matrix3<f64>| lit(view_picture(picture, from, w, h), &shown.treatment);
    let first = cut(&shown.picture, &shown.picture_from_canvas);
    let pixels = match &shown.treatment.against {
        None => first,
        Some(against) => {
            let second = cut(&against.picture, &against.picture_from_canvas);
            let both = match against.how {
                PixelInstrument::EdgesOver => {
                    let magnified = magnification(&shown.picture_from_canvas, w, h);
                    edges_over(&first, &second, EDGE_COLOUR, magnified)
                }
                PixelInstrument::SignedDifference => signed_difference(&first, &second, DIFFERENCE_RANGE),
            };
            // Both were cut to one size, so there is nothing to refuse.
            both.unwrap_or(first)
        }
    };
    let image = ColorImage::from_rgba_unmultiplied([w as usize, h as usize], pixels.as_raw());
    Drawn { key, shown, image }
}

/// Evens the light where asked for.
fn lit(pixels: RgbaImage, treatment: &Treatment) -> RgbaImage {
    if treatment.light_evened <= 0.0 || treatment.px_per_mm <= 0.0 {
        return pixels;
    }
    let frame = CropFrame {
        centre: SidePoint::origin(),
        px_per_mm: treatment.px_per_mm,
        rotation_deg: 0.0,
        width_px: pixels.width(),
        height_px: pixels.height(),
    };
    even_light(&Crop { frame, pixels }, f64::from(treatment.light_evened)).pixels
}

struct Canvas {
    wanted: Option<Shown>,
    drawn: Option<(Shown, TextureHandle)>,
    /// The frame in which it was last shown, to forget canvases of pages left long ago.
    last_frame: u64,
}

/// All canvases of the window.
#[derive(Default)]
pub struct Canvases {
    canvases: HashMap<CanvasKey, Canvas>,
    requests: Vec<(CanvasKey, Shown)>,
}

impl Canvases {
    /// Frames after which an unseen canvas gives its texture back.
    const KEEP_FRAMES: u64 = 600;

    /// Shows a canvas in `rect` (in points); asks for a new drawing where the last is not of exactly this.
    pub fn show(&mut self, ui: &Ui, rect: Rect, key: &str, shown: Shown) {
        self.show_part(ui, rect, rect, 1.0, key, shown);
    }

    /// Shows a picture as it is seen.
    pub fn show_picture(&mut self, ui: &Ui, key: &str, picture: &Arc<Picture>, sight: &Sight) {
        let shown = Shown {
            picture: Arc::clone(picture),
            picture_from_canvas: sight.picture_from_canvas(),
            size_px: sight.size_px(),
            treatment: Treatment::default(),
        };
        self.show(ui, sight.rect, key, shown);
    }

    /// As [`Canvases::show`], but only what lies in `part` and with an opacity of 0 to 1: for curtains and blends.
    pub fn show_part(&mut self, ui: &Ui, rect: Rect, part: Rect, opacity: f32, key: &str, shown: Shown) {
        let frame = ui.ctx().cumulative_frame_nr();
        let canvas = self.canvases.entry(key.to_owned()).or_insert(Canvas {
            wanted: None,
            drawn: None,
            last_frame: frame,
        });
        canvas.last_frame = frame;
        if let Some((old, texture)) = &canvas.drawn
            && Arc::ptr_eq(&old.picture, &shown.picture)
        {
            let painter = ui.painter_at(rect.intersect(part));
            let tint = Color32::WHITE.gamma_multiply(opacity);
            paint(&painter, rect, texture.id(), tint, old, &shown);
        }
        let up_to_date = canvas.drawn.as_ref().is_some_and(|(old, _)| old.same(&shown));
        let asked = canvas.wanted.as_ref().is_some_and(|w| w.same(&shown));
        if !up_to_date && !asked {
            canvas.wanted = Some(shown.clone());
            self.requests.push((key.to_owned(), shown));
        }
    }

    /// The drawings asked for since the last call, to hand to the workers.
    pub fn take_requests(&mut self) -> Vec<(CanvasKey, Shown)> {
        std::mem::take(&mut self.requests)
    }

    /// Takes a drawing in.
    pub fn accept(&mut self, ctx: &egui::Context, drawn: Drawn) {
        let frame = ctx.cumulative_frame_nr();
        self.canvases
            .retain(|_, c| frame.saturating_sub(c.last_frame) < Self::KEEP_FRAMES);
        let Some(canvas) = self.canvases.get_mut(&drawn.key) else {
            return;
        };
        let texture = ctx.load_texture(&drawn.key, drawn.image, TextureOptions::LINEAR);
        if canvas.wanted.as_ref().is_some_and(|w| w.same(&drawn.shown)) {
            canvas.wanted = None;
        }
        canvas.drawn = Some((drawn.shown, texture));
    }
}

/// Paints an older drawing where its content belongs now. A grid, so that perspective is followed closely.
fn paint(painter: &Painter, rect: Rect, texture: TextureId, tint: Color32, old: &Shown, now: &Shown) {
    const CELLS: u16 = 8;
    let Some(canvas_from_picture) = now.picture_from_canvas.try_inverse() else {
        return;
    };
    let now_from_old = canvas_from_picture * old.picture_from_canvas;
    let points_per_px = rect.width() / now.size_px[0].max(1) as f32;
    let mut mesh = Mesh::with_texture(texture);
    let (w, h) = (f64::from(old.size_px[0]), f64::from(old.size_px[1]));
    for row in 0..=CELLS {
        for column in 0..=CELLS {
            let u = f64::from(column) / f64::from(CELLS);
            let v = f64::from(row) / f64::from(CELLS);
            // Pixel centres are whole numbers, so the drawing's edge is half a pixel before the first.
            let q = now_from_old * Vector3::new(u * w - 0.5, v * h - 0.5, 1.0);
            let (x, y) = (q.x / q.z + 0.5, q.y / q.z + 0.5);
            #[expect(
                clippy::cast_possible_truncation,
                reason = "screen and texture coordinates are f32"
            )]
            mesh.vertices.push(Vertex {
                pos: Pos2::new(
                    rect.left() + x as f32 * points_per_px,
                    rect.top() + y as f32 * points_per_px,
                ),
                uv: Pos2::new(u as f32, v as f32),
                color: tint,
            });
        }
    }
    let stride = u32::from(CELLS) + 1;
    for row in 0..u32::from(CELLS) {
        for column in 0..u32::from(CELLS) {
            let i = row * stride + column;
            mesh.add_triangle(i, i + 1, i + stride);
            mesh.add_triangle(i + 1, i + stride + 1, i + stride);
        }
    }
    painter.add(mesh);
}
