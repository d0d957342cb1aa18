//! Snap: a landmark clicked roughly goes to its place.
//!
//! The plate's patch about the landmark is looked for near the click as a field of edge directions (see
//! [`super::field`]), coarse first, then fine. Four parts of it are then looked for each on its own: their mean is the
//! place, to a fraction of a pixel, and where they contradict each other the landmark stays.

use nalgebra::Vector2;

use super::field::{Drawing, Field, sample};
use super::search::{Peak, search};
use crate::geometry::{PictureFromSide, PicturePoint, PictureVector, SidePoint, SideVector};
use crate::photo::Picture;

/// Half the width of the patch that is looked for, in mm: a letter and its neighbours, so that it is one of its kind,
/// and lines of all directions, so that under any light some of them show. On minted coins 2.2 mm find 83 of 100 places,
/// 3 mm 89; 4 mm take twice the time for no more accepted.
const PATCH_MM: f64 = 3.0;
/// The four parts by which the place is measured last: their middles lie this far from it in x and in y, in mm, ...
const PART_OFF_MM: f64 = 1.0;
/// ... and this is half their width. Four of 0.8 and 1.2 mm fail more often.
const PART_MM: f64 = 1.6;
/// The finest grid on which patches are compared, in nodes per mm.
const MOST_NODES_PER_MM: f64 = 44.0;
/// The grid of the coarse search as a share of the fine one's.
const COARSE: f64 = 0.5;
/// How far the fine search goes about the coarse one's peak, in fine nodes.
const FINE_REACH: usize = 5;
/// How far the fine search goes the second time.
const AGAIN_REACH: usize = 3;
/// How far a part is looked for about the place of the whole, in fine nodes: what a tilt of some 15 degrees moves it.
const PART_REACH: usize = 4;
/// Rivals of the peak are looked for further than this from it, in mm: nearer ones are the peak's own flank.
const RIVAL_APART_MM: f64 = 0.14;
/// How patches are drawn: little blurred, and faint edges nearly as strong as bright ones. Under light from another
/// side other edges are the bright ones; an evening of 1.2 finds 84 of 100 places, 0.4 finds 89, 0.15 finds 91.
const DRAWING: Drawing = Drawing {
    blurs: 1,
    evening: 0.15,
};

// What a place must pass. Chosen on 750 clicks on minted coins up to wear 0.85, under light from all sides and with a
// tilt not yet known, checked on 1500 others; none of them is among those that the tests report.

/// The most by which the four parts may contradict each other, in fine nodes. A tilt moves them apart in a linear way,
/// which their mean is free of; this is the rest. It rises where some of them lie wrong or light has moved the edges.
const MOST_TWIST: f64 = 0.3;
/// The furthest that the fine place may lie from the coarse one, in fine nodes.
const MOST_FROM_COARSE: f64 = 3.0;
/// The least correlation at the peak.
const LEAST_SCORE: f64 = 0.45;
/// The most that a rival may have, as a share of the peak's correlation.
const MOST_RIVAL: f64 = 0.97;
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
    /// Parts of the patch lie differently to each other in the photo and in the plate.
    #[error("The landmark stays where you put it: its surroundings do not agree on one place.")]
    NotAgreed,
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
    let pair = Pair {
        photo,
        photo_from_side,
        plate,
        plate_from_side,
        place,
    };
    let step = 1.0 / finest;
    let coarse_step = step / COARSE;
    let coarse_reach = (reach_mm / coarse_step).ceil() as usize;
    let coarse = pair.find(PATCH_MM, to_click, coarse_step, coarse_reach)?;
    if coarse.at_border {
        return Err(SnapRefused::TooFar);
    }
    if coarse.score < LEAST_SCORE {
        return Err(SnapRefused::NotAlike { score: coarse.score });
    }
    if coarse.rival > MOST_RIVAL {
        return Err(SnapRefused::NotDistinct { rival: coarse.rival });
    }
    let start = to_click + pair.moved(coarse.shift(), coarse_step);
    let mut shift = start;
    // Twice, so that the last shift is a small fraction of a node, where the paraboloid is true.
    for reach in [FINE_REACH, AGAIN_REACH] {
        let fine = pair.find(PATCH_MM, shift, step, reach)?;
        if fine.at_border {
            return Err(SnapRefused::NotAgreed);
        }
        shift += pair.moved(fine.shift(), step);
    }
    let px_a_node = photo_from_side.px_per_mm(place) * step;
    if (shift - start).length() > MOST_FROM_COARSE * px_a_node {
        return Err(SnapRefused::NotAgreed);
    }
    shift += pair.moved(pair.by_parts(shift, step)?, step);
    let to = photo_from_side.point_in_picture(place) + shift;
    Ok(Snap {
        to,
        moved_px: (to - click).length(),
        score: coarse.score,
        distinctness: 1.0 - coarse.rival,
    })
}

/// Photo and plate about one place.
#[derive(Clone, Copy)]
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
        let (plate, photo) = (Field::of_patch(&plate, DRAWING), Field::of_patch(&photo, DRAWING));
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

    /// The mean of the four parts' shifts from `shift`, in nodes, where they agree.
    fn by_parts(&self, shift: PictureVector, step_mm: f64) -> Result<Vector2<f64>, SnapRefused> {
        let mut parts = [Vector2::zeros(); 4];
        for (part, (x, y)) in parts
            .iter_mut()
            .zip([(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)])
        {
            let there = Self {
                place: self.place + SideVector::new(x, y) * PART_OFF_MM,
                ..*self
            };
            let peak = there.find(PART_MM, shift, step_mm, PART_REACH)?;
            if peak.at_border {
                return Err(SnapRefused::NotAgreed);
            }
            *part = peak.shift();
        }
        let [a, b, c, d] = parts;
        // Zero for any linear map of the four corners.
        let twist = (a - b - c + d) / 4.0;
        if twist.norm() > MOST_TWIST {
            return Err(SnapRefused::NotAgreed);
        }
        Ok((a + b + c + d) / 4.0)
    }

    /// A shift in nodes, in px of the photo.
    fn moved(&self, shift: Vector2<f64>, step_mm: f64) -> PictureVector {
        let on_side = SideVector::new(shift.x, shift.y) * step_mm;
        let there = self.photo_from_side.point_in_picture(self.place + on_side);
        there - self.photo_from_side.point_in_picture(self.place)
    }
}
