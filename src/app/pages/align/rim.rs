//! The rim on the photo: how it is known, and how it is corrected.

use egui::{Pos2, Ui};

use super::state::{AlignPage, Shows};
use crate::align::Rim;
use crate::app::model::action::Action;
use crate::app::pages::Page;
use crate::app::widgets::camera::Sight;
use crate::app::widgets::rim::{RimDrag, dragged, handle_under};
use crate::app::widgets::theme::Palette;
use crate::geometry::PicturePoint;
use crate::specimen::{Edit, PhotoEdit};

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
        gesture: state.gestures.begin(),
        before: rim,
        from: sight.picture_point(origin),
    })
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
    let rim = Rim::in_the_middle((photo.width_px, photo.height_px), SHARE);
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
            let said = page.bench.rim_said[side].clone();
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
                let words = page.bench.rim_said[side]
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
