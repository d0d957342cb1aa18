//! Photos and plates as pictures: reading, turn flags, colour profiles, limits, the pyramid, sharpness and glare.
//! Knows nothing of landmarks.

mod colour;
mod error;
mod format;
mod jpeg;
mod other_codecs;
mod picture;
mod pyramid;
mod read;
mod turn;
mod watch;

pub use error::PhotoError;
pub use picture::{Picture, PictureNote, luma};
pub use read::{ReadLimits, read_picture, read_picture_file};
pub use watch::Watch;
