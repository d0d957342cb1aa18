//! The one-way flow put together: from a set, a record and its pictures to alignments, crops and a standing. What the
//! window and the headless verbs both call, so that they cannot differ.

mod authoring;
mod fine_shifting;
mod measuring;
mod scale_bar;
mod steps;
mod two_coins;

pub use authoring::{SMALLEST_ZONE_MM, ZoneGrip, frame_from_rim, place_at, zone_between};
pub use fine_shifting::{NoShift, OfferedShift, offer_fine_shift};
pub use measuring::{FITS_WITHIN_SIGMAS, measured, measured_points, sigmas_from_stated};
pub use scale_bar::scale_bar_mm;
pub use steps::{
    LONGEST_CROP_EDGE_PX, StateView, align_photo, align_plate, shifted, state_views, zone_frame,
    zone_transform, zone_uncertainty,
};
pub use two_coins::{LIGHT_ALIKE_FROM, light_likeness, spot_zone, uncertainty_between};
