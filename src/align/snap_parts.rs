//! The parts of a square about a landmark, each looked for on its own.
//!
//! A photo's tilt is not known when its first landmarks are snapped: it stretches the square. The parts' shifts give
//! the stretch, so that the square can be read again without it, and how far they are from any such map says how well
//! the position is known.

use nalgebra::Vector2;

use super::field::Field;
use super::local_map::{LocalMap, Moved, fit_moved};
use super::search::search;

/// Parts along each side of the square.
const PARTS: usize = 4;
/// The outer parts' middles lie this far from the position in x and in y, in mm. The further, the better the stretch is
/// known, and with it the position: of unworn minted coins the median error is 0.29 px with 1.4 mm and 0.25 px with
/// 3.4 mm, but more of the square falls off the coin.
pub(super) const PART_OFF_MM: f64 = 3.2;
/// Half the width of a part, in mm. Smaller ones are too often lost on worn coins: 1.4 mm find 76 of 100 positions, 1.6
/// mm find 84.
pub(super) const PART_MM: f64 = 1.5;
/// The least share of the parts that must be found within the reach.
const LEAST_FOUND: f64 = 0.6;
/// The least correlation of a part that counts. It counts by its correlation, so this only keeps out what is not alike.
const LEAST_PART_SCORE: f64 = 0.05;
/// Parts further from the common map than this count less, in nodes: about what light alone moves their edges.
const FREE_NODES: f64 = 0.5;
/// The furthest that the map may be from a shift: a tilt of some 28 degrees. More is no view that anyone takes.
const MOST_DISTORTION: f64 = 0.12;

/// What the parts of a square agree on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Agreement {
    /// How the plate's square lies in the photo's.
    pub(super) map: LocalMap,
    /// The root mean square distance of the parts from that map, in nodes.
    pub(super) spread: f64,
}

/// Looks for each part of the plate's square up to `reach` nodes about where it is in the photo's, both with the
/// position in the middle and a node every `step_mm`; `ahead` nodes further on in the photo's where that much is known.
/// None where too few are found, or they lie as in no view of the coin.
pub(super) fn agree(
    plate: &Field,
    photo: &Field,
    ahead: (i32, i32),
    reach: usize,
    step_mm: f64,
) -> Option<Agreement> {
    let half = (PART_MM / step_mm).round() as usize;
    let off = |k: usize| {
        let share = k as f64 / (PARTS - 1) as f64 * 2.0 - 1.0;
        (share * PART_OFF_MM / step_mm).round() as i32
    };
    let node = |field: &Field, x: i32, y: i32| {
        let (x, y) = (field.width as i32 / 2 + x, field.height as i32 / 2 + y);
        Some((usize::try_from(x).ok()?, usize::try_from(y).ok()?))
    };
    let look = |x: i32, y: i32| -> Option<Moved> {
        let template = plate.part(node(plate, x, y)?, half)?;
        let field = photo.part(node(photo, x + ahead.0, y + ahead.1)?, half + reach)?;
        let peak = search(&template, &field, reach, f64::INFINITY)?;
        if peak.at_border || peak.score < LEAST_PART_SCORE {
            return None;
        }
        let ahead = Vector2::new(f64::from(ahead.0), f64::from(ahead.1));
        Some(Moved {
            at: Vector2::new(f64::from(x), f64::from(y)) * step_mm,
            by: (peak.shift() + ahead) * step_mm,
            weight: peak.score,
        })
    };
    let found: Vec<Moved> = (0..PARTS * PARTS)
        .filter_map(|k| look(off(k % PARTS), off(k / PARTS)))
        .collect();
    if (found.len() as f64) < LEAST_FOUND * (PARTS * PARTS) as f64 {
        return None;
    }
    let (map, left_mm) = fit_moved(&found, FREE_NODES * step_mm)?;
    (map.distortion() <= MOST_DISTORTION).then_some(Agreement {
        map,
        spread: left_mm / step_mm,
    })
}
