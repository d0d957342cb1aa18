//! The record of a specimen, as it is written in `specimen.ron`: plain data, cheap to clone, so that undo keeps
//! earlier records.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::Comparison;
use crate::align::Rim;
use crate::files::text::unique_keys;
use crate::geometry::{Model, PicturePoint, SidePoint, SideVector};
use crate::reference::{DieId, FactId, FeatureId, LandmarkName, Side, StateId, ZoneId};

/// All that is known and decided of one coin.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpecimenRecord {
    /// The version of the file format; see [`SpecimenRecord::FORMAT`].
    pub format: u32,
    /// What the user calls the coin.
    pub title: String,
    /// The reference set it is compared with.
    pub set: SetReference,
    /// The obverse photo.
    #[serde(default)]
    pub obverse: Option<SidePhoto>,
    /// The reverse photo.
    #[serde(default)]
    pub reverse: Option<SidePhoto>,
    /// Answers to the set's facts; a fact missing here has not been asked yet.
    #[serde(default, deserialize_with = "unique_keys")]
    pub facts: BTreeMap<FactId, FactAnswer>,
    /// The weight in g, if weighed.
    #[serde(default)]
    pub weight_g: Option<f64>,
    /// The verdicts in the order given; at most one for a side, feature and state.
    #[serde(default)]
    pub verdicts: Vec<Verdict>,
    /// Measurements kept on crops.
    #[serde(default)]
    pub measurements: Vec<Measurement>,
    /// Comparisons with other specimens, in the order begun; at most one for a side and another specimen. Since
    /// format 2.
    #[serde(default)]
    pub comparisons: Vec<Comparison>,
    /// The grade, in the user's words.
    #[serde(default)]
    pub grade: String,
    /// What the coin cost, in the user's words.
    #[serde(default)]
    pub cost: String,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl SpecimenRecord {
    /// The newest version of the file format that this program reads and the one it writes.
    pub const FORMAT: u32 = 2;

    /// As this version writes it. What an older format says means the same in this one, so the number is all that
    /// changes.
    #[must_use]
    pub(super) fn brought_up_to_date(self) -> Self {
        Self {
            format: Self::FORMAT,
            ..self
        }
    }

    /// A record with a title and a set and nothing else yet.
    #[must_use]
    pub fn new(title: &str, set: SetReference) -> Self {
        Self {
            format: Self::FORMAT,
            title: title.to_owned(),
            set,
            obverse: None,
            reverse: None,
            facts: BTreeMap::new(),
            weight_g: None,
            verdicts: Vec::new(),
            measurements: Vec::new(),
            comparisons: Vec::new(),
            grade: String::new(),
            cost: String::new(),
            notes: String::new(),
        }
    }

    /// The photo of a side.
    #[must_use]
    pub fn photo(&self, side: Side) -> Option<&SidePhoto> {
        match side {
            Side::Obverse => self.obverse.as_ref(),
            Side::Reverse => self.reverse.as_ref(),
        }
    }

    /// The photo of a side, to set or change.
    pub fn photo_mut(&mut self, side: Side) -> &mut Option<SidePhoto> {
        match side {
            Side::Obverse => &mut self.obverse,
            Side::Reverse => &mut self.reverse,
        }
    }

    /// The verdict on a state, if given.
    #[must_use]
    pub fn verdict(&self, side: Side, feature: &FeatureId, state: &StateId) -> Option<&Verdict> {
        self.verdicts
            .iter()
            .find(|v| v.side == side && &v.feature == feature && &v.state == state)
    }
}

/// Which set a specimen was compared with, and in which edition.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetReference {
    /// The set's lasting name.
    pub id: String,
    /// Its edition when the specimen was last saved.
    pub edition: u32,
    /// Its title, to ask for it where it is missing.
    pub title: String,
    /// Where it was: a folder or packed file, relative to the specimen's folder where it can be; `demo` for the
    /// set that is built in.
    pub place: String,
}

/// A photo and what was placed on it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SidePhoto {
    /// Its file in the specimen's folder.
    pub file: String,
    /// The name it came with.
    #[serde(default)]
    pub original_name: String,
    /// SHA-256 of its bytes, in lower-case hexadecimal.
    pub sha256: String,
    /// Upright width in px.
    pub width_px: u32,
    /// Upright height in px.
    pub height_px: u32,
    /// Landmarks placed, in upright px.
    #[serde(default, deserialize_with = "unique_keys")]
    pub landmarks: BTreeMap<LandmarkName, PicturePoint>,
    /// The model that the user holds; chosen by evidence where none.
    #[serde(default)]
    pub held_model: Option<Model>,
    /// The rim in the photo, found or drawn.
    #[serde(default)]
    pub rim: Option<Rim>,
    /// Fine shifts that the user accepted, by zone.
    #[serde(default, deserialize_with = "unique_keys")]
    pub fine_shifts: BTreeMap<ZoneId, FineShift>,
}

impl SidePhoto {
    /// What to call it: the name it came with, or its file's where that is not known.
    #[must_use]
    pub fn shown_name(&self) -> &str {
        if self.original_name.is_empty() {
            &self.file
        } else {
            &self.original_name
        }
    }
}

/// A small shift of one zone on the photo.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FineShift {
    /// By how much the zone's place is moved on the side, in mm.
    pub shift_mm: SideVector,
}

/// The answer to a fact's question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum FactAnswer {
    /// One of the set's choices, by value.
    Is(String),
    /// Any of these remains possible: a numeral half read.
    OneOf(Vec<String>),
    /// Not legible.
    Unreadable,
}

/// What the user decided on one state of one feature.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Verdict {
    /// The side.
    pub side: Side,
    /// The feature.
    pub feature: FeatureId,
    /// The state it is given for.
    pub state: StateId,
    /// The verdict.
    pub ruling: Ruling,
    /// The user's note.
    #[serde(default)]
    pub note: String,
    /// The crop that was on the screen.
    #[serde(default)]
    pub seen: Option<SeenCrop>,
}

/// Agrees, differs or cannot tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Ruling {
    /// The coin shows this state.
    Agrees,
    /// The coin does not show this state.
    Differs,
    /// The coin or the photo does not show which.
    CannotTell(CannotTell),
}

impl Ruling {
    /// In a word or two.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Ruling::Agrees => "agrees",
            Ruling::Differs => "differs",
            Ruling::CannotTell(_) => "cannot tell",
        }
    }
}

/// Why a verdict cannot be given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum CannotTell {
    /// Worn away.
    Wear,
    /// A knock, scratch, corrosion or dirt on the coin.
    Damage,
    /// The photo is blurred or too small.
    Blur,
    /// The photo's light hides it.
    Glare,
    /// Outside the photo or covered.
    NotInPhoto,
}

impl CannotTell {
    /// All reasons, in the order offered.
    pub const ALL: [CannotTell; 5] = [
        CannotTell::Wear,
        CannotTell::Damage,
        CannotTell::Blur,
        CannotTell::Glare,
        CannotTell::NotInPhoto,
    ];

    /// The reason in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            CannotTell::Wear => "worn",
            CannotTell::Damage => "damaged",
            CannotTell::Blur => "blurred",
            CannotTell::Glare => "glare",
            CannotTell::NotInPhoto => "not in the photo",
        }
    }

    /// The one after it, round again.
    #[must_use]
    pub fn next(self) -> Self {
        let index = Self::ALL.iter().position(|why| *why == self).unwrap_or(0);
        Self::ALL[(index + 1) % Self::ALL.len()]
    }
}

/// The exact crop that was seen when a verdict was given, enough to cut it again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeenCrop {
    /// The die and plate (counted from 0) it was compared with; none where the state is described in words only.
    #[serde(default)]
    pub plate: Option<(DieId, usize)>,
    /// The photo's transform from side mm to upright px, row by row.
    pub photo_from_side: [f64; 9],
    /// The crop's centre in side mm.
    pub centre_mm: SidePoint,
    /// The crop's width and height in mm.
    pub size_mm: (f64, f64),
    /// Its scale in px/mm.
    pub px_per_mm: f64,
    /// The 95 % radius of the zone's place, photo and plate together, in mm.
    pub uncertainty_mm: f64,
    /// How strongly the light was evened, 0 to 1.
    #[serde(default)]
    pub light_evened: f64,
}

/// A measurement on a crop of the coin.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measurement {
    /// The side.
    pub side: Side,
    /// The feature it belongs to.
    pub feature: FeatureId,
    /// What is measured.
    pub kind: MeasureKind,
    /// Its end points (distance, height: two; angle: arm, corner, arm), in side mm.
    pub points_mm: Vec<SidePoint>,
    /// The user's note.
    #[serde(default)]
    pub note: String,
}

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum MeasureKind {
    /// The distance of two points, in mm.
    Distance,
    /// The angle at the middle of three points, in degrees.
    Angle,
    /// The distance along the side frame's y axis, in mm.
    Height,
}
