//! What excludes nothing and must be known.

use std::collections::{BTreeMap, BTreeSet};

use super::observation::Observation;
use crate::reference::{FactId, FeatureId, ReferenceSet, Side, Sides, StateId};
use crate::specimen::{FactAnswer, Verdict};

/// Something that excludes nothing and must be known. `sentence` gives it in words.
#[derive(Debug, Clone, PartialEq)]
pub enum Caution {
    /// The coin is heavier than the tolerance allows, which wear cannot explain.
    Heavy {
        /// Its weight in g.
        weight_g: f64,
        /// The set's nominal weight in g.
        nominal_g: f64,
        /// The set's tolerance in g.
        tolerance_g: f64,
    },
    /// The coin is lighter than the tolerance allows; wear or damage may explain it.
    Light {
        /// Its weight in g.
        weight_g: f64,
        /// The set's nominal weight in g.
        nominal_g: f64,
        /// The set's tolerance in g.
        tolerance_g: f64,
    },
    /// The verdicts on one feature contradict one another.
    ConflictingVerdicts {
        /// The side.
        side: Side,
        /// The feature.
        feature: FeatureId,
    },
    /// The coin differs from every state that the set lists of a feature.
    NoneOfTheStates {
        /// The side.
        side: Side,
        /// The feature.
        feature: FeatureId,
    },
    /// A verdict on a part that the set does not have; it is not counted.
    UnknownVerdict {
        /// The side.
        side: Side,
        /// The feature.
        feature: FeatureId,
        /// The state.
        state: StateId,
    },
    /// An answer that the set does not ask for; it is not counted.
    UnknownFact {
        /// The fact.
        fact: FactId,
    },
}

pub(super) fn cautions(
    set: &ReferenceSet,
    facts: &BTreeMap<FactId, FactAnswer>,
    weight_g: Option<f64>,
    verdicts: &[Verdict],
    observed: &Sides<Vec<Observation>>,
) -> Vec<Caution> {
    let mut cautions = Vec::new();
    cautions.extend(weight_caution(set, weight_g));
    for side in Side::BOTH {
        for (feature, seen) in set.side(side).features.iter().zip(&observed[side]) {
            let id = feature.id.clone();
            if seen.conflicting() {
                cautions.push(Caution::ConflictingVerdicts { side, feature: id });
            } else if seen.informative() && seen.possible().next().is_none() {
                cautions.push(Caution::NoneOfTheStates { side, feature: id });
            }
        }
    }
    // Sorted, so that the order in which verdicts were given does not show.
    let unknown: BTreeSet<_> = verdicts
        .iter()
        .filter(|v| {
            set.side(v.side)
                .feature(&v.feature)
                .and_then(|f| f.state(&v.state))
                .is_none()
        })
        .map(|v| (v.side, v.feature.clone(), v.state.clone()))
        .collect();
    cautions.extend(
        unknown
            .into_iter()
            .map(|(side, feature, state)| Caution::UnknownVerdict { side, feature, state }),
    );
    let asked = |fact: &FactId| {
        set.facts.iter().any(|question| &question.id == fact)
            || set
                .pairings
                .iter()
                .any(|pairing| pairing.facts.contains_key(fact))
    };
    cautions.extend(
        facts
            .keys()
            .filter(|fact| !asked(fact))
            .map(|fact| Caution::UnknownFact { fact: fact.clone() }),
    );
    cautions
}

fn weight_caution(set: &ReferenceSet, weight_g: Option<f64>) -> Option<Caution> {
    let weight_g = weight_g.filter(|weight| weight.is_finite())?;
    let nominal_g = set.measures.weight_g?;
    let tolerance_g = set.measures.weight_tolerance_g?;
    if weight_g > nominal_g + tolerance_g {
        Some(Caution::Heavy {
            weight_g,
            nominal_g,
            tolerance_g,
        })
    } else if weight_g < nominal_g - tolerance_g {
        Some(Caution::Light {
            weight_g,
            nominal_g,
            tolerance_g,
        })
    } else {
        None
    }
}
