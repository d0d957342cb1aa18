//! `find-rim`: the coin's outer edge in each photo.

use serde_json::{Value, json};

use super::arguments::FindRim;
use super::error::VerbError;
use super::{Exit, Streams, open_specimen, set_report};
use crate::align::find_rim;
use crate::evidence::Prior;
use crate::pipeline::{PictureCache, Study};
use crate::problem::Problem;
use crate::reference::Side;
use crate::specimen::{Edit, PhotoEdit};

pub(super) fn find(arguments: &FindRim, streams: &mut Streams) -> Result<Exit, VerbError> {
    let mut opened = open_specimen(&arguments.report.specimen, streams)?;
    let album = opened.album(&PictureCache::default().into());
    let mut sides = Vec::new();
    let mut keep = Vec::new();
    let (mut failed, mut any) = (false, false);
    for side in Side::BOTH {
        let study = Study::new(&opened.set, &opened.record, Prior::Equal, &album);
        let found = study
            .photo(side)
            .map_err(Problem::from)
            .and_then(|picture| Ok(find_rim(&picture)?));
        match found {
            Ok(found) => {
                any = true;
                let marked = opened.record.photo(side).and_then(|photo| photo.rim);
                let kept = arguments.keep && !marked.is_some_and(|rim| rim.by_hand);
                if kept {
                    keep.push(Edit::Photo(side, PhotoEdit::SetRim(found.rim)));
                }
                sides.push((side, Ok((found, kept))));
            }
            Err(problem) => {
                failed |= opened.record.photo(side).is_some();
                sides.push((side, Err(problem)));
            }
        }
    }
    if !keep.is_empty() {
        let notice = opened.change(keep)?;
        streams.notes(notice.iter())?;
    }
    if arguments.report.json {
        let sides = sides.iter().map(|(side, found)| {
            let found_rim = found.as_ref().ok().map(|(found, _)| {
                json!({
                    "centre_px": [found.rim.centre.x, found.rim.centre.y],
                    "long_px": found.rim.long_px,
                    "short_px": found.rim.short_px,
                    "turn_deg": found.rim.turn_deg,
                    "support": found.support,
                    "scatter": found.scatter,
                })
            });
            json!({
                "side": side.word(),
                "rim": found_rim,
                "problem": found.as_ref().err().map(ToString::to_string),
                "kept": found.as_ref().is_ok_and(|(_, kept)| *kept),
            })
        });
        streams.json(&json!({
            "specimen": arguments.report.specimen.display().to_string(),
            "set": set_report(&opened.set),
            "sides": sides.collect::<Value>(),
        }))?;
    } else {
        for (side, found) in &sides {
            match found {
                Ok((found, kept)) => writeln!(
                    streams.out,
                    "{}: centre {:.2}, {:.2} px, half axes {:.2} and {:.2} px, turned {:.1} degrees, seen {:.0} %{}",
                    side.word(),
                    found.rim.centre.x,
                    found.rim.centre.y,
                    found.rim.long_px,
                    found.rim.short_px,
                    found.rim.turn_deg,
                    100.0 * found.support,
                    if *kept { "; kept" } else { "" }
                )?,
                Err(problem) => writeln!(streams.out, "{}: {problem}", side.word())?,
            }
        }
    }
    Ok(if failed || !any {
        Exit::Negative
    } else {
        Exit::Done
    })
}
