//! One finding, and the part of the set that it is about.

use crate::reference::{DieId, FactId, FeatureId, LandmarkName, RarityId, Side, StateId, ZoneId, named};

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Something contradicts itself or is missing, so that a part of the set cannot be used.
    Error,
    /// The set can be used and may mislead.
    Warning,
    /// Not there yet, or could be better.
    Hint,
}

impl Severity {
    /// In one word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Hint => "hint",
        }
    }
}

/// A part of a set; plates count from 0.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// The set's own title and id.
    Set,
    /// The coinage's measures.
    Measures,
    /// A question on a fact.
    Fact(FactId),
    /// A rarity band.
    RarityBand(RarityId),
    /// The usual rise of the price.
    PriceSlope,
    /// A side as a whole.
    Side(Side),
    /// A landmark of the design.
    Landmark(Side, LandmarkName),
    /// A zone.
    Zone(Side, ZoneId),
    /// A feature.
    Feature(Side, FeatureId),
    /// A state of a feature.
    State(Side, FeatureId, StateId),
    /// A die.
    Die(Side, DieId),
    /// What a die shows of a feature.
    Shows(Side, DieId, FeatureId),
    /// A plate of a die.
    Plate(Side, DieId, usize),
    /// A landmark on a plate.
    PlateLandmark(Side, DieId, usize, LandmarkName),
    /// A pairing by its place in the set's list, from 0, with its catalogue number.
    Pairing(usize, String),
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let on = |side: &Side, parts: &[String]| format!("{}, {}", side.word(), parts.join(", "));
        let words = match self {
            Place::Set => "the set".to_owned(),
            Place::Measures => "measures".to_owned(),
            Place::Fact(fact) => named("fact", fact),
            Place::RarityBand(band) => named("rarity", band),
            Place::PriceSlope => "price slope".to_owned(),
            Place::Side(side) => side.word().to_owned(),
            Place::Landmark(side, name) => on(side, &[named("landmark", name)]),
            Place::Zone(side, zone) => on(side, &[named("zone", zone)]),
            Place::Feature(side, feature) => on(side, &[named("feature", feature)]),
            Place::State(side, feature, state) => {
                on(side, &[named("feature", feature), named("state", state)])
            }
            Place::Die(side, die) => on(side, &[named("die", die)]),
            Place::Shows(side, die, feature) => on(side, &[named("die", die), named("feature", feature)]),
            Place::Plate(side, die, plate) => on(side, &[named("die", die), named("plate", plate + 1)]),
            Place::PlateLandmark(side, die, plate, name) => on(
                side,
                &[
                    named("die", die),
                    named("plate", plate + 1),
                    named("landmark", name),
                ],
            ),
            Place::Pairing(_, catalogue) => named("pairing", catalogue),
        };
        f.write_str(&words)
    }
}

/// Something to mend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// How grave it is.
    pub severity: Severity,
    /// Where to mend it.
    pub place: Place,
    /// What is wrong, one sentence.
    pub sentence: String,
    /// What to do, one sentence.
    pub remedy: String,
}

impl Finding {
    /// A finding whose sentence may hold a stranger's names.
    #[must_use]
    pub fn new(
        severity: Severity,
        place: Place,
        sentence: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            severity,
            place,
            sentence: harmless(sentence.into()),
            remedy: remedy.into(),
        }
    }
}

impl std::fmt::Display for Finding {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let place = harmless(self.place.to_string());
        write!(
            f,
            "{}: {place}: {} {}",
            self.severity.word(),
            self.sentence,
            self.remedy
        )
    }
}

/// Findings while they are gathered.
#[derive(Debug, Default)]
pub(super) struct Findings(Vec<Finding>);

impl Findings {
    pub(super) fn error(&mut self, place: Place, sentence: impl Into<String>, remedy: impl Into<String>) {
        self.add(Severity::Error, place, sentence.into(), remedy.into());
    }

    pub(super) fn warning(&mut self, place: Place, sentence: impl Into<String>, remedy: impl Into<String>) {
        self.add(Severity::Warning, place, sentence.into(), remedy.into());
    }

    pub(super) fn hint(&mut self, place: Place, sentence: impl Into<String>, remedy: impl Into<String>) {
        self.add(Severity::Hint, place, sentence.into(), remedy.into());
    }

    fn add(&mut self, severity: Severity, place: Place, sentence: String, remedy: String) {
        self.0.push(Finding::new(severity, place, sentence, remedy));
    }

    pub(super) fn sorted(mut self) -> Vec<Finding> {
        // Stable, so that each kind stays in the set's order.
        self.0.sort_by_key(|finding| finding.severity);
        self.0
    }
}

/// A sentence with a stranger's names in it, without characters that a terminal would obey, and of bounded length.
fn harmless(sentence: String) -> String {
    /// Longer than any honest one, lists of landmarks included.
    const MOST_CHARACTERS: usize = 1_000;
    if sentence.len() <= MOST_CHARACTERS && !sentence.contains(char::is_control) {
        return sentence;
    }
    let mut short: String = sentence
        .chars()
        .take(MOST_CHARACTERS)
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect();
    if sentence.chars().nth(MOST_CHARACTERS).is_some() {
        short.push_str("\u{2026}.");
    }
    short
}
