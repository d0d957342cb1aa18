//! The disc that holds a point with a given probability.

use nalgebra::{Matrix2, SymmetricEigen, Vector2};

/// Steps of Simpson's rule over a disc; even. The integrand is smooth, and 16 leave an error below 1e-3.
const STEPS: usize = 16;
/// A Gaussian is not followed further than this many standard deviations from its mean (7e-7 lies outside).
const REACH_SD: f64 = 5.0;
/// Relative precision of the radius.
const PRECISION: f64 = 5e-4;

/// One Gaussian of a mixture in the plane, ready to be asked often.
#[derive(Debug, Clone, Copy)]
pub(super) struct Blob {
    weight: f64,
    /// Mean along the long and the short axis.
    mean: (f64, f64),
    /// Standard deviations along them.
    sd: (f64, f64),
}

impl Blob {
    pub(super) fn new(weight: f64, mean: Vector2<f64>, covariance: &Matrix2<f64>) -> Self {
        let eigen = SymmetricEigen::new(*covariance);
        let (long, short) = if eigen.eigenvalues[0] >= eigen.eigenvalues[1] {
            (0, 1)
        } else {
            (1, 0)
        };
        let turned = eigen.eigenvectors.transpose() * mean;
        let sd = |i: usize| eigen.eigenvalues[i].max(0.0).sqrt().max(1e-12);
        Self {
            weight,
            mean: (turned[long], turned[short]),
            sd: (sd(long), sd(short)),
        }
    }

    /// The probability of the disc of radius `r` about the origin.
    fn in_disc(&self, r: f64) -> f64 {
        if r >= self.reach() {
            return 1.0;
        }
        let low = (self.mean.0 - REACH_SD * self.sd.0).max(-r);
        let high = (self.mean.0 + REACH_SD * self.sd.0).min(r);
        if low >= high {
            return 0.0;
        }
        // x = r sin t takes the square root out of the disc's ends.
        let (from, to) = ((low / r).asin(), (high / r).asin());
        let step = (to - from) / STEPS as f64;
        // Each angle's sine and cosine from the last one's, as asking for them anew took a fifth of a drag's time.
        let ((mut sin, mut cos), (step_sin, step_cos)) = (from.sin_cos(), step.sin_cos());
        let mut sum = 0.0;
        for i in 0..=STEPS {
            let z = (r * sin - self.mean.0) / self.sd.0;
            let across = normal_below((r * cos - self.mean.1) / self.sd.1)
                - normal_below((-r * cos - self.mean.1) / self.sd.1);
            let share = match i {
                0 | STEPS => 1.0,
                _ if i % 2 == 1 => 4.0,
                _ => 2.0,
            };
            sum += share * (-0.5 * z * z).exp() * across * cos;
            (sin, cos) = (sin * step_cos + cos * step_sin, cos * step_cos - sin * step_sin);
        }
        let density = r / (self.sd.0 * std::f64::consts::TAU.sqrt());
        (sum * step / 3.0 * density).clamp(0.0, 1.0)
    }

    /// The mean square distance from the origin.
    fn square(&self) -> f64 {
        self.mean.0.powi(2) + self.mean.1.powi(2) + self.sd.0.powi(2) + self.sd.1.powi(2)
    }

    fn reach(&self) -> f64 {
        self.mean.0.hypot(self.mean.1) + REACH_SD * self.sd.0
    }
}

/// The radius about the origin that holds `probability` of the mixture, whose weights sum to 1; infinite for none.
pub(super) fn radius_holding(probability: f64, blobs: &[Blob]) -> f64 {
    if blobs.is_empty() {
        return f64::INFINITY;
    }
    let short_of = |r: f64| blobs.iter().map(|b| b.weight * b.in_disc(r)).sum::<f64>() - probability;
    // Two root mean squares along the long axes are near the answer; widen from there, then cut by chords (Illinois
    // rule).
    let square: f64 = blobs.iter().map(|b| b.weight * b.square()).sum();
    let guess = (2.0 * square.sqrt()).max(1e-12);
    let (mut low, mut high) = (0.85 * guess, 1.15 * guess);
    let (mut at_low, mut at_high) = (short_of(low), short_of(high));
    while at_low > 0.0 && low > 1e-12 {
        (high, at_high) = (low, at_low);
        low *= 0.6;
        at_low = short_of(low);
    }
    while at_high < 0.0 && high.is_finite() {
        (low, at_low) = (high, at_high);
        high *= 1.5;
        at_high = short_of(high);
    }
    for _ in 0..60 {
        if high - low <= PRECISION * high {
            break;
        }
        let middle = low + (high - low) * (at_low / (at_low - at_high)).clamp(0.02, 0.98);
        let at_middle = short_of(middle);
        if at_middle > 0.0 {
            (high, at_high) = (middle, at_middle);
            at_low /= 2.0;
        } else {
            (low, at_low) = (middle, at_middle);
            at_high /= 2.0;
        }
        if at_middle.abs() < PRECISION / 10.0 {
            return middle;
        }
    }
    high
}

/// The standard normal's distribution function.
fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn normal_matches_tabled_values() {
        // scipy.stats.norm.cdf
        for (z, p) in [
            (0.0, 0.5),
            (1.0, 0.841_344_746),
            (-1.96, 0.024_997_895),
            (3.0, 0.998_650_102),
        ] {
            assert!((normal_below(z) - p).abs() < 1e-9, "{z}");
        }
    }

    #[test]
    fn radius_matches_closed_forms_and_numeric_quantiles() {
        let one = |mean: (f64, f64), a: f64, b: f64| {
            radius_holding(
                0.95,
                &[Blob::new(
                    1.0,
                    Vector2::new(mean.0, mean.1),
                    &Matrix2::new(a, 0.0, 0.0, b),
                )],
            )
        };
        // Rayleigh: sqrt(-2 ln 0.05).
        assert!((one((0.0, 0.0), 1.0, 1.0) - 2.447_747).abs() < 1e-3);
        // A needle: the normal's two-sided 95 %.
        assert!((one((0.0, 0.0), 1.0, 1e-8) - 1.959_964).abs() < 1e-3);
        // sqrt(scipy.stats.ncx2.ppf(0.95, 2, 9)): a mean 3 away.
        assert!(
            (one((3.0, 0.0), 1.0, 1.0) - 4.777_225).abs() < 2e-3,
            "{}",
            one((3.0, 0.0), 1.0, 1.0)
        );
        // Half a point at the origin, half a disc of deviation 2: P = 0.5 + 0.5 (1 - exp(-r^2/8)).
        let mixed = radius_holding(
            0.95,
            &[
                Blob::new(0.5, Vector2::zeros(), &(Matrix2::identity() * 1e-6)),
                Blob::new(0.5, Vector2::zeros(), &(Matrix2::identity() * 4.0)),
            ],
        );
        assert!((mixed - (-8.0 * 0.1_f64.ln()).sqrt()).abs() < 2e-3, "{mixed}");
    }
}
