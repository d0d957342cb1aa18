//! The maker of demo coins, with exact truth. For the demo's plates and the tests; the program does not carry it.
//!
//! A die's drawing ([`dies`]) becomes a relief, a coin is struck from it and lives its life ([`strike`]), and a camera
//! takes its picture ([`photograph`]). The picture comes with the transform from side mm to its px: exact, since the
//! camera that made it is known. Everything follows from the options and their seeds.
//!
//! There the relief lies flat in the plane of the side. [`solid`] has true relief, and designs of every kind by seed.
//!
//! The coinage is invented: the FIVE VARN piece of the harbour town of Orlevay, 28 mm, in base silver.

mod backdrop;
mod border;
mod camera;
mod coin;
mod demo;
mod die;
mod features;
mod fern;
mod grid;
mod jpeg;
mod landmarks;
mod lantern;
mod lens;
mod lettering;
mod light;
mod marks;
mod metal;
mod nautilus;
mod noise;
mod obverse;
mod parts;
mod plates;
mod relief;
mod reverse;
mod set;
mod shapes;
pub mod solid;
mod surface;
mod wear;

use std::path::PathBuf;

pub use backdrop::Backdrop;
pub use camera::{CameraOptions, Framing, Shot, photograph};
pub use coin::{Coin, StrikeOptions, strike, strike_design};
pub use demo::{DemoCoin, demo_coins, write_demo, write_demo_set};
pub use die::{DieDesign, dies};
pub use jpeg::{JpegOptions, jpeg_bytes, write_jpeg};
pub use landmarks::landmarks;
pub use light::{Light, LightKind};
pub use plates::{PLATE_PX, plate, plate_camera, plate_file};
pub use set::demo_set;

use dietell::reference::{DieId, Side};

/// Why the mint could not do as told.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MintError {
    /// The side has no such die.
    #[error("The demo coinage has no {} die {die}: choose one of its listed dies.", side.word())]
    NoSuchDie {
        /// The side asked for.
        side: Side,
        /// The die asked for.
        die: DieId,
    },
    /// The camera options describe no possible picture.
    #[error("No picture can be taken so: size, scale and distance must be above zero.")]
    NoSuchView,
    /// A picture or the set could not be encoded.
    #[error("A file of the demo could not be encoded: {why}")]
    Encoding {
        /// The encoder's reason.
        why: String,
    },
    /// A file could not be written.
    #[error("{} could not be written: {why}. Check the folder and its permissions.", path.display())]
    Writing {
        /// The file.
        path: PathBuf,
        /// The system's reason.
        why: String,
    },
}
