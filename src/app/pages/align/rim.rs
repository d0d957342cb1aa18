//! The rim on the photo: the ellipse with handles by which a wrong one is dragged to the coin's edge.

use egui::{Pos2, Ui};

use super::state::{AlignPage, Shows};
use crate::align::Rim;
use crate::app::model::action::Action;
use crate::app::model::bench::index;
use crate::app::model::page::Page;
use crate::app::widgets::camera::Sight;
use crate::app::widgets::paint;
use crate::app::widgets::theme::Palette;
use crate::geometry::{PicturePoint, PictureVector};
use crate::specimen::{Edit, PhotoEdit};

/// What of the rim is dragged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Handle {
    /// The centre: moves all of it.
    Centre,
    /// An end of the longer axis: its length and turn.
    Long,
    /// An end of the shorter axis: its length.
    Short,
    /// The ring itself, anywhere: its size, its shape kept.
    Ring,
}

/// A handle being dragged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RimDrag {
    /// Which.
    pub handle: Handle,
    /// The gesture's number, so that the drag is one step of undo.
    pub gesture: u64,
    /// The rim as it was.
    pub before: Rim,
    /// Where the pointer was, in picture px.
    pub from: PicturePoint,
}

/// The directions of the longer and the shorter axis.
fn axes(rim: &Rim) -> (PictureVector, PictureVector) {
    let (sin, cos) = rim.turn_deg.to_radians().sin_cos();
    (PictureVector::new(cos, sin), PictureVector::new(-sin, cos))
}

fn handles(rim: &Rim) -> [(Handle, PicturePoint); 5] {
    let (long, short) = axes(rim);
    [
        (Handle::Centre, rim.centre),
        (Handle::Long, rim.centre + long * rim.long_px),
        (Handle::Long, rim.centre - long * rim.long_px),
        (Handle::Short, rim.centre + short * rim.short_px),
        (Handle::Short, rim.centre - short * rim.short_px),
    ]
}

/// Draws the rim with its handles.
pub fn paint_rim(ui: &Ui, p: &Palette, sight: &Sight, rim: &Rim) {
    const CORNERS: u16 = 96;
    let painter = ui.painter_at(sight.rect);
    let (long, short) = axes(rim);
    let points: Vec<Pos2> = (0..CORNERS)
        .map(|i| {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / f64::from(CORNERS)).sin_cos();
            sight.position(rim.centre + long * (rim.long_px * cos) + short * (rim.short_px * sin))
        })
        .collect();
    paint::outline(&painter, &points, 1.5, p.on_picture);
    for (handle, point) in handles(rim) {
        let at = sight.position(point);
        if handle == Handle::Centre {
            paint::open_cross(&painter, at, 2.0, 9.0, p.on_picture);
        } else {
            painter.circle_filled(at, 6.0, egui::Color32::from_black_alpha(170));
            painter.circle_filled(at, 4.5, p.on_picture);
        }
    }
}

/// Where a point lies against the ring: 1 on it, less within; its size counts, not its shape.
fn share(rim: &Rim, point: PicturePoint) -> f64 {
    let (long, short) = axes(rim);
    let from_centre = point - rim.centre;
    (from_centre.dot(long) / rim.long_px).hypot(from_centre.dot(short) / rim.short_px)
}

/// What a press at a position takes hold of: a handle, else the ring itself.
fn handle_under(rim: &Rim, sight: &Sight, position: Pos2) -> Option<Handle> {
    /// How near the pointer must come to the ring, in points.
    const REACH: f64 = 6.0;
    let handles = handles(rim);
    let handle = super::marks::nearest(sight, position, handles.iter().map(|(h, q)| (h, q)));
    if let Some((handle, _)) = handle {
        return Some(*handle);
    }
    let off_px = (share(rim, sight.picture_point(position)) - 1.0).abs() * rim.short_px;
    (off_px * sight.points_per_px() <= REACH).then_some(Handle::Ring)
}

/// Whether a press at a position would take hold of the rim.
pub fn is_under(state: &AlignPage, page: &Page<'_>, sight: &Sight, position: Pos2) -> bool {
    let rim = page
        .bench
        .record()
        .photo(page.bench.side)
        .and_then(|photo| photo.rim);
    state.rim == Shows::Yes && rim.is_some_and(|rim| handle_under(&rim, sight, position).is_some())
}

/// The handle under a position, with the rim, where the rim is shown.
pub fn grab(state: &mut AlignPage, page: &Page<'_>, sight: &Sight, origin: Pos2) -> Option<RimDrag> {
    if state.rim == Shows::No {
        return None;
    }
    let rim = page.bench.record().photo(page.bench.side)?.rim?;
    let handle = handle_under(&rim, sight, origin)?;
    Some(RimDrag {
        handle,
        gesture: state.new_gesture(),
        before: rim,
        from: sight.picture_point(origin),
    })
}

/// The rim after its handle was dragged to a point.
#[must_use]
pub fn dragged(drag: &RimDrag, to: PicturePoint) -> Rim {
    /// No smaller, in px: a rim of no size has no axes.
    const LEAST_PX: f64 = 8.0;
    let mut rim = drag.before;
    rim.by_hand = true;
    let from_centre = to - rim.centre;
    match drag.handle {
        Handle::Centre => rim.centre += to - drag.from,
        Handle::Long => {
            // Both ends grow alike; a nearly round rim keeps its shape, so that one pull sizes it.
            let ratio = rim.short_px / rim.long_px.max(LEAST_PX);
            rim.long_px = from_centre.length().max(LEAST_PX);
            rim.short_px = rim.long_px * ratio;
            let turn = from_centre.y.atan2(from_centre.x).to_degrees();
            // The other end points the opposite way; an ellipse has no front.
            rim.turn_deg = turn.rem_euclid(180.0);
        }
        Handle::Short => {
            let (_, short) = axes(&rim);
            rim.short_px = from_centre.dot(short).abs().max(LEAST_PX);
        }
        Handle::Ring => {
            let least = LEAST_PX / rim.short_px.max(LEAST_PX);
            let factor = share(&rim, to).max(least);
            rim.long_px *= factor;
            rim.short_px *= factor;
        }
    }
    if rim.short_px > rim.long_px {
        std::mem::swap(&mut rim.short_px, &mut rim.long_px);
        rim.turn_deg = (rim.turn_deg + 90.0).rem_euclid(180.0);
    }
    rim
}

/// Asks for the rim as it was dragged.
pub fn drag_to(page: &mut Page<'_>, drag: &RimDrag, to: PicturePoint) {
    let rim = dragged(drag, to);
    // A pointer held still asks for nothing.
    if page
        .bench
        .record()
        .photo(page.bench.side)
        .and_then(|photo| photo.rim)
        == Some(rim)
    {
        return;
    }
    page.push(Action::Edit {
        edit: Edit::Photo(page.bench.side, PhotoEdit::SetRim(rim)),
        gesture: Some(drag.gesture),
    });
}

/// Puts a ring on the photo, to be dragged to the coin's edge.
fn draw(state: &mut AlignPage, page: &mut Page<'_>) {
    /// The ring's radius as a share of the photo's shorter side.
    const SHARE: f64 = 0.4;
    let side = page.bench.side;
    let Some(photo) = page.bench.record().photo(side) else {
        return;
    };
    let (w, h) = (f64::from(photo.width_px), f64::from(photo.height_px));
    let radius = w.min(h) * SHARE;
    let rim = Rim {
        centre: PicturePoint::new((w - 1.0) / 2.0, (h - 1.0) / 2.0),
        long_px: radius,
        short_px: radius,
        turn_deg: 0.0,
        by_hand: true,
    };
    state.rim = Shows::Yes;
    page.push(Action::edit(Edit::Photo(side, PhotoEdit::SetRim(rim))));
}

/// What is known of the rim before any landmark stands, and the way to mend it.
pub fn first_ui(ui: &mut Ui, p: &Palette, state: &mut AlignPage, page: &mut Page<'_>) {
    let side = page.bench.side;
    let rim = page.bench.record().photo(side).and_then(|photo| photo.rim);
    ui.horizontal_wrapped(|ui| match rim {
        Some(rim) => {
            let how = if rim.by_hand {
                "The rim is marked by hand"
            } else {
                "The rim was found"
            };
            ui.colored_label(p.quiet, format!("{how}: one landmark already shows the zones."));
            if state.rim == Shows::No && ui.link("Show the rim").clicked() {
                state.rim = Shows::Yes;
            }
        }
        None => {
            let said = page.bench.rim_said[index(side)].clone();
            match said {
                Some(said) => ui.colored_label(p.quiet, format!("The rim: {said}")),
                None => ui.colored_label(p.quiet, "The rim is not marked: two landmarks show the zones."),
            };
            if ui.link("Draw the rim").clicked() {
                draw(state, page);
            }
        }
    });
}

/// What is known of the rim, and what can be done about it.
pub fn rim_ui(ui: &mut Ui, p: &Palette, state: &mut AlignPage, page: &mut Page<'_>) {
    let side = page.bench.side;
    let Some(photo) = page.bench.record().photo(side) else {
        return;
    };
    let rim = photo.rim;
    ui.horizontal_wrapped(|ui| {
        ui.label("Rim");
        match rim {
            Some(rim) => {
                let how = if rim.by_hand { "by hand" } else { "found" };
                let words = format!(
                    "{how}, {:.0} \u{d7} {:.0} px across",
                    2.0 * rim.long_px,
                    2.0 * rim.short_px
                );
                ui.colored_label(p.quiet, words);
                let shown = state.rim == Shows::Yes;
                let toggle = ui.selectable_label(shown, "Correct");
                if toggle
                    .on_hover_text(
                        "Show the rim on the photo, and drag it or its handles to the coin's edge (R)",
                    )
                    .clicked()
                {
                    state.rim = state.rim.other();
                }
                if ui
                    .button("Remove")
                    .on_hover_text("Align by the landmarks alone")
                    .clicked()
                {
                    page.push(Action::edit(Edit::Photo(side, PhotoEdit::RemoveRim)));
                }
            }
            None => {
                let words = page.bench.rim_said[index(side)]
                    .clone()
                    .unwrap_or_else(|| "not marked".to_owned());
                ui.colored_label(p.quiet, words);
                if ui
                    .button("Find")
                    .on_hover_text("Look for the coin's edge in the photo")
                    .clicked()
                {
                    page.push(Action::FindRim(side));
                }
                if ui
                    .button("Draw")
                    .on_hover_text("Drag a ring to the coin's edge")
                    .clicked()
                {
                    draw(state, page);
                }
            }
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drag(handle: Handle) -> RimDrag {
        RimDrag {
            handle,
            gesture: 1,
            before: Rim {
                centre: PicturePoint::new(100.0, 100.0),
                long_px: 50.0,
                short_px: 40.0,
                turn_deg: 0.0,
                by_hand: false,
            },
            from: PicturePoint::new(100.0, 100.0),
        }
    }

    fn moved_from() -> PicturePoint {
        drag(Handle::Centre).before.centre
    }

    #[test]
    fn handles_do_what_they_say() {
        let moved = dragged(&drag(Handle::Centre), PicturePoint::new(110.0, 95.0));
        assert_eq!(moved.centre, PicturePoint::new(110.0, 95.0));
        assert!(moved.by_hand);
        let longer = dragged(&drag(Handle::Long), PicturePoint::new(100.0, 200.0));
        assert!((longer.long_px - 100.0).abs() < 1e-9 && (longer.short_px - 80.0).abs() < 1e-9);
        assert!((longer.turn_deg - 90.0).abs() < 1e-9);
        // Pulled anywhere the ring goes through the pointer and keeps its shape.
        let to = PicturePoint::new(130.0, 140.0);
        let larger = dragged(&drag(Handle::Ring), to);
        assert!((share(&larger, to) - 1.0).abs() < 1e-9);
        assert!((larger.short_px / larger.long_px - 0.8).abs() < 1e-9 && larger.centre == moved_from());
        // The shorter axis pulled past the longer one becomes the longer.
        let swapped = dragged(&drag(Handle::Short), PicturePoint::new(103.0, 160.0));
        assert!((swapped.long_px - 60.0).abs() < 1e-9 && (swapped.short_px - 50.0).abs() < 1e-9);
        assert!((swapped.turn_deg - 90.0).abs() < 1e-9);
    }
}
