//! The one way from a specimen's folder to what is shown of it: opening it with its set, its pictures behind one cache,
//! alignments and standing, and what each zone looks like. Window, verbs and sheet all call this and put no steps
//! together themselves, so that they cannot differ.

mod authoring;
mod cabinet;
mod checking;
mod computed;
mod fine_shifting;
mod look;
mod making;
mod measuring;
mod missing;
mod open;
mod pictures;
mod scale_bar;
mod steps;
mod two_coins;

pub use authoring::{SMALLEST_ZONE_MM, ZoneGrip, frame_from_rim, place_at, zone_between};
pub use cabinet::{CabinetEntry, demo_pictures, keep_thumbnail, list_cabinet, missing_thumbnail};
pub use checking::{Depth, check_set};
pub use computed::{Computed, SideAlignment};
pub use fine_shifting::{NoShift, OfferedShift, offer_fine_shift};
pub use look::{PlateKey, Study, ZoneView, crop, listed_plate};
pub use making::{AddedPhoto, ChosenPhoto, WORN_DEMO_TITLE, new_specimen, open_demo, second_demo};
pub use measuring::{FITS_WITHIN_SIGMAS, measured, measured_points, sigmas_from_stated};
pub use missing::Missing;
pub use open::{OpenError, OpenedSpecimen, open_specimen};
pub use pictures::{Album, PictureCache, PictureKey, Pictures};
pub use scale_bar::scale_bar_mm;
pub use steps::{
    LONGEST_CROP_EDGE_PX, StateView, align_photo, align_plate, shifted, state_views, zone_frame,
    zone_transform, zone_uncertainty,
};
pub use two_coins::{LIGHT_ALIKE_FROM, light_likeness, spot_zone, uncertainty_between};
