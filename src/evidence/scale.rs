//! The verbal scale for likelihood ratios.

use std::fmt;

/// Ratios are compared as logarithms with this to spare, so that a ratio of exactly 10 that was summed from logarithms is
/// not lost to rounding.
pub(super) const ROUNDING: f64 = 1e-9;

/// A likelihood ratio, kept as its decimal logarithm.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct LikelihoodRatio {
    /// log10 of the ratio.
    pub log10: f64,
}

impl LikelihoodRatio {
    /// The step of the verbal scale. Each step begins at its lower bound; a ratio below 2, which the published scale
    /// leaves unnamed down to 1, counts as no support.
    #[must_use]
    pub fn verbal(self) -> VerbalScale {
        VerbalScale::ALL
            .into_iter()
            .rev()
            .find(|step| self.at_least(step.at_least()))
            .unwrap_or(VerbalScale::NoSupport)
    }

    /// Whether it reaches a ratio.
    #[must_use]
    pub fn at_least(self, ratio: f64) -> bool {
        self.log10 >= ratio.log10() - ROUNDING
    }
}

impl fmt::Display for LikelihoodRatio {
    /// The ratio to two digits, as in `19`, `1,200` or `more than 1,000,000`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let most = VerbalScale::ExtremelyStrong.at_least();
        if self.log10 > most.log10() {
            return write!(f, "more than {}", thousands(most));
        }
        let ratio = 10f64.powf(self.log10);
        if ratio < 10.0 {
            return write!(f, "{ratio:.1}");
        }
        let unit = 10f64.powf(self.log10.floor() - 1.0).max(1.0);
        f.write_str(&thousands((ratio / unit).round() * unit))
    }
}

fn thousands(number: f64) -> String {
    let digits = format!("{number:.0}");
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// The verbal equivalents of the ENFSI Guideline for Evaluative Reporting in Forensic Science (2015); words and
/// bounds from memory.
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

impl VerbalScale {
    /// All steps, weakest first.
    pub const ALL: [VerbalScale; 7] = [
        VerbalScale::NoSupport,
        VerbalScale::Weak,
        VerbalScale::Moderate,
        VerbalScale::ModeratelyStrong,
        VerbalScale::Strong,
        VerbalScale::VeryStrong,
        VerbalScale::ExtremelyStrong,
    ];

    /// The ratio at which the step begins.
    #[must_use]
    pub fn at_least(self) -> f64 {
        match self {
            VerbalScale::NoSupport => 0.0,
            VerbalScale::Weak => 2.0,
            VerbalScale::Moderate => 1e1,
            VerbalScale::ModeratelyStrong => 1e2,
            VerbalScale::Strong => 1e3,
            VerbalScale::VeryStrong => 1e4,
            VerbalScale::ExtremelyStrong => 1e6,
        }
    }

    /// The step in the guideline's words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            VerbalScale::NoSupport => "no support",
            VerbalScale::Weak => "weak support",
            VerbalScale::Moderate => "moderate support",
            VerbalScale::ModeratelyStrong => "moderately strong support",
            VerbalScale::Strong => "strong support",
            VerbalScale::VeryStrong => "very strong support",
            VerbalScale::ExtremelyStrong => "extremely strong support",
        }
    }
}
