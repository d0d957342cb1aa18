//! All that one feature's cells are drawn from, gathered once a frame.

use std::sync::Arc;

use super::model::{StateCell, state_cells, zone_of};
use crate::align::Alignment;
use crate::app::model::bench::{Derived, PictureSlot, index};
use crate::app::model::page::Page;
use crate::app::model::shelf::PlateView;
use crate::flow;
use crate::geometry::PictureFromSide;
use crate::photo::Picture;
use crate::reference::{Feature, Side, Zone};

/// The coin's part.
pub enum Coin {
    /// There and aligned.
    Ready {
        /// The photo.
        picture: Arc<Picture>,
        /// Its alignment.
        alignment: Arc<Alignment>,
        /// Its transform for this zone, an accepted fine shift in it.
        photo_from_side: PictureFromSide,
    },
    /// Not to be shown: a heading, a sentence that says what to do, and how far the reading is where it goes on.
    Missing {
        /// In a few words.
        heading: String,
        /// What to do.
        sentence: String,
        /// How much is read, 0 to 1.
        progress: Option<f32>,
    },
}

/// A state with its plate.
pub struct StateScene {
    /// The state.
    pub cell: StateCell,
    /// Its plate, where it has one.
    pub plate: Option<PlateView>,
    /// The 95 % radius between photo and plate at the zone, in mm; none without an aligned photo.
    pub radius95_mm: Option<f64>,
}

/// A feature in view.
pub struct Scene {
    /// The side.
    pub side: Side,
    /// The feature.
    pub feature: Feature,
    /// Its zone.
    pub zone: Zone,
    /// The coin.
    pub coin: Coin,
    /// The states in the set's order.
    pub states: Vec<StateScene>,
}

impl Scene {
    /// Gathers it; none where the set lacks the feature's zone.
    pub fn of(page: &mut Page<'_>, derived: &Derived, side: Side, feature: &Feature) -> Option<Self> {
        let set = Arc::clone(&page.bench.set);
        let reference = set.side(side);
        let zone = zone_of(reference, feature)?;
        let coin = coin_of(page, derived, side, zone);
        let alignment = match &coin {
            Coin::Ready { alignment, .. } => Some(alignment),
            Coin::Missing { .. } => None,
        };
        let states = state_cells(reference, page.bench.record(), side, feature)
            .into_iter()
            .map(|cell| {
                let plate = cell
                    .view
                    .plate
                    .as_ref()
                    .map(|(die, number)| page.plates.get(&(side, die.clone(), *number)));
                let of_plate = plate.as_ref().and_then(|p| p.alignment.as_deref());
                let radius95_mm =
                    alignment.map(|photo| flow::zone_uncertainty(photo, of_plate, zone).radius95_mm);
                StateScene {
                    cell,
                    plate,
                    radius95_mm,
                }
            })
            .collect();
        Some(Self {
            side,
            feature: feature.clone(),
            zone: zone.clone(),
            coin,
            states,
        })
    }

    /// The largest 95 % radius of all cells, in mm.
    pub fn worst_radius_mm(&self) -> Option<f64> {
        self.states.iter().filter_map(|s| s.radius95_mm).reduce(f64::max)
    }

    /// The state in focus, or the last where there are fewer.
    pub fn focused(&self, focus: usize) -> Option<&StateScene> {
        self.states.get(focus).or(self.states.last())
    }
}

pub(super) fn coin_of(page: &Page<'_>, derived: &Derived, side: Side, zone: &Zone) -> Coin {
    let missing = |heading: &str, sentence: String| Coin::Missing {
        heading: heading.to_owned(),
        sentence,
        progress: None,
    };
    let i = index(side);
    let picture = match &page.bench.photos[i] {
        PictureSlot::Empty => {
            return missing(
                &format!("No {} photo", side.word()),
                "Choose one and place a few landmarks on it; the coin then stands here at the plates\u{2019} scale. \
                 With the coin in hand you can judge by eye meanwhile."
                    .to_owned(),
            );
        }
        PictureSlot::Loading(watch) => {
            return Coin::Missing {
                heading: "Reading the photo".to_owned(),
                sentence: String::new(),
                progress: Some(watch.progress()),
            };
        }
        PictureSlot::Failed(sentence) => return missing("The photo is not to be had", sentence.clone()),
        PictureSlot::Ready(picture) => picture,
    };
    match (&derived.alignments[i], page.bench.record().photo(side)) {
        (Some(Ok(alignment)), Some(photo)) => Coin::Ready {
            picture: Arc::clone(picture),
            alignment: Arc::clone(alignment),
            photo_from_side: flow::zone_transform(alignment, photo, zone),
        },
        (Some(Err(error)), _) => missing(
            &format!("The {} is not aligned yet", side.word()),
            error.to_string(),
        ),
        _ => missing(
            &format!("The {} is not aligned yet", side.word()),
            "Place a few landmarks on the photo; the coin then stands here at the plates\u{2019} scale."
                .to_owned(),
        ),
    }
}
