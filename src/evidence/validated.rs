//! What a likelihood ratio may claim: no more than simulated coins of known dies have borne out.
//!
//! Empirical lower and upper bounds: Vergeer, van Es, de Jongh, Alberink and Stoel, Numerical likelihood ratios outputted
//! by LR systems are often based on extrapolation: when to stop extrapolating?, Science & Justice 56(6), 2016, 482-491.
//! A ratio may be claimed up to where a misleading one, had it turned up once more among the trials, would still not make
//! the claim worse than no claim at all.

use super::LikelihoodRatio;

/// The greatest ratio that may be claimed, as a decimal logarithm; tests/evidence/validation.rs draws the trials and
/// holds this to the bound that tests/scripts/likelihood_bounds.py gets from them with the package `lir`.
pub const VALIDATED_LOG10: f64 = 3.0;

/// A ratio, bounded by what has been validated, either way.
pub(super) fn validated(ratio: LikelihoodRatio) -> LikelihoodRatio {
    LikelihoodRatio {
        log10: ratio.log10.clamp(-VALIDATED_LOG10, VALIDATED_LOG10),
    }
}
