//! The steps between the rooms.

use crate::align::{AlignError, Alignment, Uncertainty};
use crate::crop::CropFrame;
use crate::geometry::PictureFromSide;
use crate::reference::{DieId, Feature, Plate, ReferenceSet, Side, SideReference, StateId, Zone};
use crate::specimen::SidePhoto;

/// One distinct state of a feature with the plate that shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateView {
    /// The state.
    pub state: StateId,
    /// The dies that show it, in the set's order.
    pub dies: Vec<DieId>,
    /// The die and plate (counted from 0) to show: the first plate of those dies that has enough landmarks; none
    /// where the state is known in words only.
    pub plate: Option<(DieId, usize)>,
}

/// Aligns the photo of a side by its placed landmarks, rim and held model.
///
/// # Errors
/// [`AlignError`].
pub fn align_photo(set: &ReferenceSet, side: Side, photo: &SidePhoto) -> Result<Alignment, AlignError> {
    let _ = (set, side, photo);
    unimplemented!()
}

/// Aligns a plate by the landmarks that the set gives it.
///
/// # Errors
/// [`AlignError`].
pub fn align_plate(set: &ReferenceSet, side: Side, plate: &Plate) -> Result<Alignment, AlignError> {
    let _ = (set, side, plate);
    unimplemented!()
}

/// The states of a feature in the set's order, each with a plate to show.
#[must_use]
pub fn state_views(side: &SideReference, feature: &Feature) -> Vec<StateView> {
    let _ = (side, feature);
    unimplemented!()
}

/// The upright frame of a zone at a scale; `margin` is the share of the zone's size added on each side (0.25 shows
/// half as much again).
#[must_use]
pub fn zone_frame(zone: &Zone, px_per_mm: f64, margin: f64) -> CropFrame {
    let _ = (zone, px_per_mm, margin);
    unimplemented!()
}

/// The photo's transform for one zone: the alignment with the zone's accepted fine shift.
#[must_use]
pub fn zone_transform(alignment: &Alignment, photo: &SidePhoto, zone: &Zone) -> PictureFromSide {
    let _ = (alignment, photo, zone);
    unimplemented!()
}

/// How far the zone may be off between photo and plate, both alignments together.
#[must_use]
pub fn zone_uncertainty(photo: &Alignment, plate: Option<&Alignment>, zone: &Zone) -> Uncertainty {
    let _ = (photo, plate, zone);
    unimplemented!()
}
