//! `pack`, `unpack`, `merge` and `features`: sets that go from hand to hand.

use serde_json::{Value, json};

use super::arguments::{Features, MergeSets, Pack, Take, Unpack};
use super::error::VerbError;
use super::{Exit, Streams, set_report};
use crate::photo::Watch;
use crate::reference::merge::{Choice, CommonStart, OpenMerge, OpenMergeError, Way, merge_open};
use crate::reference::usefulness::{series_for_side, usefulness};
use crate::reference::{self, LockedSet, ReferenceSet, SetSource, Side, SideReference, open_set};

pub(super) fn pack(arguments: &Pack, streams: &mut Streams) -> Result<Exit, VerbError> {
    let open = open_set(&arguments.set)?;
    streams.notes(open.note.iter())?;
    let note = reference::pack::pack(&open, &arguments.out, arguments.force.into(), &Watch::default())?;
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

pub(super) fn merge(arguments: &MergeSets, streams: &mut Streams) -> Result<Exit, VerbError> {
    let theirs = open_set(&arguments.with)?;
    let SetSource::Folder(folder) = open_set(&arguments.set)?.source else {
        let problem = "Only a set in a folder can be merged into: unpack it first.";
        return Err(VerbError::Usage(problem.to_owned()));
    };
    // From reading to writing no other program may change it.
    let locked = LockedSet::lock(&folder)?;
    let mine = open_set(&folder)?;
    streams.notes(mine.note.iter().chain(&theirs.note))?;
    let open_merge = merge_open(&mine, &theirs, &Watch::default()).map_err(|error| match error {
        OpenMergeError::Set(error) => VerbError::Set(error),
        OpenMergeError::Merge(error) => VerbError::Usage(error.to_string()),
    })?;
    streams.notes(open_merge.uncompared.iter())?;
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
        pictures = open_merge.bring_plates(&settled, &folder, &Watch::default())?;
        locked.save(&settled)?;
    }
    let written = decided.is_some();
    report_merge(
        arguments.json,
        &mine.set,
        &open_merge,
        written,
        &pictures,
        streams,
    )?;
    Ok(if written { Exit::Done } else { Exit::Negative })
}

/// Tells what was merged, or what is to be decided.
fn report_merge(
    as_json: bool,
    set: &ReferenceSet,
    open_merge: &OpenMerge,
    written: bool,
    pictures: &[String],
    streams: &mut Streams,
) -> Result<(), VerbError> {
    let merge = &open_merge.merge;
    let (taken, conflicts) = (
        merge.taken.iter().map(|one| (&one.way, &one.mine, &one.theirs)),
        merge
            .conflicts
            .iter()
            .map(|one| (&one.way, &one.mine, &one.theirs)),
    );
    if as_json {
        let difference = |(way, mine, theirs): (&Way, &Option<String>, &Option<String>)| json!({ "place": way.to_string(), "mine": mine, "theirs": theirs });
        streams.json(&json!({
            "set": set_report(set),
            "common_start": open_merge.common_start == CommonStart::Known,
            "written": written,
            "taken": taken.map(difference).collect::<Value>(),
            "conflicts": conflicts.map(difference).collect::<Value>(),
            "pictures": pictures,
        }))?;
    } else {
        let words = |version: &Option<String>| version.clone().unwrap_or_else(|| "(not there)".to_owned());
        let all = taken
            .map(|one| ("taken", one))
            .chain(conflicts.map(|one| ("conflict", one)));
        for (kind, (way, mine, theirs)) in all {
            let (mine, theirs) = (words(mine), words(theirs));
            writeln!(streams.out, "{kind}: {way}: here {mine}; there {theirs}")?;
        }
        for picture in pictures {
            writeln!(streams.out, "picture: {picture}")?;
        }
        if written {
            writeln!(streams.out, "merged into \u{201c}{}\u{201d}", set.title)?;
        } else {
            writeln!(
                streams.out,
                "nothing was written: decide the conflicts in the window, or by --take mine or --take theirs"
            )?;
        }
    }
    Ok(())
}

pub(super) fn features(arguments: &Features, streams: &mut Streams) -> Result<Exit, VerbError> {
    let open = open_set(&arguments.set)?;
    streams.notes(open.note.iter())?;
    if arguments.json {
        streams.json(&json!({
            "set": set_report(&open.set),
            "sides": Side::BOTH.map(|side| side_report(side, open.set.side(side))),
        }))?;
        return Ok(Exit::Done);
    }
    for side in Side::BOTH {
        let reference = open.set.side(side);
        let whole = series_for_side(reference);
        writeln!(streams.out, "{}", side.word())?;
        for found in usefulness(reference) {
            writeln!(
                streams.out,
                "  {}: {:.2} bits; pairs of dies told apart: {}",
                found.feature, found.bits, found.pairs_told
            )?;
        }
        let series: Vec<&str> = whole
            .series
            .features
            .iter()
            .map(|feature| feature.as_str())
            .collect();
        if !series.is_empty() {
            writeln!(streams.out, "  look at: {}", series.join(", "))?;
        }
        if whole.undecided_pairs > 0 {
            writeln!(
                streams.out,
                "  pairs of dies that all features together do not decide: {}",
                whole.undecided_pairs
            )?;
        }
    }
    Ok(Exit::Done)
}

fn side_report(side: Side, reference: &SideReference) -> Value {
    let whole = series_for_side(reference);
    let features = usefulness(reference).into_iter().map(|found| {
        json!({
            "feature": found.feature.to_string(),
            "question": reference.feature(&found.feature).map_or("", |feature| &feature.question),
            "bits": found.bits,
            "pairs_told": found.pairs_told,
        })
    });
    json!({
        "side": side.word(),
        "features": features.collect::<Value>(),
        "series": whole.series.features.iter().map(ToString::to_string).collect::<Value>(),
        "series_is_shortest": whole.is_shortest,
        "undecided_pairs": whole.undecided_pairs,
    })
}
