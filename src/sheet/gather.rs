//! Gathers what a sheet says from a study of the specimen.

use super::content::{FactLine, SheetContent};
use super::labels::Labels;
use super::{gather_comparisons, gather_features, gather_sides, gather_standing};
use crate::photo::Watch;
use crate::pipeline::Study;
use crate::reference::{ReferenceSet, Side};
use crate::specimen::SpecimenRecord;
use crate::words;

/// Gathers a sheet: cuts every crop at its printed size, and puts verdicts and standing in words. What is missing is a
/// sentence on the sheet and no reason not to make it. `watch` gets the progress; once it is cancelled no more features
/// are gathered.
#[must_use]
pub fn gather(study: &Study<'_>, watch: &Watch) -> SheetContent {
    let (set, record) = (study.set, study.record);
    let standing = &study.computed.standing;
    let labels = Labels::new(set);
    let mut sides = Vec::new();
    let mut features = Vec::new();
    let mut first_number = 1;
    let all = set.obverse.features.len() + set.reverse.features.len();
    for side in Side::BOTH {
        sides.push(gather_sides::side(study, side, first_number));
        for feature in &set.side(side).features {
            if watch.is_cancelled() {
                break;
            }
            features.extend(gather_features::feature(study, side, feature, &labels));
            watch.report(features.len() as f32 / all.max(1) as f32);
        }
        first_number += set.side(side).zones.len();
    }
    SheetContent {
        title: record.title.clone(),
        grade: record.grade.clone(),
        notes: record.notes.clone(),
        set_title: set.title.clone(),
        set_id: set.id.clone(),
        set_edition: set.edition,
        sides,
        facts: facts(set, record),
        features,
        comparisons: gather_comparisons::comparisons(study),
        dies: gather_standing::dies(set, standing, &labels),
        pairings: gather_standing::pairings(set, standing, &labels),
        prior: words::prior_sentence(study.computed.prior()).to_owned(),
        outcome: gather_standing::outcome(set, standing),
        coin_cautions: standing
            .cautions
            .iter()
            .map(|caution| caution.sentence(set))
            .collect(),
        cautions: set.cautions.clone(),
    }
}

fn facts(set: &ReferenceSet, record: &SpecimenRecord) -> Vec<FactLine> {
    let mut lines: Vec<FactLine> = set
        .facts
        .iter()
        .map(|fact| FactLine {
            question: fact.question.clone(),
            answer: words::answer_words(fact, record.facts.get(&fact.id)),
        })
        .collect();
    lines.push(FactLine {
        question: "Weight".to_owned(),
        answer: weight(set, record.weight_g),
    });
    lines.push(FactLine {
        question: "Nominal diameter".to_owned(),
        answer: words::length(set.measures.diameter_mm),
    });
    lines
}

fn weight(set: &ReferenceSet, weighed: Option<f64>) -> String {
    let nominal = match (set.measures.weight_g, set.measures.weight_tolerance_g) {
        (Some(g), Some(t)) => format!(" (nominal {} \u{b1} {} g)", words::plain(g), words::plain(t)),
        (Some(g), None) => format!(" (nominal {} g)", words::plain(g)),
        _ => String::new(),
    };
    match weighed {
        Some(g) => format!("{} g{nominal}", words::plain(g)),
        None => format!("not weighed{nominal}"),
    }
}
