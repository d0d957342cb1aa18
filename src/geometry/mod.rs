//! Points, transforms and least-squares fits. Knows nothing of coins or pictures.

mod fit;
mod space;
mod transform;

pub use fit::{Correspondence, Fit, FitError, fit};
pub use space::{CropPoint, CropPx, PicturePoint, PicturePx, PictureVector, SideMm, SidePoint, SideVector};
pub use transform::{Model, PictureFromSide, TransformError};
