//! Fits, alignment, its uncertainty, the rim and the snap against values from outside and against minted truth.
#![allow(
    clippy::unwrap_used,
    reason = "a test's helpers panic as tests do, and not every helper is inside a test function"
)]

#[path = "alignment/advice.rs"]
mod advice;
#[path = "alignment/clicks.rs"]
mod clicks;
#[path = "alignment/fits.rs"]
mod fits;
#[path = "alignment/heights.rs"]
mod heights;
#[path = "support/numbers.rs"]
mod numbers;
#[path = "alignment/plate_checks.rs"]
mod plate_checks;
#[path = "alignment/relief.rs"]
mod relief;
#[path = "alignment/rim_photos.rs"]
mod rim_photos;
#[path = "alignment/rims.rs"]
mod rims;
#[path = "alignment/snaps.rs"]
mod snaps;
#[path = "alignment/trials.rs"]
mod trials;
#[path = "alignment/two_coins.rs"]
mod two_coins;
#[path = "alignment/views.rs"]
mod views;
