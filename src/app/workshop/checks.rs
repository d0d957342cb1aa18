//! What is inconsistent in the set, each finding with the way to the place where it is mended.

use egui::{RichText, Ui};

use super::edits::{Edits, WorkshopAction};
use super::fields::heading;
use super::state::Section;
use crate::reference::{Finding, Place, Severity};

/// The section "Checks".
pub fn checks_ui(ui: &mut Ui, findings: Option<&[Finding]>, edits: &mut Edits) {
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
    for (i, finding) in findings.iter().enumerate() {
        ui.push_id(i, |ui| {
            ui.horizontal_top(|ui| {
                ui.add_sized([20.0, 18.0], egui::Label::new(mark(finding.severity)))
                    .on_hover_text(finding.severity.word());
                ui.vertical(|ui| {
                    ui.horizontal_wrapped(|ui| {
                        ui.strong(capitalised(&finding.place.to_string()));
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
}

fn mark(severity: Severity) -> RichText {
    RichText::new(match severity {
        Severity::Error => "✖",
        Severity::Warning => "⚠",
        Severity::Hint => "•",
    })
    .strong()
}

fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
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
