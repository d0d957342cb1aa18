//! What a sheet says, as plain data: gathered once, then laid out without a look at sets, records or files.

use std::sync::Arc;

use image::RgbaImage;

use crate::crop::{Crop, CropFrame};
use crate::evidence::LikelihoodRatio;
pub use crate::evidence::OutcomeKind;
use crate::geometry::{Model, SidePoint, SideVector};
use crate::pipeline::Missing;
use crate::reference::{Side, StatedMeasure};
use crate::specimen::{MeasureKind, Ruling};

/// A crop as it is printed.
#[derive(Debug, Clone)]
pub struct SheetCrop {
    /// What it shows; its px/mm and size fix its size on paper.
    pub frame: CropFrame,
    /// Its pixels; transparent where the picture does not reach.
    pub pixels: Arc<RgbaImage>,
}

impl From<Crop> for SheetCrop {
    fn from(crop: Crop) -> Self {
        Self {
            frame: crop.frame,
            pixels: Arc::new(crop.pixels),
        }
    }
}

impl SheetCrop {
    /// Its width and height on the coin, in mm.
    #[must_use]
    pub fn size_mm(&self) -> (f64, f64) {
        self.frame.size_mm()
    }
}

/// A zone on a side's picture.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneMark {
    /// Its number on the sheet, counted over both sides.
    pub number: usize,
    /// What it shows.
    pub title: String,
    /// Its centre in side mm.
    pub centre: SidePoint,
    /// Its width and height in mm.
    pub size_mm: (f64, f64),
}

/// A photo's original file, so that another can check that theirs is the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoFile {
    /// The name it came with.
    pub name: String,
    /// SHA-256 of its bytes, lower-case hexadecimal.
    pub sha256: String,
    /// Upright size in px.
    pub size_px: (u32, u32),
}

/// One landmark against the fit.
#[derive(Debug, Clone, PartialEq)]
pub struct LandmarkRow {
    /// Its name.
    pub name: String,
    /// Its place in side mm; none where the set no longer has it.
    pub place: Option<SidePoint>,
    /// Marked minus fitted, right and down in the photo, in px.
    pub residual_px: (f64, f64),
    /// The length of that on the coin, in mm.
    pub residual_mm: f64,
    /// The same along the upright coin's axes, right and down, in mm.
    pub residual_on_side: Option<SideVector>,
    /// The length of marked minus fitted by the others alone, in px.
    pub left_out_px: Option<f64>,
    /// Whether it disagrees with the rest.
    pub disagrees: bool,
}

/// How well one zone is placed.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneRow {
    /// Its number on the sheet.
    pub number: usize,
    /// What it shows.
    pub title: String,
    /// Its centre in side mm.
    pub centre: SidePoint,
    /// The photo's scale there in px/mm.
    pub px_per_mm: f64,
    /// The 95 % radius of its place by the photo alone, in mm.
    pub radius95_mm: f64,
    /// The smallest detail that tells, in mm.
    pub telling_detail_mm: f64,
}

/// The alignment of one photo.
#[derive(Debug, Clone, PartialEq)]
pub struct AlignmentContent {
    /// The coin's nominal diameter in mm.
    pub diameter_mm: f64,
    /// The model.
    pub model: Model,
    /// Whether the user held it.
    pub held: bool,
    /// Hand-placing noise in px a coordinate.
    pub noise_px: f64,
    /// The photo's scale at the coin's centre, in px/mm.
    pub px_per_mm: f64,
    /// The landmarks.
    pub landmarks: Vec<LandmarkRow>,
    /// What the user was told of it.
    pub advice: Vec<String>,
    /// The zones.
    pub zones: Vec<ZoneRow>,
}

/// A side's photo, brought upright.
#[derive(Debug, Clone)]
pub struct SidePicture {
    /// The coin and a little around it.
    pub crop: SheetCrop,
    /// How many times true size it is printed.
    pub enlargement: u32,
}

/// A side of the coin.
#[derive(Debug, Clone)]
pub struct SideContent {
    /// Which.
    pub side: Side,
    /// The photo brought upright, or why it is not shown.
    pub picture: Result<SidePicture, Missing>,
    /// The zones marked on it.
    pub zones: Vec<ZoneMark>,
    /// The original's file; none where the side was not photographed.
    pub photo: Option<PhotoFile>,
    /// The alignment, or why there is none.
    pub alignment: Result<AlignmentContent, Missing>,
}

/// A question of fact and its answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FactLine {
    /// The question or measure.
    pub question: String,
    /// The answer.
    pub answer: String,
}

/// A verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct VerdictContent {
    /// What was decided.
    pub ruling: Ruling,
    /// The user's note.
    pub note: String,
}

/// A plate beside the coin.
#[derive(Debug, Clone)]
pub struct PlateContent {
    /// Its crop, cut as the coin's is, or why it cannot be shown.
    pub crop: Result<SheetCrop, Missing>,
    /// The die it shows, and which of its plates.
    pub die: String,
    /// Where the picture comes from and who holds the rights.
    pub credit: String,
    /// The 95 % radius of the zone between coin and plate, both alignments together, in mm.
    pub radius95_mm: Option<f64>,
}

/// A state of a feature.
#[derive(Debug, Clone)]
pub struct StateContent {
    /// What it looks like.
    pub words: String,
    /// The dies that show it.
    pub dies: Vec<String>,
    /// The plate that shows it; none where it is known in words only.
    pub plate: Option<PlateContent>,
    /// The measure that the set states for it.
    pub stated: Option<StatedMeasure>,
    /// The verdict; none where not given.
    pub verdict: Option<VerdictContent>,
}

/// A measurement on the coin's crop.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasureContent {
    /// What was measured.
    pub kind: MeasureKind,
    /// Its value in mm or degrees.
    pub value: f64,
    /// Half the width of its 95 % interval in the same unit, where known.
    pub uncertainty: Option<f64>,
    /// Its points in side mm.
    pub points: Vec<SidePoint>,
    /// The user's note.
    pub note: String,
    /// The states whose stated measure it agrees with, in words.
    pub fits: Vec<String>,
    /// The states whose stated measure it contradicts, in words.
    pub contradicts: Vec<String>,
}

/// A feature: the coin's crop and the plates'.
#[derive(Debug, Clone)]
pub struct FeatureContent {
    /// Which side.
    pub side: Side,
    /// Its label: its zone's number, and a letter where features share a zone.
    pub label: String,
    /// The question.
    pub question: String,
    /// What the zone shows.
    pub zone_title: String,
    /// The zone's centre in side mm.
    pub zone_centre: SidePoint,
    /// The zone's width and height in mm.
    pub zone_size_mm: (f64, f64),
    /// The smallest detail that tells, in mm.
    pub telling_detail_mm: f64,
    /// The coin's crop, or why it cannot be shown.
    pub coin: Result<SheetCrop, Missing>,
    /// The 95 % radius of the zone's place by the photo alone, in mm.
    pub radius95_mm: Option<f64>,
    /// How strongly the light was evened, above 0 to 1; none where not at all.
    pub light_evened: Option<f64>,
    /// The fine shift that the user accepted, in mm right and down.
    pub fine_shift: Option<SideVector>,
    /// How many times true size the crops are printed.
    pub enlargement: u32,
    /// The states in the set's order.
    pub states: Vec<StateContent>,
    /// What was measured.
    pub measures: Vec<MeasureContent>,
    /// What else the reader must know, as sentences.
    pub remarks: Vec<String>,
}

/// What is left of a die.
#[derive(Debug, Clone, PartialEq)]
pub struct DieRow {
    /// Which side.
    pub side: Side,
    /// The die.
    pub die: String,
    /// Its probability on its side.
    pub probability: f64,
    /// How many verdicts speak for it.
    pub supporting: usize,
    /// Why it is out; empty while it is in.
    pub out: Vec<String>,
    /// What speaks against it although it is in, as a slip may.
    pub doubts: Vec<String>,
}

/// What is left of a pairing.
#[derive(Debug, Clone, PartialEq)]
pub struct PairingRow {
    /// Its catalogue number.
    pub catalogue: String,
    /// The obverse die.
    pub obverse: String,
    /// The reverse die.
    pub reverse: String,
    /// Its rarity band's name; empty where none.
    pub rarity: String,
    /// Its probability; what is not listed has the rest.
    pub probability: f64,
    /// Why it is out; empty while it is in.
    pub out: Vec<String>,
}

/// What the evidence amounts to.
#[derive(Debug, Clone, PartialEq)]
pub struct OutcomeContent {
    /// Its kind.
    pub kind: OutcomeKind,
    /// What it means, as a sentence.
    pub meaning: String,
    /// The dies named, obverse and reverse.
    pub dies: Option<(String, String)>,
    /// The catalogue number.
    pub catalogue: Option<String>,
    /// The set's note on the pairing.
    pub note: String,
    /// The rarity band: its name and what it means.
    pub rarity: Option<(String, String)>,
    /// The best pairing against the next best.
    pub ratio: Option<LikelihoodRatio>,
    /// What it means and what to do next, in sentences.
    pub explanation: Vec<String>,
}

/// This coin's crop and another's, as they were seen.
#[derive(Debug, Clone)]
pub struct PairCrops {
    /// This coin's, or why it cannot be shown.
    pub this: Result<SheetCrop, Missing>,
    /// The other coin's, cut by the same frame, or why it cannot be shown.
    pub other: Result<SheetCrop, Missing>,
    /// How many times true size they are printed.
    pub enlargement: u32,
    /// The 95 % radius between the two photos, in mm.
    pub radius95_mm: Option<f64>,
    /// How strongly the light was evened, above 0 to 1; none where not at all.
    pub light_evened: Option<f64>,
}

/// What was found at a spot between this coin and another.
#[derive(Debug, Clone)]
pub struct FindingRow {
    /// The spot, in words.
    pub spot: String,
    /// What was found, in words.
    pub found: String,
    /// The kind of difference, and the coin that shows more of it; empty where none.
    pub kind: String,
    /// How surely the spot lay between the photos when it was looked at, in words; empty where not known.
    pub place: String,
    /// The user's note.
    pub note: String,
    /// The crops that were on the screen; none where nothing was.
    pub crops: Option<PairCrops>,
}

/// One side against the same side of another coin.
#[derive(Debug, Clone)]
pub struct ComparisonContent {
    /// Which side.
    pub side: Side,
    /// What the user calls the other coin.
    pub other: String,
    /// The other coin's photo: the name it came with.
    pub other_photo: String,
    /// SHA-256 of that photo's bytes.
    pub other_sha256: String,
    /// The user's conclusion, in words; none where none is drawn.
    pub conclusion: Option<String>,
    /// The user's note on it.
    pub note: String,
    /// What was found, spot by spot.
    pub findings: Vec<FindingRow>,
    /// What was measured on either coin, one line each.
    pub measures: Vec<String>,
    /// What must be known beside the conclusion, as sentences.
    pub cautions: Vec<String>,
}

/// All that a sheet says.
#[derive(Debug, Clone)]
pub struct SheetContent {
    /// What the user calls the coin.
    pub title: String,
    /// The user's grade; empty where none.
    pub grade: String,
    /// The user's notes; empty where none.
    pub notes: String,
    /// The reference set's title.
    pub set_title: String,
    /// Its lasting name.
    pub set_id: String,
    /// Its edition.
    pub set_edition: u32,
    /// Obverse and reverse.
    pub sides: Vec<SideContent>,
    /// The facts.
    pub facts: Vec<FactLine>,
    /// The features, obverse first, in the set's order.
    pub features: Vec<FeatureContent>,
    /// Comparisons with other coins, obverse first.
    pub comparisons: Vec<ComparisonContent>,
    /// The dies, obverse first.
    pub dies: Vec<DieRow>,
    /// The pairings.
    pub pairings: Vec<PairingRow>,
    /// How the pairings were weighed before the verdicts, as a sentence.
    pub prior: String,
    /// What the evidence amounts to.
    pub outcome: OutcomeContent,
    /// Cautions on this coin's facts and verdicts, as sentences.
    pub coin_cautions: Vec<String>,
    /// The set's own cautions.
    pub cautions: Vec<String>,
}
