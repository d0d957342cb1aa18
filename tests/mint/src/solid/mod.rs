//! Solid coins of designs by seed: true relief, seen in perspective and lit by lamps that cast shadows.
//!
//! A [`Design`] follows from its seed; a [`Struck`] coin bears one of its dies on a [`Flan`]; [`photograph_solid`] takes its
//! picture, and its [`SolidTruth`] says where every point is, at the coin's surface and at the height of its field.
//! Heights are in mm over the field's edge, towards the camera.

mod chance;
mod coin;
mod design;
mod devices;
mod export;
mod flan;
mod lamps;
mod look;
mod photo;
mod pieces;
mod sculpture;
mod shadow;
mod skin;
mod truth;

pub use chance::{Chances, Occasion};
pub use coin::Struck;
pub use design::Design;
pub use export::write_scene;
pub use flan::{Flan, FlanShape};
pub use lamps::{Lamp, Lighting, environment};
pub use photo::{SolidShot, photograph_solid, truth};
pub use truth::SolidTruth;
