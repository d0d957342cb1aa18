//! Snap: a landmark clicked roughly goes to its position.
//!
//! The plate's square about the landmark is looked for near the click as a field of edge directions (see
//! [`super::field`]), on a coarse grid. Parts of it are then looked for each on its own, coarse, fine and fine again:
//! they give the stretch of a tilt not yet known, by which the photo is read again, and where they contradict each
//! other the landmark stays. The position is where the square without that stretch fits best, to a fraction of a pixel;
//! how far the parts are from agreeing says how well it is known.

use nalgebra::{Matrix2, Vector2};

use super::field::Field;
use super::ground::{Ground, Patch};
use super::local_map::LocalMap;
use super::noise::placing_px;
use super::search::search;
use super::snap_parts::{PART_MM, PART_OFF_MM, agree};
use super::snap_refused::SnapRefused;
use crate::geometry::{PictureFromSide, PicturePoint, SidePoint, SideVector};
use crate::photo::Picture;

/// Half the width of the square that is looked for first, in mm: a letter and its neighbours, so that it is one of its
/// kind, and lines of all directions, so that under any light some of them show.
const FIRST_MM: f64 = 3.0;
/// Half the width of the square that is laid on last, in mm.
const LAST_MM: f64 = 3.6;
/// The finest grid on which squares are compared, in nodes per mm.
const MOST_NODES_PER_MM: f64 = 44.0;
/// The grid of the coarse search as a share of the fine one's.
const COARSE: f64 = 0.5;
/// How far a part is looked for, in nodes: about the coarse position, what a tilt moves it; then what the grid before
/// leaves; then what light moves its edges.
const PART_REACHES: [usize; 3] = [3, 3, 2];
/// How far the whole is looked for at last, in nodes.
const LAST_REACH: usize = 2;
/// Rivals of the peak are looked for further than this from it, in mm: nearer ones are the peak's own flank.
const RIVAL_APART_MM: f64 = 0.14;

// What a position must pass. Chosen on 4200 clicks on minted coins up to wear 0.85, under light from all sides and with
// a tilt not yet known, and on 1500 clicks too far off for any position to be right, all of which are refused; none of
// them is among those that the tests report.

/// The most by which the parts may contradict each other, in fine nodes.
const MOST_SPREAD: f64 = 0.9;
/// The least correlation at the first peak.
const LEAST_SCORE: f64 = 0.25;
/// The most that a rival may have, as a share of the first peak's correlation.
const MOST_RIVAL: f64 = 0.97;
/// The least share of the first square that must lie inside each picture.
const LEAST_INSIDE: f64 = 0.8;
/// The least contrast of a square, in levels per node: less is an empty field.
const LEAST_CONTRAST: f64 = 0.6;
/// The position's standard deviation each way as a share of the parts' spread. What light does to one part it does to
/// its neighbours, so that sixteen are less sure together than a quarter of the spread. From the same clicks: the disc
/// of 95 % by it holds 97 of 100 positions on unworn coins, 94 at wear 0.35, and 83 at wear 0.85, where worn edges all
/// move the same way and the parts do not show it.
const DEVIATION_OF_SPREAD: f64 = 0.7;

/// Where a landmark went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Snap {
    /// Its position in the photo.
    pub to: PicturePoint,
    /// How far that is from the click, in px.
    pub moved_px: f64,
    /// The expected standard deviation of the position each way, in px: as far as the parts of its surroundings agree.
    pub deviation_px: f64,
    /// The correlation of photo and plate there, 0 to 1, on the coarse grid.
    pub score: f64,
    /// How far the position stands out: 1 minus the next best position's correlation as a share of this one's.
    pub distinctness: f64,
}

/// Finds a landmark near a click.
///
/// `photo_from_side` is the photo's transform as far as it is known; only its scale, rotation and tilt near the
/// landmark matter, as the click says where. `position` is the landmark's in side mm, and the plate's transform must
/// put it right. The search goes `reach_mm` each way.
///
/// # Errors
/// [`SnapRefused`] where no position stands out.
pub fn snap(
    photo: &Picture,
    photo_from_side: &PictureFromSide,
    plate: &Picture,
    plate_from_side: &PictureFromSide,
    position: SidePoint,
    click: PicturePoint,
    reach_mm: f64,
) -> Result<Snap, SnapRefused> {
    let px_per_mm = photo_from_side.px_per_mm(position);
    let finest = px_per_mm
        .min(plate_from_side.px_per_mm(position))
        .min(MOST_NODES_PER_MM);
    let pair = Pair {
        photo,
        photo_from_side,
        plate,
        plate_from_side,
        position,
    };
    let clicked = LocalMap::shifted(pair.on_side(click).ok_or(SnapRefused::OutsidePhoto)?);
    let first = pair.first(&clicked, COARSE * finest, reach_mm)?;
    let (shift, spread) = pair.last(&first.map, finest)?;
    let to = pair.in_photo(shift);
    let deviation_px = DEVIATION_OF_SPREAD * spread * px_per_mm / finest;
    if deviation_px > placing_px(px_per_mm) {
        return Err(SnapRefused::NoBetter { deviation_px });
    }
    Ok(Snap {
        to,
        moved_px: (to - click).length(),
        deviation_px,
        score: first.score,
        distinctness: 1.0 - first.rival,
    })
}

/// What the coarse grid finds.
struct First {
    map: LocalMap,
    score: f64,
    rival: f64,
}

/// Photo and plate about one position.
#[derive(Clone, Copy)]
struct Pair<'a> {
    photo: &'a Picture,
    photo_from_side: &'a PictureFromSide,
    plate: &'a Picture,
    plate_from_side: &'a PictureFromSide,
    position: SidePoint,
}

/// Half the width of the square that holds all parts, in mm.
const SQUARE_MM: f64 = PART_OFF_MM + PART_MM;
/// What a map's stretch, the parts' reach and rounding may add to a square read from the photo, in mm.
const SLACK_MM: f64 = 1.2;

impl Pair<'_> {
    /// The square near the click on the coarse grid.
    fn first(&self, clicked: &LocalMap, nodes_per_mm: f64, reach_mm: f64) -> Result<First, SnapRefused> {
        let step_mm = 1.0 / nodes_per_mm;
        let nodes = |mm: f64| (mm * nodes_per_mm).ceil() as usize;
        let (half, reach, middle) = (nodes(SQUARE_MM) + 1, nodes(reach_mm), nodes(FIRST_MM));
        let around = half + reach + PART_REACHES[0] + 1;
        let plate = self
            .plate_ground(step_mm)
            .sample(&LocalMap::shifted(Vector2::zeros()), step_mm, half);
        let photo = self
            .photo_ground(clicked.shift, SQUARE_MM + reach_mm + SLACK_MM, step_mm)
            .sample(clicked, step_mm, around);
        if plate.inside(middle) < LEAST_INSIDE {
            return Err(SnapRefused::OutsidePlate);
        }
        if photo.inside(middle) < LEAST_INSIDE {
            return Err(SnapRefused::OutsidePhoto);
        }
        let (plate, photo) = (drawn(&plate)?, drawn(&photo)?);
        let peak = plate
            .part((half, half), middle)
            .zip(photo.part((around, around), middle + reach))
            .and_then(|(template, field)| search(&template, &field, reach, RIVAL_APART_MM * nodes_per_mm))
            .ok_or(SnapRefused::Empty)?;
        if peak.at_border {
            return Err(SnapRefused::TooFar);
        }
        if peak.score < LEAST_SCORE {
            return Err(SnapRefused::NotAlike { score: peak.score });
        }
        if peak.rival > MOST_RIVAL {
            return Err(SnapRefused::NotDistinct { rival: peak.rival });
        }
        let ahead = (peak.x.round() as i32, peak.y.round() as i32);
        let found = agree(&plate, &photo, ahead, PART_REACHES[0], step_mm).ok_or(SnapRefused::NotAgreed)?;
        Ok(First {
            map: clicked.after(&found.map),
            score: peak.score,
            rival: peak.rival,
        })
    }

    /// The position's shift, in mm on the side, and the parts' spread, in nodes of the fine grid.
    fn last(&self, from: &LocalMap, nodes_per_mm: f64) -> Result<(Vector2<f64>, f64), SnapRefused> {
        let step_mm = 1.0 / nodes_per_mm;
        let half = (SQUARE_MM * nodes_per_mm).ceil() as usize + 2;
        let plate = self
            .plate_ground(step_mm)
            .sample(&LocalMap::shifted(Vector2::zeros()), step_mm, half);
        let plate = drawn(&plate)?;
        let ground = self.photo_ground(from.shift, SQUARE_MM + SLACK_MM, step_mm);
        let photo = |map: &LocalMap, reach: usize| drawn(&ground.sample(map, step_mm, half + reach));
        let [_, fine, again] = PART_REACHES;
        let found =
            agree(&plate, &photo(from, fine)?, (0, 0), fine, step_mm).ok_or(SnapRefused::NotAgreed)?;
        let map = from.after(&found.map);
        let field = photo(&map, again)?;
        let found = agree(&plate, &field, (0, 0), again, step_mm).ok_or(SnapRefused::NotAgreed)?;
        if found.spread > MOST_SPREAD {
            return Err(SnapRefused::NotAgreed);
        }
        let whole = (LAST_MM * nodes_per_mm).round() as usize;
        let peak = plate
            .part((half, half), whole)
            .zip(field.part((half + again, half + again), whole + LAST_REACH))
            .and_then(|(template, field)| search(&template, &field, LAST_REACH, f64::INFINITY))
            .ok_or(SnapRefused::Empty)?;
        if peak.at_border {
            return Err(SnapRefused::NotAgreed);
        }
        Ok((map.apply(peak.shift() * step_mm), found.spread))
    }

    fn plate_ground(&self, step_mm: f64) -> Ground {
        let (none, reach_mm) = (Vector2::zeros(), SQUARE_MM + SLACK_MM);
        Ground::of(
            self.plate,
            self.plate_from_side,
            self.position,
            none,
            reach_mm,
            step_mm,
        )
    }

    fn photo_ground(&self, shift: Vector2<f64>, reach_mm: f64, step_mm: f64) -> Ground {
        Ground::of(
            self.photo,
            self.photo_from_side,
            self.position,
            shift,
            reach_mm,
            step_mm,
        )
    }

    /// Where the photo shows the position moved by a shift, in mm.
    fn in_photo(&self, shift: Vector2<f64>) -> PicturePoint {
        self.photo_from_side
            .point_in_picture(self.position + SideVector::new(shift.x, shift.y))
    }

    /// The shift, in mm, that moves the position to a point of the photo, by the transform's slope at the position.
    fn on_side(&self, click: PicturePoint) -> Option<Vector2<f64>> {
        const STEP_MM: f64 = 0.1;
        let at = |x: f64, y: f64| self.in_photo(Vector2::new(x, y) * STEP_MM);
        let (x, y) = (at(1.0, 0.0) - at(-1.0, 0.0), at(0.0, 1.0) - at(0.0, -1.0));
        let slope = Matrix2::new(x.x, y.x, x.y, y.y) / (2.0 * STEP_MM);
        let off = click - at(0.0, 0.0);
        Some(slope.try_inverse()? * Vector2::new(off.x, off.y))
    }
}

/// A square as a field, where there is anything in it.
fn drawn(patch: &Patch) -> Result<Field, SnapRefused> {
    let field = Field::of_patch(patch);
    if field.contrast < LEAST_CONTRAST {
        return Err(SnapRefused::Empty);
    }
    Ok(field)
}
