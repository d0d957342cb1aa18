//! The relief that a die leaves on a perfect flan, as a height map; kept for the next coin of the same die.

use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

use super::border::{FLAN_MM, dish, edge_fall};
use super::die::DieDesign;
use super::grid::Grid;
use super::{obverse, reverse};
use dietell::reference::Side;

/// The scales at which reliefs are made, in px/mm: few, so that pictures of many scales share them.
const SCALES: [f32; 14] = [
    12.0, 15.0, 18.0, 22.0, 26.0, 31.0, 37.0, 44.0, 53.0, 63.0, 75.0, 90.0, 110.0, 135.0,
];
/// How many cells of kept reliefs are allowed together: about 160 MB.
const KEPT_CELLS: usize = 40_000_000;

/// The scale of the relief for a picture of so many px/mm.
#[must_use]
pub(super) fn relief_scale(picture_px_per_mm: f64) -> f32 {
    let wanted = picture_px_per_mm as f32;
    SCALES
        .into_iter()
        .find(|s| *s >= wanted)
        .unwrap_or(SCALES[SCALES.len() - 1])
}

type Key = (DieDesign, u32);
static KEPT: LazyLock<Mutex<BTreeMap<Key, Arc<Grid>>>> = LazyLock::new(Mutex::default);

/// The height map of a die's relief in mm over the field's level at the border, at a scale in px/mm.
pub(super) fn relief(die: &DieDesign, px_per_mm: f32) -> Arc<Grid> {
    let key = (die.clone(), px_per_mm as u32);
    if let Some(found) = KEPT.lock().unwrap_or_else(PoisonError::into_inner).get(&key) {
        return Arc::clone(found);
    }
    let scene = match die.side {
        Side::Obverse => obverse::scene(die),
        Side::Reverse => reverse::scene(die),
    };
    let grid = Arc::new(Grid::from_fn(px_per_mm, |p| {
        let r = p[0].hypot(p[1]);
        if r > FLAN_MM + 0.1 {
            return -0.3;
        }
        scene.height(p) + dish(r) - edge_fall(r)
    }));
    let mut kept = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    let cells: usize = kept.values().map(|g| g.cells.len()).sum();
    if cells + grid.cells.len() > KEPT_CELLS {
        kept.clear();
    }
    kept.insert(key, Arc::clone(&grid));
    grid
}
