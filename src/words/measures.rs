//! Measurements and stated measures in words.

use super::numbers::{length, plain};
use crate::reference::StatedMeasure;
use crate::specimen::MeasureKind;

/// A measurement's kind.
#[must_use]
pub fn measure_kind(kind: MeasureKind) -> &'static str {
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
            format!("{what}: {} \u{b1} {}", plain(*value), length(*tolerance))
        }
        StatedMeasure::AngleDeg {
            what,
            value,
            tolerance,
        } => {
            format!("{what}: {} \u{b1} {}\u{b0}", plain(*value), plain(*tolerance))
        }
    }
}
