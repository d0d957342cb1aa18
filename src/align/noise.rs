//! What is known of hand placing before it is seen.

/// How far off a landmark is placed by hand, a coordinate, in px: the part from the screen and the hand. Common
/// practice, no source.
const PLACING_PX: f64 = 1.3;
/// The same in mm: the part from the design, whose struck points are no sharper than this. Common practice, no source.
const PLACING_MM: f64 = 0.01;
/// How many degrees of freedom the knowledge above is worth. With 8, nine of ten photos have a noise between 0.7 and
/// 1.7 times it.
pub(super) const PRIOR_FREEDOM: f64 = 8.0;

/// The expected deviation a coordinate of hand placing, in px, at a scale.
pub(super) fn placing_px(px_per_mm: f64) -> f64 {
    PLACING_PX.hypot(PLACING_MM * px_per_mm)
}

/// The log density, up to a constant and by the log of the noise, of a noise that is `ratio` times the expected one:
/// a scaled inverse chi-square with [`PRIOR_FREEDOM`] (Gelman et al., Bayesian Data Analysis, 3rd ed., sec. 2.6).
pub(super) fn log_prior(ratio: f64) -> f64 {
    -PRIOR_FREEDOM * ratio.ln() - PRIOR_FREEDOM / (2.0 * ratio * ratio)
}
