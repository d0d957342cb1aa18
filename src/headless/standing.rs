//! `standing`: what facts and verdicts leave.

use std::io::Write;

use serde::Serialize;

use super::arguments::ReportStanding;
use super::error::VerbError;
use super::opened::open;
use super::{Exit, SetReport, Streams};
use crate::evidence::{Cause, Outcome, Prior, Recheck, Standing, standing};
use crate::reference::{ReferenceSet, Side};
use crate::words::OPINION;

/// What `standing --json` prints.
#[derive(Debug, Serialize)]
struct StandingReport {
    specimen: String,
    set: SetReport,
    prior: &'static str,
    verdicts: usize,
    outcome: OutcomeReport,
    ratio: Option<RatioReport>,
    obverse: Vec<DieReport>,
    reverse: Vec<DieReport>,
    pairings: Vec<PairingReport>,
    next: Vec<NextReport>,
    recheck: Vec<RecheckReport>,
    cautions: Vec<String>,
    opinion: &'static str,
}

#[derive(Debug, Serialize)]
struct OutcomeReport {
    /// `settled`, `leaning`, `open`, `contradicted`, `unlisted` or `beyond-telling`.
    kind: &'static str,
    headline: String,
    explanation: Vec<String>,
    catalogue: Option<String>,
    obverse: Option<String>,
    reverse: Option<String>,
    rarity: Option<RarityReport>,
    sides: Vec<&'static str>,
    possible: Vec<String>,
}

#[derive(Debug, Serialize)]
struct RarityReport {
    band: String,
    meaning: Option<String>,
}

#[derive(Debug, Serialize)]
struct RatioReport {
    log10: f64,
    words: &'static str,
    scale: &'static str,
}

#[derive(Debug, Serialize)]
struct DieReport {
    die: String,
    probability: f64,
    log10_likelihood: f64,
    supporting: usize,
    out: Vec<String>,
}

#[derive(Debug, Serialize)]
struct PairingReport {
    catalogue: String,
    obverse: String,
    reverse: String,
    probability: f64,
    log10_likelihood: f64,
    out: Vec<String>,
}

#[derive(Debug, Serialize)]
struct NextReport {
    side: &'static str,
    feature: String,
    gain_bits: f64,
}

#[derive(Debug, Serialize)]
struct RecheckReport {
    side: Option<&'static str>,
    feature: Option<String>,
    fact: Option<String>,
    /// Catalogue numbers of the pairings that would fit.
    restores: Vec<String>,
}

pub(super) fn report(arguments: &ReportStanding, streams: &mut Streams) -> Result<Exit, VerbError> {
    let opened = open(&arguments.report.specimen)?;
    streams.notes(opened.notes.iter())?;
    let prior = Prior::from(arguments.prior);
    let (set, record) = (&opened.set, &opened.record);
    let result = standing(set, &record.facts, record.weight_g, &record.verdicts, prior);
    if !arguments.report.json {
        print(set, &result, streams)?;
        return Ok(Exit::Done);
    }
    let report = StandingReport {
        specimen: arguments.report.specimen.display().to_string(),
        set: SetReport::of(set),
        prior: match prior {
            Prior::Equal => "equal",
            Prior::EstimatedKnown => "estimated",
        },
        verdicts: record.verdicts.len(),
        outcome: outcome_report(set, &result),
        ratio: result.ratio.map(|ratio| RatioReport {
            log10: ratio.log10,
            words: ratio.verbal().words(),
            scale: "ENFSI 2015",
        }),
        obverse: die_reports(set, &result, Side::Obverse),
        reverse: die_reports(set, &result, Side::Reverse),
        pairings: result
            .pairings
            .iter()
            .zip(&set.pairings)
            .map(|(standing, pairing)| PairingReport {
                catalogue: pairing.catalogue.clone(),
                obverse: pairing.obverse.to_string(),
                reverse: pairing.reverse.to_string(),
                probability: standing.probability,
                log10_likelihood: standing.log10_likelihood,
                out: sentences(set, &standing.out),
            })
            .collect(),
        next: result
            .next
            .iter()
            .map(|next| NextReport {
                side: next.side.word(),
                feature: next.feature.to_string(),
                gain_bits: next.gain_bits,
            })
            .collect(),
        recheck: result
            .recheck
            .iter()
            .map(|recheck| recheck_report(set, recheck))
            .collect(),
        cautions: result
            .cautions
            .iter()
            .map(|caution| caution.sentence(set))
            .collect(),
        opinion: OPINION,
    };
    streams.json(&report)?;
    Ok(Exit::Done)
}

fn outcome_report(set: &ReferenceSet, standing: &Standing) -> OutcomeReport {
    let mut report = OutcomeReport {
        kind: "",
        headline: standing.outcome.headline(set),
        explanation: standing.explanation(set),
        catalogue: None,
        obverse: None,
        reverse: None,
        rarity: None,
        sides: Vec::new(),
        possible: Vec::new(),
    };
    match &standing.outcome {
        Outcome::Settled { pairing } | Outcome::Leaning { pairing } => {
            let settled = matches!(standing.outcome, Outcome::Settled { .. });
            report.kind = if settled { "settled" } else { "leaning" };
            if let Some(pairing) = set.pairings.get(*pairing) {
                report.catalogue = Some(pairing.catalogue.clone());
                report.obverse = Some(pairing.obverse.to_string());
                report.reverse = Some(pairing.reverse.to_string());
                report.rarity = pairing.rarity.as_ref().map(|band| RarityReport {
                    band: band.to_string(),
                    meaning: set.rarity_band(band).map(|band| band.meaning.clone()),
                });
            }
        }
        Outcome::Open => report.kind = "open",
        Outcome::Contradicted { sides } => {
            report.kind = "contradicted";
            report.sides = sides.iter().map(|side| side.word()).collect();
        }
        Outcome::Unlisted { obverse, reverse } => {
            report.kind = "unlisted";
            report.obverse = Some(obverse.to_string());
            report.reverse = Some(reverse.to_string());
        }
        Outcome::BeyondTelling { possible } => {
            report.kind = "beyond-telling";
            report.possible = catalogues(set, possible);
        }
    }
    report
}

fn die_reports(set: &ReferenceSet, standing: &Standing, side: Side) -> Vec<DieReport> {
    standing
        .side(side)
        .iter()
        .map(|die| DieReport {
            die: die.die.to_string(),
            probability: die.probability,
            log10_likelihood: die.log10_likelihood,
            supporting: die.supporting,
            out: sentences(set, &die.out),
        })
        .collect()
}

fn recheck_report(set: &ReferenceSet, recheck: &Recheck) -> RecheckReport {
    let restores = catalogues(set, recheck.restores());
    match recheck {
        Recheck::Feature { side, feature, .. } => RecheckReport {
            side: Some(side.word()),
            feature: Some(feature.to_string()),
            fact: None,
            restores,
        },
        Recheck::Fact { fact, .. } => RecheckReport {
            side: None,
            feature: None,
            fact: Some(fact.to_string()),
            restores,
        },
    }
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
            let state = if die.is_in() { "in " } else { "out" };
            write!(
                out,
                "{} {} {state} {:5.1} %",
                side.word(),
                die.die,
                100.0 * die.probability
            )?;
            writeln!(out, "{}", because(&sentences(set, &die.out)))?;
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
