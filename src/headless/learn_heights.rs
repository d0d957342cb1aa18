//! `learn-heights`: how high each landmark stands, by where plates and specimens show it.

use std::path::PathBuf;

use serde_json::json;

use super::arguments::LearnHeights;
use super::error::VerbError;
use super::{Exit, Streams, set_report};
use crate::align::learn_heights;
use crate::reference::{Height, SetSource, Side, open_set, save_set};
use crate::specimen::{SpecimenFolder, SpecimenRecord};

pub(super) fn learn(arguments: &LearnHeights, streams: &mut Streams) -> Result<Exit, VerbError> {
    let open = open_set(&arguments.set)?;
    streams.notes(open.note.iter())?;
    let mut set = open.set;
    let records = records(&arguments.specimens, &set.id)?;
    let mut landmarks = Vec::new();
    for side in Side::BOTH {
        let reference = set.side(side);
        let plates = reference.dies.iter().flat_map(|die| &die.plates);
        let photos = records.iter().filter_map(|record| record.photo(side));
        let marks: Vec<_> = plates
            .map(|plate| &plate.landmarks)
            .chain(photos.map(|photo| &photo.landmarks))
            .collect();
        let Some(heights) = learn_heights(&reference.landmarks, &set.measures, &marks) else {
            continue;
        };
        for (landmark, height) in set.side_mut(side).landmarks.iter_mut().zip(heights) {
            landmarks.push((side.word(), landmark.name.to_string(), height));
            landmark.height = Some(kept(height));
        }
    }
    if arguments.keep {
        let SetSource::Folder(folder) = &open.source else {
            return Err(VerbError::Usage(
                "Heights are kept in a set's own folder: unpack the set first.".to_owned(),
            ));
        };
        save_set(folder, &set)?;
    }
    if arguments.json {
        let of = |(side, landmark, height): &(&str, String, Height)| {
            json!({
                "side": side,
                "landmark": landmark,
                "height_mm": height.mm,
                "deviation_mm": height.deviation_mm,
            })
        };
        streams.json(&json!({
            "set": set_report(&set),
            "written": arguments.keep,
            "landmarks": landmarks.iter().map(of).collect::<Vec<_>>(),
        }))?;
    } else {
        for (side, landmark, height) in &landmarks {
            writeln!(
                streams.out,
                "{side}, {landmark}: {:.2} mm above the field, \u{b1} {:.2} mm",
                height.mm, height.deviation_mm
            )?;
        }
    }
    Ok(Exit::Done)
}

/// The records of specimens of the set.
fn records(specimens: &[PathBuf], set_id: &str) -> Result<Vec<SpecimenRecord>, VerbError> {
    let mut records = Vec::new();
    for folder in specimens {
        let record = SpecimenFolder::open(folder)?.record;
        if record.set.id != set_id {
            return Err(VerbError::Usage(format!(
                "The specimen {} is compared with the set \u{201c}{}\u{201d} and not with this one: leave it out.",
                folder.display(),
                record.set.id
            )));
        }
        records.push(record);
    }
    Ok(records)
}

/// A height as a set keeps it: to a thousandth of a mm.
fn kept(height: Height) -> Height {
    let rounded = |mm: f64| (mm * 1000.0).round() / 1000.0;
    Height {
        mm: rounded(height.mm),
        deviation_mm: rounded(height.deviation_mm),
    }
}
