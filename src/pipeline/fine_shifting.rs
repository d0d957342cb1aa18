//! Proposing a fine shift of one zone.

use crate::align::{Alignment, SnapRefused, fine_shift};
use crate::crop::cut;
use crate::photo::Picture;
use crate::reference::Zone;
use crate::specimen::FineShift;

use super::steps::{zone_frame, zone_uncertainty};

/// A fine shift that is offered, never applied by itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OfferedShift {
    /// The shift.
    pub shift: FineShift,
    /// How far it might have gone: the predicted 95 % radius of the zone's place, in mm.
    pub bound_mm: f64,
    /// How like the crops are at the shift, 0 to 1.
    pub likeness: f64,
    /// How like they are without it.
    pub likeness_before: f64,
}

/// Why no fine shift is offered. Each message is a sentence for the user.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoShift {
    /// Too little to go by.
    #[error("No fine shift is offered: there is too little relief in this zone to go by.")]
    Empty,
    /// Coin and plate do not look alike.
    #[error("No fine shift is offered: coin and plate do not look alike enough in this zone.")]
    NotAlike,
    /// More than one shift fits.
    #[error("No fine shift is offered: more than one fits as well.")]
    NotDistinct,
    /// Further off than the alignment says it can be.
    #[error(
        "No fine shift is offered: what looks alike lies further off than the alignment allows; check the landmarks."
    )]
    TooFar,
}

impl From<SnapRefused> for NoShift {
    fn from(refused: SnapRefused) -> Self {
        match refused {
            SnapRefused::OutsidePhoto | SnapRefused::OutsidePlate | SnapRefused::Empty => Self::Empty,
            SnapRefused::NotAlike { .. } => Self::NotAlike,
            SnapRefused::NotDistinct { .. } | SnapRefused::NotAgreed | SnapRefused::NoBetter { .. } => {
                Self::NotDistinct
            }
            SnapRefused::TooFar | SnapRefused::Disagrees => Self::TooFar,
        }
    }
}

/// The share of the zone's size cut around it: what both sides of the zone's edge show helps to find the shift.
const MARGIN: f64 = 0.3;

/// Offers the shift of the photo's zone, within the predicted uncertainty, that lays it on the plate's. The photo's
/// alignment is taken as it is, without a shift accepted before.
///
/// # Errors
/// [`NoShift`].
pub fn offer_fine_shift(
    photo: (&Picture, &Alignment),
    plate: (&Picture, &Alignment),
    zone: &Zone,
) -> Result<OfferedShift, NoShift> {
    let (from_photo, from_plate) = (photo.1.zone_transform(zone), plate.1.zone_transform(zone));
    let px_per_mm = from_photo
        .px_per_mm(zone.centre_mm)
        .min(from_plate.px_per_mm(zone.centre_mm));
    let frame = zone_frame(zone, px_per_mm, MARGIN);
    let bound_mm = zone_uncertainty(photo.1, Some(plate.1), zone).radius95_mm;
    let coin = cut(photo.0, &from_photo, &frame).pixels;
    let reference = cut(plate.0, &from_plate, &frame).pixels;
    let found = fine_shift(&coin, &reference, bound_mm * px_per_mm)?;
    Ok(OfferedShift {
        shift: FineShift {
            shift_mm: (found.shift_px / px_per_mm).cast_unit(),
        },
        bound_mm,
        likeness: found.score,
        likeness_before: found.score_unshifted,
    })
}
