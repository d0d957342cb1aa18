//! Two specimens compared: what was found spot by spot between this coin and another, and what the user concludes.
//! The program records; it never decides.

use serde::{Deserialize, Serialize};

use super::{CannotTell, FineShift, MeasureKind, SpecimenRecord};
use crate::geometry::SidePoint;
use crate::reference::{Side, ZoneId};

/// One side of this coin against the same side of another.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Comparison {
    /// The side.
    pub side: Side,
    /// The other coin.
    pub other: OtherSpecimen,
    /// What was found, in the order first said; at most one for a spot.
    #[serde(default)]
    pub findings: Vec<Finding>,
    /// Measurements on either coin.
    #[serde(default)]
    pub measurements: Vec<PairMeasurement>,
    /// Fine shifts that the user accepted, at most one for a spot.
    #[serde(default)]
    pub fine_shifts: Vec<PairShift>,
    /// What the user concludes; none where nothing is concluded yet.
    #[serde(default)]
    pub conclusion: Option<Conclusion>,
    /// The user's note on the conclusion.
    #[serde(default)]
    pub note: String,
}

/// Which specimen this one is compared with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OtherSpecimen {
    /// What the user calls it.
    pub title: String,
    /// Its folder, relative to this specimen's folder where it can be.
    pub place: String,
    /// The name that its photo of the side came with.
    #[serde(default)]
    pub photo: String,
    /// SHA-256 of that photo's bytes, in lower-case hexadecimal.
    #[serde(default)]
    pub sha256: String,
}

/// A part of a side that is looked at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Spot {
    /// All of it.
    WholeSide,
    /// A zone of the set.
    Zone(ZoneId),
    /// A place that the user chose: cracks and clash marks lie outside zones.
    Place {
        /// What the user calls it; empty where it has no name yet.
        title: String,
        /// Its centre, in side mm.
        centre_mm: SidePoint,
        /// Its width and height in mm.
        size_mm: (f64, f64),
    },
}

impl Spot {
    /// Whether both are the same part of the side, whatever they are called.
    #[must_use]
    pub fn is_same(&self, other: &Self) -> bool {
        match (self, other) {
            (
                Self::Place {
                    centre_mm: a,
                    size_mm: b,
                    ..
                },
                Self::Place {
                    centre_mm: c,
                    size_mm: d,
                    ..
                },
            ) => a == c && b == d,
            _ => self == other,
        }
    }
}

/// What was found at a spot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Finding {
    /// The spot.
    pub spot: Spot,
    /// What the two coins show there; none where the spot is only kept to look at again.
    #[serde(default)]
    pub found: Option<Found>,
    /// The coin that shows a difference, or shows more of it.
    #[serde(default)]
    pub more_on: Option<WhichCoin>,
    /// The user's note.
    #[serde(default)]
    pub note: String,
    /// The two crops that were on the screen.
    #[serde(default)]
    pub seen: Option<SeenPair>,
}

/// What two coins show at a spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Found {
    /// The same.
    Same,
    /// Not the same.
    Differs(Difference),
    /// One of the coins or photos does not show it.
    CannotTell(CannotTell),
}

/// What kind of difference the user takes it for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Difference {
    /// Not said.
    NotSaid,
    /// The state of one die: a crack or break grown, a detail worn or polished off.
    DieState,
    /// The mark of a die that met the other without a blank between.
    Clash,
    /// A detail cut anew into the die.
    Recut,
    /// Cut otherwise from the start: it speaks for another die.
    OtherCutting,
    /// Wear or damage of the coin itself: it says nothing of the die.
    Coin,
}

impl Difference {
    /// All, in the order offered.
    pub const ALL: [Difference; 6] = [
        Difference::NotSaid,
        Difference::DieState,
        Difference::Clash,
        Difference::Recut,
        Difference::OtherCutting,
        Difference::Coin,
    ];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Difference::NotSaid => "kind not said",
            Difference::DieState => "die state",
            Difference::Clash => "clash mark",
            Difference::Recut => "recut",
            Difference::OtherCutting => "cut otherwise",
            Difference::Coin => "wear or damage of the coin",
        }
    }

    /// What it means, in a sentence.
    #[must_use]
    pub fn explanation(self) -> &'static str {
        match self {
            Difference::NotSaid => "A difference whose kind is still open.",
            Difference::DieState => "A crack or break grown, a detail worn or polished off the die.",
            Difference::Clash => "The mark of the other die, met without a blank between.",
            Difference::Recut => "A detail cut anew into the die.",
            Difference::OtherCutting => "Cut otherwise from the start: this speaks for another die.",
            Difference::Coin => "It happened to the coin and says nothing of the die.",
        }
    }

    /// The one after it, round again.
    #[must_use]
    pub fn next(self) -> Self {
        let place = Self::ALL.iter().position(|d| *d == self).unwrap_or(0);
        Self::ALL[(place + 1) % Self::ALL.len()]
    }
}

/// One of the two coins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum WhichCoin {
    /// The specimen itself.
    This,
    /// The one that it is compared with.
    Other,
}

impl WhichCoin {
    /// Both.
    pub const BOTH: [WhichCoin; 2] = [WhichCoin::This, WhichCoin::Other];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            WhichCoin::This => "this coin",
            WhichCoin::Other => "the other coin",
        }
    }
}

/// What the user concludes of a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Conclusion {
    /// One die struck both.
    SameDie,
    /// One die struck both, this coin first.
    SameDieThisEarlier,
    /// One die struck both, the other coin first.
    SameDieThisLater,
    /// Two dies.
    DifferentDies,
    /// It cannot be told.
    CannotTell,
}

impl Conclusion {
    /// All, in the order offered.
    pub const ALL: [Conclusion; 5] = [
        Conclusion::SameDie,
        Conclusion::SameDieThisEarlier,
        Conclusion::SameDieThisLater,
        Conclusion::DifferentDies,
        Conclusion::CannotTell,
    ];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Conclusion::SameDie => "same die",
            Conclusion::SameDieThisEarlier => "same die, this coin earlier",
            Conclusion::SameDieThisLater => "same die, this coin later",
            Conclusion::DifferentDies => "different dies",
            Conclusion::CannotTell => "cannot tell",
        }
    }

    /// Whether it says that one die struck both.
    #[must_use]
    pub fn is_same_die(self) -> bool {
        matches!(
            self,
            Conclusion::SameDie | Conclusion::SameDieThisEarlier | Conclusion::SameDieThisLater
        )
    }
}

/// The two crops that were on the screen when something was found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeenPair {
    /// From side mm to px of this coin's photo, by rows.
    pub photo_from_side: [f64; 9],
    /// From side mm to px of the other coin's photo, by rows.
    pub other_from_side: [f64; 9],
    /// SHA-256 of this coin's photo.
    pub sha256: String,
    /// SHA-256 of the other coin's photo.
    pub other_sha256: String,
    /// The crops' centre in side mm.
    pub centre_mm: SidePoint,
    /// The crops' width and height in mm.
    pub size_mm: (f64, f64),
    /// Their scale in px/mm.
    pub px_per_mm: f64,
    /// The 95 % radius of the centre's place between the two photos, in mm.
    pub uncertainty_mm: f64,
    /// How strongly the light was evened, 0 to 1.
    #[serde(default)]
    pub light_evened: f64,
}

impl SeenPair {
    /// Whether it was seen on these two photos, by their SHA-256.
    #[must_use]
    pub fn is_of(&self, sha256: &str, other_sha256: &str) -> bool {
        self.sha256 == sha256 && self.other_sha256 == other_sha256
    }
}

/// A measurement on one of two coins.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PairMeasurement {
    /// The spot in view.
    pub spot: Spot,
    /// The coin measured.
    pub on: WhichCoin,
    /// What is measured.
    pub kind: MeasureKind,
    /// Its end points (distance, height: two; angle: arm, corner, arm), in side mm.
    pub points_mm: Vec<SidePoint>,
    /// Half the width of its 95 % interval as it was when it was taken, in mm, or degrees for an angle; none where it was
    /// not kept. It stands for the coin whose alignment is in another record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub half_width_95: Option<f64>,
}

/// A small shift of this coin's crop at a spot, so that it lies on the other's.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PairShift {
    /// The spot.
    pub spot: Spot,
    /// The shift.
    pub shift: FineShift,
}

impl Comparison {
    /// One with nothing said yet.
    #[must_use]
    pub fn new(side: Side, other: OtherSpecimen) -> Self {
        Self {
            side,
            other,
            findings: Vec::new(),
            measurements: Vec::new(),
            fine_shifts: Vec::new(),
            conclusion: None,
            note: String::new(),
        }
    }

    /// What was found at a spot.
    #[must_use]
    pub fn finding(&self, spot: &Spot) -> Option<&Finding> {
        self.findings.iter().find(|f| f.spot.is_same(spot))
    }

    /// What was found at a spot, to set or change; begun where nothing was.
    pub fn finding_mut(&mut self, spot: &Spot) -> &mut Finding {
        let place = match self.findings.iter().position(|f| f.spot.is_same(spot)) {
            Some(place) => place,
            None => {
                self.findings.push(Finding {
                    spot: spot.clone(),
                    found: None,
                    more_on: None,
                    note: String::new(),
                    seen: None,
                });
                self.findings.len() - 1
            }
        };
        &mut self.findings[place]
    }

    /// The fine shift accepted at a spot.
    #[must_use]
    pub fn fine_shift(&self, spot: &Spot) -> Option<FineShift> {
        self.fine_shifts
            .iter()
            .find(|s| s.spot.is_same(spot))
            .map(|s| s.shift)
    }

    /// Accepts a fine shift at a spot in place of the one before, or gives it up.
    pub fn set_fine_shift(&mut self, spot: &Spot, shift: Option<FineShift>) {
        self.fine_shifts.retain(|s| !s.spot.is_same(spot));
        self.fine_shifts.extend(shift.map(|shift| PairShift {
            spot: spot.clone(),
            shift,
        }));
    }

    /// Forgets all that was said of a spot.
    pub fn forget(&mut self, spot: &Spot) {
        self.findings.retain(|f| !f.spot.is_same(spot));
        self.measurements.retain(|m| !m.spot.is_same(spot));
        self.fine_shifts.retain(|s| !s.spot.is_same(spot));
    }

    /// Forgets findings that say nothing, but for the user's own places.
    fn tidy(&mut self) {
        self.findings
            .retain(|f| matches!(f.spot, Spot::Place { .. }) || f.found.is_some() || !f.note.is_empty());
    }

    /// Whether nothing was said.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        self.findings.is_empty()
            && self.measurements.is_empty()
            && self.fine_shifts.is_empty()
            && self.conclusion.is_none()
            && self.note.is_empty()
    }
}

impl SpecimenRecord {
    /// The comparison of a side with another specimen, by its place.
    #[must_use]
    pub fn comparison(&self, side: Side, place: &str) -> Option<&Comparison> {
        self.comparisons
            .iter()
            .find(|c| c.side == side && c.other.place == place)
    }

    /// Changes the comparison of a side with another specimen, begun where there is none; one that says nothing
    /// afterwards is forgotten.
    pub fn compare_with(&mut self, side: Side, other: &OtherSpecimen, change: impl FnOnce(&mut Comparison)) {
        let known = self
            .comparisons
            .iter()
            .position(|c| c.side == side && c.other.place == other.place);
        let place = known.unwrap_or_else(|| {
            self.comparisons.push(Comparison::new(side, other.clone()));
            self.comparisons.len() - 1
        });
        let comparison = &mut self.comparisons[place];
        comparison.other = other.clone();
        change(comparison);
        comparison.tidy();
        self.comparisons.retain(|c| !c.is_blank());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specimen::SetReference;

    fn record() -> SpecimenRecord {
        let set = SetReference {
            id: String::new(),
            edition: 1,
            title: String::new(),
            place: String::new(),
        };
        SpecimenRecord::new("a", set)
    }

    fn other(title: &str) -> OtherSpecimen {
        OtherSpecimen {
            title: title.to_owned(),
            place: "../b".to_owned(),
            photo: "b.jpg".to_owned(),
            sha256: "00".to_owned(),
        }
    }

    fn crack(title: &str) -> Spot {
        Spot::Place {
            title: title.to_owned(),
            centre_mm: SidePoint::new(1.0, 2.0),
            size_mm: (3.0, 2.0),
        }
    }

    #[test]
    fn what_says_nothing_is_forgotten_but_for_the_users_places() {
        let mut record = record();
        let zone = Spot::Zone("z".into());
        record.compare_with(Side::Obverse, &other("b"), |c| {
            c.finding_mut(&zone).found = Some(Found::Same);
            c.finding_mut(&crack("crack"));
        });
        assert_eq!(record.comparisons[0].findings.len(), 2);
        record.compare_with(Side::Obverse, &other("b renamed"), |c| {
            c.finding_mut(&zone).found = None;
        });
        let comparison = record.comparison(Side::Obverse, "../b").unwrap();
        assert_eq!(comparison.findings.len(), 1);
        assert_eq!(comparison.other.title, "b renamed");
        assert!(record.comparison(Side::Reverse, "../b").is_none());
        record.compare_with(Side::Obverse, &other("b"), |c| c.findings.clear());
        assert!(record.comparisons.is_empty());
    }

    #[test]
    fn a_place_stays_the_same_when_it_is_renamed() {
        let mut comparison = Comparison::new(Side::Obverse, other("b"));
        comparison.finding_mut(&crack("")).note = "n".to_owned();
        comparison.finding_mut(&crack("by the date")).more_on = Some(WhichCoin::This);
        assert_eq!(comparison.findings.len(), 1);
        assert_eq!(comparison.finding(&crack("x")).unwrap().note, "n");
        assert!(!crack("").is_same(&Spot::WholeSide));
    }

    #[test]
    fn kinds_go_round() {
        let mut kind = Difference::NotSaid;
        for _ in Difference::ALL {
            kind = kind.next();
        }
        assert_eq!(kind, Difference::NotSaid);
    }
}
