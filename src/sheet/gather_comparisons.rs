//! The comparisons with other coins, in words.

use std::sync::Arc;

use super::content::{ComparisonContent, FindingRow, PairCrops};
use super::enlarge::enlargement;
use super::gather_sides::{PX_PER_PAPER_MM, whole};
use super::style;
use crate::align::Alignment;
use crate::crop::CropFrame;
use crate::evidence::pair_cautions;
use crate::geometry::PictureFromSide;
use crate::photo::Picture;
use crate::pipeline::{Missing, Study, crop, measured_points};
use crate::reference::{ReferenceSet, Side};
use crate::specimen::{Comparison, Finding, PairMeasurement, SeenPair, Spot, WhichCoin};
use crate::words;

/// How much room a crop has on paper, in mm: four stand in a row.
const ROOM: (f64, f64) = ((style::LIVE_WIDTH - 3.0 * style::GUTTER) / 4.0, 46.0);

pub(super) fn comparisons(study: &Study<'_>) -> Vec<ComparisonContent> {
    let all = &study.record.comparisons;
    Side::BOTH
        .into_iter()
        .flat_map(|side| all.iter().filter(move |c| c.side == side))
        .map(|comparison| one(study, comparison))
        .collect()
}

fn one(study: &Study<'_>, comparison: &Comparison) -> ComparisonContent {
    let (set, record) = (study.set, study.record);
    let mut cautions: Vec<String> = pair_cautions(comparison)
        .iter()
        .map(ToString::to_string)
        .collect();
    let own = record.photo(comparison.side).map(|photo| photo.sha256.as_str());
    let stale = comparison
        .findings
        .iter()
        .filter_map(|f| f.seen.as_ref())
        .filter(|seen| own.is_none_or(|own| !seen.is_of(own, &comparison.other.sha256)))
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
            .map(|finding| FindingRow {
                crops: finding
                    .seen
                    .as_ref()
                    .and_then(|seen| crops(study, comparison, seen)),
                ..row(set, comparison, finding)
            })
            .collect(),
        measures: measures(study, comparison),
        cautions,
    }
}

/// A spot in words: its title, and where the user chose it its position in the side frame.
fn spot_words(set: &ReferenceSet, side: Side, spot: &Spot) -> String {
    let title = words::spot_title(set, side, spot);
    match spot {
        Spot::Place {
            centre_mm, size_mm, ..
        } => format!(
            "{title} (at {}, {}; {:.1} \u{d7} {:.1} mm)",
            words::signed(centre_mm.x, 1),
            words::signed(centre_mm.y, 1),
            size_mm.0,
            size_mm.1
        ),
        Spot::WholeSide | Spot::Zone(_) => title,
    }
}

fn row(set: &ReferenceSet, comparison: &Comparison, finding: &Finding) -> FindingRow {
    let side = comparison.side;
    let (found, kind) = words::finding_parts(finding);
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
        crops: None,
    }
}

/// The two crops as they were seen, as far as they fit the paper; none where what was kept of them makes no frame.
fn crops(study: &Study<'_>, comparison: &Comparison, seen: &SeenPair) -> Option<PairCrops> {
    /// A crop of less than this, in mm, shows nothing.
    const LEAST_MM: f64 = 0.01;
    let (width, height) = seen.size_mm;
    let sized = |mm: f64| mm.is_finite() && mm >= LEAST_MM;
    if !(sized(width) && sized(height) && seen.centre_mm.x.is_finite() && seen.centre_mm.y.is_finite()) {
        return None;
    }
    let times = enlargement(seen.size_mm, ROOM);
    let px_per_mm = f64::from(times) * PX_PER_PAPER_MM;
    let px = |mm: f64, room: f64| whole(mm.min(room / f64::from(times)) * px_per_mm);
    let frame = CropFrame {
        centre: seen.centre_mm,
        px_per_mm,
        rotation_deg: 0.0,
        width_px: px(width, ROOM.0),
        height_px: px(height, ROOM.1),
    };
    let side = comparison.side;
    let cut_from = |picture: Result<Arc<Picture>, Missing>, rows: &[f64; 9]| {
        let from_side =
            PictureFromSide::new(nalgebra::Matrix3::from_row_slice(rows)).map_err(|_| Missing::BadRecord)?;
        Ok(crop(&*picture?, &from_side, &frame, seen.light_evened)?.into())
    };
    let own = match study.record.photo(side) {
        Some(photo) if photo.sha256 == seen.sha256 => study.photo(side),
        _ => Err(Missing::PhotoReplaced),
    };
    let other = if seen.other_sha256 == comparison.other.sha256 {
        study.pictures.other_photo(side, &comparison.other)
    } else {
        Err(Missing::OtherPhotoReplaced)
    };
    Some(PairCrops {
        this: cut_from(own, &seen.photo_from_side),
        other: cut_from(other, &seen.other_from_side),
        enlargement: times,
        radius95_mm: Some(seen.uncertainty_mm).filter(|r| r.is_finite()),
        light_evened: Some(seen.light_evened).filter(|s| *s > 0.0),
    })
}

/// The measurements in words; none where this coin's photo is not aligned.
fn measures(study: &Study<'_>, comparison: &Comparison) -> Vec<String> {
    let side = comparison.side;
    let Ok(alignment) = study.computed.alignment(side) else {
        return Vec::new();
    };
    comparison
        .measurements
        .iter()
        .filter_map(|m| measure(study.set, alignment, side, m))
        .collect()
}

/// A measurement in words. On the other coin, whose alignment belongs to its own record, it stands with the uncertainty
/// that was kept when it was taken.
fn measure(set: &ReferenceSet, alignment: &Alignment, side: Side, m: &PairMeasurement) -> Option<String> {
    let value = measured_points(set.measures.diameter_mm, alignment, m.kind, &m.points_mm)?;
    let uncertainty = match m.on {
        WhichCoin::This => Some(value.half_width_95()),
        WhichCoin::Other => m.half_width_95.filter(|half| half.is_finite() && *half >= 0.0),
    };
    Some(format!(
        "{}, on {}, {}: {}",
        words::measure_kind(m.kind),
        m.on.words(),
        spot_words(set, side, &m.spot),
        words::measured(m.kind, value.value, uncertainty.filter(|u| u.is_finite()))
    ))
}
