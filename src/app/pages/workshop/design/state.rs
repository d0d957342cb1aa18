//! What the design section remembers while a plate is drawn on.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::align::Rim;
use crate::app::widgets::camera::Sight;
use crate::app::widgets::nudge::Gestures;
use crate::app::widgets::pane::PictureView;
use crate::app::widgets::rim::RimDrag;
use crate::geometry::{PictureFromSide, PicturePoint, PictureVector, SidePoint, TransformError};
use crate::pipeline::{self, ZoneGrip};
use crate::reference::{Die, DieId, LandmarkName, Plate, ReferenceSet, Side, SideReference, Zone, ZoneId};

/// What a press on the plate does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Tool {
    /// Moves the rim.
    #[default]
    Rim,
    /// Places and moves landmarks.
    Landmarks,
    /// Draws zones.
    Zones,
}

impl Tool {
    /// All, in the order of the work.
    pub const ALL: [Tool; 3] = [Tool::Rim, Tool::Landmarks, Tool::Zones];

    /// Its name on the screen.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Tool::Rim => "Rim and upright",
            Tool::Landmarks => "Place landmarks",
            Tool::Zones => "Draw zones",
        }
    }

    /// What to do with it.
    #[must_use]
    pub fn guidance(self) -> &'static str {
        match self {
            Tool::Rim => {
                "Drag the centre or the edge to correct it; turn it until its mark points to the design's top. It is only a \
                 start, kept until the set is closed: what is saved are the landmarks placed by it."
            }
            Tool::Landmarks => {
                "Click a point that every die of this side has. A selected landmark that is not on this plate yet is \
                 placed; otherwise a new one is made. Drag it to move it, or use the arrow keys."
            }
            Tool::Zones => {
                "Drag a rectangle over a spot where dies differ. Click a zone to select it, then drag it, or its \
                 handles to resize it. Arrow keys move it, with Alt they resize it."
            }
        }
    }
}

/// The rim as drawn on a plate that landmarks do not fix yet, and which way up the design lies in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateRim {
    /// The rim.
    pub rim: Rim,
    /// By how much the design is rotated clockwise in the picture, in degrees.
    pub rotation_deg: f64,
}

impl PlateRim {
    /// The rim before one is drawn: a circle that nearly fills a picture of this size, in px.
    fn guess(width_px: u32, height_px: u32) -> Self {
        /// The share of the picture's shorter side that a coin usually fills.
        const USUAL_SHARE: f64 = 0.9;
        Self {
            rim: Rim::in_the_middle((width_px, height_px), USUAL_SHARE / 2.0),
            rotation_deg: 0.0,
        }
    }

    /// Another rim, rotated alike.
    #[must_use]
    pub fn with(self, rim: Rim) -> Self {
        Self { rim, ..self }
    }

    /// The transform that it gives.
    ///
    /// # Errors
    /// [`TransformError::Degenerate`] for a rim or diameter of no size.
    pub fn frame(&self, set: &ReferenceSet) -> Result<PictureFromSide, TransformError> {
        pipeline::frame_from_rim(&self.rim, self.rotation_deg, set.measures.diameter_mm)
    }
}

/// The rims drawn on the plates of a side, by the plate's file.
pub type PlateRims = BTreeMap<String, PlateRim>;

/// What is being dragged.
#[derive(Debug, Clone, PartialEq)]
pub enum Drag {
    /// The rim or a part of it.
    Rim(RimDrag),
    /// A landmark, with the gesture's number and the way from the pointer to it.
    Landmark(LandmarkName, u64, PictureVector),
    /// A zone or a part of its outline.
    Zone(Box<ZoneDrag>),
    /// A new zone, from this corner.
    NewZone(PicturePoint),
}

/// A zone being moved or resized.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneDrag {
    /// The zone as it was when the drag began.
    pub start: Zone,
    /// The part of it that is held.
    pub grip: ZoneGrip,
    /// Where on the side it was taken hold of.
    pub from: SidePoint,
    /// The gesture's number.
    pub gesture: u64,
}

/// What the section remembers.
#[derive(Debug, Default)]
pub struct DesignState {
    /// The plate in view: the die and the plate's number.
    pub plate: Option<(DieId, usize)>,
    /// How it is looked at, by its file.
    pub views: BTreeMap<String, PictureView>,
    /// The tool in hand.
    pub tool: Tool,
    /// The rims drawn, as the workshop's history has them: changed by an edit alone.
    pub rims: Arc<PlateRims>,
    /// The landmark selected.
    pub landmark: Option<LandmarkName>,
    /// The zone selected.
    pub zone: Option<ZoneId>,
    /// Landmarks proposed and not looked at yet, by the plate's file.
    pub proposed: BTreeMap<String, BTreeSet<LandmarkName>>,
    /// The plate on which landmarks are being looked for, by its file.
    pub proposing: Option<String>,
    /// What is being dragged.
    pub drag: Option<Drag>,
    /// What was seen of the plate in the last frame.
    pub sight: Option<Sight>,
    /// Numbers the gestures.
    pub gestures: Gestures,
}

impl DesignState {
    /// The plate in view, or the side's first.
    #[must_use]
    pub fn plate_in<'a>(&self, side: &'a SideReference) -> Option<(&'a Die, usize)> {
        let chosen = self.plate.as_ref().and_then(|(die, number)| {
            let die = side.die(die).filter(|die| *number < die.plates.len())?;
            Some((die, *number))
        });
        chosen.or_else(|| Some((side.dies.iter().find(|die| !die.plates.is_empty())?, 0)))
    }

    /// Selects a landmark and takes the tool for it in hand.
    pub fn select_landmark(&mut self, name: &LandmarkName) {
        self.landmark = Some(name.clone());
        self.tool = Tool::Landmarks;
    }

    /// The landmarks of a plate that were proposed, still stand on it and were not looked at yet.
    #[must_use]
    pub fn proposed_on(&self, plate: &Plate) -> BTreeSet<LandmarkName> {
        let proposed = self.proposed.get(&plate.file).into_iter().flatten();
        proposed
            .filter(|name| plate.landmarks.contains_key(*name))
            .cloned()
            .collect()
    }

    /// A proposed landmark that the user moved is the user's own.
    pub fn settle(&mut self, file: &str, name: &LandmarkName) {
        if let Some(proposed) = self.proposed.get_mut(file) {
            proposed.remove(name);
        }
    }

    /// The transform of a plate: by its landmarks where they fix it, else by the rim drawn on it.
    #[must_use]
    pub fn frame(&self, set: &ReferenceSet, side: Side, plate: &Plate) -> Option<PictureFromSide> {
        match pipeline::align_plate(set, side, plate) {
            Ok(alignment) => Some(alignment.picture_from_side),
            Err(_) => self.rims.get(&plate.file)?.frame(set).ok(),
        }
    }

    /// Whether a rim was found or drawn on a plate since the set was opened.
    #[must_use]
    pub fn is_drawn(&self, file: &str) -> bool {
        self.rims.contains_key(file)
    }

    /// The rim drawn on a plate, or a guess before one is drawn on a picture of this size, in px.
    #[must_use]
    pub fn rim(&self, file: &str, width_px: u32, height_px: u32) -> PlateRim {
        let drawn = self.rims.get(file).copied();
        drawn.unwrap_or_else(|| PlateRim::guess(width_px, height_px))
    }
}
