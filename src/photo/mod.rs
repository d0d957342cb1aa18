//! Photos and plates as pictures: reading, orientation flags, colour profiles, limits, the pyramid, sharpness and
//! glare. Knows nothing of landmarks.

mod anonymous;
mod buffer;
mod colour;
mod error;
mod exposure;
mod format;
mod jpeg;
mod orientation;
mod other_codecs;
mod picture;
mod processor;
mod pyramid;
mod read;
mod sharpness;
mod size;
mod tiff_tags;
mod watch;

pub use anonymous::{AnonymousError, anonymous};
pub use buffer::{Buffer, Level};
pub use error::PhotoError;
pub use exposure::{CLIPPED_FROM, DARK_TO, Exposure};
pub use picture::{Picture, PictureNote, luma};
pub(crate) use processor::Instructions;
pub use read::{ReadLimits, read_picture, read_picture_file};
pub use sharpness::{EdgeBlur, edge_blur};
pub use size::{upright_size, upright_size_from_head};
pub use watch::Watch;
