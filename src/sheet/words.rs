//! Numbers in words, as the sheet prints them.

use crate::evidence::LikelihoodRatio;
use crate::geometry::Model;
use crate::reference::StatedMeasure;
use crate::specimen::MeasureKind;

/// A likelihood ratio to two figures: "1,200", "3.4 million", "10^12".
#[must_use]
pub fn ratio(ratio: LikelihoodRatio) -> String {
    let log = ratio.log10;
    if !log.is_finite() {
        return "without bound".to_owned();
    }
    if log >= 9.0 {
        return format!("10^{}", log.floor());
    }
    if log >= 6.0 {
        return format!("{:.1} million", 10_f64.powf(log - 6.0));
    }
    let value = 10_f64.powf(log);
    if value < 10.0 {
        return format!("{value:.1}");
    }
    let step = 10_f64.powf((value.log10().floor() - 1.0).max(0.0));
    thousands((value / step).round() * step)
}

/// A whole number with commas between thousands.
fn thousands(value: f64) -> String {
    let digits = format!("{value:.0}");
    let mut out = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(c);
    }
    out
}

/// A probability in percent; never a bare 0 or 100 where it is neither.
#[must_use]
pub fn percent(p: f64) -> String {
    let v = p * 100.0;
    if p <= 0.0 {
        "0 %".to_owned()
    } else if v < 0.1 {
        "< 0.1 %".to_owned()
    } else if v > 99.9 && p < 1.0 {
        "> 99.9 %".to_owned()
    } else {
        format!("{v:.1} %")
    }
}

/// With a real minus sign and always a sign.
#[must_use]
pub fn signed(value: f64, places: usize) -> String {
    let text = format!("{:.places$}", value.abs());
    let zero = text.chars().all(|c| c == '0' || c == '.');
    let sign = if zero {
        "\u{2007}"
    } else if value < 0.0 {
        "\u{2212}"
    } else {
        "+"
    };
    format!("{sign}{text}")
}

/// The model's name.
#[must_use]
pub fn model(model: Model) -> &'static str {
    match model {
        Model::Similarity => "similarity",
        Model::Affine => "affine",
        Model::Homography => "homography",
    }
}

/// A measurement's kind.
#[must_use]
pub fn kind(kind: MeasureKind) -> &'static str {
    match kind {
        MeasureKind::Distance => "Distance",
        MeasureKind::Angle => "Angle",
        MeasureKind::Height => "Height",
    }
}

/// A measured value with its unit and, where known, its uncertainty.
#[must_use]
pub fn measured(kind: MeasureKind, value: f64, uncertainty: Option<f64>) -> String {
    let (places, unit) = match kind {
        MeasureKind::Angle => (1, "\u{b0}"),
        MeasureKind::Distance | MeasureKind::Height => (3, " mm"),
    };
    match uncertainty {
        Some(u) => format!("{value:.places$} \u{b1} {u:.places$}{unit}"),
        None => format!("{value:.places$}{unit}"),
    }
}

/// A stated measure.
#[must_use]
pub fn stated(measure: &StatedMeasure) -> String {
    match measure {
        StatedMeasure::DistanceMm {
            what,
            value,
            tolerance,
        } => {
            format!("{what}: {value} \u{b1} {tolerance} mm")
        }
        StatedMeasure::AngleDeg {
            what,
            value,
            tolerance,
        } => {
            format!("{what}: {value} \u{b1} {tolerance}\u{b0}")
        }
    }
}

/// A length on the coin in mm, two places from 0.1 mm up and three below.
#[must_use]
pub fn mm(value: f64) -> String {
    if value < 0.0995 {
        format!("{value:.3} mm")
    } else {
        format!("{value:.2} mm")
    }
}

/// A word with a capital.
#[must_use]
pub fn capital(word: &str) -> String {
    let mut chars = word.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_as_a_person_writes_them() {
        let at = |log10| ratio(LikelihoodRatio { log10 });
        assert_eq!(at(0.3), "2.0");
        assert_eq!(at(1.5), "32");
        assert_eq!(at(3.09), "1,200");
        assert_eq!(at(5.0), "100,000");
        assert_eq!(at(6.5), "3.2 million");
        assert_eq!(at(12.3), "10^12");
        assert_eq!(percent(0.99999), "> 99.9 %");
        assert_eq!(percent(0.00001), "< 0.1 %");
        assert_eq!(signed(-0.25, 2), "\u{2212}0.25");
        assert_eq!(signed(0.001, 2), "\u{2007}0.00");
    }
}
