//! The features of a sheet: the coin's crop beside each state's plate, verdicts, notes and measurements.

use super::content::{FeatureContent, MeasureContent, PlateContent, StateContent, VerdictContent};
use super::enlarge::enlargement;
use super::gather_sides::PX_PER_PAPER_MM;
use super::labels::Labels;
use super::style;
use crate::align::Alignment;
use crate::crop::CropFrame;
use crate::geometry::PictureFromSide;
use crate::pipeline::{self, PlateKey, StateView, Study};
use crate::reference::{Feature, Side, Zone};
use crate::specimen::{Measurement, SpecimenRecord};

/// How much of a zone's surroundings its crops show: the share of its size added on each side.
const MARGIN: f64 = 0.25;

/// A feature; none where the set lacks its zone.
pub(super) fn feature(
    study: &Study<'_>,
    side: Side,
    feature: &Feature,
    labels: &Labels,
) -> Option<FeatureContent> {
    let (set, record) = (study.set, study.record);
    let reference = set.side(side);
    let zone = reference.zone(&feature.zone)?;
    let views = pipeline::state_views(reference, feature);
    let shown = pipeline::zone_frame(zone, 1000.0, MARGIN);
    let size = (
        f64::from(shown.width_px) / 1000.0,
        f64::from(shown.height_px) / 1000.0,
    );
    let times = enlargement(size, style::crop_room(1 + views.len()));
    let frame = pipeline::zone_frame(zone, f64::from(times) * PX_PER_PAPER_MM, MARGIN);
    let alignment = study.computed.alignment(side).ok();
    let evened = light_evened(record, side, feature);
    let states = views
        .iter()
        .filter_map(|view| state(study, side, feature, view, zone, &frame, evened))
        .collect();
    Some(FeatureContent {
        side,
        label: labels.of(side, &feature.id).to_owned(),
        question: feature.question.clone(),
        zone_title: zone.title.clone(),
        zone_centre: zone.centre_mm,
        zone_size_mm: zone.size_mm,
        telling_detail_mm: zone.telling_detail_mm,
        coin: study
            .coin(side, zone)
            .and_then(|view| Ok(view.crop(&frame, evened.unwrap_or(0.0))?.into())),
        radius95_mm: alignment.map(|a| a.zone_uncertainty(zone).radius95_mm),
        light_evened: evened,
        fine_shift: record
            .photo(side)
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
        remarks: remarks(study, side, feature, zone),
    })
}

/// A state of a feature; none where the feature lacks it.
fn state(
    study: &Study<'_>,
    side: Side,
    feature: &Feature,
    view: &StateView,
    zone: &Zone,
    frame: &CropFrame,
    evened: Option<f64>,
) -> Option<StateContent> {
    let state = feature.state(&view.state)?;
    let plate = view
        .plate
        .as_ref()
        .map(|(die, number)| plate_content(study, &(side, die.clone(), *number), zone, frame, evened));
    let verdict = study.record.verdict(side, &feature.id, &view.state);
    Some(StateContent {
        words: state.words.clone(),
        dies: view.dies.iter().map(ToString::to_string).collect(),
        plate,
        stated: state.stated.clone(),
        verdict: verdict.map(|v| VerdictContent {
            ruling: v.ruling,
            note: v.note.clone(),
        }),
    })
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

fn plate_content(
    study: &Study<'_>,
    key: &PlateKey,
    zone: &Zone,
    frame: &CropFrame,
    evened: Option<f64>,
) -> PlateContent {
    let (side, die, number) = key;
    let plates = study.set.side(*side).die(die).map_or(0, |die| die.plates.len());
    let texts = study.listed(key).map(|plate| [&plate.source, &plate.rights]);
    let credit = texts
        .into_iter()
        .flatten()
        .map(|text| text.trim().trim_end_matches('.'));
    let view = study.plate(key, zone);
    PlateContent {
        die: if plates > 1 {
            format!("{die}, plate {}", number + 1)
        } else {
            die.to_string()
        },
        credit: credit
            .filter(|text| !text.is_empty())
            .collect::<Vec<_>>()
            .join(". "),
        // A radius between the two is known only where the coin is aligned too.
        radius95_mm: (view.as_ref().ok())
            .filter(|_| study.computed.alignment(*side).is_ok())
            .map(|view| view.radius95_mm),
        crop: view.and_then(|view| Ok(view.crop(frame, evened.unwrap_or(0.0))?.into())),
    }
}

/// A measurement's value with its uncertainty; none where it has too few points or an arm has no length.
fn measure(
    m: &Measurement,
    alignment: &Alignment,
    diameter_mm: f64,
    feature: &Feature,
) -> Option<MeasureContent> {
    let measured = pipeline::measured(diameter_mm, alignment, m)?;
    let (fitting, contradicted): (Vec<_>, Vec<_>) = feature
        .states
        .iter()
        .filter_map(|state| {
            let sigmas = pipeline::sigmas_from_stated(m.kind, &measured, state.stated.as_ref()?)?;
            Some((state.words.clone(), sigmas.abs() <= pipeline::FITS_WITHIN_SIGMAS))
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
fn remarks(study: &Study<'_>, side: Side, feature: &Feature, zone: &Zone) -> Vec<String> {
    let record = study.record;
    let (Some(photo), Ok(alignment)) = (record.photo(side), study.computed.alignment(side)) else {
        return Vec::new();
    };
    let now = pipeline::zone_transform(alignment, photo, zone);
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
