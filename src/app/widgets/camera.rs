//! Which part of a picture is in view: pan, zoom and turn. Knows no widgets.

use egui::{Pos2, Rect};
use nalgebra::{Matrix3, Vector3};

use crate::geometry::{PicturePoint, PictureVector};

/// A view of a picture in a rectangle of the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// The picture point at the rectangle's middle.
    pub centre: PicturePoint,
    /// Physical screen pixels per picture px.
    pub zoom: f64,
    /// By how much the picture is turned clockwise on the screen, in degrees.
    pub turn_deg: f64,
}

/// A camera looking through a rectangle of the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sight {
    /// The camera.
    pub camera: Camera,
    /// The rectangle, in points.
    pub rect: Rect,
    /// Physical pixels per point.
    pub pixels_per_point: f32,
}

impl Camera {
    /// The closest view, in physical pixels per picture px.
    pub const CLOSEST: f64 = 64.0;
    /// The farthest.
    pub const FARTHEST: f64 = 1.0 / 64.0;

    /// A view of all of `width` by `height` px about `centre`, in a rectangle of `size_px` physical pixels.
    #[must_use]
    pub fn fitting(centre: PicturePoint, width: f64, height: f64, size_px: [f64; 2], turn_deg: f64) -> Self {
        let (sin, cos) = turn_deg.to_radians().sin_cos();
        let across = width * cos.abs() + height * sin.abs();
        let down = width * sin.abs() + height * cos.abs();
        let zoom = (size_px[0] / across.max(1.0)).min(size_px[1] / down.max(1.0));
        Self {
            centre,
            zoom: zoom.clamp(Self::FARTHEST, Self::CLOSEST),
            turn_deg,
        }
    }

    /// The picture's shift for a shift on the screen, in px; `dx` and `dy` in physical pixels.
    #[must_use]
    pub fn picture_shift(&self, dx: f64, dy: f64) -> PictureVector {
        let (sin, cos) = self.turn_deg.to_radians().sin_cos();
        PictureVector::new(cos * dx + sin * dy, -sin * dx + cos * dy) / self.zoom
    }
}

impl Sight {
    /// The rectangle's size in physical pixels.
    #[must_use]
    pub fn size_px(&self) -> [u32; 2] {
        let size = self.rect.size() * self.pixels_per_point;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a screen's size"
        )]
        [size.x.round().max(1.0) as u32, size.y.round().max(1.0) as u32]
    }

    /// From the rectangle's physical pixels (first pixel's centre at 0, 0) to picture px.
    #[must_use]
    pub fn picture_from_canvas(&self) -> Matrix3<f64> {
        let [w, h] = self.size_px().map(f64::from);
        let Camera {
            centre,
            zoom,
            turn_deg,
        } = self.camera;
        let (sin, cos) = turn_deg.to_radians().sin_cos();
        let (mx, my) = ((w - 1.0) / 2.0, (h - 1.0) / 2.0);
        let k = 1.0 / zoom;
        Matrix3::new(
            k * cos,
            k * sin,
            centre.x - k * (cos * mx + sin * my),
            -k * sin,
            k * cos,
            centre.y - k * (-sin * mx + cos * my),
            0.0,
            0.0,
            1.0,
        )
    }

    /// The picture point under a screen position.
    #[must_use]
    pub fn picture_point(&self, position: Pos2) -> PicturePoint {
        let ppp = self.pixels_per_point;
        let d = (position - self.rect.min) * ppp;
        let v = self.picture_from_canvas() * Vector3::new(f64::from(d.x) - 0.5, f64::from(d.y) - 0.5, 1.0);
        PicturePoint::new(v.x, v.y)
    }

    /// The screen position of a picture point.
    #[must_use]
    pub fn position(&self, point: PicturePoint) -> Pos2 {
        let d = point - self.camera.centre;
        let (sin, cos) = self.camera.turn_deg.to_radians().sin_cos();
        let zoom = self.camera.zoom;
        let [w, h] = self.size_px().map(f64::from);
        let x = w / 2.0 + zoom * (cos * d.x - sin * d.y);
        let y = h / 2.0 + zoom * (sin * d.x + cos * d.y);
        let ppp = f64::from(self.pixels_per_point);
        #[expect(clippy::cast_possible_truncation, reason = "screen coordinates are f32")]
        Pos2::new(
            self.rect.left() + (x / ppp) as f32,
            self.rect.top() + (y / ppp) as f32,
        )
    }

    /// Points per picture px.
    #[must_use]
    pub fn points_per_px(&self) -> f64 {
        self.camera.zoom / f64::from(self.pixels_per_point)
    }

    /// The camera moved by a drag on the screen, in points.
    #[must_use]
    pub fn panned(&self, drag: egui::Vec2) -> Camera {
        let drag = drag * self.pixels_per_point;
        let shift = self.camera.picture_shift(f64::from(drag.x), f64::from(drag.y));
        Camera {
            centre: self.camera.centre - shift,
            ..self.camera
        }
    }

    /// The camera `factor` closer, the picture point under `position` kept where it is.
    #[must_use]
    pub fn zoomed(&self, position: Pos2, factor: f64) -> Camera {
        let kept = self.picture_point(position);
        let zoom = (self.camera.zoom * factor).clamp(Camera::FARTHEST, Camera::CLOSEST);
        let shrink = self.camera.zoom / zoom;
        Camera {
            centre: kept + (self.camera.centre - kept) * shrink,
            zoom,
            ..self.camera
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sight(turn_deg: f64) -> Sight {
        Sight {
            camera: Camera {
                centre: PicturePoint::new(700.0, 500.0),
                zoom: 0.4,
                turn_deg,
            },
            rect: Rect::from_min_size(Pos2::new(20.0, 30.0), egui::vec2(400.0, 300.0)),
            pixels_per_point: 2.0,
        }
    }

    #[test]
    fn screen_and_picture_are_each_others_inverse() {
        for turn in [0.0, 33.0, 270.0] {
            let sight = sight(turn);
            let position = Pos2::new(150.5, 250.25);
            let back = sight.position(sight.picture_point(position));
            assert!((back - position).length() < 1e-3, "{back:?}");
        }
        let middle = sight(90.0).picture_point(Pos2::new(220.0, 180.0));
        assert!((middle - PicturePoint::new(700.0, 500.0)).length() < 1e-9);
    }

    #[test]
    fn a_turn_by_a_quarter_brings_the_pictures_top_to_the_right() {
        let top = PicturePoint::new(700.0, 400.0);
        let position = sight(90.0).position(top);
        assert!(
            (position - Pos2::new(240.0, 180.0)).length() < 1e-3,
            "{position:?}"
        );
    }

    #[test]
    fn zooming_keeps_the_point_under_the_pointer() {
        let mut sight = sight(12.0);
        let position = Pos2::new(60.0, 70.0);
        let before = sight.picture_point(position);
        sight.camera = sight.zoomed(position, 7.0);
        assert!((sight.picture_point(position) - before).length() < 1e-9);
        sight.camera = sight.zoomed(position, 1e9);
        assert!((sight.camera.zoom - Camera::CLOSEST).abs() < 1e-12);
    }

    #[test]
    fn panning_moves_the_picture_with_the_pointer() {
        let mut sight = sight(33.0);
        let before = sight.picture_point(Pos2::new(100.0, 100.0));
        sight.camera = sight.panned(egui::vec2(25.0, -12.0));
        assert!((sight.position(before) - Pos2::new(125.0, 88.0)).length() < 1e-3);
    }

    #[test]
    fn fitting_holds_the_whole_picture_at_any_turn() {
        let size_px = [800.0, 600.0];
        for turn in [0.0, 90.0, 45.0] {
            let mut sight = sight(turn);
            sight.camera = Camera::fitting(PicturePoint::new(2000.0, 1500.0), 4000.0, 3000.0, size_px, turn);
            for corner in [(0.0, 0.0), (4000.0, 0.0), (0.0, 3000.0), (4000.0, 3000.0)] {
                let position = sight.position(PicturePoint::new(corner.0, corner.1));
                assert!(sight.rect.expand(0.01).contains(position), "{turn} {position:?}");
            }
        }
    }
}
