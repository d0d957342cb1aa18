//! The kernels that pixels are weighed by.

use std::sync::LazyLock;

/// How pixels between the picture's pixels are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Kernel {
    /// The nearest pixel: square pixels, for looking at single ones.
    Nearest,
    /// Catmull-Rom cubic (R. Keys, IEEE Trans. Acoustics, Speech and Signal Processing 29(6), 1981, 1153-1160, with
    /// a = -1/2), widened when shrinking: for whatever is looked at, saved or printed.
    #[default]
    Cubic,
}

/// How finely the position between two pixels is told: 1/256 px.
pub(super) const PHASES: usize = 256;

/// The most taps in one direction: a cubic of radius 2, widened just short of twofold.
pub(super) const MOST_TAPS: usize = 8;

/// What the vertical weights of [`CubicTaps`] are multiplied by, so that they are whole numbers.
const UNIT: f64 = 16384.0;

/// The weights of a separable cubic for each phase, laid out for the inner loop that works through `2 * PAIRS` rows of
/// interleaved RGB in `QUADS` groups of four values.
#[derive(Debug, Clone)]
pub(super) struct CubicTaps<const PAIRS: usize, const QUADS: usize> {
    /// For each phase and pair of rows: the two rows' weights in turn, times [`UNIT`].
    pub rows: Box<[[[i16; 8]; PAIRS]; PHASES]>,
    /// For each phase: the weight of each value of a row of pixels (three of the same for each pixel, then zeros), over
    /// [`UNIT`].
    pub columns: Box<[[[f32; 4]; QUADS]; PHASES]>,
}

impl<const PAIRS: usize, const QUADS: usize> CubicTaps<PAIRS, QUADS> {
    /// The Catmull-Rom cubic, `stretch` times as wide; its radius, 2 x `stretch`, is at most PAIRS.
    fn new(stretch: f64) -> Self {
        let mut out = Self {
            rows: Box::new([[[0; 8]; PAIRS]; PHASES]),
            columns: Box::new([[[0.0; 4]; QUADS]; PHASES]),
        };
        for (phase, (rows, columns)) in out.rows.iter_mut().zip(out.columns.iter_mut()).enumerate() {
            let weights = weights(PAIRS, phase, |distance| catmull_rom(distance / stretch));
            *rows = std::array::from_fn(|pair| {
                std::array::from_fn(|i| (weights[2 * pair + i % 2] * UNIT).round() as i16)
            });
            *columns = std::array::from_fn(|quad| {
                std::array::from_fn(|i| weights.get((4 * quad + i) / 3).map_or(0.0, |w| (w / UNIT) as f32))
            });
        }
        out
    }
}

/// A cubic of the number of taps that its width needs.
#[derive(Debug, Clone)]
pub(super) enum Cubic {
    /// Not widened.
    Four(&'static CubicTaps<2, 3>),
    /// Up to 1.5 times as wide.
    Six(CubicTaps<3, 5>),
    /// Up to twice as wide.
    Eight(CubicTaps<4, 6>),
}

static PLAIN: LazyLock<CubicTaps<2, 3>> = LazyLock::new(|| CubicTaps::new(1.0));

impl Cubic {
    /// The Catmull-Rom cubic, `stretch` (1 to 2) times as wide.
    pub(super) fn new(stretch: f64) -> Self {
        /// Widening by less is not worth the slower loop: it moves the limit by less than half a percent.
        const WORTH_WIDENING: f64 = 1.005;
        if stretch < WORTH_WIDENING {
            Self::Four(&PLAIN)
        } else if stretch <= 1.5 {
            Self::Six(CubicTaps::new(stretch))
        } else {
            Self::Eight(CubicTaps::new(stretch.min(2.0)))
        }
    }
}

/// The weights, which sum to 1, of `2 * half` taps. Tap i lies at (i - (half - 1)) px from the pixel at or before the
/// sample, which itself is phase / PHASES px beyond that pixel.
fn weights(half: usize, phase: usize, kernel: impl Fn(f64) -> f64) -> Vec<f64> {
    let along = phase as f64 / PHASES as f64;
    let raw: Vec<f64> = (0..2 * half)
        .map(|i| kernel(i as f64 - (half as f64 - 1.0) - along))
        .collect();
    let sum: f64 = raw.iter().sum();
    raw.iter().map(|w| w / sum).collect()
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

    fn sums<const P: usize, const Q: usize>(taps: &CubicTaps<P, Q>) {
        for (rows, columns) in taps.rows.iter().zip(taps.columns.iter()) {
            let rows: i32 = rows
                .iter()
                .map(|pair| i32::from(pair[0]) + i32::from(pair[1]))
                .sum();
            // Each weight is rounded by half a unit at most.
            assert!((rows - UNIT as i32).unsigned_abs() <= P as u32, "{rows}");
            let columns: f32 = columns.iter().flatten().sum();
            assert!((columns * UNIT as f32 - 3.0).abs() < 1e-4);
        }
    }

    #[test]
    fn weights_sum_to_one_and_a_whole_place_is_its_pixel() {
        sums(&PLAIN);
        sums(&CubicTaps::<3, 5>::new(1.37));
        sums(&CubicTaps::<4, 6>::new(1.99));
        assert_eq!(PLAIN.rows[0], [[0, 16384, 0, 16384, 0, 16384, 0, 16384], [0; 8]]);
    }
}
