//! The parts of a reference set, as they are written in `set.ron`.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::sides::Side;
use super::{DieId, FactId, FeatureId, LandmarkName, RarityId, StateId, ZoneId};
use crate::files::text::unique_keys;
use crate::geometry::{PicturePoint, SidePoint};

/// One coinage.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReferenceSet {
    /// The version of the file format; see [`ReferenceSet::FORMAT`].
    pub format: u32,
    /// A name that stays the same over all editions of the set, by which a shared copy is known again.
    pub id: String,
    /// Raised by one whenever the author shares the set.
    pub edition: u32,
    /// The set's title.
    pub title: String,
    /// What it covers and who made it.
    #[serde(default)]
    pub about: String,
    /// The coinage's measures.
    pub measures: Measures,
    /// What the bench asks of the coin before the dies: date, mint mark and the like.
    #[serde(default)]
    pub facts: Vec<FactQuestion>,
    /// The obverse's landmarks, zones, features and dies.
    pub obverse: SideReference,
    /// The reverse's.
    pub reverse: SideReference,
    /// The pairings of dies known to have been used together.
    #[serde(default)]
    pub pairings: Vec<Pairing>,
    /// How many coins are of what the set does not list.
    #[serde(default, skip_serializing_if = "UnlistedShares::is_default")]
    pub unlisted: UnlistedShares,
    /// What the rarity names of the pairings mean.
    #[serde(default)]
    pub rarity_bands: Vec<RarityBand>,
    /// How the price usually rises with grade.
    #[serde(default)]
    pub price_slope: Option<PriceSlope>,
    /// What the user of the set must know before trusting it.
    #[serde(default)]
    pub cautions: Vec<String>,
}

impl ReferenceSet {
    /// The newest version of the file format that this program reads and the one it writes.
    pub const FORMAT: u32 = 1;

    /// One side's part.
    #[must_use]
    pub fn side(&self, side: Side) -> &SideReference {
        match side {
            Side::Obverse => &self.obverse,
            Side::Reverse => &self.reverse,
        }
    }

    /// One side's part, to change.
    pub fn side_mut(&mut self, side: Side) -> &mut SideReference {
        match side {
            Side::Obverse => &mut self.obverse,
            Side::Reverse => &mut self.reverse,
        }
    }

    /// The rarity band that a pairing names.
    #[must_use]
    pub fn rarity_band(&self, id: &RarityId) -> Option<&RarityBand> {
        self.rarity_bands.iter().find(|band| &band.id == id)
    }
}

/// The coinage's measures.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measures {
    /// Nominal diameter in mm; the side frames are drawn at this size.
    pub diameter_mm: f64,
    /// How far the highest relief of an unworn coin stands above its field, in mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub relief_mm: Option<f64>,
    /// Nominal weight in g.
    #[serde(default)]
    pub weight_g: Option<f64>,
    /// How far a genuine, unworn coin's weight may lie from it, in g.
    #[serde(default)]
    pub weight_tolerance_g: Option<f64>,
    /// The turn of the reverse against the obverse about the vertical axis, in degrees: 0 or 180 as a rule.
    #[serde(default)]
    pub die_axis_deg: Option<f64>,
}

/// A fact to ask of the coin.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FactQuestion {
    /// Its short name.
    pub id: FactId,
    /// The question in words.
    pub question: String,
    /// The answers to choose from.
    pub choices: Vec<FactChoice>,
}

/// One answer to a fact's question.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FactChoice {
    /// The value that pairings refer to.
    pub value: String,
    /// What the user reads; the value itself where empty.
    #[serde(default)]
    pub words: String,
}

/// What the set says of one side.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SideReference {
    /// Named points of the design, common to all dies of the side.
    #[serde(default)]
    pub landmarks: Vec<Landmark>,
    /// Where dies differ.
    #[serde(default)]
    pub zones: Vec<Zone>,
    /// What to ask in the zones.
    #[serde(default)]
    pub features: Vec<Feature>,
    /// The dies.
    #[serde(default)]
    pub dies: Vec<Die>,
}

impl SideReference {
    /// The landmark of that name.
    #[must_use]
    pub fn landmark(&self, name: &LandmarkName) -> Option<&Landmark> {
        self.landmarks.iter().find(|l| &l.name == name)
    }

    /// The landmark of that name, to change it.
    pub fn landmark_mut(&mut self, name: &LandmarkName) -> Option<&mut Landmark> {
        self.landmarks.iter_mut().find(|l| &l.name == name)
    }

    /// The zone of that name.
    #[must_use]
    pub fn zone(&self, id: &ZoneId) -> Option<&Zone> {
        self.zones.iter().find(|z| &z.id == id)
    }

    /// The zone of that name, to change it.
    pub fn zone_mut(&mut self, id: &ZoneId) -> Option<&mut Zone> {
        self.zones.iter_mut().find(|z| &z.id == id)
    }

    /// What the zone of that name is called; its name where the set does not have it.
    #[must_use]
    pub fn zone_title<'a>(&'a self, id: &'a ZoneId) -> &'a str {
        self.zone(id).map_or_else(|| id.as_str(), Zone::shown_title)
    }

    /// The feature of that name.
    #[must_use]
    pub fn feature(&self, id: &FeatureId) -> Option<&Feature> {
        self.features.iter().find(|f| &f.id == id)
    }

    /// The feature of that name, to change it.
    pub fn feature_mut(&mut self, id: &FeatureId) -> Option<&mut Feature> {
        self.features.iter_mut().find(|f| &f.id == id)
    }

    /// The die of that name.
    #[must_use]
    pub fn die(&self, id: &DieId) -> Option<&Die> {
        self.dies.iter().find(|d| &d.id == id)
    }

    /// The die of that name, to change it.
    pub fn die_mut(&mut self, id: &DieId) -> Option<&mut Die> {
        self.dies.iter_mut().find(|d| &d.id == id)
    }

    /// A plate of a die, by its number from 0.
    #[must_use]
    pub fn plate(&self, die: &DieId, number: usize) -> Option<&Plate> {
        self.die(die)?.plates.get(number)
    }

    /// As [`SideReference::plate`], to change it.
    pub fn plate_mut(&mut self, die: &DieId, number: usize) -> Option<&mut Plate> {
        self.die_mut(die)?.plates.get_mut(number)
    }
}

/// A named point of the design.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Landmark {
    /// Its name.
    pub name: LandmarkName,
    /// Its place in the side frame, in mm.
    pub place_mm: SidePoint,
    /// Its height; that of the relief at large where not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Height>,
    /// How to find the exact point, in words.
    #[serde(default)]
    pub hint: String,
}

/// A height above the field, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Height {
    /// The height of an unworn coin in mm, 0 for the field.
    pub mm: f64,
    /// The standard deviation of that in mm.
    pub deviation_mm: f64,
}

/// A rectangle in the side frame where dies differ.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Zone {
    /// Its short name.
    pub id: ZoneId,
    /// What it shows, in words.
    pub title: String,
    /// Its centre in side mm.
    pub centre_mm: SidePoint,
    /// Its width and height in mm, along the side frame's axes.
    pub size_mm: (f64, f64),
    /// How high its telling detail lies; in the field or on the relief where not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Height>,
    /// The smallest detail that must be seen to tell the states apart, in mm.
    pub telling_detail_mm: f64,
}

impl Zone {
    /// What to call it on the screen: its title, or its name while it has none.
    #[must_use]
    pub fn shown_title(&self) -> &str {
        if self.title.is_empty() {
            self.id.as_str()
        } else {
            &self.title
        }
    }
}

/// A question asked in a zone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Feature {
    /// Its short name.
    pub id: FeatureId,
    /// The question in words.
    pub question: String,
    /// Where to look.
    pub zone: ZoneId,
    /// How likely a careful verdict on it is right, above 0.5 and below 1.
    pub reliability: f64,
    /// The answers; each die shows one of them or is silent.
    pub states: Vec<State>,
}

impl Feature {
    /// The state of that name.
    #[must_use]
    pub fn state(&self, id: &StateId) -> Option<&State> {
        self.states.iter().find(|s| &s.id == id)
    }
}

/// One answer to a feature's question.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct State {
    /// Its short name.
    pub id: StateId,
    /// What it looks like, in words.
    pub words: String,
    /// A measure that a coin in this state shows.
    #[serde(default)]
    pub stated: Option<StatedMeasure>,
}

/// A stated measure of a state.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum StatedMeasure {
    /// A distance in mm.
    DistanceMm {
        /// What is measured, in words.
        what: String,
        /// Its value in mm.
        value: f64,
        /// How far it may lie from it, in mm.
        tolerance: f64,
    },
    /// An angle in degrees.
    AngleDeg {
        /// What is measured, in words.
        what: String,
        /// Its value in degrees.
        value: f64,
        /// How far it may lie from it, in degrees.
        tolerance: f64,
    },
}

impl StatedMeasure {
    /// What is measured, its value and its tolerance.
    #[must_use]
    pub fn parts(&self) -> (&str, f64, f64) {
        match self {
            Self::DistanceMm {
                what,
                value,
                tolerance,
            }
            | Self::AngleDeg {
                what,
                value,
                tolerance,
            } => (what, *value, *tolerance),
        }
    }

    /// As [`StatedMeasure::parts`], to change them.
    pub fn parts_mut(&mut self) -> (&mut String, &mut f64, &mut f64) {
        match self {
            Self::DistanceMm {
                what,
                value,
                tolerance,
            }
            | Self::AngleDeg {
                what,
                value,
                tolerance,
            } => (what, value, tolerance),
        }
    }
}

/// A die of one side.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Die {
    /// Its short name.
    pub id: DieId,
    /// What is known of it, in words.
    #[serde(default)]
    pub note: String,
    /// The state it shows of each feature; a feature missing here is one on which the set is silent for this die.
    #[serde(default, deserialize_with = "unique_keys")]
    pub shows: BTreeMap<FeatureId, StateId>,
    /// Its reference pictures; none at all is allowed while a set grows.
    #[serde(default)]
    pub plates: Vec<Plate>,
}

/// A reference picture of a die.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plate {
    /// Its file, relative to the set's folder, with `/` between the parts.
    pub file: String,
    /// Where its landmarks are, in upright px of that file.
    #[serde(default, deserialize_with = "unique_keys")]
    pub landmarks: BTreeMap<LandmarkName, PicturePoint>,
    /// Where the picture comes from.
    #[serde(default)]
    pub source: String,
    /// Who holds the rights in it and what they allow.
    #[serde(default)]
    pub rights: String,
}

/// An obverse and a reverse die known to have struck coins together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pairing {
    /// Its number in the set's catalogue.
    pub catalogue: String,
    /// The obverse die.
    pub obverse: DieId,
    /// The reverse die.
    pub reverse: DieId,
    /// For each fact, the values with which the pairing is known; a fact missing here may have any.
    #[serde(default, deserialize_with = "unique_keys")]
    pub facts: BTreeMap<FactId, Vec<String>>,
    /// Its rarity band.
    #[serde(default)]
    pub rarity: Option<RarityId>,
    /// The set author's estimate of how many exist, used as prior weight when the user asks for it.
    #[serde(default)]
    pub estimated_known: Option<f64>,
    /// What else is known of it.
    #[serde(default)]
    pub note: String,
}

impl Pairing {
    /// Its die of a side.
    #[must_use]
    pub fn die(&self, side: Side) -> &DieId {
        match side {
            Side::Obverse => &self.obverse,
            Side::Reverse => &self.reverse,
        }
    }

    /// As [`Pairing::die`], to change it.
    pub fn die_mut(&mut self, side: Side) -> &mut DieId {
        match side {
            Side::Obverse => &mut self.obverse,
            Side::Reverse => &mut self.reverse,
        }
    }
}

/// The shares of coins that are of something that the set does not list: what the standing starts from, before any
/// verdict. The share of new dies among the next coins can be estimated from how many dies are known from one coin only
/// (Good, Biometrika 40, 1953, 237-264).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct UnlistedShares {
    /// Of a pairing that is not listed, of two dies that are.
    pub pairing: f64,
    /// With an obverse die that is not listed.
    pub obverse_die: f64,
    /// With a reverse die that is not listed.
    pub reverse_die: f64,
}

impl UnlistedShares {
    /// The least share that is used: no list is known to be whole.
    pub const LEAST: f64 = 0.0001;
    /// The greatest share of each that a set may state.
    pub const GREATEST: f64 = 0.3;

    /// Whether the set states none of its own.
    #[must_use]
    pub fn is_default(&self) -> bool {
        *self == Self::default()
    }

    /// Each within what is used.
    #[must_use]
    pub fn within_bounds(self) -> Self {
        let bounded = |share: f64| {
            if share.is_finite() {
                share.clamp(Self::LEAST, Self::GREATEST)
            } else {
                Self::GREATEST
            }
        };
        Self {
            pairing: bounded(self.pairing),
            obverse_die: bounded(self.obverse_die),
            reverse_die: bounded(self.reverse_die),
        }
    }
}

impl Default for UnlistedShares {
    /// Four in a hundred of each: cautious for a series that is well studied. Common practice, no source; with these the
    /// simulated table of tests/evidence/simulation.rs holds.
    fn default() -> Self {
        Self {
            pairing: 0.04,
            obverse_die: 0.04,
            reverse_die: 0.04,
        }
    }
}

/// What a rarity name means.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RarityBand {
    /// Its short name, as pairings use it.
    pub id: RarityId,
    /// Its meaning in words.
    pub meaning: String,
    /// The least number of specimens thought to exist.
    #[serde(default)]
    pub at_least: Option<u32>,
    /// The greatest number.
    #[serde(default)]
    pub at_most: Option<u32>,
}

/// How the price usually rises with grade.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PriceSlope {
    /// Where the slope comes from.
    pub source: String,
    /// Grade names from worst to best, each with its price as a multiple of the first.
    pub steps: Vec<(String, f64)>,
}
