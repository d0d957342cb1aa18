//! The comparisons with other coins, in words.

use super::content::{ComparisonContent, FindingRow};
use super::words;
use crate::evidence::pair_cautions;
use crate::flow;
use crate::reference::{ReferenceSet, Side};
use crate::specimen::{Comparison, Finding, Found, PairMeasurement, SpecimenRecord, Spot, WhichCoin};

pub(super) fn comparisons(set: &ReferenceSet, record: &SpecimenRecord) -> Vec<ComparisonContent> {
    Side::BOTH
        .into_iter()
        .flat_map(|side| record.comparisons.iter().filter(move |c| c.side == side))
        .map(|comparison| one(set, record, comparison))
        .collect()
}

fn one(set: &ReferenceSet, record: &SpecimenRecord, comparison: &Comparison) -> ComparisonContent {
    let mut cautions: Vec<String> = pair_cautions(comparison)
        .iter()
        .map(ToString::to_string)
        .collect();
    let own = record.photo(comparison.side).map(|photo| photo.sha256.as_str());
    let stale = comparison
        .findings
        .iter()
        .filter_map(|f| f.seen.as_ref())
        .filter(|seen| own != Some(seen.sha256.as_str()) || seen.other_sha256 != comparison.other.sha256)
        .count();
    if stale > 0 {
        cautions.push(format!(
            "{stale} of the findings {} made on another photo than the coins have now.",
            if stale == 1 { "was" } else { "were" }
        ));
    }
    ComparisonContent {
        side: comparison.side,
        other: comparison.other.title.clone(),
        other_photo: comparison.other.photo.clone(),
        other_sha256: comparison.other.sha256.clone(),
        conclusion: comparison.conclusion.map(|c| c.words().to_owned()),
        note: comparison.note.clone(),
        findings: comparison
            .findings
            .iter()
            .map(|finding| row(set, comparison, finding))
            .collect(),
        measures: comparison
            .measurements
            .iter()
            .filter_map(|m| measure(set, record, comparison.side, m))
            .collect(),
        cautions,
    }
}

/// A spot in words: its title, and where the user chose it its place in the side frame.
fn spot_words(set: &ReferenceSet, side: Side, spot: &Spot) -> String {
    match spot {
        Spot::WholeSide => format!("the whole {}", side.word()),
        Spot::Zone(id) => match set.side(side).zone(id) {
            Some(zone) if !zone.title.is_empty() => zone.title.clone(),
            _ => id.to_string(),
        },
        Spot::Place {
            title,
            centre_mm,
            size_mm,
        } => {
            let title = title.trim();
            let name = if title.is_empty() { "a chosen place" } else { title };
            format!(
                "{name} (at {}, {}; {:.1} \u{d7} {:.1} mm)",
                words::signed(centre_mm.x, 1),
                words::signed(centre_mm.y, 1),
                size_mm.0,
                size_mm.1
            )
        }
    }
}

fn row(set: &ReferenceSet, comparison: &Comparison, finding: &Finding) -> FindingRow {
    let side = comparison.side;
    let (found, mut kind) = match finding.found {
        None => ("not judged".to_owned(), String::new()),
        Some(Found::Same) => ("same here".to_owned(), String::new()),
        Some(Found::Differs(kind)) => ("differs here".to_owned(), kind.words().to_owned()),
        Some(Found::CannotTell(why)) => (format!("cannot tell: {}", why.words()), String::new()),
    };
    if let (Some(Found::Differs(_)), Some(coin)) = (finding.found, finding.more_on) {
        kind = format!("{kind}, on {}", coin.words());
    }
    let mut place = finding
        .seen
        .as_ref()
        .filter(|seen| seen.uncertainty_mm.is_finite())
        .map_or_else(String::new, |seen| {
            format!("\u{b1} {}", words::mm(seen.uncertainty_mm))
        });
    if let Some(fine) = comparison.fine_shift(&finding.spot) {
        place = format!(
            "{place} after a fine shift of {}",
            words::mm(fine.shift_mm.length())
        );
    }
    FindingRow {
        spot: spot_words(set, side, &finding.spot),
        found,
        kind,
        place: place.trim_start().to_owned(),
        note: finding.note.clone(),
    }
}

/// A measurement in words. On the other coin the value stands without its uncertainty: that coin's alignment belongs to
/// its own record.
fn measure(set: &ReferenceSet, record: &SpecimenRecord, side: Side, m: &PairMeasurement) -> Option<String> {
    let reference = set.side(side);
    let photo = record.photo(side)?;
    let alignment = flow::align_photo(set, side, photo).ok()?;
    let value = flow::measured_points(reference, &alignment, m.kind, &m.points_mm)?;
    let uncertainty = (m.on == WhichCoin::This).then(|| value.half_width_95());
    Some(format!(
        "{}, on {}, {}: {}",
        words::kind(m.kind),
        m.on.words(),
        spot_words(set, side, &m.spot),
        words::measured(m.kind, value.value, uncertainty.filter(|u| u.is_finite()))
    ))
}
