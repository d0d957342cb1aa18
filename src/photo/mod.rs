//! Photos and plates as pictures: reading, turn flags, colour profiles, limits, the pyramid, sharpness and glare.
//! Knows nothing of landmarks.

mod picture;
mod read;
mod watch;

pub use picture::Picture;
pub use read::{PhotoError, ReadLimits, read_picture, read_picture_file};
pub use watch::Watch;
