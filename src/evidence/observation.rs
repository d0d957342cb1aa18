//! The model of one observation: what the verdicts on one feature say of the state that the coin shows.
//!
//! Behind all the verdicts on one feature stands one look at one zone, in which the user read some state. With a
//! feature of k states and reliability r, a coin whose die shows state t is read as
//!
//! - t with probability r,
//! - any one other state with probability (1 - r) / (k - 1).
//!
//! A verdict reports on that reading: 'agrees' with s says that s was read, 'differs' from s that something else was,
//! 'cannot tell' says nothing. Together they leave a set H of states that may have been read, and the likelihood of
//! the verdicts under t is the sum of the above over H. The verdicts of one feature are therefore never multiplied
//! with each other, only those of different features are.
//!
//! A die on which the set is silent may show any state, each alike: its likelihood is |H| / k, the mean, which
//! neither raises nor lowers it against a die of average fit.
//!
//! Where nothing is left in H (the coin differs from every state, or two verdicts contradict one another), the coin
//! is taken to show one state more that the set does not list, read by mistake as often as any one other state:
//! (1 - r) / (k - 1), and 1 / k for a silent die.
//!
//! The model is ours; the rule that dependent observations enter as one is general (for instance Robertson, Vignaux
//! and Berger, Interpreting Evidence, 2nd ed., 2016, from memory).

use crate::reference::{Die, Feature, Side, SideReference};
use crate::specimen::{Ruling, Verdict};

/// The least reliability that is used: a look that is right no more often than wrong tells nothing.
const LEAST_RELIABILITY: f64 = 0.5;
/// The greatest reliability that is used: no look is beyond error, and one verdict must not outweigh all others.
const GREATEST_RELIABILITY: f64 = 0.9999;

/// How one feature is read: its reliability and number of states, made safe for use.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reader {
    reliability: f64,
    states: usize,
}

impl Reader {
    pub(super) fn of(feature: &Feature) -> Self {
        let reliability = if feature.reliability.is_finite() {
            feature.reliability
        } else {
            LEAST_RELIABILITY
        };
        Self {
            reliability: reliability.clamp(LEAST_RELIABILITY, GREATEST_RELIABILITY),
            // A feature with a single state asks 'this or anything else'.
            states: feature.states.len().max(2),
        }
    }

    fn misread(self) -> f64 {
        (1.0 - self.reliability) / (self.states as f64 - 1.0)
    }

    /// The probability of reading `state` on a coin whose die shows `shown`; none is a silent die.
    pub(super) fn reads(self, state: usize, shown: Option<usize>) -> f64 {
        match shown {
            Some(shown) if shown == state => self.reliability,
            Some(_) => self.misread(),
            None => 1.0 / self.states as f64,
        }
    }

    /// The likelihood of what was observed if the die shows `shown`; none is a silent die.
    pub(super) fn likelihood(self, observed: &Observation, shown: Option<usize>) -> f64 {
        if !observed.informative() {
            return 1.0;
        }
        let sum: f64 = observed.possible().map(|state| self.reads(state, shown)).sum();
        if sum > 0.0 {
            return sum;
        }
        match shown {
            Some(_) => self.misread(),
            None => 1.0 / self.states as f64,
        }
    }
}

/// What the verdicts on one feature amount to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Observation {
    agreed: Vec<bool>,
    differed: Vec<bool>,
    unclear: Vec<bool>,
}

impl Observation {
    /// Gathers the verdicts on a feature; those on states that it does not have are passed over.
    pub(super) fn gather<'a>(
        side: Side,
        feature: &Feature,
        verdicts: impl IntoIterator<Item = &'a Verdict>,
    ) -> Self {
        let none = vec![false; feature.states.len()];
        let mut observed = Self {
            agreed: none.clone(),
            differed: none.clone(),
            unclear: none,
        };
        for verdict in verdicts {
            if verdict.side != side || verdict.feature != feature.id {
                continue;
            }
            if let Some(place) = feature.states.iter().position(|state| state.id == verdict.state) {
                let marks = match verdict.ruling {
                    Ruling::Agrees => &mut observed.agreed,
                    Ruling::Differs => &mut observed.differed,
                    Ruling::CannotTell(_) => &mut observed.unclear,
                };
                marks[place] = true;
            }
        }
        observed
    }

    /// Whether any verdict tells something.
    pub(super) fn informative(&self) -> bool {
        self.agreed.iter().chain(&self.differed).any(|&mark| mark)
    }

    /// Whether the verdicts contradict one another: two states agreed with, or one both agreed with and differed from.
    pub(super) fn conflicting(&self) -> bool {
        self.agreed.iter().filter(|&&mark| mark).count() > 1
            || self
                .agreed
                .iter()
                .zip(&self.differed)
                .any(|(&agreed, &differed)| agreed && differed)
    }

    /// Whether the user found that something cannot be told here.
    pub(super) fn unclear(&self) -> bool {
        self.unclear.iter().any(|&mark| mark)
    }

    /// Whether a further look is not asked for: a state was agreed with, the user could not tell, or each state has
    /// its verdict.
    pub(super) fn closed(&self) -> bool {
        self.unclear()
            || self.agreed.iter().any(|&mark| mark)
            || (!self.differed.is_empty() && self.differed.iter().all(|&mark| mark))
    }

    /// The states that may have been read, by place.
    pub(super) fn possible(&self) -> impl Iterator<Item = usize> {
        let agreed: Vec<usize> = places(&self.agreed).collect();
        (0..self.differed.len())
            .filter(move |&state| !self.differed[state] && (agreed.is_empty() || agreed == [state]))
    }

    /// The states agreed with, by place.
    pub(super) fn agreed(&self) -> impl Iterator<Item = usize> {
        places(&self.agreed)
    }

    /// The states differed from, by place.
    pub(super) fn differed(&self) -> impl Iterator<Item = usize> {
        places(&self.differed)
    }
}

fn places(marks: &[bool]) -> impl Iterator<Item = usize> {
    marks
        .iter()
        .enumerate()
        .filter_map(|(place, &mark)| mark.then_some(place))
}

/// The place of the state that a die shows of a feature; none where the set is silent.
pub(super) fn shown(die: &Die, feature: &Feature) -> Option<usize> {
    let state = die.shows.get(&feature.id)?;
    feature.states.iter().position(|s| &s.id == state)
}

/// The observations of one side, in the order of its features.
pub(super) fn observations(side: Side, reference: &SideReference, verdicts: &[Verdict]) -> Vec<Observation> {
    reference
        .features
        .iter()
        .map(|feature| Observation::gather(side, feature, verdicts))
        .collect()
}
