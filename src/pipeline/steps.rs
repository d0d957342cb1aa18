//! The steps between the rooms.

use nalgebra::Matrix3;

use crate::align::{AlignError, Alignment, Marked, Uncertainty, align, combine};
use crate::crop::CropFrame;
use crate::geometry::{Model, PictureFromSide, SidePoint};
use crate::reference::{Die, DieId, Feature, Plate, ReferenceSet, Side, SideReference, StateId, Zone};
use crate::specimen::{FineShift, SidePhoto};

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
    let marked = Marked {
        rim: photo.rim.as_ref(),
        hold: photo.held_model,
        ..Marked::from(&photo.landmarks)
    };
    align(
        &set.side(side).landmarks,
        &set.measures,
        marked,
        &zone_places(set, side),
    )
}

/// Aligns a plate by the landmarks that the set gives it.
///
/// # Errors
/// [`AlignError`].
pub fn align_plate(set: &ReferenceSet, side: Side, plate: &Plate) -> Result<Alignment, AlignError> {
    align(
        &set.side(side).landmarks,
        &set.measures,
        Marked::from(&plate.landmarks),
        &zone_places(set, side),
    )
}

/// Where the alignment has to be good: the zones' centres.
fn zone_places(set: &ReferenceSet, side: Side) -> Vec<SidePoint> {
    set.side(side).zones.iter().map(|zone| zone.centre_mm).collect()
}

/// The states of a feature in the set's order, each with a plate to show.
#[must_use]
pub fn state_views(side: &SideReference, feature: &Feature) -> Vec<StateView> {
    feature
        .states
        .iter()
        .map(|state| {
            let dies: Vec<&Die> = side
                .dies
                .iter()
                .filter(|die| die.shows.get(&feature.id) == Some(&state.id))
                .collect();
            let plate = dies.iter().find_map(|die| {
                let place = die.plates.iter().position(|plate| can_be_aligned(side, plate))?;
                Some((die.id.clone(), place))
            });
            StateView {
                state: state.id.clone(),
                dies: dies.into_iter().map(|die| die.id.clone()).collect(),
                plate,
            }
        })
        .collect()
}

fn can_be_aligned(side: &SideReference, plate: &Plate) -> bool {
    let known = plate
        .landmarks
        .keys()
        .filter(|name| side.landmark(name).is_some())
        .count();
    known >= Model::Similarity.fewest_landmarks()
}

/// The upright frame of a zone at a scale; `margin` is the share of the zone's size added on each side (0.25 shows
/// half as much again). Each edge is rounded up to whole pixels and kept within 1 to [`LONGEST_CROP_EDGE_PX`].
#[must_use]
pub fn zone_frame(zone: &Zone, px_per_mm: f64, margin: f64) -> CropFrame {
    let (width_mm, height_mm) = zone.size_mm;
    CropFrame {
        centre: zone.centre_mm,
        px_per_mm,
        rotation_deg: 0.0,
        width_px: edge_px(width_mm, px_per_mm, margin),
        height_px: edge_px(height_mm, px_per_mm, margin),
    }
}

/// The longest edge of a crop, in px: a bound on memory, some four times a wide screen.
pub const LONGEST_CROP_EDGE_PX: u32 = 16_384;

fn edge_px(zone_mm: f64, px_per_mm: f64, margin: f64) -> u32 {
    let px = (zone_mm * (1.0 + 2.0 * margin) * px_per_mm).ceil();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a cast from f64 saturates and takes NaN to 0; the clamp follows"
    )]
    let px = px as u32;
    px.clamp(1, LONGEST_CROP_EDGE_PX)
}

/// The photo's transform for one zone: the alignment at the zone's height, with its accepted fine shift. A shift that is not a
/// finite number is left out.
#[must_use]
pub fn zone_transform(alignment: &Alignment, photo: &SidePhoto, zone: &Zone) -> PictureFromSide {
    shifted(&alignment.zone_transform(zone), photo.fine_shifts.get(&zone.id))
}

/// A transform with a fine shift of the place on the side; one that is not a finite number is left out.
#[must_use]
pub fn shifted(picture_from_side: &PictureFromSide, fine: Option<&FineShift>) -> PictureFromSide {
    let whole = *picture_from_side;
    let Some(fine) = fine else {
        return whole;
    };
    let shift = fine.shift_mm;
    let moved = Matrix3::new(1.0, 0.0, shift.x, 0.0, 1.0, shift.y, 0.0, 0.0, 1.0);
    PictureFromSide::new(whole.matrix() * moved).unwrap_or(whole)
}

/// How far the zone may be off between photo and plate at its centre, both alignments together.
#[must_use]
pub fn zone_uncertainty(photo: &Alignment, plate: Option<&Alignment>, zone: &Zone) -> Uncertainty {
    match plate {
        Some(plate) => combine(photo.zone_uncertainty(zone), plate.zone_uncertainty(zone)),
        None => photo.zone_uncertainty(zone),
    }
}
