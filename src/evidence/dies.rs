//! The dies of one side, weighed by themselves: likelihoods, what speaks against each, and a die that the set does not
//! list.
//!
//! A side's verdicts share causes: one photo, one alignment, one eye. So they are not multiplied as if they were
//! independent: with probability [`POOR_LOOK`] the whole side was looked at poorly, and the likelihood is the mean of
//! that under both kinds of look. The more verdicts a side has, the less each further one can add.
//!
//! An unlisted die is thought of in two ways: as a near copy of a listed one, from which it differs in one or in two
//! of the features that this one shows, each alike ([`DIFFERS_IN_ONE`], [`DIFFERS_IN_TWO`]); or as a die of its own,
//! which shows each state as often as the listed dies do ([`OF_ITS_OWN`]). A near copy that differs only where nothing
//! was told has the likelihood of the listed die itself, so that what was not told keeps it possible.

use super::logarithms::{log10_mean, shares_of};
use super::observation::Observation;
use super::outcome::LEANING_AT;
use super::reader::{FeatureLikelihoods, Look};
use super::shown::ShownStates;
use super::{Cause, DieStanding};
use crate::reference::{Side, SideReference};

/// How often a whole side is looked at poorly. Common practice, no source; the simulated table of
/// tests/evidence/simulation.rs holds with one coin in ten that has a badly read side.
const POOR_LOOK: f64 = 0.05;
/// Of the unlisted dies, how many differ from a listed one in a single feature. This share and the next two sum to 1.
/// Common practice, no source.
const DIFFERS_IN_ONE: f64 = 0.4;
/// How many differ in two features.
const DIFFERS_IN_TWO: f64 = 0.4;
/// How many are like no listed die in particular.
const OF_ITS_OWN: f64 = 0.2;

/// Where no die of a side fits all verdicts: a die stays in, in doubt, while its likelihood is not behind the likeliest
/// by more than this. The published verbal scale begins to speak of moderate support here.
const IN_DOUBT_WITHIN: f64 = 10.0;

/// A side's dies, weighed.
pub(super) struct WeighedSide {
    /// In the set's order.
    pub(super) dies: Vec<DieStanding>,
    /// For each die the features, by index, whose verdicts contradict it.
    pub(super) against: Vec<Vec<usize>>,
    /// For each die the log10 likelihood of an unlisted die that is nearly like it.
    pub(super) near_log10: Vec<f64>,
    /// The log10 likelihood of an unlisted die of its own.
    pub(super) own_log10: f64,
    /// The log10 likelihood of a die on which the set is silent.
    pub(super) silent_log10: f64,
    /// The probability that a die struck the coin that the set does not list, by this side's verdicts alone.
    pub(super) unlisted: f64,
}

impl WeighedSide {
    /// The log10 likelihood of an unlisted die, given that of a near copy of the die whose place it takes.
    pub(super) fn unlisted_log10(&self, near_log10: f64) -> f64 {
        log10_mean(1.0 - OF_ITS_OWN, near_log10, OF_ITS_OWN, self.own_log10)
    }
}

/// Weighs the dies of a side; `unlisted_share` is what an unlisted die has before the verdicts.
pub(super) fn weigh_side(
    side: Side,
    reference: &SideReference,
    shown: &ShownStates,
    observed: &[Observation],
    unlisted_share: f64,
) -> WeighedSide {
    let judged = Judged::of(reference, shown, observed);
    let count = reference.dies.len();
    let against: Vec<Vec<usize>> = (0..count)
        .map(|die| contradictions(shown.die(die), &judged, observed))
        .collect();
    let weighed: Vec<(f64, f64)> = (0..count).map(|die| judged.die_log10(shown.die(die))).collect();
    let mut dies: Vec<DieStanding> = reference
        .dies
        .iter()
        .enumerate()
        .map(|(index, die)| DieStanding {
            die: die.id.clone(),
            log10_likelihood: weighed[index].0,
            probability: 0.0,
            supporting: supporting(shown.die(index), &judged, observed),
            out: causes(side, reference, shown.die(index), &against[index], observed),
            doubts: Vec::new(),
        })
        .collect();
    let near_log10: Vec<f64> = weighed.into_iter().map(|(_, near)| near).collect();
    let own_log10 = judged.own_log10();
    let unlisted = share_out(&mut dies, &near_log10, own_log10, unlisted_share);
    keep_in_doubt(&mut dies, shown, &judged, &against, unlisted);
    WeighedSide {
        dies,
        against,
        near_log10,
        own_log10,
        silent_log10: judged.silent_log10(),
        unlisted,
    }
}

/// Gives the dies their probabilities, all alike before the verdicts, and returns that of an unlisted die.
fn share_out(dies: &mut [DieStanding], near_log10: &[f64], own_log10: f64, unlisted_share: f64) -> f64 {
    let each = 1.0 / dies.len().max(1) as f64;
    let listed = ((1.0 - unlisted_share) * each).log10();
    let near = (unlisted_share * (1.0 - OF_ITS_OWN) * each).log10();
    let scores: Vec<f64> = dies
        .iter()
        .map(|die| listed + die.log10_likelihood)
        .chain(near_log10.iter().map(|log10| near + log10))
        .chain([(unlisted_share * OF_ITS_OWN).log10() + own_log10])
        .collect();
    let shares = shares_of(&scores);
    for (die, share) in dies.iter_mut().zip(&shares) {
        die.probability = *share;
    }
    shares[dies.len()..].iter().sum()
}

/// Where no die fits all verdicts, a slip is weighed and does not end the matter: the likeliest dies stay in, as long
/// as more features speak for them than against them and a slip is likelier than an unlisted die.
fn keep_in_doubt(
    dies: &mut [DieStanding],
    shown: &ShownStates,
    judged: &Judged,
    against: &[Vec<usize>],
    unlisted: f64,
) {
    if dies.is_empty() || dies.iter().any(DieStanding::is_in) {
        return;
    }
    let greatest = dies.iter().map(|die| die.probability).fold(0.0, f64::max);
    let kept: Vec<usize> = (0..dies.len())
        .filter(|&die| {
            let speaking = judged.shown_by(shown.die(die));
            dies[die].probability * IN_DOUBT_WITHIN >= greatest && 2 * against[die].len() < speaking
        })
        .collect();
    let together: f64 = kept.iter().map(|&die| dies[die].probability).sum();
    if together >= LEANING_AT * unlisted {
        for die in kept {
            dies[die].doubts = std::mem::take(&mut dies[die].out);
        }
    }
}

/// The features with verdicts that tell something, with the likelihoods of what was observed.
struct Judged {
    /// By index, with the likelihoods under a careful and a poor look and how often the listed dies show each state.
    features: Vec<JudgedFeature>,
}

struct JudgedFeature {
    index: usize,
    likelihoods: [FeatureLikelihoods; 2],
    shares: Vec<f64>,
}

impl Judged {
    fn of(reference: &SideReference, shown: &ShownStates, observed: &[Observation]) -> Self {
        let judged = observed.iter().enumerate().filter(|(_, seen)| seen.informative());
        let features = judged
            .map(|(index, seen)| {
                let feature = &reference.features[index];
                JudgedFeature {
                    index,
                    likelihoods: Look::BOTH.map(|look| FeatureLikelihoods::of(feature, seen, look)),
                    shares: state_shares(index, feature.states.len(), reference.dies.len(), shown),
                }
            })
            .collect();
        Self { features }
    }

    /// How many of the judged features a die shows.
    fn shown_by(&self, shown: &[Option<usize>]) -> usize {
        self.features.iter().filter(|f| shown[f.index].is_some()).count()
    }

    /// The log10 likelihood of the side's verdicts if the die shows these states, and if a near copy of it struck the
    /// coin.
    fn die_log10(&self, shown: &[Option<usize>]) -> (f64, f64) {
        let shows = shown.iter().filter(|state| state.is_some()).count();
        let looks = [0, 1].map(|look| {
            let mut log10 = 0.0;
            let mut ratios = Ratios::untold(shows - self.shown_by(shown));
            for feature in &self.features {
                let likelihoods = &feature.likelihoods[look];
                let likelihood = likelihoods.shown(shown[feature.index]);
                log10 += likelihood.log10();
                if let Some(state) = shown[feature.index] {
                    ratios.add(likelihoods.other_than(state) / likelihood);
                }
            }
            (log10, log10 + ratios.near_copy().log10())
        });
        (
            mean_of_looks(looks.map(|(die, _)| die)),
            mean_of_looks(looks.map(|(_, near)| near)),
        )
    }

    fn silent_log10(&self) -> f64 {
        self.over_features(|likelihoods, _| likelihoods.shown(None))
    }

    fn own_log10(&self) -> f64 {
        self.over_features(|likelihoods, shares| likelihoods.drawn(shares))
    }

    fn over_features(&self, of: impl Fn(&FeatureLikelihoods, &[f64]) -> f64) -> f64 {
        mean_of_looks([0, 1].map(|look| {
            let features = self.features.iter();
            features
                .map(|f| of(&f.likelihoods[look], &f.shares).log10())
                .sum()
        }))
    }
}

/// The mean likelihood of a careful and a poor look at the side.
fn mean_of_looks([careful, poor]: [f64; 2]) -> f64 {
    log10_mean(1.0 - POOR_LOOK, careful, POOR_LOOK, poor)
}

/// For the features of a die, how much likelier the verdicts on each are if it shows another state: their sum, the sum
/// of their squares, and how many there are.
struct Ratios {
    count: usize,
    sum: f64,
    squares: f64,
}

impl Ratios {
    /// As many features that were not told, on which the verdicts are as likely either way.
    fn untold(count: usize) -> Self {
        Self {
            count,
            sum: count as f64,
            squares: count as f64,
        }
    }

    fn add(&mut self, ratio: f64) {
        self.count += 1;
        self.sum += ratio;
        self.squares += ratio * ratio;
    }

    /// How much likelier the verdicts are on a near copy than on the die itself: the mean over the features that it may
    /// differ in, and over the pairs of features by the second elementary symmetric sum.
    fn near_copy(&self) -> f64 {
        let count = self.count as f64;
        let in_one = if self.count > 0 { self.sum / count } else { 1.0 };
        let in_two = if self.count > 1 {
            (self.sum * self.sum - self.squares).max(0.0) / (count * (count - 1.0))
        } else {
            in_one
        };
        (DIFFERS_IN_ONE * in_one + DIFFERS_IN_TWO * in_two) / (DIFFERS_IN_ONE + DIFFERS_IN_TWO)
    }
}

/// How often the dies show each state of a feature, half a die added to each (Jeffreys' rule).
fn state_shares(feature: usize, states: usize, dies: usize, shown: &ShownStates) -> Vec<f64> {
    let mut counts = vec![0.5; states];
    for die in 0..dies {
        if let Some(state) = shown.die(die)[feature] {
            counts[state] += 1.0;
        }
    }
    let sum: f64 = counts.iter().sum();
    counts.into_iter().map(|count| count / sum).collect()
}

fn contradictions(shown: &[Option<usize>], judged: &Judged, observed: &[Observation]) -> Vec<usize> {
    let indices = judged.features.iter().map(|feature| feature.index);
    indices
        .filter(|&index| shown[index].is_some_and(|state| observed[index].contradicts(state)))
        .collect()
}

fn supporting(shown: &[Option<usize>], judged: &Judged, observed: &[Observation]) -> usize {
    let features = judged.features.iter();
    features
        .filter_map(|f| shown[f.index].map(|state| observed[f.index].supporting(state)))
        .sum()
}

fn causes(
    side: Side,
    reference: &SideReference,
    shown: &[Option<usize>],
    against: &[usize],
    observed: &[Observation],
) -> Vec<Cause> {
    let mut causes = Vec::new();
    for &index in against {
        let (feature, seen) = (&reference.features[index], &observed[index]);
        let Some(shown) = shown[index] else { continue };
        let name = |state: usize| feature.states[state].id.clone();
        causes.extend(
            seen.agreed()
                .filter(|&state| state != shown)
                .map(|state| Cause::ShowsOther {
                    side,
                    feature: feature.id.clone(),
                    coin: name(state),
                    die: name(shown),
                }),
        );
        if seen.differs_from(shown) {
            causes.push(Cause::Differs {
                side,
                feature: feature.id.clone(),
                die: name(shown),
            });
        }
    }
    causes
}
