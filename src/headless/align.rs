//! `align`: each side's alignment.

use std::collections::BTreeMap;
use std::io::Write;

use serde::Serialize;

use super::arguments::Report;
use super::error::VerbError;
use super::opened::{Opened, open};
use super::{Exit, SetReport, Streams};
use crate::align::Alignment;
use crate::flow::{align_photo, align_plate, state_views, zone_transform, zone_uncertainty};
use crate::reference::{ReferenceSet, Side};
use crate::specimen::SidePhoto;
use crate::words;

/// What `align --json` prints.
#[derive(Debug, Serialize)]
struct AlignReport {
    specimen: String,
    set: SetReport,
    sides: Vec<SideReport>,
}

#[derive(Debug, Serialize)]
struct SideReport {
    side: &'static str,
    photo: Option<PhotoReport>,
    alignment: Option<AlignmentReport>,
    problem: Option<String>,
}

#[derive(Debug, Serialize)]
struct PhotoReport {
    file: String,
    width_px: u32,
    height_px: u32,
}

#[derive(Debug, Serialize)]
struct AlignmentReport {
    model: &'static str,
    held: bool,
    /// From side mm to upright photo px, row by row.
    photo_from_side: [[f64; 3]; 3],
    noise_px: f64,
    landmarks: Vec<LandmarkReport>,
    zones: Vec<ZoneReport>,
    advice: Vec<String>,
}

#[derive(Debug, Serialize)]
struct LandmarkReport {
    name: String,
    residual_px: [f64; 2],
    residual_mm: f64,
    left_out_px: Option<[f64; 2]>,
    disagrees: bool,
}

#[derive(Debug, Serialize)]
struct ZoneReport {
    zone: String,
    title: String,
    px_per_mm: f64,
    uncertainty_mm: f64,
    uncertainty_with_plates_mm: Option<f64>,
    telling_detail_mm: f64,
    fine_shift_mm: Option<[f64; 2]>,
}

pub(super) fn align(arguments: &Report, streams: &mut Streams) -> Result<Exit, VerbError> {
    let opened = open(&arguments.specimen)?;
    streams.notes(opened.notes.iter())?;
    let sides: Vec<SideReport> = Side::BOTH
        .into_iter()
        .map(|side| side_report(&opened, side))
        .collect();
    // A side that was never photographed is no failure, unless neither was.
    let failed = sides
        .iter()
        .any(|side| side.photo.is_some() && side.alignment.is_none());
    let none = sides.iter().all(|side| side.alignment.is_none());
    let exit = if failed || none {
        Exit::Negative
    } else {
        Exit::Done
    };
    let report = AlignReport {
        specimen: arguments.specimen.display().to_string(),
        set: SetReport::of(&opened.set),
        sides,
    };
    if arguments.json {
        streams.json(&report)?;
    } else {
        for side in &report.sides {
            print(side, streams)?;
        }
    }
    Ok(exit)
}

fn side_report(opened: &Opened, side: Side) -> SideReport {
    let mut report = SideReport {
        side: side.word(),
        photo: None,
        alignment: None,
        problem: None,
    };
    let Some(photo) = opened.record.photo(side) else {
        report.problem = Some(format!("There is no {} photo yet.", side.word()));
        return report;
    };
    report.photo = Some(PhotoReport {
        file: photo.file.clone(),
        width_px: photo.width_px,
        height_px: photo.height_px,
    });
    match align_photo(&opened.set, side, photo) {
        Ok(alignment) => report.alignment = Some(alignment_report(&opened.set, side, photo, &alignment)),
        Err(error) => report.problem = Some(error.to_string()),
    }
    report
}

fn alignment_report(
    set: &ReferenceSet,
    side: Side,
    photo: &SidePhoto,
    alignment: &Alignment,
) -> AlignmentReport {
    let m = alignment.picture_from_side.matrix();
    let row = |r: usize| [m[(r, 0)], m[(r, 1)], m[(r, 2)]];
    AlignmentReport {
        model: words::model(alignment.model),
        held: alignment.held,
        photo_from_side: [row(0), row(1), row(2)],
        noise_px: alignment.noise_px,
        landmarks: alignment
            .landmarks
            .iter()
            .map(|landmark| LandmarkReport {
                name: landmark.name.to_string(),
                residual_px: [landmark.residual_px.x, landmark.residual_px.y],
                residual_mm: landmark.residual_mm,
                left_out_px: landmark.left_out_px.map(|off| [off.x, off.y]),
                disagrees: landmark.disagrees,
            })
            .collect(),
        zones: zone_reports(set, side, photo, alignment),
        advice: alignment.advice.iter().map(ToString::to_string).collect(),
    }
}

fn zone_reports(set: &ReferenceSet, side: Side, photo: &SidePhoto, alignment: &Alignment) -> Vec<ZoneReport> {
    let reference = set.side(side);
    // Each plate is aligned once, though it serves several zones.
    let mut plates: BTreeMap<(usize, usize), Option<Alignment>> = BTreeMap::new();
    let mut zones = Vec::new();
    for zone in &reference.zones {
        let mut with_plates: Option<f64> = None;
        for feature in reference
            .features
            .iter()
            .filter(|feature| feature.zone == zone.id)
        {
            for (die, plate) in state_views(reference, feature)
                .into_iter()
                .filter_map(|view| view.plate)
            {
                let Some(place) = reference.dies.iter().position(|known| known.id == die) else {
                    continue;
                };
                let aligned = plates.entry((place, plate)).or_insert_with(|| {
                    let plate = reference.dies[place].plates.get(plate)?;
                    align_plate(set, side, plate).ok()
                });
                if let Some(aligned) = aligned {
                    let radius = zone_uncertainty(alignment, Some(aligned), zone).radius95_mm;
                    with_plates = Some(with_plates.map_or(radius, |most| most.max(radius)));
                }
            }
        }
        let shift = photo
            .fine_shifts
            .get(&zone.id)
            .map(|fine| [fine.shift_mm.x, fine.shift_mm.y]);
        zones.push(ZoneReport {
            zone: zone.id.to_string(),
            title: zone.title.clone(),
            px_per_mm: zone_transform(alignment, photo, zone).px_per_mm(zone.centre_mm),
            uncertainty_mm: zone_uncertainty(alignment, None, zone).radius95_mm,
            uncertainty_with_plates_mm: with_plates,
            telling_detail_mm: zone.telling_detail_mm,
            fine_shift_mm: shift,
        });
    }
    zones
}

fn print(side: &SideReport, streams: &mut Streams) -> Result<(), VerbError> {
    let out = &mut streams.out;
    let Some(alignment) = &side.alignment else {
        writeln!(
            out,
            "{}: {}",
            side.side,
            side.problem.as_deref().unwrap_or("not aligned")
        )?;
        return Ok(());
    };
    writeln!(
        out,
        "{}: {}{}, {} landmarks, noise {:.2} px a coordinate",
        side.side,
        alignment.model,
        if alignment.held { " (held)" } else { "" },
        alignment.landmarks.len(),
        alignment.noise_px
    )?;
    for [a, b, c] in alignment.photo_from_side {
        writeln!(out, "  {a:>16.9} {b:>16.9} {c:>16.9}")?;
    }
    for landmark in &alignment.landmarks {
        writeln!(
            out,
            "  landmark {}: residual {:.2}, {:.2} px = {:.3} mm{}",
            landmark.name,
            landmark.residual_px[0],
            landmark.residual_px[1],
            landmark.residual_mm,
            if landmark.disagrees { "; disagrees" } else { "" }
        )?;
    }
    for zone in &alignment.zones {
        let worst = zone.uncertainty_with_plates_mm.unwrap_or(zone.uncertainty_mm);
        writeln!(
            out,
            "  zone {}: within {:.3} mm of its place (95 %), {:.3} mm with the plates; {:.1} px/mm{}",
            zone.zone,
            zone.uncertainty_mm,
            worst,
            zone.px_per_mm,
            if worst > zone.telling_detail_mm {
                "; less certain than its telling detail"
            } else {
                ""
            }
        )?;
    }
    for advice in &alignment.advice {
        writeln!(out, "  {advice}")?;
    }
    Ok(())
}
