//! Blind, end to end: the mint takes photos whose truth it knows, the program sees only the photos, the set and
//! landmarks placed with a shaky hand, and its answers are held to the truth. And one real photograph.
#![allow(clippy::unwrap_used, reason = "a test may stop at what it did not expect")]

#[path = "end_to_end/by_pixels.rs"]
mod by_pixels;
#[path = "end_to_end/from_files.rs"]
mod from_files;
#[path = "end_to_end/real_photo.rs"]
mod real_photo;
#[path = "end_to_end/truthful.rs"]
mod truthful;
#[path = "end_to_end/verbs.rs"]
mod verbs;
#[path = "end_to_end/zones.rs"]
mod zones;
