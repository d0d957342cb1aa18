//! Fits, alignment, its uncertainty, the rim and the snap against values from outside and against minted truth.

#[path = "alignment/advice.rs"]
mod advice;
#[path = "alignment/fits.rs"]
mod fits;
#[path = "alignment/trials.rs"]
mod trials;
