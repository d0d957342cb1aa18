//! Snapping landmarks to the plate off the UI thread, and proposing those not yet placed.

use std::sync::Arc;

use super::window::Window;
use crate::align::{Marked, Snap, SnapRefused, propose_rest, snap};
use crate::app::model::action::Action;
use crate::app::model::done::Done;
use crate::app::model::snapping::Snapping;
use crate::app::pages::align::Snapped;
use crate::geometry::PicturePoint;
use crate::reference::{Landmark, LandmarkName, Side};
use crate::specimen::{Edit, PhotoEdit};
use crate::words::plate_not_aligned;

/// How far around a rough click a landmark is looked for, in mm. A hand's usual miss; common practice, no source.
const REACH_OF_A_CLICK_MM: f64 = 0.6;
impl Window {
    /// Looks for landmarks of a side on its photo, by the plate in view.
    pub(super) fn snap(&mut self, side: Side, what: Snapping) {
        let Some(bench) = &mut self.bench else { return };
        let Some(Ok(alignment)) = bench.derived().alignments[side].clone() else {
            self.notices
                .done("Place two landmarks first: snapping must know how the coin lies.");
            return;
        };
        let plate = self.pages.align.plates[side].clone();
        let plate = plate.map(|(die, n)| self.plates.get(&(side, die, n)));
        let read = plate.and_then(|view| Some((view.slot.picture()?.clone(), view.alignment?)));
        let (plate, plate_alignment) = match read {
            Some((plate, Ok(alignment))) => (plate, alignment),
            Some((_, Err(error))) => {
                self.notices.done(plate_not_aligned(&error));
                return;
            }
            None => {
                self.notices
                    .done("The plate in view cannot be snapped to: it is still being read.");
                return;
            }
        };
        let Some(picture) = bench.photos[side].picture().cloned() else {
            return;
        };
        let Some(placed) = bench.record().photo(side).cloned() else {
            return;
        };
        let set = Arc::clone(&bench.set);
        // What was placed or moved meanwhile is not overwritten.
        let ticket = bench.ticket_now();
        self.workers.slow(move || {
            let found = match &what {
                Snapping::Placed(name) => {
                    let look = |(landmark, at): (&Landmark, _)| {
                        snap(
                            &picture,
                            &alignment.landmark_transform(landmark),
                            &plate,
                            &plate_alignment.landmark_transform(landmark),
                            landmark.place_mm,
                            at,
                            REACH_OF_A_CLICK_MM,
                        )
                    };
                    let wanted = set.side(side).landmark(name);
                    let wanted = wanted.zip(placed.landmarks.get(name).copied());
                    wanted
                        .map(look)
                        .map(|found| (name.clone(), found))
                        .into_iter()
                        .collect()
                }
                Snapping::TheRest => propose_rest(
                    &picture,
                    &plate,
                    &plate_alignment,
                    &set.side(side).landmarks,
                    &set.measures,
                    Marked {
                        rim: placed.rim.as_ref(),
                        ..Marked::from(&placed.landmarks)
                    },
                )
                .into_iter()
                .flatten()
                .map(|proposal| (proposal.name, proposal.outcome))
                .collect(),
            };
            ticket.with(Done::Snapped(side, what, found))
        });
    }

    /// Has the photo show from where a landmark was snapped.
    fn show_snapped(&mut self, side: Side, name: &LandmarkName, to: PicturePoint) {
        let photo = self.bench.as_ref().and_then(|b| b.record().photo(side));
        let from = photo.and_then(|photo| photo.landmarks.get(name)).copied();
        self.pages.align.snapped = from.map(|from| Snapped {
            side,
            name: name.clone(),
            from,
            to,
        });
    }

    pub(super) fn take_snapped(
        &mut self,
        side: Side,
        what: &Snapping,
        found: Vec<(LandmarkName, Result<Snap, SnapRefused>)>,
    ) {
        let asked = found.len();
        let mut snapped = Vec::new();
        let mut refused = None;
        let (mut moved_px, mut deviation_px) = (0.0, 0.0_f64);
        for (name, result) in found {
            match result {
                Ok(snap) => {
                    moved_px = snap.moved_px;
                    deviation_px = deviation_px.max(snap.deviation_px);
                    if let Snapping::Placed(_) = what {
                        self.show_snapped(side, &name, snap.to);
                    }
                    snapped.push((name, snap.to));
                }
                Err(why) => refused = Some(why),
            }
        }
        let edit = match what {
            Snapping::Placed(name) => {
                match refused {
                    Some(why) => self.notices.done(why.to_string()),
                    None => self.notices.done(format!(
                        "\u{201c}{name}\u{201d} moved by {moved_px:.2} px to where the plate's relief fits, \u{b1} {deviation_px:.2} px. Undo puts it back."
                    )),
                }
                snapped.pop().map(|(name, to)| PhotoEdit::Snap(name, to))
            }
            Snapping::TheRest => {
                self.notices
                    .done(placed_words(snapped.len(), asked, deviation_px));
                (!snapped.is_empty()).then_some(PhotoEdit::PlaceTheRest(snapped))
            }
        };
        if let Some(edit) = edit {
            self.apply(Action::edit(Edit::Photo(side, edit)));
        }
    }
}

/// What is said after placing the rest: how many of how many, how well, and what is left to do.
fn placed_words(count: usize, asked: usize, deviation_px: f64) -> String {
    let known = format!("each to \u{b1} {deviation_px:.1} px or better: look at each");
    match count {
        0 => "No landmark was placed: none of them stands out on this photo. Place them by hand.".to_owned(),
        1 if asked == 1 => {
            format!("The last landmark was placed by the plate, to \u{b1} {deviation_px:.1} px: look at it.")
        }
        all if all == asked => format!("All {asked} landmarks placed by the plate, {known}."),
        some => format!(
            "{some} of {asked} landmarks placed by the plate, {known}. The others do not stand out: place them by hand."
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::placed_words;

    #[test]
    fn others_are_named_only_where_there_are_some() {
        assert!(placed_words(13, 13, 1.0).starts_with("All 13 landmarks placed"));
        assert!(!placed_words(13, 13, 1.0).contains("others"));
        assert!(placed_words(9, 13, 0.64).contains("9 of 13"));
        assert!(placed_words(9, 13, 0.64).contains("\u{b1} 0.6 px"));
        assert!(!placed_words(0, 13, 0.0).contains('\u{b1}'));
    }
}
