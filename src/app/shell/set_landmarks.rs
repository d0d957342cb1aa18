//! Proposing the landmarks that a plate of the set in the workshop still lacks.

use super::window::Window;
use crate::app::model::bench::PlateKey;
use crate::app::model::done::{Done, Outcome};
use crate::app::pages::workshop::LookForRest;
use crate::geometry::PicturePoint;
use crate::reference::LandmarkName;

impl Window {
    /// Looks for every landmark that a plate still lacks.
    pub(super) fn place_rest(&mut self, plate: PlateKey) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let Some(look) = LookForRest::of(workshop, &plate) else {
            self.notices.done(
                "No other plate of this side can be looked by: it needs landmarks of its own. Place these by hand.",
            );
            return;
        };
        let (file, ticket) = (look.plate.file.clone(), workshop.ticket.clone());
        let revision = workshop.history.revision();
        workshop.design[plate.0].proposing = Some(file.clone());
        self.workers.slow(move || {
            let result = look.run();
            ticket.with(Done::RestFound {
                plate,
                file,
                revision,
                result,
            })
        });
    }

    pub(super) fn take_rest(
        &mut self,
        (side, die, number): PlateKey,
        file: String,
        revision: u64,
        result: Outcome<(Vec<(LandmarkName, PicturePoint)>, usize)>,
    ) {
        let Some(workshop) = &mut self.workshop else {
            return;
        };
        let design = &mut workshop.design[side];
        design.proposing = None;
        let (placed, asked) = match result {
            // What was placed or moved meanwhile is not overwritten.
            Ok(_) if workshop.history.revision() != revision => return,
            Ok(found) => found,
            Err(sentence) => return self.notices.problem(sentence),
        };
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
        design.proposed.insert(file, names);
        workshop.edit(
            "placing the rest".to_owned(),
            None,
            Box::new(move |set| {
                if let Some(plate) = set.side_mut(side).plate_mut(&die, number) {
                    plate.landmarks.extend(placed);
                }
            }),
        );
    }
}
