//! `align`: each side's alignment.

use serde_json::{Value, json};

use super::arguments::Report;
use super::error::VerbError;
use super::{Exit, Streams, open_specimen, set_report};
use crate::align::Alignment;
use crate::evidence::Prior;
use crate::pipeline::{Missing, PictureCache, Study, zone_transform};
use crate::reference::{Side, Zone};
use crate::words;

pub(super) fn align(arguments: &Report, streams: &mut Streams) -> Result<Exit, VerbError> {
    let opened = open_specimen(&arguments.specimen, streams)?;
    let album = opened.album(&PictureCache::default().into());
    let study = Study::new(&opened.set, &opened.record, Prior::Equal, &album);
    if arguments.json {
        streams.json(&json!({
            "specimen": arguments.specimen.display().to_string(),
            "set": set_report(&opened.set),
            "sides": Side::BOTH.map(|side| side_report(&study, side)),
        }))?;
    } else {
        for side in Side::BOTH {
            match study.computed.alignment(side) {
                Ok(alignment) => print(&study, side, alignment, streams)?,
                Err(missing) => writeln!(streams.out, "{}: {missing}", side.word())?,
            }
        }
    }
    // A side that was never photographed is no failure, unless neither was.
    let found = Side::BOTH.map(|side| study.computed.alignment(side));
    let failed =
        |found: &Result<_, Missing>| matches!(found, Err(missing) if !matches!(missing, Missing::NoPhoto(_)));
    if found.iter().any(failed) || found.iter().all(Result::is_err) {
        Ok(Exit::Negative)
    } else {
        Ok(Exit::Done)
    }
}

fn side_report(study: &Study<'_>, side: Side) -> Value {
    let alignment = study.computed.alignment(side);
    json!({
        "side": side.word(),
        "photo": study.record.photo(side).map(|photo| json!({
            "file": photo.file,
            "width_px": photo.width_px,
            "height_px": photo.height_px,
        })),
        "alignment": alignment.as_ref().ok().map(|alignment| alignment_report(study, side, alignment)),
        "problem": alignment.err().map(|missing| missing.to_string()),
    })
}

/// The transform from side mm to upright photo px, row by row.
fn rows(alignment: &Alignment) -> [[f64; 3]; 3] {
    let matrix = alignment.picture_from_side.matrix();
    std::array::from_fn(|row| std::array::from_fn(|column| matrix[(row, column)]))
}

fn alignment_report(study: &Study<'_>, side: Side, alignment: &Alignment) -> Value {
    let landmarks = alignment.landmarks.iter().map(|landmark| {
        json!({
            "name": landmark.name.to_string(),
            "residual_px": [landmark.residual_px.x, landmark.residual_px.y],
            "residual_mm": landmark.residual_mm,
            "left_out_px": landmark.left_out_px.map(|off| [off.x, off.y]),
            "disagrees": landmark.disagrees,
        })
    });
    let zones = study.set.side(side).zones.iter().map(|zone| {
        let shift = study
            .record
            .photo(side)
            .and_then(|photo| photo.fine_shifts.get(&zone.id));
        json!({
            "zone": zone.id.to_string(),
            "title": zone.title,
            "px_per_mm": px_per_mm(study, side, alignment, zone),
            "uncertainty_mm": alignment.zone_uncertainty(zone).radius95_mm,
            "uncertainty_with_plates_mm": study.radius_with_plates_mm(side, zone).ok().flatten(),
            "telling_detail_mm": zone.telling_detail_mm,
            "fine_shift_mm": shift.map(|fine| [fine.shift_mm.x, fine.shift_mm.y]),
        })
    });
    json!({
        "model": words::model(alignment.model),
        "held": alignment.held,
        "photo_from_side": rows(alignment),
        "noise_px": alignment.noise_px,
        "landmarks": landmarks.collect::<Value>(),
        "zones": zones.collect::<Value>(),
        "advice": alignment.advice.iter().map(ToString::to_string).collect::<Value>(),
    })
}

fn px_per_mm(study: &Study<'_>, side: Side, alignment: &Alignment, zone: &Zone) -> Option<f64> {
    let photo = study.record.photo(side)?;
    Some(zone_transform(alignment, photo, zone).px_per_mm(zone.centre_mm))
}

fn print(
    study: &Study<'_>,
    side: Side,
    alignment: &Alignment,
    streams: &mut Streams,
) -> Result<(), VerbError> {
    let out = &mut streams.out;
    writeln!(
        out,
        "{}: {}{}, {} landmarks, noise {:.2} px a coordinate",
        side.word(),
        words::model(alignment.model),
        if alignment.held { " (held)" } else { "" },
        alignment.landmarks.len(),
        alignment.noise_px
    )?;
    for [a, b, c] in rows(alignment) {
        writeln!(out, "  {a:>16.9} {b:>16.9} {c:>16.9}")?;
    }
    for landmark in &alignment.landmarks {
        writeln!(
            out,
            "  landmark {}: residual {:.2}, {:.2} px = {:.3} mm{}",
            landmark.name,
            landmark.residual_px.x,
            landmark.residual_px.y,
            landmark.residual_mm,
            if landmark.disagrees { "; disagrees" } else { "" }
        )?;
    }
    for zone in &study.set.side(side).zones {
        let alone = alignment.zone_uncertainty(zone).radius95_mm;
        let worst = study
            .radius_with_plates_mm(side, zone)
            .ok()
            .flatten()
            .unwrap_or(alone);
        writeln!(
            out,
            "  zone {}: within {alone:.3} mm of its position (95 %), {worst:.3} mm with the plates; {:.1} px/mm{}",
            zone.id,
            px_per_mm(study, side, alignment, zone).unwrap_or(f64::NAN),
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
