//! Small sets and verdicts in few words.

use std::collections::BTreeMap;

use dietell::evidence::{Prior, Standing, standing};
use dietell::geometry::SidePoint;
use dietell::reference::{
    Die, DieId, FactChoice, FactId, FactQuestion, Feature, Measures, Pairing, ReferenceSet, Side,
    SideReference, State, Zone,
};
use dietell::specimen::{CannotTell, FactAnswer, Ruling, Verdict};

/// A side with features (name, reliability, states) and dies (name, states shown, `-` where silent).
pub fn side(features: &[(&str, f64, &[&str])], dies: &[(&str, &[&str])]) -> SideReference {
    SideReference {
        landmarks: Vec::new(),
        zones: vec![Zone {
            id: "zone".into(),
            title: "A zone".into(),
            centre_mm: SidePoint::new(0.0, 0.0),
            size_mm: (2.0, 2.0),
            height: None,
            telling_detail_mm: 0.1,
        }],
        features: features
            .iter()
            .map(|(id, reliability, states)| Feature {
                id: (*id).into(),
                question: format!("How is the {id}?"),
                zone: "zone".into(),
                reliability: *reliability,
                states: states
                    .iter()
                    .map(|state| State {
                        id: (*state).into(),
                        words: format!("{state} {id}"),
                        stated: None,
                    })
                    .collect(),
            })
            .collect(),
        dies: dies
            .iter()
            .map(|(id, shows)| Die {
                id: (*id).into(),
                note: String::new(),
                shows: features
                    .iter()
                    .zip(*shows)
                    .filter(|(_, state)| **state != "-")
                    .map(|((feature, ..), state)| ((*feature).into(), (*state).into()))
                    .collect(),
                plates: Vec::new(),
            })
            .collect(),
    }
}

/// A set of two sides and pairings (catalogue number, obverse, reverse).
pub fn set(obverse: SideReference, reverse: SideReference, pairings: &[(&str, &str, &str)]) -> ReferenceSet {
    ReferenceSet {
        format: ReferenceSet::FORMAT,
        id: "test".into(),
        edition: 1,
        title: "A test set".into(),
        about: String::new(),
        measures: Measures {
            diameter_mm: 30.0,
            relief_mm: None,
            weight_g: Some(12.0),
            weight_tolerance_g: Some(0.2),
            die_axis_deg: None,
        },
        facts: vec![FactQuestion {
            id: "date".into(),
            question: "Which date?".into(),
            choices: ["1", "2", "3"]
                .iter()
                .map(|value| FactChoice {
                    value: (*value).into(),
                    words: format!("year {value}"),
                })
                .collect(),
        }],
        obverse,
        reverse,
        pairings: pairings
            .iter()
            .map(|(catalogue, obverse, reverse)| Pairing {
                catalogue: (*catalogue).into(),
                obverse: DieId::from(*obverse),
                reverse: DieId::from(*reverse),
                facts: BTreeMap::new(),
                rarity: None,
                estimated_known: None,
                note: String::new(),
            })
            .collect(),
        unlisted: dietell::reference::UnlistedShares::default(),
        rarity_bands: Vec::new(),
        price_slope: None,
        cautions: Vec::new(),
    }
}

/// The set of the worked example: three obverse dies, two reverse dies, three pairings.
pub fn worked() -> ReferenceSet {
    set(
        side(
            &[
                ("stop", 0.9, &["near", "far"]),
                ("leaf", 0.8, &["one", "two", "none"]),
            ],
            &[
                ("O1", &["near", "one"]),
                ("O2", &["far", "one"]),
                ("O3", &["far", "-"]),
            ],
        ),
        side(
            &[("line", 0.95, &["open", "closed"])],
            &[("R1", &["open"]), ("R2", &["closed"])],
        ),
        &[("P1", "O1", "R1"), ("P2", "O2", "R1"), ("P3", "O3", "R2")],
    )
}

/// A verdict; `ruling` is `=` for agrees, `x` for differs, `?` for cannot tell.
pub fn verdict(side: Side, feature: &str, ruling: char, state: &str) -> Verdict {
    Verdict {
        side,
        feature: feature.into(),
        state: state.into(),
        ruling: match ruling {
            '=' => Ruling::Agrees,
            'x' => Ruling::Differs,
            '?' => Ruling::CannotTell(CannotTell::Wear),
            other => panic!("no ruling {other}"),
        },
        note: String::new(),
        seen: None,
    }
}

/// An obverse verdict.
pub fn o(feature: &str, ruling: char, state: &str) -> Verdict {
    verdict(Side::Obverse, feature, ruling, state)
}

/// A reverse verdict.
pub fn r(feature: &str, ruling: char, state: &str) -> Verdict {
    verdict(Side::Reverse, feature, ruling, state)
}

/// The standing by verdicts alone, all pairings alike.
pub fn stand(set: &ReferenceSet, verdicts: &[Verdict]) -> Standing {
    standing(set, &BTreeMap::new(), None, verdicts, Prior::Equal)
}

/// The standing with the coin's date.
pub fn stand_dated(set: &ReferenceSet, date: FactAnswer, verdicts: &[Verdict]) -> Standing {
    standing(
        set,
        &BTreeMap::from([(FactId::from("date"), date)]),
        None,
        verdicts,
        Prior::Equal,
    )
}

/// Gives a pairing the dates that it is known with.
pub fn dated(mut set: ReferenceSet, pairing: usize, dates: &[&str]) -> ReferenceSet {
    let dates = dates.iter().map(|date| (*date).to_owned()).collect();
    set.pairings[pairing].facts.insert("date".into(), dates);
    set
}
