//! The magnifier: a round lens beside the pointer. Its pixels are few, so it is drawn at once and never lags.

use std::sync::Arc;

use egui::{Color32, Mesh, Pos2, Rect, TextureOptions, Ui, Vec2};

use super::state::AlignPage;
use crate::app::widgets::camera::{Camera, Sight};
use crate::app::widgets::canvas::{self, Shown, Treatment};
use crate::app::widgets::paint;
use crate::geometry::PicturePoint;
use crate::photo::Picture;

/// The lens's radius in points.
const RADIUS: f32 = 72.0;
/// How much closer than the pane it looks.
const MAGNIFIES: f64 = 6.0;
/// It never looks closer than this, in points per picture px: more shows only larger squares.
const CLOSEST_POINTS_PER_PX: f64 = 16.0;
/// From this scale of the pane on, in points per picture px, it has nothing to add.
const NEEDED_BELOW: f64 = 6.0;

/// Draws the lens for a picture point that lies at a screen position.
pub fn lens_ui(
    ui: &Ui,
    state: &mut AlignPage,
    sight: &Sight,
    picture: &Arc<Picture>,
    at: Pos2,
    point: PicturePoint,
) {
    let scale = sight.points_per_px();
    if scale >= NEEDED_BELOW {
        return;
    }
    let magnified = (scale * MAGNIFIES).min(CLOSEST_POINTS_PER_PX);
    let centre = beside(at, sight.rect);
    let rect = Rect::from_center_size(centre, Vec2::splat(2.0 * RADIUS));
    let view = Sight {
        camera: Camera {
            centre: point,
            zoom: magnified * f64::from(sight.pixels_per_point),
            turn_deg: sight.camera.turn_deg,
        },
        rect,
        pixels_per_point: sight.pixels_per_point,
    };
    let drawn = canvas::draw(
        "lens".to_owned(),
        Shown {
            picture: Arc::clone(picture),
            picture_from_canvas: view.picture_from_canvas(),
            size_px: view.size_px(),
            treatment: Treatment::default(),
        },
    );
    let texture = match &mut state.lens_texture {
        Some(texture) => {
            texture.set(drawn.image, TextureOptions::LINEAR);
            texture
        }
        none => none.insert(ui.ctx().load_texture("lens", drawn.image, TextureOptions::LINEAR)),
    };
    let painter = ui.painter_at(sight.rect);
    painter.circle_filled(centre, RADIUS + 2.0, Color32::from_black_alpha(200));
    painter.add(disc(texture.id(), centre));
    painter.circle_stroke(centre, RADIUS, egui::Stroke::new(1.5, Color32::WHITE));
    paint::open_cross(&painter, centre, 5.0, 22.0, Color32::WHITE);
}

/// Above and to the right of the pointer, turned to where there is room.
fn beside(at: Pos2, rect: Rect) -> Pos2 {
    const OFF: f32 = RADIUS + 28.0;
    let x = if at.x + OFF + RADIUS < rect.right() {
        OFF
    } else {
        -OFF
    };
    let y = if at.y - OFF - RADIUS > rect.top() {
        -OFF
    } else {
        OFF
    };
    at + Vec2::new(x, y)
}

fn disc(texture: egui::TextureId, centre: Pos2) -> Mesh {
    const CORNERS: u16 = 64;
    let mut mesh = Mesh::with_texture(texture);
    let mut corner = |offset: Vec2| {
        mesh.vertices.push(egui::epaint::Vertex {
            pos: centre + offset * RADIUS,
            uv: Pos2::new(0.5, 0.5) + offset * 0.5,
            color: Color32::WHITE,
        });
    };
    corner(Vec2::ZERO);
    for i in 0..CORNERS {
        corner(Vec2::angled(
            std::f32::consts::TAU * f32::from(i) / f32::from(CORNERS),
        ));
    }
    for i in 0..u32::from(CORNERS) {
        mesh.add_triangle(0, 1 + i, 1 + (i + 1) % u32::from(CORNERS));
    }
    mesh
}
