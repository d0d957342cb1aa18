//! `check`: what is inconsistent in a reference set.

use serde::Serialize;

use super::arguments::Check;
use super::error::VerbError;
use super::{Exit, Streams};
use crate::reference::{Severity, open_set, validate::validate};

/// What `check --json` prints.
#[derive(Debug, Serialize)]
struct CheckReport<'a> {
    set: String,
    id: &'a str,
    edition: u32,
    title: &'a str,
    counts: Counts,
    errors: usize,
    warnings: usize,
    hints: usize,
    findings: Vec<FindingReport>,
}

#[derive(Debug, Serialize)]
struct Counts {
    obverse_dies: usize,
    reverse_dies: usize,
    obverse_features: usize,
    reverse_features: usize,
    pairings: usize,
}

#[derive(Debug, Serialize)]
struct FindingReport {
    severity: &'static str,
    place: String,
    sentence: String,
    remedy: String,
}

pub(super) fn check(arguments: &Check, streams: &mut Streams) -> Result<Exit, VerbError> {
    let open = open_set(&arguments.set)?;
    streams.notes(open.note.iter())?;
    let set = &open.set;
    let findings = validate(set, Some(&open.source));
    let count = |severity| {
        findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    };
    let report = CheckReport {
        set: arguments.set.display().to_string(),
        id: &set.id,
        edition: set.edition,
        title: &set.title,
        counts: Counts {
            obverse_dies: set.obverse.dies.len(),
            reverse_dies: set.reverse.dies.len(),
            obverse_features: set.obverse.features.len(),
            reverse_features: set.reverse.features.len(),
            pairings: set.pairings.len(),
        },
        errors: count(Severity::Error),
        warnings: count(Severity::Warning),
        hints: count(Severity::Hint),
        findings: findings
            .iter()
            .map(|finding| FindingReport {
                severity: finding.severity.word(),
                place: finding.place.to_string(),
                sentence: finding.sentence.clone(),
                remedy: finding.remedy.clone(),
            })
            .collect(),
    };
    if arguments.json {
        streams.json(&report)?;
    } else {
        for finding in &findings {
            writeln!(streams.out, "{finding}")?;
        }
        writeln!(
            streams.out,
            "{}, edition {}: {} obverse dies, {} reverse dies, {} pairings; {} errors, {} warnings, {} hints",
            set.title,
            set.edition,
            report.counts.obverse_dies,
            report.counts.reverse_dies,
            report.counts.pairings,
            report.errors,
            report.warnings,
            report.hints
        )?;
    }
    Ok(if report.errors == 0 {
        Exit::Done
    } else {
        Exit::Negative
    })
}
