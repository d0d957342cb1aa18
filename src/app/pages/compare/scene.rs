//! All that one row of the page is drawn from, gathered once a frame: the part of the side in view, your coin there,
//! and what stands beside it.

use std::path::PathBuf;
use std::sync::Arc;

use super::missing::{Missing, Remedy};
use super::model::{StateCell, state_cells};
use super::{ComparePage, spots};
use crate::align::{Alignment, combine};
use crate::app::model::action::Action;
use crate::app::model::bench::Derived;
use crate::app::model::comparing::Seen;
use crate::app::model::other_coin::OtherCoin;
use crate::app::model::picture_slot::PictureSlot;
use crate::app::model::shelf::PlateView;
use crate::app::pages::Page;
use crate::crop::CropFrame;
use crate::geometry::SidePoint;
use crate::pipeline;
use crate::reference::{Feature, Side, Zone};
use crate::specimen::{
    Comparison, ComparisonEdit, Edit, FeatureEdit, Finding, FineShift, OtherSpecimen, PhotoEdit, Spot,
    WhichCoin,
};
use crate::words::plate_not_aligned;

/// What a pane shows.
pub enum View {
    /// A picture.
    Ready(Seen),
    /// What is known in words only.
    Words(String),
    /// Why there is no picture.
    Missing(Missing),
}

/// A picture of the row with its words.
pub struct Pane {
    /// What it is called over a picture that it is laid on.
    pub title: String,
    /// What a screen reader calls its crop.
    pub name: String,
    /// The canvas that it is drawn on.
    pub canvas: String,
    /// What it shows.
    pub view: View,
    /// The 95 % radius between your coin and it in the zone's middle, in mm; none without an aligned photo.
    pub radius95_mm: Option<f64>,
}

impl Pane {
    /// Its picture, where it is there.
    pub fn seen(&self) -> Option<&Seen> {
        match &self.view {
            View::Ready(seen) => Some(seen),
            View::Words(_) | View::Missing(_) => None,
        }
    }
}

/// A row while it is drawn: with the page's state, and what it may ask for.
pub struct InView<'a, 'p> {
    /// Where it asks.
    pub page: &'a mut Page<'p>,
    /// How the page looks.
    pub state: &'a mut ComparePage,
    /// What is shown.
    pub scene: &'a Scene,
}

impl InView<'_, '_> {
    /// Asks for a change of the record as a step of undo.
    pub fn edit(&mut self, edit: Edit) {
        self.page.push(Action::edit(edit));
    }

    /// Asks for a change of one of the row's texts, numbered, while it is typed: all of it is one step of undo.
    pub fn typed(&mut self, text: usize, edit: Edit) {
        let gesture = Some(self.state.gesture_of(text));
        self.page.push(Action::Edit { edit, gesture });
    }

    /// The pane in focus beside your coin.
    pub fn focused(&self) -> usize {
        self.state.focused(self.scene)
    }

    /// The 95 % radii to show in the panes beside the coin, in mm: of a feature for its zone, of a spot, which may be
    /// the whole side, for the place under the pointer or else in the middle of what is in view.
    pub fn shown_radii95_mm(&self, frame: &CropFrame) -> Vec<Option<f64>> {
        match self.scene.subject {
            Subject::Feature(_) => self.scene.others.iter().map(|pane| pane.radius95_mm).collect(),
            Subject::Spot(_) => vec![
                self.scene
                    .radius95_mm(0, self.state.pointer.unwrap_or(frame.centre)),
            ],
        }
    }
}

/// A row in view: your coin and what stands beside it, at one part of the side.
pub struct Scene {
    /// The side.
    pub side: Side,
    /// The part of it in view.
    pub zone: Zone,
    /// The fine shift in use there.
    pub fine_shift: Option<FineShift>,
    /// Your coin.
    pub coin: Pane,
    /// The plates of the feature's states in the set's order, or the other coin.
    pub others: Vec<Pane>,
    /// What is asked there.
    pub subject: Subject,
}

/// What is asked of a row, with all in which the two kinds differ.
pub enum Subject {
    /// Which of a feature's states does your coin show?
    Feature(FeatureSubject),
    /// What do your coin and another show at a spot?
    Spot(Box<SpotSubject>),
}

/// A feature with its states.
pub struct FeatureSubject {
    /// Its side.
    pub side: Side,
    /// The feature.
    pub feature: Feature,
    /// Its states, as the panes beside the coin.
    pub states: Vec<StateCell>,
}

/// A spot of two coins.
pub struct SpotSubject {
    /// Its side.
    pub side: Side,
    /// The spot.
    pub spot: Spot,
    /// All spots of the side.
    pub spots: Vec<Spot>,
    /// How the record names the other coin.
    pub named: OtherSpecimen,
    /// Where the other coin lies.
    pub folder: PathBuf,
    /// What was said of the two so far.
    pub comparison: Option<Comparison>,
    /// SHA-256 of your coin's photo; empty where there is none.
    pub own_sha256: String,
    /// What the user should know of the other coin, each one sentence.
    pub notes: Vec<String>,
}

impl SpotSubject {
    /// What was found at the spot in view.
    pub fn finding(&self) -> Option<&Finding> {
        self.finding_at(&self.spot)
    }

    /// What was found at a spot.
    pub fn finding_at(&self, spot: &Spot) -> Option<&Finding> {
        self.comparison.as_ref()?.finding(spot)
    }
}

impl Scene {
    /// Gathers a feature with the plates of its states; none where the set lacks the feature's zone.
    pub fn of_feature(page: &mut Page<'_>, derived: &Derived, side: Side, feature: &Feature) -> Option<Self> {
        let set = Arc::clone(&page.bench.set);
        let reference = set.side(side);
        let zone = reference.zone(&feature.zone)?;
        let record = page.bench.record();
        let fine_shift = record
            .photo(side)
            .and_then(|photo| photo.fine_shifts.get(&zone.id).copied());
        let states = state_cells(reference, record, side, feature);
        let coin = coin_pane(page, derived, side, zone, fine_shift);
        let others = states
            .iter()
            .map(|cell| {
                let plate = cell.view.plate.as_ref();
                let plate = plate.map(|(die, number)| page.plates.get(&(side, die.clone(), *number)));
                let alignment = plate.as_ref().and_then(PlateView::aligned).map(Arc::as_ref);
                let radius95_mm = coin
                    .seen()
                    .map(|coin| pipeline::zone_uncertainty(&coin.alignment, alignment, zone).radius95_mm);
                Pane {
                    title: format!("{}: {}", cell.number, cell.words),
                    name: format!("Plate of state {}: {}", cell.number, cell.words),
                    canvas: format!("compare/state/{}", cell.number),
                    view: plate_view(plate, zone, &cell.words),
                    radius95_mm,
                }
            })
            .collect();
        Some(Self {
            side,
            zone: zone.clone(),
            fine_shift,
            coin,
            others,
            subject: Subject::Feature(FeatureSubject {
                side,
                feature: feature.clone(),
                states,
            }),
        })
    }

    /// Gathers the spot in view of your coin and the other; none where there is no other coin.
    pub fn of_spot(page: &Page<'_>, state: &ComparePage, derived: &Derived) -> Option<Self> {
        let side = page.bench.side;
        let set = &page.bench.set;
        let other = page.bench.other.coin()?;
        let named = other.named(side);
        let record = page.bench.record();
        let comparison = record.comparison(side, &named.place).cloned();
        let spots = spots::spots(set, side, comparison.as_ref());
        let asked = state.spot(side);
        // Undo may have taken the spot away. The list's own carries the name as it is now.
        let spot = spots.iter().find(|spot| spot.is_same(asked)).cloned();
        let spot = spot.unwrap_or(Spot::WholeSide);
        let zone = pipeline::spot_zone(set, side, &spot)?;
        let fine_shift = comparison.as_ref().and_then(|c| c.fine_shift(&spot));
        let others = vec![Pane {
            title: named.title.clone(),
            name: "The other coin\u{2019}s crop".to_owned(),
            canvas: "compare/other".to_owned(),
            view: other_view(other, side, &zone),
            radius95_mm: None,
        }];
        let coin = coin_pane(page, derived, side, &zone, fine_shift);
        let mut scene = Self {
            side,
            zone,
            fine_shift,
            coin,
            others,
            subject: Subject::Spot(Box::new(SpotSubject {
                side,
                own_sha256: record
                    .photo(side)
                    .map_or_else(String::new, |photo| photo.sha256.clone()),
                folder: other.path().to_owned(),
                notes: other.notes.clone(),
                named,
                comparison,
                spots,
                spot,
            })),
        };
        scene.others[0].radius95_mm = scene.radius95_mm(0, scene.zone.centre_mm);
        Some(scene)
    }

    /// Your coin and one of the others, where both are there.
    pub fn pair(&self, other: usize) -> Option<(&Seen, &Seen)> {
        Some((self.coin.seen()?, self.others.get(other)?.seen()?))
    }

    /// The 95 % radius of a place between your coin and one of the others, in mm.
    pub fn radius95_mm(&self, other: usize, place: SidePoint) -> Option<f64> {
        let (coin, other) = self.pair(other)?;
        let [coin, other] = [coin, other].map(|seen| seen.alignment.uncertainty_at(place));
        Some(combine(coin, other).radius95_mm)
    }

    /// The alignment of the coin that something was measured on.
    pub fn alignment_of(&self, coin: WhichCoin) -> Option<&Alignment> {
        let pane = match coin {
            WhichCoin::This => &self.coin,
            WhichCoin::Other => self.others.first()?,
        };
        Some(&*pane.seen()?.alignment)
    }

    /// Whether the telling detail is the set's for just this part of the side.
    pub fn has_own_detail(&self) -> bool {
        match &self.subject {
            Subject::Feature(_) => true,
            Subject::Spot(of) => matches!(of.spot, Spot::Zone(_)),
        }
    }

    /// Whether points can be measured here.
    pub fn can_measure(&self) -> bool {
        match self.subject {
            Subject::Feature(_) => self.coin.seen().is_some(),
            Subject::Spot(_) => self.pair(0).is_some(),
        }
    }

    /// The change that accepts a fine shift here, or removes it.
    pub fn shifting(&self, shift: Option<FineShift>) -> Edit {
        match &self.subject {
            Subject::Feature(_) => Edit::Photo(self.side, PhotoEdit::FineShift(self.zone.id.clone(), shift)),
            Subject::Spot(of) => of.edit(ComparisonEdit::FineShift(of.spot.clone(), shift)),
        }
    }
}

impl FeatureSubject {
    /// A change of the verdicts on the feature.
    pub fn edit(&self, edit: FeatureEdit) -> Edit {
        Edit::Feature(self.side, self.feature.id.clone(), edit)
    }
}

impl SpotSubject {
    /// A change of what is said of the two coins.
    pub fn edit(&self, edit: ComparisonEdit) -> Edit {
        Edit::Comparison(self.side, self.named.clone(), edit)
    }
}

fn coin_pane(page: &Page<'_>, derived: &Derived, side: Side, zone: &Zone, shift: Option<FineShift>) -> Pane {
    Pane {
        title: "Your coin".to_owned(),
        name: "Your coin\u{2019}s crop".to_owned(),
        canvas: "compare/coin".to_owned(),
        view: coin_view(page, derived, side, zone, shift),
        radius95_mm: None,
    }
}

fn coin_view(page: &Page<'_>, derived: &Derived, side: Side, zone: &Zone, shift: Option<FineShift>) -> View {
    let missing = |heading: &str, sentence: String| {
        View::Missing(Missing {
            heading: heading.to_owned(),
            sentence,
            progress: None,
            remedy: Some(Remedy::Align),
        })
    };
    let not_aligned = format!("The {} is not aligned yet", side.word());
    match (&page.bench.photos[side], &derived.alignments[side]) {
        (PictureSlot::Empty, _) => missing(
            &format!("No {} photo", side.word()),
            "Choose one and place a few landmarks on it; the coin then stands here at the plates\u{2019} scale. \
             With the coin in hand you can judge by eye meanwhile."
                .to_owned(),
        ),
        (PictureSlot::Loading(watch), _) => View::Missing(Missing {
            heading: "Reading the photo".to_owned(),
            progress: Some(watch.progress()),
            ..Missing::default()
        }),
        (PictureSlot::Failed(problem), _) => missing("The photo is not to be had", problem.to_string()),
        (PictureSlot::Ready(picture), Some(Ok(alignment))) => {
            View::Ready(Seen::at(picture, alignment, zone, shift.as_ref()))
        }
        (PictureSlot::Ready(_), Some(Err(error))) => missing(&not_aligned, error.to_string()),
        (PictureSlot::Ready(_), None) => missing(
            &not_aligned,
            "Place a few landmarks on the photo; the coin then stands here at the plates\u{2019} scale."
                .to_owned(),
        ),
    }
}

fn plate_view(plate: Option<PlateView>, zone: &Zone, words: &str) -> View {
    let Some(plate) = plate else {
        return View::Words(words.to_owned());
    };
    let missing = match (&plate.slot, &plate.alignment) {
        (PictureSlot::Ready(picture), Some(Ok(alignment))) => {
            return View::Ready(Seen::at(picture, alignment, zone, None));
        }
        (PictureSlot::Ready(_), alignment) => Missing {
            sentence: match alignment {
                Some(Err(error)) => plate_not_aligned(error),
                _ => String::new(),
            },
            ..Missing::default()
        },
        (PictureSlot::Failed(problem), _) => Missing {
            sentence: problem.to_string(),
            ..Missing::default()
        },
        (PictureSlot::Loading(watch), _) => Missing {
            heading: "Reading the plate".to_owned(),
            progress: Some(watch.progress()),
            ..Missing::default()
        },
        (PictureSlot::Empty, _) => Missing {
            heading: "Reading the plate".to_owned(),
            progress: Some(0.0),
            ..Missing::default()
        },
    };
    View::Missing(missing)
}

fn other_view(coin: &OtherCoin, side: Side, zone: &Zone) -> View {
    let title = &coin.record.title;
    let word = side.word();
    let not_ready = |why: &str, sentence: String| {
        View::Missing(Missing {
            heading: format!("The other coin\u{2019}s {word} {why}"),
            sentence,
            progress: None,
            remedy: Some(Remedy::OpenOther(coin.path().to_owned())),
        })
    };
    let reading = |progress: f32| {
        View::Missing(Missing {
            heading: "Reading the other coin\u{2019}s photo".to_owned(),
            progress: Some(progress),
            remedy: Some(Remedy::StopReadingOther(side)),
            ..Missing::default()
        })
    };
    match (&coin.alignments[side], &coin.photos[side]) {
        (None, _) => not_ready(
            "has no photo",
            format!(
                "Open \u{201c}{title}\u{201d}, choose a photo of its {word} and place a few landmarks on it; then \
                 compare again."
            ),
        ),
        (Some(Err(error)), _) => not_ready(
            "is not aligned yet",
            format!("Open \u{201c}{title}\u{201d} and align it, then compare again. {error}"),
        ),
        (Some(Ok(_)), PictureSlot::Empty) => reading(0.0),
        (Some(Ok(_)), PictureSlot::Loading(watch)) => reading(watch.progress()),
        (Some(Ok(_)), PictureSlot::Failed(problem)) => View::Missing(Missing {
            heading: "The other coin\u{2019}s photo is not to be had".to_owned(),
            sentence: problem.to_string(),
            progress: None,
            remedy: Some(Remedy::ReadOtherAgain(side)),
        }),
        (Some(Ok(alignment)), PictureSlot::Ready(picture)) => {
            View::Ready(Seen::at(picture, alignment, zone, None))
        }
    }
}
