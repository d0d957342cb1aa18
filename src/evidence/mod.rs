//! Verdicts and facts to a standing and an outcome. Touches no pixels.

mod scale;
mod standing;

pub use scale::{LikelihoodRatio, VerbalScale};
pub use standing::{Cause, DieStanding, NextFeature, Outcome, PairingStanding, Prior, Standing, standing};
