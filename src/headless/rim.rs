//! `find-rim`: the coin's outer edge in each photo.

use serde::Serialize;

use super::arguments::FindRim;
use super::error::VerbError;
use super::opened::open;
use super::{Exit, SetReport, Streams};
use crate::align::{Rim, find_rim};
use crate::reference::Side;
use crate::specimen::{Edit, PhotoEdit};

/// What `find-rim --json` prints.
#[derive(Debug, Serialize)]
struct RimReport {
    specimen: String,
    set: SetReport,
    sides: Vec<SideReport>,
}

#[derive(Debug, Serialize)]
struct SideReport {
    side: &'static str,
    rim: Option<FoundReport>,
    problem: Option<String>,
    kept: bool,
}

#[derive(Debug, Serialize)]
struct FoundReport {
    centre_px: [f64; 2],
    long_px: f64,
    short_px: f64,
    turn_deg: f64,
    support: f64,
    scatter: f64,
}

pub(super) fn find(arguments: &FindRim, streams: &mut Streams) -> Result<Exit, VerbError> {
    let mut opened = open(&arguments.report.specimen)?;
    let mut sides = Vec::new();
    let mut keep: Vec<(Side, Rim)> = Vec::new();
    let mut failed = false;
    for side in Side::BOTH {
        let mut report = SideReport {
            side: side.word(),
            rim: None,
            problem: None,
            kept: false,
        };
        let found = opened
            .read_photo(side)
            .and_then(|picture| find_rim(&picture).map_err(|error| error.to_string()));
        match found {
            Ok(found) => {
                let rim = found.rim;
                let by_hand = opened
                    .record
                    .photo(side)
                    .and_then(|photo| photo.rim)
                    .is_some_and(|rim| rim.by_hand);
                report.kept = arguments.keep && !by_hand;
                if report.kept {
                    keep.push((side, rim));
                }
                report.rim = Some(FoundReport {
                    centre_px: [rim.centre.x, rim.centre.y],
                    long_px: rim.long_px,
                    short_px: rim.short_px,
                    turn_deg: rim.turn_deg,
                    support: found.support,
                    scatter: found.scatter,
                });
            }
            Err(problem) => {
                failed |= opened.record.photo(side).is_some();
                report.problem = Some(problem);
            }
        }
        sides.push(report);
    }
    failed |= sides.iter().all(|side| side.rim.is_none());
    if !keep.is_empty() {
        for (side, rim) in keep {
            Edit::Photo(side, PhotoEdit::SetRim(rim)).apply(&mut opened.record);
        }
        opened.save()?;
    }
    streams.notes(opened.notes.iter())?;
    let report = RimReport {
        specimen: arguments.report.specimen.display().to_string(),
        set: SetReport::of(&opened.set),
        sides,
    };
    if arguments.report.json {
        streams.json(&report)?;
    } else {
        for side in &report.sides {
            match &side.rim {
                Some(rim) => writeln!(
                    streams.out,
                    "{}: centre {:.2}, {:.2} px, half axes {:.2} and {:.2} px, turned {:.1} degrees, seen {:.0} %{}",
                    side.side,
                    rim.centre_px[0],
                    rim.centre_px[1],
                    rim.long_px,
                    rim.short_px,
                    rim.turn_deg,
                    100.0 * rim.support,
                    if side.kept { "; kept" } else { "" }
                )?,
                None => writeln!(
                    streams.out,
                    "{}: {}",
                    side.side,
                    side.problem.as_deref().unwrap_or("not found")
                )?,
            }
        }
    }
    Ok(if failed { Exit::Negative } else { Exit::Done })
}
