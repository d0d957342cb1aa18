//! Placing, moving and removing landmarks: from what the user did to the edits it asks for.

use super::state::AlignPage;
use crate::app::model::action::Action;
use crate::app::pages::Page;
use crate::geometry::{PicturePoint, PictureVector};
use crate::reference::{LandmarkName, Side};
use crate::specimen::{Edit, PhotoEdit};

/// The first landmark of the side that is not placed, looked for after `after` and then from the start.
#[must_use]
pub fn next_unplaced(page: &Page<'_>, side: Side, after: Option<&LandmarkName>) -> Option<LandmarkName> {
    let photo = page.bench.record().photo(side);
    let landmarks = &page.bench.set.side(side).landmarks;
    let start = after
        .and_then(|name| landmarks.iter().position(|l| &l.name == name))
        .map_or(0, |i| i + 1);
    let (before, from) = landmarks.split_at(start.min(landmarks.len()));
    from.iter()
        .chain(before)
        .map(|l| &l.name)
        .find(|name| Some(*name) != after && photo.is_none_or(|p| !p.landmarks.contains_key(name)))
        .cloned()
}

/// Where the selected landmark lies on the photo, if it is placed.
#[must_use]
pub fn selected_point(state: &AlignPage, page: &Page<'_>) -> Option<(LandmarkName, PicturePoint)> {
    let side = page.bench.side;
    let name = state.selected(side)?.clone();
    let point = *page.bench.record().photo(side)?.landmarks.get(&name)?;
    Some((name, point))
}

/// Places the selected landmark, if it is not placed yet, and selects the next that is not.
pub fn place_selected(state: &mut AlignPage, page: &mut Page<'_>, point: PicturePoint) {
    let side = page.bench.side;
    let Some(name) = state.selected(side).cloned() else {
        return;
    };
    if selected_point(state, page).is_some() || !inside(page, side, point) {
        return;
    }
    let next = next_unplaced(page, side, Some(&name));
    state.placed_last = Some((side, name.clone()));
    page.push(Action::edit(Edit::Photo(side, PhotoEdit::Place(name, point))));
    state.select(side, next);
}

/// The landmark to snap: the selected one where it is placed, else the one placed last, as the next is selected by then.
#[must_use]
pub fn to_snap(state: &AlignPage, page: &Page<'_>) -> Option<LandmarkName> {
    let side = page.bench.side;
    let stands = |name: &LandmarkName| {
        let photo = page.bench.record().photo(side);
        photo.is_some_and(|photo| photo.landmarks.contains_key(name))
    };
    let last = state.placed_last.as_ref().filter(|(of, _)| *of == side);
    state
        .selected(side)
        .filter(|name| stands(name))
        .or(last.map(|(_, name)| name).filter(|name| stands(name)))
        .cloned()
}

/// Moves a placed landmark; edits of one gesture are one step of undo.
pub fn move_to(page: &mut Page<'_>, name: &LandmarkName, point: PicturePoint, gesture: u64) {
    let side = page.bench.side;
    let now = page
        .bench
        .record()
        .photo(side)
        .and_then(|photo| photo.landmarks.get(name));
    // A pointer held still asks for nothing.
    if now == Some(&point) || !inside(page, side, point) {
        return;
    }
    page.push(Action::Edit {
        edit: Edit::Photo(side, PhotoEdit::Move(name.clone(), point)),
        gesture: Some(gesture),
    });
}

/// Moves the selected landmark a little; nudges in quick succession are one step of undo.
pub fn nudge(state: &mut AlignPage, page: &mut Page<'_>, by: PictureVector, now_s: f64) {
    let Some((name, point)) = selected_point(state, page) else {
        return;
    };
    let gesture = state.gestures.nudge(name.as_str(), now_s);
    move_to(page, &name, point + by, gesture);
}

/// Takes the selected landmark off the photo; it stays selected, to be placed again.
pub fn remove_selected(state: &mut AlignPage, page: &mut Page<'_>) {
    let Some((name, _)) = selected_point(state, page) else {
        return;
    };
    page.push(Action::edit(Edit::Photo(
        page.bench.side,
        PhotoEdit::Remove(name),
    )));
}

fn inside(page: &Page<'_>, side: Side, point: PicturePoint) -> bool {
    page.bench.record().photo(side).is_some_and(|photo| {
        let (w, h) = (f64::from(photo.width_px), f64::from(photo.height_px));
        (-0.5..w - 0.5).contains(&point.x) && (-0.5..h - 0.5).contains(&point.y)
    })
}
