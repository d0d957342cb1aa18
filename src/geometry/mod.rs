//! Points, transforms and least-squares fits. Knows nothing of coins or pictures.

mod dlt;
mod fit;
mod space;
mod tangent;
mod transform;

pub use fit::{Correspondence, Fit, FitError, fit};
pub use space::{CropPoint, CropPx, PicturePoint, PicturePx, PictureVector, SideMm, SidePoint, SideVector};
pub use tangent::{MOST_PARAMETERS, Tangent, TangentFrame, TangentJacobian, free_parameters};
pub use transform::{Model, PictureFromSide, TransformError};
