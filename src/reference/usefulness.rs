//! How well each feature tells the dies of a side apart, and which features decide between two of them.
//!
//! One look at a feature of k states and reliability r reads the state that the die shows with probability r and any
//! one other with (1 - r) / (k - 1), as the weighing of verdicts has it; a die on which the set is silent may be read
//! as any state alike.

use super::{Die, Feature, FeatureId, SideReference, StateId};

/// The likelihood ratio between two dies from which a series of features is said to decide, as a decimal logarithm: 2
/// is a hundred to one, from which the weighing calls an attribution settled.
pub const DECIDED_LOG10: f64 = 2.0;

/// Reliabilities are used within these bounds, as in the weighing.
const LEAST_RELIABILITY: f64 = 0.5;
const GREATEST_RELIABILITY: f64 = 0.9999;

/// How well one feature tells the dies apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Usefulness {
    /// The feature.
    pub feature: FeatureId,
    /// What one look at it tells of the die on average, all dies of the side alike beforehand, in bits: the mutual
    /// information of die and reading (Cover and Thomas, Elements of Information Theory, sec. 2.3).
    pub bits: f64,
    /// Of how many pairs of dies it shows different states.
    pub pairs_told: usize,
}

/// The features of a side, most useful first; those of equal use in the set's order.
#[must_use]
pub fn usefulness(side: &SideReference) -> Vec<Usefulness> {
    let mut list: Vec<Usefulness> = side
        .features
        .iter()
        .map(|feature| of_feature(feature, &side.dies))
        .collect();
    list.sort_by(|a, b| b.bits.total_cmp(&a.bits));
    list
}

fn of_feature(feature: &Feature, dies: &[Die]) -> Usefulness {
    let states = feature.states.len();
    let mut shown = vec![0_usize; states];
    let mut silent = 0_usize;
    for die in dies {
        match state_index(feature, die) {
            Some(index) => shown[index] += 1,
            None => silent += 1,
        }
    }
    let said: usize = shown.iter().sum();
    let same: usize = shown.iter().map(|n| n * n.saturating_sub(1) / 2).sum();
    Usefulness {
        feature: feature.id.clone(),
        bits: mutual_information(feature, &shown, silent),
        pairs_told: said * said.saturating_sub(1) / 2 - same,
    }
}

/// I(die; reading) = H(reading) - H(reading | die).
fn mutual_information(feature: &Feature, shown: &[usize], silent: usize) -> f64 {
    let dies = shown.iter().sum::<usize>() + silent;
    let k = shown.len();
    if dies == 0 || k < 2 {
        return 0.0;
    }
    let (hit, miss) = reading(feature);
    let share = |n: usize| n as f64 / dies as f64;
    let read: Vec<f64> = (0..k)
        .map(|state| {
            let others: usize = shown.iter().sum::<usize>() - shown[state];
            share(shown[state]) * hit + share(others) * miss + share(silent) / k as f64
        })
        .collect();
    let given_said = entropy(std::iter::once(hit).chain(std::iter::repeat_n(miss, k - 1)));
    let given_silent = (k as f64).log2();
    let bits = entropy(read) - share(dies - silent) * given_said - share(silent) * given_silent;
    // Rounding may leave a hair below nothing.
    bits.max(0.0)
}

fn entropy(probabilities: impl IntoIterator<Item = f64>) -> f64 {
    probabilities
        .into_iter()
        .filter(|p| *p > 0.0)
        .map(|p| -p * p.log2())
        .sum()
}

/// The probabilities of reading the state that is shown, and any one other.
fn reading(feature: &Feature) -> (f64, f64) {
    let r = feature.reliability.clamp(LEAST_RELIABILITY, GREATEST_RELIABILITY);
    (r, (1.0 - r) / (feature.states.len().max(2) as f64 - 1.0))
}

fn state_index(feature: &Feature, die: &Die) -> Option<usize> {
    let state: &StateId = die.shows.get(&feature.id)?;
    feature.states.iter().position(|known| &known.id == state)
}

/// A feature that speaks between two dies.
#[derive(Debug, Clone, PartialEq)]
pub struct Deciding {
    /// The feature.
    pub feature: FeatureId,
    /// The likelihood ratio that one look at it gives where it is read as shown, as a decimal logarithm.
    pub log10_ratio: f64,
}

/// The features on which two dies show different states, weightiest first; empty where none tells them apart.
#[must_use]
pub fn deciding_features(side: &SideReference, a: &Die, b: &Die) -> Vec<Deciding> {
    let mut list: Vec<Deciding> = side
        .features
        .iter()
        .filter_map(|feature| {
            let log10_ratio = weight(feature, a, b)?;
            Some(Deciding {
                feature: feature.id.clone(),
                log10_ratio,
            })
        })
        .collect();
    list.sort_by(|a, b| b.log10_ratio.total_cmp(&a.log10_ratio));
    list
}

/// The log10 ratio that a feature gives between two dies; none where it does not speak.
fn weight(feature: &Feature, a: &Die, b: &Die) -> Option<f64> {
    let (a, b) = (state_index(feature, a)?, state_index(feature, b)?);
    let (hit, miss) = reading(feature);
    (a != b && hit > miss).then(|| (hit / miss).log10())
}

/// A series of features to look at.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// The features, weightiest first.
    pub features: Vec<FeatureId>,
    /// How far it goes.
    pub reach: Reach,
}

/// How far a series of features goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// It decides all that it is asked to, and none shorter does.
    Shortest,
    /// It decides all that it is asked to; a shorter one may exist, the search for it was cut off.
    Short,
    /// Even all features that speak do not reach [`DECIDED_LOG10`].
    NotEnough,
}

/// The shortest series of features that decides between two dies.
#[must_use]
pub fn shortest_series(side: &SideReference, a: &Die, b: &Die) -> Series {
    let mut sum = 0.0;
    let mut features = Vec::new();
    // The weightiest first is the shortest, since only the sum counts.
    for deciding in deciding_features(side, a, b) {
        if sum >= DECIDED_LOG10 - ROUNDING {
            break;
        }
        sum += deciding.log10_ratio;
        features.push(deciding.feature);
    }
    let reach = if sum >= DECIDED_LOG10 - ROUNDING {
        Reach::Shortest
    } else {
        Reach::NotEnough
    };
    Series { features, reach }
}

/// Sums of logarithms are compared with this slack.
const ROUNDING: f64 = 1e-9;

/// A series for a whole side.
#[derive(Debug, Clone, PartialEq)]
pub struct SideSeries {
    /// The series.
    pub series: Series,
    /// How many pairs of dies all features together cannot decide; the series takes those as far as they go.
    pub undecided_pairs: usize,
    /// Whether none shorter goes as far; otherwise the search was cut off.
    pub is_shortest: bool,
}

/// A short series of features that decides every pair of dies of a side that can be decided, and takes the others as
/// far as all features together do. Found greedily, then shortened by an exact search that is cut off after a fixed
/// number of steps.
#[must_use]
pub fn series_for_side(side: &SideReference) -> SideSeries {
    let demand = Demand::of(side);
    let mut best = demand.greedy();
    let mut search = Search {
        demand: &demand,
        steps_left: demand.search_steps(),
    };
    let mut proved = best.is_empty();
    // Shorter by one until no shorter one exists.
    while !best.is_empty() {
        match search.within(best.len() - 1) {
            Found::Series(shorter) => best = shorter,
            Found::None => {
                proved = true;
                break;
            }
            Found::CutOff => break,
        }
    }
    let mut chosen: Vec<&Feature> = best
        .iter()
        .filter_map(|&index| side.features.get(index))
        .collect();
    chosen.sort_by(|a, b| b.reliability.total_cmp(&a.reliability));
    let reach = match (demand.undecided, proved) {
        (0, true) => Reach::Shortest,
        (0, false) => Reach::Short,
        _ => Reach::NotEnough,
    };
    SideSeries {
        series: Series {
            features: chosen.into_iter().map(|feature| feature.id.clone()).collect(),
            reach,
        },
        undecided_pairs: demand.undecided,
        is_shortest: proved,
    }
}

/// The exact search gives up after this many steps, or fewer where each takes longer: about a second either way.
const MOST_SEARCH_STEPS: usize = 2_000;
/// Looks at one feature of one kind of pair in all steps together: those steps over the pairs of 200 dies, 24 features.
const MOST_SEARCH_WORK: usize = 960_000_000;

/// What a series must reach for every pair of dies. Pairs that are alike in every feature are counted once.
struct Demand {
    /// For each distinct kind of pair what it needs, and which features speak of it.
    pairs: Vec<(f64, Speaks)>,
    /// What each feature gives to a pair of which it speaks.
    full: Vec<f64>,
    undecided: usize,
}

/// The features that speak of a pair, a bit for each in the set's order.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Speaks(Vec<u64>);

impl Speaks {
    /// Of the features that show different states, given as the states' indices.
    fn between(a: &[Option<usize>], b: &[Option<usize>], full: &[f64], into: &mut Vec<u64>) {
        into.clear();
        for (features, gives) in a.chunks(64).zip(b.chunks(64)).zip(full.chunks(64)) {
            let speak = features.0.iter().zip(features.1).zip(gives).enumerate();
            into.push(speak.fold(0, |bits, (index, ((a, b), gives))| {
                bits | u64::from(a.is_some() && b.is_some() && a != b && *gives > 0.0) << index
            }));
        }
    }

    fn features(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().enumerate().flat_map(|(word, bits)| {
            let mut left = *bits;
            std::iter::from_fn(move || {
                let lowest = left.trailing_zeros();
                left &= left.wrapping_sub(1);
                (lowest < 64).then_some(64 * word + lowest as usize)
            })
        })
    }

    fn has(&self, feature: usize) -> bool {
        self.0
            .get(feature / 64)
            .is_some_and(|bits| bits >> (feature % 64) & 1 == 1)
    }
}

impl Demand {
    fn of(side: &SideReference) -> Self {
        let full: Vec<f64> = side
            .features
            .iter()
            .map(|feature| {
                let (hit, miss) = reading(feature);
                (hit / miss).log10()
            })
            .collect();
        let shown: Vec<Vec<Option<usize>>> = side
            .dies
            .iter()
            .map(|die| {
                side.features
                    .iter()
                    .map(|feature| state_index(feature, die))
                    .collect()
            })
            .collect();
        let mut kinds: std::collections::HashMap<Vec<u64>, usize> = std::collections::HashMap::new();
        let mut speaks = Vec::new();
        for (index, die) in shown.iter().enumerate() {
            for other in &shown[..index] {
                Speaks::between(die, other, &full, &mut speaks);
                match kinds.get_mut(&speaks) {
                    Some(count) => *count += 1,
                    None => drop(kinds.insert(speaks.clone(), 1)),
                }
            }
        }
        let mut kinds: Vec<(Speaks, usize)> = kinds
            .into_iter()
            .map(|(bits, count)| (Speaks(bits), count))
            .collect();
        // So that the same set always gives the same series.
        kinds.sort_unstable();
        let (mut undecided, mut pairs) = (0, Vec::with_capacity(kinds.len()));
        for (speaks, count) in kinds {
            let all: f64 = speaks.features().map(|feature| full[feature]).sum();
            if all < DECIDED_LOG10 - ROUNDING {
                undecided += count;
            }
            if all > 0.0 {
                pairs.push((all.min(DECIDED_LOG10), speaks));
            }
        }
        Self {
            pairs,
            full,
            undecided,
        }
    }

    fn needs(&self) -> Vec<f64> {
        self.pairs.iter().map(|(needs, _)| *needs).collect()
    }

    /// What is still needed after a feature.
    fn after(&self, needs: &[f64], feature: usize) -> Vec<f64> {
        let gives = self.full[feature];
        needs
            .iter()
            .zip(&self.pairs)
            .map(|(need, (_, speaks))| {
                if speaks.has(feature) {
                    (need - gives).max(0.0)
                } else {
                    *need
                }
            })
            .collect()
    }

    fn greedy(&self) -> Vec<usize> {
        let mut needs = self.needs();
        let mut chosen = Vec::new();
        while needs.iter().any(|need| *need > ROUNDING) {
            // How much of what is needed each feature gives.
            let mut gives = vec![0.0; self.full.len()];
            for (need, (_, speaks)) in needs.iter().zip(&self.pairs).filter(|(need, _)| **need > 0.0) {
                for feature in speaks.features() {
                    gives[feature] += need.min(self.full[feature]);
                }
            }
            let best = (0..gives.len())
                .filter(|feature| !chosen.contains(feature))
                // Of equals the first in the set's order.
                .max_by(|a, b| gives[*a].total_cmp(&gives[*b]).then(b.cmp(a)));
            let Some(best) = best else { break };
            needs = self.after(&needs, best);
            chosen.push(best);
        }
        chosen
    }

    /// How many steps of the exact search this demand allows.
    fn search_steps(&self) -> usize {
        let step = (self.pairs.len() * self.full.len()).max(1);
        (MOST_SEARCH_WORK / step).clamp(1, MOST_SEARCH_STEPS)
    }
}

enum Found {
    Series(Vec<usize>),
    None,
    CutOff,
}

struct Search<'a> {
    demand: &'a Demand,
    steps_left: usize,
}

impl Search<'_> {
    /// A series of at most `most` features that meets the demand.
    fn within(&mut self, most: usize) -> Found {
        let mut chosen = Vec::new();
        match self.step(&self.demand.needs(), most, &mut chosen) {
            Some(true) => Found::Series(chosen),
            Some(false) => Found::None,
            None => Found::CutOff,
        }
    }

    /// Depth first: the pair that the fewest features can help is helped first, by each of them in turn. None when
    /// cut off.
    fn step(&mut self, needs: &[f64], most: usize, chosen: &mut Vec<usize>) -> Option<bool> {
        self.steps_left = self.steps_left.checked_sub(1)?;
        let pairs = needs.iter().zip(&self.demand.pairs);
        let helpers = |speaks: &Speaks| -> Vec<usize> {
            speaks
                .features()
                .filter(|feature| !chosen.contains(feature))
                .collect()
        };
        let hardest = pairs
            .filter(|(need, _)| **need > ROUNDING)
            .min_by_key(|(_, (_, speaks))| {
                speaks
                    .features()
                    .filter(|feature| !chosen.contains(feature))
                    .count()
            })
            .map(|(_, (_, speaks))| helpers(speaks));
        let Some(helpers) = hardest else { return Some(true) };
        if most == 0 {
            return Some(false);
        }
        for feature in helpers {
            chosen.push(feature);
            let left = self.demand.after(needs, feature);
            match self.step(&left, most - 1, chosen) {
                Some(false) => {}
                end => return end,
            }
            chosen.pop();
        }
        Some(false)
    }
}
