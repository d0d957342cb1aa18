//! Gathers what a sheet says from the set, the record, the standing and the pictures.

use std::sync::Arc;

use super::content::{FactLine, SheetContent};
use super::labels::Labels;
use super::{gather_comparisons, gather_features, gather_sides, gather_standing};
use crate::evidence::{Prior, Standing};
use crate::photo::Picture;
use crate::reference::{DieId, ReferenceSet, Side};
use crate::specimen::{OtherSpecimen, SpecimenRecord};
use crate::words;

/// Where a sheet's pictures come from. A picture that is missing is a sentence on the sheet and no reason not to make
/// it, so an error is the sentence itself.
pub trait Pictures {
    /// The photo of a side.
    ///
    /// # Errors
    /// Why it cannot be had, as a sentence.
    fn photo(&mut self, side: Side) -> Result<Arc<Picture>, String>;

    /// A die's plate, counted from 0.
    ///
    /// # Errors
    /// Why it cannot be had, as a sentence.
    fn plate(&mut self, side: Side, die: &DieId, plate: usize) -> Result<Arc<Picture>, String>;

    /// The photo of another coin that a side was compared with.
    ///
    /// # Errors
    /// Why it cannot be had, as a sentence.
    fn other_photo(&mut self, side: Side, other: &OtherSpecimen) -> Result<Arc<Picture>, String>;
}

/// Gathers a sheet: aligns the photos, cuts every crop at its printed size, and puts verdicts and standing in words.
#[must_use]
pub fn gather(
    set: &ReferenceSet,
    record: &SpecimenRecord,
    standing: &Standing,
    prior: Prior,
    pictures: &mut dyn Pictures,
) -> SheetContent {
    let labels = Labels::new(set);
    let mut sides = Vec::new();
    let mut features = Vec::new();
    let mut first_number = 1;
    for side in Side::BOTH {
        let aligned = gather_sides::aligned(set, record, side, pictures);
        sides.push(gather_sides::side(set, record, side, &aligned, first_number));
        features.extend(gather_features::features(
            set, record, side, &aligned, &labels, pictures,
        ));
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
        comparisons: gather_comparisons::comparisons(set, record, pictures),
        dies: gather_standing::dies(set, standing, &labels),
        pairings: gather_standing::pairings(set, standing, &labels),
        prior: words::prior_sentence(prior).to_owned(),
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
