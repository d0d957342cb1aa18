//! A pane that shows a picture under pan, zoom and turn: by drag, middle button or Space, wheel at the pointer, pinch.

use egui::{
    EventFilter, Id, Key, PointerButton, Popup, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui,
    WidgetInfo,
};

use super::camera::{Camera, Sight};
use super::theme::palette;
use crate::geometry::PicturePoint;
use crate::photo::Picture;

/// How a pane looks at its picture.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PictureView {
    /// Where the user moved it; none while it fits the pane.
    free: Option<Camera>,
    /// The turn while it fits, clockwise on the screen, in degrees.
    turn_deg: f64,
}

/// Whether a drag with the primary button pans.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PrimaryDrag {
    /// It pans.
    Pans,
    /// It moves something else.
    IsTaken,
}

/// What a pane shows while it fits: a circle's surroundings, or all of the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FitTo {
    /// The middle.
    pub centre: PicturePoint,
    /// Width and height in picture px.
    pub size: (f64, f64),
}

impl FitTo {
    /// All of a picture.
    #[must_use]
    pub fn whole(picture: &Picture) -> Self {
        let (w, h) = (f64::from(picture.width()), f64::from(picture.height()));
        Self {
            centre: PicturePoint::new((w - 1.0) / 2.0, (h - 1.0) / 2.0),
            size: (w, h),
        }
    }
}

impl PictureView {
    /// What is seen through a rectangle of the screen.
    #[must_use]
    pub fn sight(&self, ui: &Ui, rect: Rect, fit: FitTo) -> Sight {
        let pixels_per_point = ui.pixels_per_point();
        let size = rect.size() * pixels_per_point;
        let size = [f64::from(size.x), f64::from(size.y)];
        let camera = self
            .free
            .unwrap_or_else(|| Camera::fitting(fit.centre, fit.size.0, fit.size.1, size, self.turn_deg));
        Sight {
            camera,
            rect,
            pixels_per_point,
        }
    }

    /// Fits the pane again.
    pub fn fit(&mut self) {
        self.free = None;
    }

    /// Looks as a camera does.
    pub fn look(&mut self, camera: Camera) {
        self.free = Some(camera);
        self.turn_deg = camera.turn_deg;
    }

    /// Whether it fits the pane.
    #[must_use]
    pub fn fits(&self) -> bool {
        self.free.is_none()
    }

    /// Turns to an angle, clockwise on the screen, in degrees, about the middle.
    pub fn turn_to(&mut self, turn_deg: f64) {
        self.turn_deg = turn_deg.rem_euclid(360.0);
        if let Some(camera) = &mut self.free {
            camera.turn_deg = self.turn_deg;
        }
    }

    /// Its turn, clockwise on the screen, in degrees.
    #[must_use]
    pub fn turn_deg(&self) -> f64 {
        self.turn_deg
    }

    /// Follows the pointer: pans and zooms. Returns what is then seen.
    pub fn navigate(&mut self, ui: &Ui, response: &Response, mut sight: Sight, drag: PrimaryDrag) -> Sight {
        let space = ui.input(|i| i.key_down(Key::Space));
        let pans = response.dragged_by(PointerButton::Middle)
            || (response.dragged_by(PointerButton::Primary) && (drag == PrimaryDrag::Pans || space));
        if pans {
            sight.camera = sight.panned(response.drag_delta());
            self.look(sight.camera);
            ui.set_cursor_icon(egui::CursorIcon::Grabbing);
        }
        if let Some(position) = response.hover_pos() {
            let (wheel, pinch) = ui.input(|i| (i.smooth_scroll_delta().y, i.zoom_delta()));
            let factor = f64::from(pinch) * (f64::from(wheel) * WHEEL_ZOOM).exp();
            if (factor - 1.0).abs() > 1e-6 {
                sight.camera = sight.zoomed(position, factor);
                self.look(sight.camera);
            }
        }
        sight
    }
}

/// How much a point of wheel travel zooms, as a power of e; a usual notch of 50 points gives about a fifth.
const WHEEL_ZOOM: f64 = 0.0036;

/// A pane in all the room that is left; pressed, it takes the focus. `name` is what a screen reader says.
pub fn pane(ui: &mut Ui, id: Id, name: &str) -> Response {
    let rect = ui.available_rect_before_wrap();
    ui.advance_cursor_after_rect(rect);
    let response = ui.interact(rect, id, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, name));
    if response.clicked() || response.drag_started() {
        response.request_focus();
    }
    response
}

/// While the pane has the focus the arrow keys nudge and do not walk over the widgets; Tab still does.
pub fn keep_arrows(ui: &Ui, id: Id) {
    let filter = EventFilter {
        tab: false,
        horizontal_arrows: true,
        vertical_arrows: true,
        escape: true,
    };
    ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
}

/// Whether keys are the pane's: no other widget and no menu has a claim on them.
#[must_use]
pub fn has_keys(ui: &Ui, id: Id) -> bool {
    let focused = ui.memory(|m| m.focused());
    focused.is_none_or(|focused| focused == id) && !Popup::is_any_open(ui.ctx())
}

/// Outlines the pane while it has the focus.
pub fn outline_focus(ui: &Ui, response: &Response) {
    if response.has_focus() {
        let stroke = Stroke::new(1.0, palette(ui).accent);
        ui.painter()
            .rect_stroke(response.rect, 0.0, stroke, StrokeKind::Inside);
    }
}
