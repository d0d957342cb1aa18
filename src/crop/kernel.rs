//! The kernels that pixels are weighed by.

/// How pixels between the picture's pixels are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Kernel {
    /// The nearest pixel: square pixels, for looking at single ones.
    Nearest,
    /// Bilinear: quick, a little soft; while something is dragged.
    Linear,
    /// Catmull-Rom cubic (R. Keys, IEEE Trans. Acoustics, Speech and Signal Processing 29(6), 1981, 1153-1160, with
    /// a = -1/2), widened when shrinking: for whatever is looked at, saved or printed.
    #[default]
    Cubic,
}

/// How finely the place between two pixels is told: 1/256 px.
pub(super) const PHASES: usize = 256;

/// The most taps in one direction: a cubic of radius 2, widened just short of twofold.
pub(super) const MOST_TAPS: usize = 8;

/// Weights for each phase of a separable kernel.
#[derive(Debug, Clone)]
pub(super) struct Taps {
    /// Taps in one direction, even.
    pub count: usize,
    /// For each phase its weights, which sum to 1; those beyond `count` are 0. Tap i of phase f lies at
    /// (i - (count / 2 - 1)) px from the pixel at or before the sample, which itself is f / PHASES px beyond it.
    pub weights: Vec<[f32; MOST_TAPS]>,
}

impl Taps {
    /// The Catmull-Rom cubic, `stretch` (1 to 2) times as wide.
    pub(super) fn cubic(stretch: f64) -> Self {
        let stretch = stretch.clamp(1.0, 2.0);
        let half = ((2.0 * stretch).ceil() as usize).min(MOST_TAPS / 2);
        Self::tabulate(half, |distance| catmull_rom(distance / stretch))
    }

    /// The tent of bilinear interpolation.
    pub(super) fn linear() -> Self {
        Self::tabulate(1, |distance| (1.0 - distance.abs()).max(0.0))
    }

    fn tabulate(half: usize, kernel: impl Fn(f64) -> f64) -> Self {
        let count = 2 * half;
        let weights = (0..PHASES)
            .map(|phase| {
                let along = phase as f64 / PHASES as f64;
                let raw: Vec<f64> = (0..count)
                    .map(|i| kernel(i as f64 - (half as f64 - 1.0) - along))
                    .collect();
                let sum: f64 = raw.iter().sum();
                let mut row = [0.0; MOST_TAPS];
                for (w, r) in row.iter_mut().zip(&raw) {
                    *w = (r / sum) as f32;
                }
                row
            })
            .collect();
        Self { count, weights }
    }
}

/// Keys's cubic with a = -1/2.
fn catmull_rom(distance: f64) -> f64 {
    let t = distance.abs();
    if t < 1.0 {
        (1.5 * t - 2.5) * t * t + 1.0
    } else if t < 2.0 {
        ((-0.5 * t + 2.5) * t - 4.0) * t + 2.0
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_sum_to_one_and_a_whole_place_is_its_pixel() {
        for taps in [
            Taps::cubic(1.0),
            Taps::cubic(1.3),
            Taps::cubic(1.99),
            Taps::linear(),
        ] {
            for row in &taps.weights {
                assert!((row.iter().sum::<f32>() - 1.0).abs() < 1e-5);
            }
        }
        assert_eq!(Taps::cubic(1.0).weights[0][..4], [0.0, 1.0, 0.0, 0.0]);
        assert_eq!(Taps::cubic(1.99).count, 8);
    }
}
