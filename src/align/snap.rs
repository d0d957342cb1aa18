//! Snap: a landmark clicked roughly goes to its place.
//!
//! The plate's patch about the landmark is looked for near the click as a field of edge directions (see
//! [`super::field`]), coarse first, then to a fraction of a pixel.

use super::field::{Field, Peak, sample, search};
use crate::geometry::{PictureFromSide, PicturePoint, PictureVector, SidePoint, SideVector};
use crate::photo::Picture;

/// Half the width of the patch that is looked for, in mm: a letter and its neighbours, so that it is one of its kind.
const PATCH_MM: f64 = 2.2;
/// Half the width of the patch by which the place is measured, in mm: smaller, as a tilt not yet known moves what is
/// further off.
const FINE_PATCH_MM: f64 = 1.2;
/// The finest grid on which patches are compared, in nodes per mm.
const MOST_NODES_PER_MM: f64 = 44.0;
/// The grid of the coarse search as a share of the fine one's.
const COARSE: f64 = 0.5;
/// How far the fine search goes about the coarse one's peak, in fine nodes.
const FINE_REACH: usize = 3;
/// Rivals of the peak are looked for further than this from it, in mm: nearer ones are the peak's own flank.
const RIVAL_APART_MM: f64 = 0.14;
/// The least correlation at the peak. On minted coins up to wear 0.85, under light from all
/// sides, fewer than 1 in 100 places above it are wrong.
const LEAST_SCORE: f64 = 0.72;
/// The most that a rival may have, as a share of the peak's correlation.
const MOST_RIVAL: f64 = 0.90;
/// The least share of the patch that must lie inside each picture.
const LEAST_INSIDE: f64 = 0.8;
/// The least contrast of a patch, in levels per node: less is an empty field.
const LEAST_CONTRAST: f64 = 0.6;

/// Where a landmark went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Snap {
    /// Its place in the photo.
    pub to: PicturePoint,
    /// How far that is from the click, in px.
    pub moved_px: f64,
    /// The correlation of photo and plate there, 0 to 1.
    pub score: f64,
    /// How far the place stands out: 1 minus the next best place's correlation as a share of this one's.
    pub distinctness: f64,
}

/// Why a landmark stays where it was clicked. Each message is a sentence for the user.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SnapRefused {
    /// The patch reaches out of the photo.
    #[error("The landmark stays where you put it: its surroundings reach out of the photo.")]
    OutsidePhoto,
    /// The patch reaches out of the plate.
    #[error("The landmark stays where you put it: its surroundings reach out of the plate.")]
    OutsidePlate,
    /// There is nothing to compare.
    #[error("The landmark stays where you put it: there is too little relief about it to go by.")]
    Empty,
    /// The plate's patch is not there.
    #[error(
        "The landmark stays where you put it: the photo does not look like the plate there ({:.0} % alike).",
        score * 100.0
    )]
    NotAlike {
        /// The best correlation, -1 to 1.
        score: f64,
    },
    /// Several places fit about as well.
    #[error("The landmark stays where you put it: more than one place near it looks the same.")]
    NotDistinct {
        /// The next best place's correlation as a share of the best one's.
        rival: f64,
    },
    /// The best place is as far off as was looked.
    #[error(
        "The landmark stays where you put it: its place may be further off than was looked; click nearer."
    )]
    TooFar,
    /// It was found, but not where the other landmarks allow it.
    #[error("No place is proposed: what looks alike lies where the other landmarks do not allow it.")]
    Disagrees,
}

/// Finds a landmark near a click.
///
/// `photo_from_side` is the photo's transform as far as it is known; only its scale, turn and tilt near the landmark
/// matter, as the click says where. `place` is the landmark's in side mm, and the plate's transform must put it right.
/// The search goes `reach_mm` each way.
///
/// # Errors
/// [`SnapRefused`] where no place stands out.
pub fn snap(
    photo: &Picture,
    photo_from_side: &PictureFromSide,
    plate: &Picture,
    plate_from_side: &PictureFromSide,
    place: SidePoint,
    click: PicturePoint,
    reach_mm: f64,
) -> Result<Snap, SnapRefused> {
    let finest = photo_from_side
        .px_per_mm(place)
        .min(plate_from_side.px_per_mm(place))
        .min(MOST_NODES_PER_MM);
    let to_click = click - photo_from_side.point_in_picture(place);
    let coarse_step = 1.0 / (finest * COARSE);
    let pair = Pair {
        photo,
        photo_from_side,
        plate,
        plate_from_side,
        place,
    };
    let coarse = pair.find(
        PATCH_MM,
        to_click,
        coarse_step,
        (reach_mm / coarse_step).ceil() as usize,
    )?;
    if coarse.at_border {
        return Err(SnapRefused::TooFar);
    }
    if coarse.score < LEAST_SCORE {
        return Err(SnapRefused::NotAlike { score: coarse.score });
    }
    if coarse.rival > MOST_RIVAL {
        return Err(SnapRefused::NotDistinct { rival: coarse.rival });
    }
    let mut shift = to_click + pair.moved(&coarse, coarse_step);
    let fine_step = 1.0 / finest;
    // Twice, so that the last shift is a small fraction of a node, where the paraboloid is true.
    for _ in 0..2 {
        let fine = pair.find(FINE_PATCH_MM, shift, fine_step, FINE_REACH)?;
        if fine.at_border {
            return Err(SnapRefused::NotDistinct { rival: coarse.rival });
        }
        shift += pair.moved(&fine, fine_step);
    }
    let to = photo_from_side.point_in_picture(place) + shift;
    Ok(Snap {
        to,
        moved_px: (to - click).length(),
        score: coarse.score,
        distinctness: 1.0 - coarse.rival,
    })
}

/// Photo and plate about one place.
struct Pair<'a> {
    photo: &'a Picture,
    photo_from_side: &'a PictureFromSide,
    plate: &'a Picture,
    plate_from_side: &'a PictureFromSide,
    place: SidePoint,
}

impl Pair<'_> {
    fn find(
        &self,
        patch_mm: f64,
        shift: PictureVector,
        step_mm: f64,
        reach: usize,
    ) -> Result<Peak, SnapRefused> {
        let half = (patch_mm / step_mm).round() as usize;
        let none = PictureVector::zero();
        let plate = sample(self.plate, self.plate_from_side, self.place, none, step_mm, half);
        let photo = sample(
            self.photo,
            self.photo_from_side,
            self.place,
            shift,
            step_mm,
            half + reach,
        );
        let (plate, photo) = (Field::of_patch(&plate), Field::of_patch(&photo));
        if plate.inside < LEAST_INSIDE {
            return Err(SnapRefused::OutsidePlate);
        }
        if photo.inside < LEAST_INSIDE {
            return Err(SnapRefused::OutsidePhoto);
        }
        if plate.contrast < LEAST_CONTRAST || photo.contrast < LEAST_CONTRAST {
            return Err(SnapRefused::Empty);
        }
        search(&plate, &photo, reach, RIVAL_APART_MM / step_mm).ok_or(SnapRefused::Empty)
    }

    /// A peak's shift in px of the photo.
    fn moved(&self, peak: &Peak, step_mm: f64) -> PictureVector {
        let on_side = SideVector::new(peak.x, peak.y) * step_mm;
        let there = self.photo_from_side.point_in_picture(self.place + on_side);
        there - self.photo_from_side.point_in_picture(self.place)
    }
}
