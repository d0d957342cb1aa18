//! The features of a sheet: the coin's crop beside each state's plate, verdicts, notes and measurements.

use std::sync::Arc;

use super::content::{FeatureContent, MeasureContent, PlateContent, SheetCrop, StateContent, VerdictContent};
use super::enlarge::enlargement;
use super::gather::Pictures;
use super::gather_sides::{Aligned, PX_PER_PAPER_MM};
use super::labels::Labels;
use super::style;
use crate::align::Alignment;
use crate::crop::{self, CropFrame, cut, even_light};
use crate::flow;
use crate::geometry::PictureFromSide;
use crate::reference::{DieId, Feature, ReferenceSet, Side, Zone};
use crate::specimen::{Measurement, SpecimenRecord};

/// How much of a zone's surroundings its crops show: the share of its size added on each side.
const MARGIN: f64 = 0.25;

pub(super) fn features(
    set: &ReferenceSet,
    record: &SpecimenRecord,
    side: Side,
    aligned: &Aligned<'_>,
    labels: &Labels,
    pictures: &mut dyn Pictures,
) -> Vec<FeatureContent> {
    let reference = set.side(side);
    let mut out = Vec::new();
    for feature in &reference.features {
        let Some(zone) = reference.zone(&feature.zone) else {
            continue;
        };
        let label = labels.of(side, &feature.id).to_owned();
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
    let evened = light_evened(record, side, feature);
    let coin = coin_crop(aligned, zone, &frame, evened);
    let states = views
        .iter()
        .filter_map(|view| {
            let state = feature.state(&view.state)?;
            let plate = view.plate.as_ref().map(|(die, index)| {
                plate_content(set, side, die, *index, zone, &frame, evened, alignment, pictures)
            });
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
        light_evened: evened,
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
            .filter_map(|m| measure(m, alignment?, set.measures.diameter_mm, feature))
            .collect(),
        remarks: remarks(record, side, aligned, feature, zone),
    }
}

/// How strongly the light was evened when the feature's verdicts were given: the strongest of them.
fn light_evened(record: &SpecimenRecord, side: Side, feature: &Feature) -> Option<f64> {
    record
        .verdicts
        .iter()
        .filter(|v| v.side == side && v.feature == feature.id)
        .filter_map(|v| v.seen.as_ref().map(|seen| seen.light_evened))
        .filter(|strength| *strength > 0.0)
        .reduce(f64::max)
}

/// The crop in the light in which it was judged.
fn lit(crop: crop::Crop, evened: Option<f64>) -> crop::Crop {
    match evened {
        Some(strength) => even_light(&crop, strength),
        None => crop,
    }
}

fn coin_crop(
    aligned: &Aligned<'_>,
    zone: &Zone,
    frame: &CropFrame,
    evened: Option<f64>,
) -> Result<SheetCrop, String> {
    let picture = aligned.picture.as_ref().map_err(Clone::clone)?;
    let alignment = aligned.alignment.as_ref().map_err(Clone::clone)?;
    let photo = aligned
        .photo
        .ok_or_else(|| "This side was not photographed.".to_owned())?;
    let transform = flow::zone_transform(alignment, photo, zone);
    let crop = lit(cut(picture, &transform, frame), evened);
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
    evened: Option<f64>,
    coin: Option<&Alignment>,
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
            pixels: Arc::new(lit(cut(&picture, &alignment.picture_from_side, frame), evened).pixels),
        }),
    };
    let credit = [&plate.source, &plate.rights]
        .into_iter()
        .map(|text| text.trim().trim_end_matches('.'))
        .filter(|text| !text.is_empty())
        .collect::<Vec<_>>()
        .join(". ");
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

/// A measurement's value with its uncertainty; none where it has too few points or an arm has no length.
fn measure(
    m: &Measurement,
    alignment: &Alignment,
    diameter_mm: f64,
    feature: &Feature,
) -> Option<MeasureContent> {
    let measured = flow::measured(diameter_mm, alignment, m)?;
    let (fitting, contradicted): (Vec<_>, Vec<_>) = feature
        .states
        .iter()
        .filter_map(|state| {
            let sigmas = flow::sigmas_from_stated(m.kind, &measured, state.stated.as_ref()?)?;
            Some((state.words.clone(), sigmas.abs() <= flow::FITS_WITHIN_SIGMAS))
        })
        .partition(|(_, fits)| *fits);
    let words = |states: Vec<(String, bool)>| states.into_iter().map(|(words, _)| words).collect();
    Some(MeasureContent {
        kind: m.kind,
        value: measured.value,
        uncertainty: Some(measured.half_width_95()).filter(|u| u.is_finite()),
        points: m.points_mm.clone(),
        note: m.note.clone(),
        fits: words(fitting),
        contradicts: words(contradicted),
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
