//! Fits, alignment, its uncertainty, the rim and the snap against values from outside and against minted truth.
#![allow(clippy::unwrap_used)]

#[path = "alignment/fits.rs"]
mod fits;
