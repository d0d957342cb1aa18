//! `standing`: what facts and verdicts leave.

use std::io::Write;

use serde_json::{Value, json};

use super::arguments::ReportStanding;
use super::error::VerbError;
use super::{Exit, Streams, open_specimen, set_report};
use crate::evidence::{Cause, Outcome, OutcomeKind, Prior, Recheck, Standing};
use crate::pipeline::Computed;
use crate::reference::{DieId, ReferenceSet, Side};
use crate::words::{OPINION, die_names, open_world_sentence};

pub(super) fn report(arguments: &ReportStanding, streams: &mut Streams) -> Result<Exit, VerbError> {
    let opened = open_specimen(&arguments.report.specimen, streams)?;
    let prior = Prior::from(arguments.prior);
    let (set, record) = (&opened.set, &opened.record);
    let standing = Computed::of(set, record, prior).standing;
    if !arguments.report.json {
        print(set, &standing, streams)?;
        return Ok(Exit::Done);
    }
    streams.json(&json!({
        "specimen": arguments.report.specimen.display().to_string(),
        "set": set_report(set),
        "prior": match prior {
            Prior::Equal => "equal",
            Prior::EstimatedKnown => "estimated",
        },
        "verdicts": record.verdicts.len(),
        "outcome": outcome_report(set, &standing),
        "ratio": standing.ratio.map(|ratio| json!({
            "log10": ratio.log10,
            "words": ratio.verbal().words(),
            "scale": "ENFSI 2015",
        })),
        "obverse": die_reports(set, &standing, Side::Obverse),
        "reverse": die_reports(set, &standing, Side::Reverse),
        "pairings": standing.pairings.iter().zip(&set.pairings).map(|(standing, pairing)| json!({
            "catalogue": pairing.catalogue,
            "obverse": pairing.obverse.to_string(),
            "reverse": pairing.reverse.to_string(),
            "probability": standing.probability,
            "log10_likelihood": standing.log10_likelihood,
            "out": sentences(set, &standing.out),
        })).collect::<Value>(),
        "open_world": json!({
            "pairing": standing.open_world.pairing,
            "obverse_die": standing.open_world.obverse_die,
            "reverse_die": standing.open_world.reverse_die,
            "both_dies": standing.open_world.both_dies,
        }),
        "next": standing.next.iter().map(|next| json!({
            "side": next.side.word(),
            "feature": next.feature.to_string(),
            "gain_bits": next.gain_bits,
        })).collect::<Value>(),
        "recheck": standing.recheck.iter().map(|recheck| recheck_report(set, recheck)).collect::<Value>(),
        "cautions": standing.cautions.iter().map(|caution| caution.sentence(set)).collect::<Value>(),
        "opinion": OPINION,
    }))?;
    Ok(Exit::Done)
}

fn outcome_report(set: &ReferenceSet, standing: &Standing) -> Value {
    let outcome = &standing.outcome;
    let pairing = outcome.pairing().and_then(|index| set.pairings.get(index));
    let (obverse, reverse) = match (outcome, pairing) {
        (Outcome::Unlisted { obverse, reverse }, _) => (Some(die_names(obverse)), Some(die_names(reverse))),
        (_, pairing) => (
            pairing.map(|p| p.obverse.to_string()),
            pairing.map(|p| p.reverse.to_string()),
        ),
    };
    let sides: Vec<&str> = match outcome {
        Outcome::Contradicted { sides } => sides.iter().map(|side| side.word()).collect(),
        _ => Vec::new(),
    };
    let possible = match outcome {
        Outcome::BeyondTelling { possible } => catalogues(set, possible),
        _ => Vec::new(),
    };
    json!({
        "kind": match outcome.kind() {
            OutcomeKind::Settled => "settled",
            OutcomeKind::Leaning => "leaning",
            OutcomeKind::Open => "open",
            OutcomeKind::Contradicted => "contradicted",
            OutcomeKind::Unlisted => "unlisted",
            OutcomeKind::BeyondTelling => "beyond-telling",
        },
        "headline": outcome.headline(set),
        "explanation": standing.explanation(set),
        "catalogue": pairing.map(|pairing| &pairing.catalogue),
        "obverse": obverse,
        "reverse": reverse,
        "rarity": pairing.and_then(|pairing| pairing.rarity.as_ref()).map(|band| json!({
            "band": band.to_string(),
            "meaning": set.rarity_band(band).map(|band| &band.meaning),
        })),
        "sides": sides,
        "possible": possible,
    })
}

fn die_reports(set: &ReferenceSet, standing: &Standing, side: Side) -> Value {
    let dies = standing.side(side).iter().map(|die| {
        json!({
            "die": die.die.to_string(),
            "probability": die.probability,
            "log10_likelihood": die.log10_likelihood,
            "supporting": die.supporting,
            "out": sentences(set, &die.out),
            "doubts": sentences(set, &die.doubts),
        })
    });
    dies.collect()
}

fn recheck_report(set: &ReferenceSet, recheck: &Recheck) -> Value {
    let (side, feature, fact) = match recheck {
        Recheck::Feature { side, feature, .. } => (Some(side.word()), Some(feature.to_string()), None),
        Recheck::Fact { fact, .. } => (None, None, Some(fact.to_string())),
    };
    let dies: Vec<&str> = match recheck {
        Recheck::Feature { dies, .. } => dies.iter().map(DieId::as_str).collect(),
        Recheck::Fact { .. } => Vec::new(),
    };
    json!({
        "side": side,
        "feature": feature,
        "fact": fact,
        "restores": catalogues(set, recheck.restores()),
        "dies": dies,
    })
}

fn catalogues(set: &ReferenceSet, pairings: &[usize]) -> Vec<String> {
    let found = pairings.iter().filter_map(|&index| set.pairings.get(index));
    found.map(|pairing| pairing.catalogue.clone()).collect()
}

fn sentences(set: &ReferenceSet, causes: &[Cause]) -> Vec<String> {
    causes.iter().map(|cause| cause.sentence(set)).collect()
}

fn print(set: &ReferenceSet, standing: &Standing, streams: &mut Streams) -> Result<(), VerbError> {
    let out = &mut streams.out;
    writeln!(out, "{}", standing.outcome.headline(set))?;
    for sentence in standing.explanation(set) {
        writeln!(out, "  {sentence}")?;
    }
    for caution in &standing.cautions {
        writeln!(out, "  {}", caution.sentence(set))?;
    }
    for side in Side::BOTH {
        for die in standing.side(side) {
            let state = match (die.is_in(), die.doubts.is_empty()) {
                (true, true) => "in ",
                (true, false) => "in doubt",
                (false, _) => "out",
            };
            write!(
                out,
                "{} {} {state} {:5.1} %",
                side.word(),
                die.die,
                100.0 * die.probability
            )?;
            let causes: Vec<Cause> = die.out.iter().chain(&die.doubts).cloned().collect();
            writeln!(out, "{}", because(&sentences(set, &causes)))?;
        }
    }
    for (standing, pairing) in standing.pairings.iter().zip(&set.pairings) {
        let state = if standing.is_in() { "in " } else { "out" };
        write!(
            out,
            "{} ({} {}) {state} {:5.1} %",
            pairing.catalogue,
            pairing.obverse,
            pairing.reverse,
            100.0 * standing.probability
        )?;
        writeln!(out, "{}", because(&sentences(set, &standing.out)))?;
    }
    writeln!(out, "{}", open_world_sentence(&standing.open_world))?;
    writeln!(out, "{OPINION}")?;
    Ok(())
}

fn because(sentences: &[String]) -> String {
    if sentences.is_empty() {
        String::new()
    } else {
        format!("  {}", sentences.join(" "))
    }
}
