//! Looking for the landmarks that a plate still lacks: each is looked for by another plate, the surest first.

use crate::align::{Alignment, Marked, Proposal, Rim, propose_rest};
use crate::app::model::bench::PlateKey;
use crate::app::model::done::Outcome;
use crate::app::pages::workshop::Workshop;
use crate::geometry::PicturePoint;
use crate::photo::Watch;
use crate::pipeline::{self, Album, Pictures};
use crate::reference::{DieId, Landmark, LandmarkName, Measures, Plate, ReferenceSet, Side};

/// All that looking for a plate's landmarks needs, taken out of the workshop so that a worker can use it.
pub struct LookForRest {
    /// The plate.
    pub plate: Plate,
    /// A rim that was measured on it.
    rim: Option<Rim>,
    /// The plate that is looked by, and its alignment.
    pattern: (Plate, Alignment),
    landmarks: Vec<Landmark>,
    measures: Measures,
    album: Album,
}

impl LookForRest {
    /// Takes it out of the workshop; none where there is no such plate or no other to look by.
    #[must_use]
    pub fn of(workshop: &Workshop, (side, die, number): &PlateKey) -> Option<Self> {
        let set = workshop.set();
        let plate = set.side(*side).plate(die, *number)?;
        let (pattern, pattern_alignment) = pattern_for(set, *side, &(die.clone(), *number))?;
        let drawn = workshop.design[*side].rims.get(&plate.file);
        Some(Self {
            plate: plate.clone(),
            // A rim drawn by hand to begin the set is too rough to help; one that was found is measured.
            rim: drawn.map(|drawn| drawn.rim).filter(|rim| !rim.by_hand),
            pattern: (pattern.clone(), pattern_alignment),
            landmarks: set.side(*side).landmarks.clone(),
            measures: set.measures.clone(),
            album: workshop.album(&Watch::default()),
        })
    }

    /// Looks: the landmarks found with their positions, and how many were looked for. Runs on a worker.
    ///
    /// # Errors
    /// A problem for the user.
    pub fn run(self) -> Outcome<(Vec<(LandmarkName, PicturePoint)>, usize)> {
        let (pattern, pattern_alignment) = self.pattern;
        let (picture, by) = (self.album.plate(&self.plate)?, self.album.plate(&pattern)?);
        let proposals = propose_rest(
            &picture,
            &by,
            &pattern_alignment,
            &self.landmarks,
            &self.measures,
            Marked {
                rim: self.rim.as_ref(),
                ..Marked::from(&self.plate.landmarks)
            },
        )?;
        let found = |p: &Proposal| Some((p.name.clone(), p.outcome.as_ref().ok()?.to));
        Ok((proposals.iter().filter_map(found).collect(), proposals.len()))
    }
}

/// The plate to look by, with its alignment: the one with the most landmarks, of the same die where two are alike.
fn pattern_for<'a>(
    set: &'a ReferenceSet,
    side: Side,
    key: &(DieId, usize),
) -> Option<(&'a Plate, Alignment)> {
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
        let alignment = pipeline::align_plate(set, side, plate).ok()?;
        Some((plate, alignment))
    })
}
