//! `check`: what is inconsistent in a reference set.

use serde_json::{Value, json};

use super::arguments::Check;
use super::error::VerbError;
use super::{Exit, Streams};
use crate::pipeline::{Depth, check_set};
use crate::reference::open_set;
use crate::reference::validate::Severity;

pub(super) fn check(arguments: &Check, streams: &mut Streams) -> Result<Exit, VerbError> {
    let open = open_set(&arguments.set)?;
    streams.notes(open.note.iter())?;
    let set = &open.set;
    let findings = check_set(set, Some(&open.source), Depth::Pictures);
    let count = |severity| {
        findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    };
    let (errors, warnings, hints) = (
        count(Severity::Error),
        count(Severity::Warning),
        count(Severity::Hint),
    );
    if arguments.json {
        streams.json(&json!({
            "set": arguments.set.display().to_string(),
            "id": set.id,
            "edition": set.edition,
            "title": set.title,
            "counts": {
                "obverse_dies": set.obverse.dies.len(),
                "reverse_dies": set.reverse.dies.len(),
                "obverse_features": set.obverse.features.len(),
                "reverse_features": set.reverse.features.len(),
                "pairings": set.pairings.len(),
            },
            "errors": errors,
            "warnings": warnings,
            "hints": hints,
            "findings": findings.iter().map(|finding| json!({
                "severity": finding.severity.word(),
                "place": finding.place.to_string(),
                "sentence": finding.sentence,
                "remedy": finding.remedy,
            })).collect::<Value>(),
        }))?;
    } else {
        for finding in &findings {
            writeln!(streams.out, "{finding}")?;
        }
        writeln!(
            streams.out,
            "{}, edition {}: {} obverse dies, {} reverse dies, {} pairings; {errors} errors, {warnings} warnings, \
             {hints} hints",
            set.title,
            set.edition,
            set.obverse.dies.len(),
            set.reverse.dies.len(),
            set.pairings.len(),
        )?;
    }
    Ok(if errors == 0 { Exit::Done } else { Exit::Negative })
}
