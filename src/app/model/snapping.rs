//! What may be snapped to the plate in view.

use crate::reference::LandmarkName;

/// Landmarks that must stand before the rest is proposed.
pub const FEWEST_FOR_THE_REST: usize = 2;

/// What is snapped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Snapping {
    /// One placed landmark, about where it was clicked.
    Placed(LandmarkName),
    /// All that are not placed, about where the others put them; where none stands out it is left unplaced.
    TheRest,
}
