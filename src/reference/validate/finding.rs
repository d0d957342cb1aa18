//! One finding, and the part of the set that it is about.

use crate::reference::{DieId, FactId, FeatureId, LandmarkName, RarityId, Side, StateId, ZoneId};

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
        match self {
            Place::Set => f.write_str("the set"),
            Place::Measures => f.write_str("measures"),
            Place::Fact(fact) => write!(f, "fact {fact}"),
            Place::RarityBand(band) => write!(f, "rarity {band}"),
            Place::PriceSlope => f.write_str("price slope"),
            Place::Side(side) => f.write_str(side.word()),
            Place::Landmark(side, name) => write!(f, "{}, landmark {name}", side.word()),
            Place::Zone(side, zone) => write!(f, "{}, zone {zone}", side.word()),
            Place::Feature(side, feature) => write!(f, "{}, feature {feature}", side.word()),
            Place::State(side, feature, state) => {
                write!(f, "{}, feature {feature}, state {state}", side.word())
            }
            Place::Die(side, die) => write!(f, "{}, die {die}", side.word()),
            Place::Shows(side, die, feature) => write!(f, "{}, die {die}, feature {feature}", side.word()),
            Place::Plate(side, die, plate) => write!(f, "{}, die {die}, plate {}", side.word(), plate + 1),
            Place::PlateLandmark(side, die, plate, name) => {
                write!(
                    f,
                    "{}, die {die}, plate {}, landmark {name}",
                    side.word(),
                    plate + 1
                )
            }
            Place::Pairing(_, catalogue) => write!(f, "pairing {catalogue}"),
        }
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
        self.0.push(Finding {
            severity,
            place,
            sentence: harmless(sentence),
            remedy,
        });
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
