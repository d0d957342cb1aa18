//! Light lost at both ends of the scale.

/// A pixel this bright or brighter, by its darkest channel, is clipped: nothing can be told within glare. In levels of
/// 255; common practice, no source.
pub const CLIPPED_FROM: u8 = 250;

/// A pixel this dark or darker, by its brightest channel, is lost in shadow. In levels of 255; common practice, no
/// source.
pub const DARK_TO: u8 = 12;

/// How much of a sample of pixels is lost.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Exposure {
    /// The share that is clipped, 0 to 1.
    pub clipped_share: f64,
    /// The share that is lost in shadow, 0 to 1.
    pub dark_share: f64,
}

impl Exposure {
    /// Of the given pixels; zero for none.
    #[must_use]
    pub fn of(pixels: impl Iterator<Item = [u8; 3]>) -> Self {
        let (mut all, mut clipped, mut dark) = (0u64, 0u64, 0u64);
        for [r, g, b] in pixels {
            all += 1;
            clipped += u64::from(r.min(g).min(b) >= CLIPPED_FROM);
            dark += u64::from(r.max(g).max(b) <= DARK_TO);
        }
        let share = |n: u64| if all == 0 { 0.0 } else { n as f64 / all as f64 };
        Self {
            clipped_share: share(clipped),
            dark_share: share(dark),
        }
    }
}
