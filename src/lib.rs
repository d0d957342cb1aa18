//! Dietell: tell coin dies apart from photographs.
//!
//! Data flows one way, and the rooms below stand in that order: a photo is aligned by landmarks, zones are cut
//! from it at matched scale, the user gives verdicts, the verdicts leave a standing, and the sheet shows it all.
//! A room may use those above it in this list and never those below (`tests/architecture.rs` holds it to that).

pub mod files;
pub mod fonts;
pub mod problem;

pub mod geometry;
pub mod photo;
pub mod reference;

pub mod align;
pub mod crop;
pub mod specimen;

pub mod evidence;
pub mod words;

pub mod pipeline;

pub mod sheet;

pub mod app;
pub mod headless;
