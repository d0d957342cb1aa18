//! The verbal scale for likelihood ratios.

/// A likelihood ratio, kept as its decimal logarithm.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct LikelihoodRatio {
    /// log10 of the ratio.
    pub log10: f64,
}

impl LikelihoodRatio {
    /// The step of the verbal scale.
    #[must_use]
    pub fn verbal(self) -> VerbalScale {
        unimplemented!()
    }
}

/// The verbal equivalents of the ENFSI Guideline for Evaluative Reporting in Forensic Science (2015), from memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum VerbalScale {
    /// About 1.
    NoSupport,
    /// 2 to 10.
    Weak,
    /// 10 to 100.
    Moderate,
    /// 100 to 1,000.
    ModeratelyStrong,
    /// 1,000 to 10,000.
    Strong,
    /// 10,000 to 1,000,000.
    VeryStrong,
    /// Above 1,000,000.
    ExtremelyStrong,
}
