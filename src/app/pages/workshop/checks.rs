//! What is inconsistent in the set, each finding with the way to the place where it is mended.

use egui::{RichText, Ui};

use super::edits::{Edits, WorkshopAction};
use super::fields::heading;
use super::state::Section;
use crate::app::model::set_checks::SideUsefulness;
use crate::reference::usefulness::Reach;
use crate::reference::{FeatureId, Finding, Place, ReferenceSet, Severity, Sides};
use crate::words::capital;

/// The section "Checks".
pub fn checks_ui(ui: &mut Ui, findings: Option<&[Finding]>, shown: usize, edits: &mut Edits) {
    heading(
        ui,
        "Checks",
        "What contradicts itself, may mislead or is not there yet. A set may be used while it still grows.",
    );
    let Some(findings) = findings else {
        ui.horizontal(|ui| {
            ui.spinner();
            ui.label("Checking the set…");
        });
        return;
    };
    if findings.is_empty() {
        ui.label("Nothing to mend.");
    }
    for (i, finding) in findings.iter().take(shown).enumerate() {
        ui.push_id(i, |ui| {
            ui.horizontal_top(|ui| {
                ui.add_sized([20.0, 18.0], egui::Label::new(mark(finding.severity)))
                    .on_hover_text(finding.severity.word());
                ui.vertical(|ui| {
                    ui.horizontal_wrapped(|ui| {
                        ui.strong(capital(&finding.place.to_string()));
                        ui.weak(finding.severity.word());
                        let section = section_of(&finding.place);
                        let go = ui.small_button("Go there");
                        go.widget_info(|| {
                            let words = format!("Go to {}", finding.place);
                            egui::WidgetInfo::labeled(egui::Role::Button, true, words)
                        });
                        if go.clicked() {
                            edits.ask(WorkshopAction::GoTo(section));
                            edits.ask(WorkshopAction::Choose(finding.place.clone()));
                        }
                    });
                    ui.label(&finding.sentence);
                    ui.weak(&finding.remedy);
                });
            });
            ui.add_space(4.0);
        });
    }
    let more = findings.len().saturating_sub(shown);
    if more > 0 && ui.button(format!("Show more of the {more} others")).clicked() {
        edits.ask(WorkshopAction::ShowMoreFindings);
    }
}

fn mark(severity: Severity) -> RichText {
    RichText::new(match severity {
        Severity::Error => "×",
        Severity::Warning => "!",
        Severity::Hint => "•",
    })
    .strong()
}

/// The section where a part of the set is mended.
#[must_use]
pub fn section_of(place: &Place) -> Section {
    match place {
        Place::Set | Place::Measures | Place::Fact(_) | Place::RarityBand(_) | Place::PriceSlope => {
            Section::Coinage
        }
        Place::Side(side)
        | Place::Landmark(side, _)
        | Place::Plate(side, ..)
        | Place::PlateLandmark(side, ..) => Section::Design(*side),
        Place::Zone(side, _) | Place::Feature(side, _) | Place::State(side, ..) => Section::Features(*side),
        Place::Die(side, _) | Place::Shows(side, ..) => Section::Dies(*side),
        Place::Pairing(..) => Section::Pairings,
    }
}

/// How many findings of each severity there are, in words; empty where there are none.
#[must_use]
pub fn summary(findings: &[Finding]) -> String {
    let count = |severity| findings.iter().filter(|f| f.severity == severity).count();
    [
        (Severity::Error, "error"),
        (Severity::Warning, "warning"),
        (Severity::Hint, "hint"),
    ]
    .into_iter()
    .map(|(severity, word)| (count(severity), word))
    .filter(|(n, _)| *n > 0)
    .map(|(n, word)| {
        if n == 1 {
            format!("1 {word}")
        } else {
            format!("{n} {word}s")
        }
    })
    .collect::<Vec<_>>()
    .join(", ")
}

/// How well the features of each side tell its dies apart, and the shortest series that decides between two dies.
pub fn usefulness_ui(ui: &mut Ui, set: &ReferenceSet, found: &Sides<SideUsefulness>) {
    for (side, found) in found.iter() {
        ui.add_space(16.0);
        ui.strong(format!("Which {} features are worth looking at", side.word()));
        if found.features.is_empty() {
            ui.weak("Shown once the side has features.");
            continue;
        }
        egui::Grid::new(("usefulness", side))
            .num_columns(3)
            .striped(true)
            .show(ui, |ui| {
                ui.weak("Feature");
                ui.weak("One look tells");
                ui.weak("Pairs of dies told apart");
                ui.end_row();
                for useful in &found.features {
                    let feature = set.side(side).feature(&useful.feature);
                    ui.label(feature.map_or(useful.feature.as_str(), |f| f.question.as_str()));
                    ui.label(format!("{:.2} bits", useful.bits));
                    ui.label(useful.pairs_told.to_string());
                    ui.end_row();
                }
            });
        let names = |ids: &[FeatureId]| ids.iter().map(FeatureId::as_str).collect::<Vec<_>>().join(", ");
        let undecided = match found.series.undecided_pairs {
            0 => String::new(),
            1 => " One pair of dies stays undecided.".to_owned(),
            n => format!(" {n} pairs of dies stay undecided."),
        };
        ui.label(format!(
            "A short series for the whole side: {}.{undecided}",
            names(&found.series.series.features)
        ));
        for pair in &found.pairs {
            let series = if pair.series.features.is_empty() {
                "no feature tells them apart".to_owned()
            } else if pair.series.reach == Reach::NotEnough {
                format!("{}, which is not enough to decide", names(&pair.series.features))
            } else {
                names(&pair.series.features)
            };
            ui.label(format!("{} or {}: {series}", pair.dies.0, pair.dies.1));
        }
        if found.further_pairs > 0 {
            ui.weak(format!("… and {} further pairs.", found.further_pairs));
        }
    }
}
