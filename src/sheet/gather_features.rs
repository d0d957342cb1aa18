//! The features of a sheet: the coin's crop beside each state's plate, verdicts, notes and measurements.

use std::sync::Arc;

use super::content::{FeatureContent, MeasureContent, PlateContent, SheetCrop, StateContent, VerdictContent};
use super::enlarge::enlargement;
use super::gather::Pictures;
use super::gather_sides::{Aligned, PX_PER_PAPER_MM};
use super::{style, words};
use crate::crop::{CropFrame, cut};
use crate::flow;
use crate::geometry::{PictureFromSide, SidePoint};
use crate::reference::{DieId, Feature, ReferenceSet, Side, Zone};
use crate::specimen::{MeasureKind, Measurement, SpecimenRecord};

/// How much of a zone's surroundings its crops show: the share of its size added on each side.
const MARGIN: f64 = 0.25;

pub(super) fn features(
    set: &ReferenceSet,
    record: &SpecimenRecord,
    side: Side,
    aligned: &Aligned<'_>,
    first_number: usize,
    pictures: &mut dyn Pictures,
) -> Vec<FeatureContent> {
    let reference = set.side(side);
    let mut out = Vec::new();
    for (index, feature) in reference.features.iter().enumerate() {
        let Some(zone) = reference.zone(&feature.zone) else {
            continue;
        };
        let number = first_number + reference.zones.iter().position(|z| z.id == zone.id).unwrap_or(0);
        let sharing: Vec<usize> = reference
            .features
            .iter()
            .enumerate()
            .filter(|(_, f)| f.zone == feature.zone)
            .map(|(i, _)| i)
            .collect();
        let letter = match sharing.iter().position(|&i| i == index) {
            Some(place) if sharing.len() > 1 => words::letters(place),
            _ => String::new(),
        };
        let label = format!("{number}{letter}");
        out.push(one(set, record, side, aligned, feature, zone, label, pictures));
    }
    out
}

#[expect(
    clippy::too_many_arguments,
    reason = "one call site; each is a part of the one feature"
)]
fn one(
    set: &ReferenceSet,
    record: &SpecimenRecord,
    side: Side,
    aligned: &Aligned<'_>,
    feature: &Feature,
    zone: &Zone,
    label: String,
    pictures: &mut dyn Pictures,
) -> FeatureContent {
    let reference = set.side(side);
    let views = flow::state_views(reference, feature);
    let shown = flow::zone_frame(zone, 1000.0, MARGIN);
    let size = (
        f64::from(shown.width_px) / 1000.0,
        f64::from(shown.height_px) / 1000.0,
    );
    let times = enlargement(size, style::crop_room(1 + views.len()));
    let frame = flow::zone_frame(zone, f64::from(times) * PX_PER_PAPER_MM, MARGIN);
    let alignment = aligned.alignment.as_ref().ok();
    let coin = coin_crop(aligned, zone, &frame);
    let states = views
        .iter()
        .filter_map(|view| {
            let state = feature.state(&view.state)?;
            let plate = view
                .plate
                .as_ref()
                .map(|(die, index)| plate_content(set, side, die, *index, zone, &frame, alignment, pictures));
            Some(StateContent {
                words: state.words.clone(),
                dies: view.dies.iter().map(ToString::to_string).collect(),
                plate,
                stated: state.stated.clone(),
                verdict: record
                    .verdict(side, &feature.id, &view.state)
                    .map(|v| VerdictContent {
                        ruling: v.ruling,
                        note: v.note.clone(),
                    }),
            })
        })
        .collect();
    FeatureContent {
        side,
        label,
        question: feature.question.clone(),
        zone_title: zone.title.clone(),
        zone_centre: zone.centre_mm,
        zone_size_mm: zone.size_mm,
        telling_detail_mm: zone.telling_detail_mm,
        coin,
        radius95_mm: alignment.map(|a| flow::zone_uncertainty(a, None, zone).radius95_mm),
        light_evened: record
            .verdicts
            .iter()
            .filter(|v| v.side == side && v.feature == feature.id)
            .filter_map(|v| v.seen.as_ref().map(|seen| seen.light_evened))
            .filter(|strength| *strength > 0.0)
            .reduce(f64::max),
        fine_shift: aligned
            .photo
            .and_then(|p| p.fine_shifts.get(&zone.id))
            .map(|shift| shift.shift_mm),
        enlargement: times,
        states,
        measures: record
            .measurements
            .iter()
            .filter(|m| m.side == side && m.feature == feature.id)
            .filter_map(measure)
            .collect(),
        remarks: remarks(record, side, aligned, feature, zone),
    }
}

fn coin_crop(aligned: &Aligned<'_>, zone: &Zone, frame: &CropFrame) -> Result<SheetCrop, String> {
    let picture = aligned.picture.as_ref().map_err(Clone::clone)?;
    let alignment = aligned.alignment.as_ref().map_err(Clone::clone)?;
    let photo = aligned
        .photo
        .ok_or_else(|| "This side was not photographed.".to_owned())?;
    let transform = flow::zone_transform(alignment, photo, zone);
    let crop = cut(picture, &transform, frame);
    if crop.pixels.pixels().all(|p| p.0[3] == 0) {
        return Err("The zone lies outside the photo.".to_owned());
    }
    Ok(SheetCrop {
        frame: *frame,
        pixels: Arc::new(crop.pixels),
    })
}

#[expect(
    clippy::too_many_arguments,
    reason = "one call site; each is a part of the one plate"
)]
fn plate_content(
    set: &ReferenceSet,
    side: Side,
    die: &DieId,
    index: usize,
    zone: &Zone,
    frame: &CropFrame,
    coin: Option<&crate::align::Alignment>,
    pictures: &mut dyn Pictures,
) -> PlateContent {
    let plate = set.side(side).die(die).and_then(|d| d.plates.get(index));
    let name = match set.side(side).die(die).map(|d| d.plates.len()) {
        Some(n) if n > 1 => format!("{die}, plate {}", index + 1),
        _ => die.to_string(),
    };
    let Some(plate) = plate else {
        return PlateContent {
            crop: Err("The set has no such plate.".to_owned()),
            die: name,
            credit: String::new(),
            radius95_mm: None,
        };
    };
    let aligned = flow::align_plate(set, side, plate);
    let crop = match &aligned {
        Err(error) => Err(error.to_string()),
        Ok(alignment) => pictures.plate(side, die, index).map(|picture| SheetCrop {
            frame: *frame,
            pixels: Arc::new(cut(&picture, &alignment.picture_from_side, frame).pixels),
        }),
    };
    let credit = [plate.source.as_str(), plate.rights.as_str()]
        .into_iter()
        .filter(|s| !s.is_empty())
        .collect::<Vec<_>>()
        .join("; ");
    PlateContent {
        crop,
        die: name,
        credit,
        radius95_mm: match (coin, &aligned) {
            (Some(coin), Ok(plate)) => Some(flow::zone_uncertainty(coin, Some(plate), zone).radius95_mm),
            _ => None,
        },
    }
}

/// A measurement's value; none where it has too few points.
fn measure(m: &Measurement) -> Option<MeasureContent> {
    let points: &[SidePoint] = &m.points_mm;
    let value = match (m.kind, points) {
        (MeasureKind::Distance, [a, b, ..]) => (*b - *a).length(),
        (MeasureKind::Height, [a, b, ..]) => (b.y - a.y).abs(),
        (MeasureKind::Angle, [a, corner, b, ..]) => {
            let (u, v) = (*a - *corner, *b - *corner);
            u.cross(v).atan2(u.dot(v)).to_degrees().abs()
        }
        _ => return None,
    };
    Some(MeasureContent {
        kind: m.kind,
        value,
        uncertainty: None,
        points: points.to_vec(),
        note: m.note.clone(),
    })
}

/// What a reader must know beside the crop: verdicts that were given on another alignment.
fn remarks(
    record: &SpecimenRecord,
    side: Side,
    aligned: &Aligned<'_>,
    feature: &Feature,
    zone: &Zone,
) -> Vec<String> {
    let (Some(photo), Ok(alignment)) = (aligned.photo, &aligned.alignment) else {
        return Vec::new();
    };
    let now = flow::zone_transform(alignment, photo, zone);
    let mut out = Vec::new();
    for verdict in record
        .verdicts
        .iter()
        .filter(|v| v.side == side && v.feature == feature.id)
    {
        let (Some(seen), Some(state)) = (&verdict.seen, feature.state(&verdict.state)) else {
            continue;
        };
        let Ok(then) = PictureFromSide::new(nalgebra::Matrix3::from_row_slice(&seen.photo_from_side)) else {
            continue;
        };
        let moved = (now.point_on_side(then.point_in_picture(zone.centre_mm)) - zone.centre_mm).length();
        if moved > zone.telling_detail_mm / 2.0 {
            out.push(format!(
                "The verdict on \u{201c}{}\u{201d} was given on a crop that lay {moved:.2} mm from this one: the \
                 alignment has changed since.",
                state.words
            ));
        }
    }
    out
}
