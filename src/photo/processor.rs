//! Running inner loops with the processor's newer instructions, where it has them.

use fearless_simd::Level;
#[cfg(any(target_arch = "x86", target_arch = "x86_64"))]
use fearless_simd::Simd;

/// Which instructions a loop is run with. Both give the same numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Instructions {
    /// The best that the program knows of and the processor has.
    Best,
    /// Those that every processor of the kind that the program is built for has.
    #[cfg(test)]
    Baseline,
}

impl Instructions {
    /// Runs `work`, compiled once for each set of instructions: `work` and what it calls must be inlined by attribute,
    /// for a function of its own is compiled for the baseline.
    #[inline(always)]
    pub(crate) fn run<R>(self, work: impl FnOnce() -> R) -> R {
        #[cfg(any(target_arch = "x86", target_arch = "x86_64"))]
        if let (Self::Best, Some(avx2)) = (self, Level::new().as_avx2()) {
            return avx2.vectorize(work);
        }
        work()
    }
}
