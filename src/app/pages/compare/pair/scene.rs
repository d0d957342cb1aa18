//! All that one spot of two coins is drawn from, gathered once a frame.

use std::sync::Arc;

use super::model;
use crate::align::{Alignment, Uncertainty, combine};
use crate::app::model::bench::{Derived, PictureSlot, index};
use crate::app::model::other_coin::OtherCoin;
use crate::app::model::page::Page;
use crate::app::pages::compare::ComparePage;
use crate::app::pages::compare::scene::{Coin, coin_of};
use crate::flow;
use crate::geometry::{PictureFromSide, SidePoint};
use crate::photo::Picture;
use crate::reference::{Side, Zone};
use crate::specimen::{Comparison, Finding, FineShift, OtherSpecimen, Spot};

/// The other coin's part.
pub enum Other {
    /// There and aligned.
    Ready {
        /// The photo.
        picture: Arc<Picture>,
        /// Its alignment.
        alignment: Arc<Alignment>,
    },
    /// Being read; how far, 0 to 1.
    Reading(f32),
    /// Its photo is not to be had: why, as a sentence.
    Failed(String),
    /// It is not to be shown before something is done on it: a heading, and what to do.
    NotReady {
        /// In a few words.
        heading: String,
        /// What to do.
        sentence: String,
    },
}

/// A spot of two coins in view.
pub struct PairScene {
    /// The side.
    pub side: Side,
    /// The spot.
    pub spot: Spot,
    /// The spot as a zone.
    pub zone: Zone,
    /// All spots of the side.
    pub spots: Vec<Spot>,
    /// Your coin.
    pub coin: Coin,
    /// The other coin.
    pub other: Other,
    /// SHA-256 of your coin's photo; empty where there is none.
    pub own_sha256: String,
    /// How the record names the other coin.
    pub named: OtherSpecimen,
    /// What was said of the two so far.
    pub comparison: Option<Comparison>,
    /// What the user should know of the other coin, each one sentence.
    pub notes: Vec<String>,
}

impl PairScene {
    /// Gathers it; none where there is no other coin.
    pub fn of(page: &mut Page<'_>, state: &mut ComparePage, derived: &Derived) -> Option<Self> {
        let side = page.bench.side;
        let set = Arc::clone(&page.bench.set);
        let other_coin = page.bench.other.coin()?;
        let (named, notes) = (other_coin.named(side), other_coin.notes.clone());
        let other = other_of(other_coin, side);
        let comparison = page.bench.record().comparison(side, &named.place).cloned();
        let spots = model::spots(&set, side, comparison.as_ref());
        let asked = state.pair.spot(side);
        // Undo may have taken the spot away. The list's own carries the name as it is now.
        let spot = spots
            .iter()
            .find(|spot| spot.is_same(&asked))
            .cloned()
            .unwrap_or(Spot::WholeSide);
        let zone = flow::spot_zone(&set, side, &spot)?;
        let same = state
            .pair
            .shown
            .as_ref()
            .is_some_and(|(s, shown)| *s == side && shown.is_same(&spot));
        if !same {
            state.pair.shown = Some((side, spot.clone()));
            state.view = crate::app::pages::compare::zoom::ZoneView::default();
            state.measuring = None;
            state.frame = None;
            state.pointer = None;
            state.pair.gesture += 1;
        }
        Some(Self {
            side,
            coin: coin_of(page, derived, side, &zone),
            other,
            own_sha256: page
                .bench
                .record()
                .photo(side)
                .map_or_else(String::new, |photo| photo.sha256.clone()),
            named,
            comparison,
            notes,
            spots,
            spot,
            zone,
        })
    }

    /// What was found at the spot.
    pub fn finding(&self) -> Option<&Finding> {
        self.comparison.as_ref()?.finding(&self.spot)
    }

    /// Both photos with their alignments, where both are there.
    pub fn both(&self) -> Option<[(&Arc<Picture>, &Arc<Alignment>); 2]> {
        match (&self.coin, &self.other) {
            (
                Coin::Ready {
                    picture, alignment, ..
                },
                Other::Ready {
                    picture: other,
                    alignment: aligned,
                },
            ) => Some([(picture, alignment), (other, aligned)]),
            _ => None,
        }
    }

    /// The fine shift in use at the spot.
    pub fn fine_shift(&self) -> Option<FineShift> {
        self.comparison.as_ref()?.fine_shift(&self.spot)
    }

    /// Your coin's transform at the spot, an accepted fine shift in it.
    pub fn coin_from_side(&self, alignment: &Alignment) -> PictureFromSide {
        flow::shifted(&alignment.picture_from_side, self.fine_shift().as_ref())
    }

    /// The 95 % radius of a place between the two photos, in mm.
    pub fn radius95_mm(&self, place: SidePoint) -> Option<f64> {
        self.uncertainties(place).map(together_mm)
    }

    /// How far a place may be off on each photo alone, your coin's first.
    pub fn uncertainties(&self, place: SidePoint) -> Option<[Uncertainty; 2]> {
        Some(self.both()?.map(|(_, alignment)| alignment.uncertainty_at(place)))
    }
}

/// The 95 % radius of a place between two photos, in mm, from what each alone leaves uncertain.
pub fn together_mm([coin, other]: [Uncertainty; 2]) -> f64 {
    combine(coin, other).radius95_mm
}

fn other_of(coin: &OtherCoin, side: Side) -> Other {
    let i = index(side);
    let title = &coin.record.title;
    let not_ready = |why: &str, sentence: String| Other::NotReady {
        heading: format!("The other coin\u{2019}s {} {why}", side.word()),
        sentence,
    };
    let alignment = match &coin.alignments[i] {
        None => {
            return not_ready(
                "has no photo",
                format!(
                    "Open \u{201c}{title}\u{201d}, choose a photo of its {} and place a few landmarks on it; then \
                     compare again.",
                    side.word()
                ),
            );
        }
        Some(Err(error)) => {
            return not_ready(
                "is not aligned yet",
                format!("Open \u{201c}{title}\u{201d} and align it, then compare again. {error}"),
            );
        }
        Some(Ok(alignment)) => alignment,
    };
    match &coin.photos[i] {
        PictureSlot::Empty => Other::Reading(0.0),
        PictureSlot::Loading(watch) => Other::Reading(watch.progress()),
        PictureSlot::Failed(sentence) => Other::Failed(sentence.clone()),
        PictureSlot::Ready(picture) => Other::Ready {
            picture: Arc::clone(picture),
            alignment: Arc::clone(alignment),
        },
    }
}
