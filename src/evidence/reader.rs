//! How a feature is read: the chance of each reading, given the state that the die shows.
//!
//! With a feature of k states and reliability r, a careful look at a coin whose die shows state t reads
//!
//! - t with probability r,
//! - any one other state with probability (1 - r) / (k - 1).
//!
//! A poor look is half a careful one and half a guess among the k states. It stands for what spoils a whole side at
//! once: the photo's blur, a misplaced alignment, a hopeful eye.
//!
//! A die on which the set is silent may show any state, each alike. A die that the set does not list may also show a
//! state that the set does not list: it is read as 'none of these' with probability r, and else as any listed state.
//!
//! The model is ours; that dependent observations enter as one is general (for instance Robertson, Vignaux and Berger,
//! Interpreting Evidence, 2nd ed., 2016, from memory).

use super::observation::Observation;
use crate::reference::Feature;

/// The least reliability that is used: a look that is right no more often than wrong tells nothing.
const LEAST_RELIABILITY: f64 = 0.5;
/// The greatest reliability that is used: no look is beyond error, and one verdict must not outweigh all others.
const GREATEST_RELIABILITY: f64 = 0.9999;
/// Where an unlisted die differs from a listed one: how often it shows a state that the set does not list either.
/// Common practice, no source.
const STATE_UNLISTED: f64 = 0.2;

/// How a side was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Look {
    /// Each reading is right as often as the set says.
    Careful,
    /// Half of the readings are guesses.
    Poor,
}

impl Look {
    pub(super) const BOTH: [Look; 2] = [Look::Careful, Look::Poor];
}

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

    fn guess(self) -> f64 {
        1.0 / self.states as f64
    }

    /// The probability that a careful look reads `state` on a coin whose die shows `shown`; none is a silent die.
    pub(super) fn reads(self, state: usize, shown: Option<usize>) -> f64 {
        match shown {
            Some(shown) if shown == state => self.reliability,
            Some(_) => self.misread(),
            None => self.guess(),
        }
    }

    /// The likelihood of what was observed if the die shows `shown`; none is a silent die. Where the verdicts leave no
    /// state, some state that the set does not list was read, by mistake as often as any one other.
    pub(super) fn likelihood(self, observed: &Observation, shown: Option<usize>, look: Look) -> f64 {
        if !observed.informative() {
            return 1.0;
        }
        let careful: f64 = observed.possible().map(|state| self.reads(state, shown)).sum();
        let careful = match shown {
            _ if careful > 0.0 => careful,
            Some(_) => self.misread(),
            None => self.guess(),
        };
        self.looked_at(careful, observed, look)
    }

    /// The likelihood of what was observed if the die shows a state that the set does not list.
    fn likelihood_of_unlisted_state(self, observed: &Observation, look: Look) -> f64 {
        let possible = observed.possible().count();
        let careful = if possible > 0 {
            possible as f64 * (1.0 - self.reliability) * self.guess()
        } else if observed.conflicting() {
            self.misread()
        } else {
            self.reliability
        };
        self.looked_at(careful, observed, look)
    }

    fn looked_at(self, careful: f64, observed: &Observation, look: Look) -> f64 {
        match look {
            Look::Careful => careful,
            Look::Poor => 0.5 * (careful + observed.possible().count().max(1) as f64 * self.guess()),
        }
    }
}

/// The likelihoods of what was observed on one feature, for each state that a die may show.
#[derive(Debug, Clone)]
pub(super) struct FeatureLikelihoods {
    by_state: Vec<f64>,
    silent: f64,
    unlisted_state: f64,
}

impl FeatureLikelihoods {
    pub(super) fn of(feature: &Feature, observed: &Observation, look: Look) -> Self {
        let reader = Reader::of(feature);
        Self {
            by_state: (0..feature.states.len())
                .map(|state| reader.likelihood(observed, Some(state), look))
                .collect(),
            silent: reader.likelihood(observed, None, look),
            unlisted_state: reader.likelihood_of_unlisted_state(observed, look),
        }
    }

    /// If the die shows that state; none is a silent die.
    pub(super) fn shown(&self, state: Option<usize>) -> f64 {
        state.map_or(self.silent, |state| self.by_state[state])
    }

    /// If the die shows another state than that, each other listed one alike.
    pub(super) fn other_than(&self, state: usize) -> f64 {
        let others = self.by_state.len() - 1;
        if others == 0 {
            return self.unlisted_state;
        }
        let sum: f64 = self.by_state.iter().sum();
        let listed = (sum - self.by_state[state]).max(0.0) / others as f64;
        (1.0 - STATE_UNLISTED) * listed + STATE_UNLISTED * self.unlisted_state
    }

    /// If the die is drawn at random from a side whose dies show the states that often.
    pub(super) fn drawn(&self, shares: &[f64]) -> f64 {
        self.by_state
            .iter()
            .zip(shares)
            .map(|(likelihood, share)| likelihood * share)
            .sum()
    }
}
