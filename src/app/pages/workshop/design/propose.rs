//! Proposing the landmarks that a plate still lacks: each is looked for by another plate, the surest first.

use crate::align::{Proposal, propose_rest};
use crate::app::model::bench::PlateKey;
use crate::app::model::message::Message;
use crate::app::model::store;
use crate::app::shell::window::Window;
use crate::flow;
use crate::geometry::{PictureFromSide, PicturePoint};
use crate::photo::Watch;
use crate::reference::{DieId, LandmarkName, Plate, ReferenceSet, SetSource, Side};

/// What was found on the plate: the landmarks with their places, and how many were looked for.
struct Found {
    placed: Vec<(LandmarkName, PicturePoint)>,
    asked: usize,
}

impl Window {
    /// Looks for every landmark that a plate of the set in the workshop still lacks.
    pub(in crate::app::pages::workshop) fn place_rest(&mut self, (side, die, number): PlateKey) {
        let key = (die, number);
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let set = workshop.set();
        let Some(plate) = set.side(side).plate(&key.0, key.1) else {
            return;
        };
        let Some((pattern, pattern_from_side)) = pattern_for(set, side, &key) else {
            self.notices.done(
                "No other plate of this side can be looked by: it needs landmarks of its own. Place these by hand.",
            );
            return;
        };
        let at_hand = |file: &String| {
            let view = workshop.plates.peek(file)?;
            view.slot.picture().cloned()
        };
        let (here, there) = (at_hand(&plate.file), at_hand(&pattern.file));
        let (plate, pattern_file) = (plate.clone(), pattern.file.clone());
        let (landmarks, diameter_mm) = (set.side(side).landmarks.clone(), set.measures.diameter_mm);
        let design = &mut workshop.design[side];
        // A rim drawn by hand to begin the set is too rough to help; one that was found is measured.
        let drawn = design.rims.get(&plate.file).map(|drawn| drawn.rim);
        let rim = drawn.filter(|rim| !rim.by_hand);
        design.proposing = Some(plate.file.clone());
        let (folder, revision) = (workshop.folder.clone(), workshop.history.revision());
        self.workers.slow(move || {
            let source = SetSource::Folder(folder.clone());
            let read = |picture, file: &str| match picture {
                Some(picture) => Ok(picture),
                None => store::read_plate(&source, file, &Watch::default()),
            };
            let look = || -> Result<Found, String> {
                let (picture, by) = (read(here, &plate.file)?, read(there, &pattern_file)?);
                let proposals = propose_rest(
                    &picture,
                    &by,
                    &pattern_from_side,
                    &landmarks,
                    &plate.landmarks,
                    rim.as_ref(),
                    diameter_mm,
                )
                .map_err(|error| error.to_string())?;
                let place = |p: &Proposal| Some((p.name.clone(), p.outcome.as_ref().ok()?.to));
                Ok(Found {
                    placed: proposals.iter().filter_map(place).collect(),
                    asked: proposals.len(),
                })
            };
            let result = look();
            Message::Then(Box::new(move |window| {
                let Some(workshop) = window.workshop.as_mut().filter(|w| w.folder == folder) else {
                    return;
                };
                workshop.design[side].proposing = None;
                match result {
                    // What was placed or moved meanwhile is not overwritten.
                    Ok(_) if workshop.history.revision() != revision => {}
                    Ok(found) => window.take_proposals(side, key, &plate.file, found),
                    Err(sentence) => window.notices.problem(sentence),
                }
            }))
        });
    }

    fn take_proposals(&mut self, side: Side, key: (DieId, usize), file: &str, found: Found) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let Found { placed, asked } = found;
        let count = placed.len();
        self.notices.done(match asked - count {
            0 => format!("{count} proposed: look at each, move what is off."),
            left => {
                format!("{count} proposed, {left} did not stand out: look at each, place the others by hand.")
            }
        });
        if count == 0 {
            return;
        }
        let names = placed.iter().map(|(name, _)| name.clone()).collect();
        let design = &mut workshop.design[side];
        design.proposed.insert(file.to_owned(), names);
        workshop.edit(
            "placing the rest".to_owned(),
            None,
            Box::new(move |set| {
                if let Some(plate) = set.side_mut(side).plate_mut(&key.0, key.1) {
                    plate.landmarks.extend(placed);
                }
            }),
        );
    }
}

/// The plate to look by, with its transform: the one with the most landmarks, of the same die where two are alike.
fn pattern_for<'a>(
    set: &'a ReferenceSet,
    side: Side,
    key: &(DieId, usize),
) -> Option<(&'a Plate, PictureFromSide)> {
    let dies = set.side(side).dies.iter();
    let mut plates: Vec<_> = dies
        .flat_map(|die| {
            die.plates
                .iter()
                .enumerate()
                .map(move |(n, plate)| (die, n, plate))
        })
        .filter(|(die, n, _)| (&die.id, n) != (&key.0, &key.1))
        .collect();
    // Stable, so that of plates alike the set's first is taken.
    plates.sort_by_key(|(die, _, plate)| std::cmp::Reverse((plate.landmarks.len(), die.id == key.0)));
    plates.into_iter().find_map(|(_, _, plate)| {
        let alignment = flow::align_plate(set, side, plate).ok()?;
        Some((plate, alignment.picture_from_side))
    })
}
