//! `pack`, `unpack`, `merge` and `features`: sets that go from hand to hand.

use serde::Serialize;

use super::arguments::{Features, MergeSets, Pack, Take, Unpack};
use super::error::VerbError;
use super::{Exit, SetReport, Streams};
use crate::photo::Watch;
use crate::reference::merge::{Choice, CommonStart, OpenMergeError, merge_open};
use crate::reference::usefulness::{series_for_side, usefulness};
use crate::reference::{self, SetSource, Side, SideReference, open_set, save_set};

pub(super) fn pack(arguments: &Pack, streams: &mut Streams) -> Result<Exit, VerbError> {
    let open = open_set(&arguments.set)?;
    streams.notes(open.note.iter())?;
    let note = reference::pack::pack(&open, &arguments.out, &Watch::default())?;
    streams.notes(note.iter())?;
    writeln!(streams.out, "{}", arguments.out.display())?;
    Ok(Exit::Done)
}

pub(super) fn unpack(arguments: &Unpack, streams: &mut Streams) -> Result<Exit, VerbError> {
    let open = open_set(&arguments.set)?;
    streams.notes(open.note.iter())?;
    let copy = reference::pack::copy_set(&open, &arguments.folder, &Watch::default())?;
    writeln!(streams.out, "{}: {}", arguments.folder.display(), copy.set.title)?;
    Ok(Exit::Done)
}

/// What `merge --json` prints.
#[derive(Debug, Serialize)]
struct MergeReport {
    set: SetReport,
    common_start: bool,
    written: bool,
    taken: Vec<DifferenceReport>,
    conflicts: Vec<DifferenceReport>,
    pictures: Vec<String>,
}

#[derive(Debug, Serialize)]
struct DifferenceReport {
    place: String,
    mine: Option<String>,
    theirs: Option<String>,
}

pub(super) fn merge(arguments: &MergeSets, streams: &mut Streams) -> Result<Exit, VerbError> {
    let mine = open_set(&arguments.set)?;
    let theirs = open_set(&arguments.with)?;
    streams.notes(mine.note.iter().chain(&theirs.note))?;
    let SetSource::Folder(folder) = &mine.source else {
        let problem = "Only a set in a folder can be merged into: unpack it first.";
        return Err(VerbError::Usage(problem.to_owned()));
    };
    let open_merge = merge_open(&mine, &theirs, &Watch::default()).map_err(|error| match error {
        OpenMergeError::Set(error) => VerbError::Set(error),
        OpenMergeError::Merge(error) => VerbError::Usage(error.to_string()),
    })?;
    let merge = &open_merge.merge;
    let choice = match arguments.take {
        Some(Take::Theirs) => Some(Choice::Theirs),
        Some(Take::Mine) => Some(Choice::Mine),
        None => None,
    };
    // Undecided conflicts are the user's to decide; nothing is written before.
    let decided = choice.or_else(|| merge.conflicts.is_empty().then_some(Choice::Mine));
    let mut pictures = Vec::new();
    if let Some(choice) = decided {
        let settled = merge
            .settle(&vec![choice; merge.conflicts.len()])
            .map_err(|error| VerbError::Usage(error.to_string()))?;
        pictures = open_merge.bring_plates(&settled, folder, &Watch::default())?;
        save_set(folder, &settled)?;
    }
    let report = MergeReport {
        set: SetReport::of(&mine.set),
        common_start: open_merge.common_start == CommonStart::Known,
        written: decided.is_some(),
        taken: merge
            .taken
            .iter()
            .map(|taken| difference(&taken.way, &taken.mine, &taken.theirs))
            .collect(),
        conflicts: merge
            .conflicts
            .iter()
            .map(|conflict| difference(&conflict.way, &conflict.mine, &conflict.theirs))
            .collect(),
        pictures,
    };
    if arguments.json {
        streams.json(&report)?;
    } else {
        tell(&report, streams)?;
    }
    Ok(if report.written {
        Exit::Done
    } else {
        Exit::Negative
    })
}

fn difference(
    way: &reference::merge::Way,
    mine: &Option<String>,
    theirs: &Option<String>,
) -> DifferenceReport {
    DifferenceReport {
        place: way.to_string(),
        mine: mine.clone(),
        theirs: theirs.clone(),
    }
}

fn tell(report: &MergeReport, streams: &mut Streams) -> Result<(), VerbError> {
    let words = |version: &Option<String>| version.clone().unwrap_or_else(|| "(not there)".to_owned());
    for (kind, list) in [("taken", &report.taken), ("conflict", &report.conflicts)] {
        for one in list {
            let (mine, theirs) = (words(&one.mine), words(&one.theirs));
            writeln!(streams.out, "{kind}: {}: here {mine}; there {theirs}", one.place)?;
        }
    }
    for picture in &report.pictures {
        writeln!(streams.out, "picture: {picture}")?;
    }
    if report.written {
        writeln!(streams.out, "merged into \u{201c}{}\u{201d}", report.set.title)?;
    } else {
        writeln!(
            streams.out,
            "nothing was written: decide the conflicts in the window, or by --take mine or --take theirs"
        )?;
    }
    Ok(())
}

/// What `features --json` prints.
#[derive(Debug, Serialize)]
struct FeaturesReport {
    set: SetReport,
    sides: Vec<SideFeatures>,
}

#[derive(Debug, Serialize)]
struct SideFeatures {
    side: &'static str,
    features: Vec<FeatureUse>,
    series: Vec<String>,
    series_is_shortest: bool,
    undecided_pairs: usize,
}

#[derive(Debug, Serialize)]
struct FeatureUse {
    feature: String,
    question: String,
    bits: f64,
    pairs_told: usize,
}

pub(super) fn features(arguments: &Features, streams: &mut Streams) -> Result<Exit, VerbError> {
    let open = open_set(&arguments.set)?;
    streams.notes(open.note.iter())?;
    let report = FeaturesReport {
        set: SetReport::of(&open.set),
        sides: Side::BOTH
            .map(|side| side_features(side, open.set.side(side)))
            .into(),
    };
    if arguments.json {
        streams.json(&report)?;
        return Ok(Exit::Done);
    }
    for side in &report.sides {
        writeln!(streams.out, "{}", side.side)?;
        for feature in &side.features {
            writeln!(
                streams.out,
                "  {}: {:.2} bits; pairs of dies told apart: {}",
                feature.feature, feature.bits, feature.pairs_told
            )?;
        }
        if !side.series.is_empty() {
            writeln!(streams.out, "  look at: {}", side.series.join(", "))?;
        }
        if side.undecided_pairs > 0 {
            writeln!(
                streams.out,
                "  pairs of dies that all features together do not decide: {}",
                side.undecided_pairs
            )?;
        }
    }
    Ok(Exit::Done)
}

fn side_features(side: Side, reference: &SideReference) -> SideFeatures {
    let whole = series_for_side(reference);
    SideFeatures {
        side: side.word(),
        features: usefulness(reference)
            .into_iter()
            .map(|found| FeatureUse {
                question: reference
                    .feature(&found.feature)
                    .map_or_else(String::new, |feature| feature.question.clone()),
                feature: found.feature.to_string(),
                bits: found.bits,
                pairs_told: found.pairs_told,
            })
            .collect(),
        series: whole.series.features.iter().map(ToString::to_string).collect(),
        series_is_shortest: whole.is_shortest,
        undecided_pairs: whole.undecided_pairs,
    }
}
