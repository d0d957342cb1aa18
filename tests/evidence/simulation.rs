//! Simulated coins of known dies: readers who slip, looks that cannot tell, sides that are badly read, pairings and dies
//! that the set does not list.
//!
//! A coin *could be settled* where the same looks, all read rightly, settle it by the program's own rule. Slips are
//! independent of the features' stated reliability: the set's author may be mistaken there, and the program must not
//! lean on it.

use std::collections::BTreeMap;

use dietell::evidence::{Outcome, Prior, Recheck, Standing, standing};
use dietell::reference::{FeatureId, ReferenceSet, Side, SideReference, Sides};
use dietell::specimen::Verdict;
use rand::Rng;
use rand::seq::{IndexedRandom, SliceRandom};
use rand_chacha::ChaCha8Rng;

use super::builder;

/// How often a reader looks again at one reading that the program keeps naming.
const MOST_TIMES_AGAIN: usize = 2;

/// What struck the coin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A listed pairing.
    Listed,
    /// Two listed dies that the set does not list together.
    UnlistedPairing,
    /// A listed pairing, one die of which is replaced by one that the set does not list and that differs from it in so
    /// many features.
    UnlistedDie(usize),
    /// As the set states: so many of an unlisted pairing, so many with an unlisted die on each side, half of them
    /// differing in one feature and half in two, all others listed.
    AsStated,
}

/// How the coin is read.
#[derive(Debug, Clone, Copy)]
pub struct Reading {
    /// How often a verdict is wrong.
    pub careless: f64,
    /// How often a feature cannot be told.
    pub illegible: f64,
    /// How many coins have a badly read side: on half of them each verdict there is wrong one time in three, on the
    /// other half the reader hopes for some other listed die and says every other time what that one shows.
    pub badly_read: f64,
}

/// The states that a coin shows; for a feature on which the set is silent some state as well.
pub struct Coin {
    shows: Sides<Vec<usize>>,
    /// The listed pairing that struck it.
    pub truth: Option<usize>,
}

fn states_of(reference: &SideReference, die: usize, rng: &mut ChaCha8Rng) -> Vec<usize> {
    let shows = &reference.dies[die].shows;
    reference
        .features
        .iter()
        .map(|feature| {
            let listed = shows
                .get(&feature.id)
                .and_then(|id| feature.states.iter().position(|s| &s.id == id));
            listed.unwrap_or_else(|| rng.random_range(0..feature.states.len()))
        })
        .collect()
}

fn die_index(reference: &SideReference, id: &dietell::reference::DieId) -> usize {
    reference.dies.iter().position(|die| &die.id == id).unwrap()
}

/// Whether a listed die of the side fits these states in all that it shows.
fn fits_a_listed_die(reference: &SideReference, states: &[usize]) -> bool {
    reference.dies.iter().any(|die| {
        reference.features.iter().zip(states).all(|(feature, state)| {
            die.shows
                .get(&feature.id)
                .is_none_or(|shown| shown == &feature.states[*state].id)
        })
    })
}

/// Strikes a coin; none where the set has no such pairing or die.
pub fn strike(set: &ReferenceSet, kind: Kind, rng: &mut ChaCha8Rng) -> Option<Coin> {
    let kind = match kind {
        Kind::AsStated => {
            let (draw, shares) = (rng.random::<f64>(), set.unlisted);
            if draw < shares.pairing {
                Kind::UnlistedPairing
            } else if draw < shares.pairing + shares.obverse_die + shares.reverse_die {
                Kind::UnlistedDie(rng.random_range(1..=2))
            } else {
                Kind::Listed
            }
        }
        kind => kind,
    };
    let dies_of = |index: usize| {
        let pairing = &set.pairings[index];
        [
            die_index(&set.obverse, &pairing.obverse),
            die_index(&set.reverse, &pairing.reverse),
        ]
    };
    let listed = rng.random_range(0..set.pairings.len());
    let mut dies = dies_of(listed);
    if kind == Kind::UnlistedPairing {
        let known: Vec<[usize; 2]> = (0..set.pairings.len()).map(dies_of).collect();
        let unlisted: Vec<[usize; 2]> = (0..set.obverse.dies.len())
            .flat_map(|o| (0..set.reverse.dies.len()).map(move |r| [o, r]))
            .filter(|pair| !known.contains(pair))
            .collect();
        dies = *unlisted.choose(rng)?;
    }
    let mut shows = Sides {
        obverse: states_of(&set.obverse, dies[0], rng),
        reverse: states_of(&set.reverse, dies[1], rng),
    };
    if let Kind::UnlistedDie(differs_in) = kind {
        let side = Side::BOTH[rng.random_range(0..2)];
        shows[side] = unlisted_die(
            set.side(side),
            &shows[side],
            dies[usize::from(side == Side::Reverse)],
            differs_in,
            rng,
        )?;
    }
    Some(Coin {
        shows,
        truth: (kind == Kind::Listed).then_some(listed),
    })
}

/// A die that differs from a listed one in some of the features that this one shows, and that fits no listed die.
fn unlisted_die(
    reference: &SideReference,
    states: &[usize],
    die: usize,
    differs_in: usize,
    rng: &mut ChaCha8Rng,
) -> Option<Vec<usize>> {
    let shown = |index: &usize| {
        reference.dies[die]
            .shows
            .contains_key(&reference.features[*index].id)
    };
    let mut features: Vec<usize> = (0..states.len()).filter(shown).collect();
    (0..50).find_map(|_| {
        features.shuffle(rng);
        let mut changed = states.to_vec();
        for &index in features.get(..differs_in)? {
            let count = reference.features[index].states.len();
            changed[index] = (changed[index] + rng.random_range(1..count)) % count;
        }
        (!fits_a_listed_die(reference, &changed)).then_some(changed)
    })
}

/// A reader at work on one coin.
pub struct Reader<'a> {
    set: &'a ReferenceSet,
    coin: &'a Coin,
    reading: Reading,
    /// For each feature what was read; none where it cannot be told.
    read: Sides<Vec<Option<usize>>>,
}

impl<'a> Reader<'a> {
    /// Reads each feature once.
    pub fn look(set: &'a ReferenceSet, coin: &'a Coin, reading: Reading, rng: &mut ChaCha8Rng) -> Self {
        let bad_side = rng
            .random_bool(reading.badly_read)
            .then(|| Side::BOTH[rng.random_range(0..2)]);
        let read = Sides::each(|side| {
            let reference = set.side(side);
            let is_bad = bad_side == Some(side);
            let hoped_for = (is_bad && rng.random_bool(0.5)).then(|| {
                let die = rng.random_range(0..reference.dies.len());
                states_of(reference, die, rng)
            });
            let careless = if is_bad && hoped_for.is_none() {
                1.0 / 3.0
            } else {
                reading.careless
            };
            let states = coin.shows[side].iter().enumerate();
            states
                .map(|(index, &state)| {
                    if rng.random_bool(reading.illegible) {
                        return None;
                    }
                    match &hoped_for {
                        Some(hoped) if rng.random_bool(0.5) => Some(hoped[index]),
                        _ => Some(read_one(
                            state,
                            reference.features[index].states.len(),
                            careless,
                            rng,
                        )),
                    }
                })
                .collect()
        });
        Self {
            set,
            coin,
            reading,
            read,
        }
    }

    fn standing_of(&self, read: &Sides<Vec<Option<usize>>>) -> Standing {
        let mut verdicts: Vec<Verdict> = Vec::new();
        for side in Side::BOTH {
            for (feature, read) in self.set.side(side).features.iter().zip(&read[side]) {
                let (ruling, state) = read.map_or(('?', 0), |state| ('=', state));
                let state = feature.states[state].id.as_str();
                verdicts.push(builder::verdict(side, feature.id.as_str(), ruling, state));
            }
        }
        standing(self.set, &BTreeMap::new(), None, &verdicts, Prior::Equal)
    }

    /// What the readings come to.
    pub fn standing(&self) -> Standing {
        self.standing_of(&self.read)
    }

    /// What the same looks would come to, had they all been read rightly.
    pub fn standing_without_slips(&self) -> Standing {
        self.standing_of(&Sides::each(|side| {
            let states = self.read[side].iter().zip(&self.coin.shows[side]);
            states.map(|(read, state)| read.map(|_| *state)).collect()
        }))
    }

    /// The features read wrongly.
    pub fn slips(&self) -> Vec<(Side, usize)> {
        Side::BOTH
            .into_iter()
            .flat_map(|side| {
                let states = self.read[side].iter().zip(&self.coin.shows[side]).enumerate();
                states
                    .filter(|(_, (read, state))| read.is_some_and(|read| read != **state))
                    .map(move |(i, _)| (side, i))
            })
            .collect()
    }

    /// Looks again as the program asks: at every reading that it names, until two looks in a row agree, as carelessly as
    /// before; where that changes a reading, at all others of the side too. A reading is looked at again
    /// [`MOST_TIMES_AGAIN`] times at most. Returns what that comes to.
    pub fn look_again(&mut self, first: &Standing, rng: &mut ChaCha8Rng) -> Standing {
        let mut standing = first.clone();
        let mut times: BTreeMap<(Side, usize), usize> = BTreeMap::new();
        loop {
            let mut named: Vec<(Side, usize)> = named_features(self.set, &standing)
                .into_iter()
                .filter(|named| times.get(named).is_none_or(|times| *times < MOST_TIMES_AGAIN))
                .collect();
            if named.is_empty() {
                return standing;
            }
            while let Some((side, index)) = named.pop() {
                *times.entry((side, index)).or_default() += 1;
                let Some(old) = self.read[side][index] else {
                    continue;
                };
                let new = self.two_looks_that_agree(side, index, rng);
                self.read[side][index] = Some(new);
                if new != old {
                    let others = (0..self.read[side].len()).map(|index| (side, index));
                    let fresh = others.filter(|other| !times.contains_key(other) && !named.contains(other));
                    named.extend(fresh.collect::<Vec<_>>());
                }
            }
            standing = self.standing();
        }
    }

    fn two_looks_that_agree(&self, side: Side, index: usize, rng: &mut ChaCha8Rng) -> usize {
        let count = self.set.side(side).features[index].states.len();
        let mut look = || read_one(self.coin.shows[side][index], count, self.reading.careless, rng);
        let mut last = look();
        loop {
            let next = look();
            if next == last {
                return next;
            }
            last = next;
        }
    }
}

/// The features that the program asks to look at again, as many as it shows: readings that may be slips, and single looks
/// on which a die hangs.
pub fn named_features(set: &ReferenceSet, standing: &Standing) -> Vec<(Side, usize)> {
    const SHOWN: usize = 4;
    let index_of = |side: Side, id: &FeatureId| {
        let features = &set.side(side).features;
        features
            .iter()
            .position(|feature| &feature.id == id)
            .map(|index| (side, index))
    };
    let slips = standing
        .recheck
        .iter()
        .take(SHOWN)
        .filter_map(|recheck| match recheck {
            Recheck::Feature { side, feature, .. } => index_of(*side, feature),
            Recheck::Fact { .. } => None,
        });
    let hinges = standing
        .hinges
        .iter()
        .filter_map(|hinge| index_of(hinge.side, &hinge.feature));
    let hinges = hinges.filter(|_| standing.outcome.pairing().is_some());
    slips.chain(hinges).collect()
}

fn read_one(state: usize, count: usize, careless: f64, rng: &mut ChaCha8Rng) -> usize {
    if rng.random_bool(careless) {
        (state + rng.random_range(1..count)) % count
    } else {
        state
    }
}

/// Counts over simulated coins.
#[derive(Debug, Clone, Copy, Default)]
pub struct Tally {
    pub coins: usize,
    pub could: usize,
    /// Settled rightly among those that could be.
    pub right_of_could: usize,
    pub right: usize,
    pub wrong: usize,
    pub right_of_could_again: usize,
    pub wrong_again: usize,
    pub leaning_right: usize,
    pub leaning_wrong: usize,
    pub contradicted: usize,
    pub unlisted: usize,
    /// Coins with exactly one slip that are not settled, and of those how many have it among what to look at again.
    pub one_slip: usize,
    pub slip_named: usize,
}

impl Tally {
    pub fn add(&mut self, other: &Tally) {
        let mut other = *other;
        for (sum, more) in self.counts().into_iter().zip(other.counts()) {
            *sum += *more;
        }
    }

    fn counts(&mut self) -> [&mut usize; 13] {
        [
            &mut self.coins,
            &mut self.could,
            &mut self.right_of_could,
            &mut self.right,
            &mut self.wrong,
            &mut self.right_of_could_again,
            &mut self.wrong_again,
            &mut self.leaning_right,
            &mut self.leaning_wrong,
            &mut self.contradicted,
            &mut self.unlisted,
            &mut self.one_slip,
            &mut self.slip_named,
        ]
    }

    pub fn percent(part: usize, of: usize) -> f64 {
        100.0 * part as f64 / of.max(1) as f64
    }
}

/// Reads so many coins of a kind.
pub fn simulate(
    set: &ReferenceSet,
    kind: Kind,
    reading: Reading,
    coins: usize,
    rng: &mut ChaCha8Rng,
) -> Tally {
    let mut tally = Tally::default();
    for _ in 0..coins {
        let Some(coin) = strike(set, kind, rng) else {
            continue;
        };
        let mut reader = Reader::look(set, &coin, reading, rng);
        let settled_right = |standing: &Standing| match standing.outcome {
            Outcome::Settled { pairing } => Some(Some(pairing) == coin.truth),
            _ => None,
        };
        let could = settled_right(&reader.standing_without_slips()) == Some(true);
        let first = reader.standing();
        let verdict = settled_right(&first);
        tally.coins += 1;
        tally.could += usize::from(could);
        tally.right += usize::from(verdict == Some(true));
        tally.right_of_could += usize::from(could && verdict == Some(true));
        tally.wrong += usize::from(verdict == Some(false));
        match first.outcome {
            Outcome::Leaning { pairing } if Some(pairing) == coin.truth => tally.leaning_right += 1,
            Outcome::Leaning { .. } => tally.leaning_wrong += 1,
            Outcome::Contradicted { .. } => tally.contradicted += 1,
            Outcome::Unlisted { .. } => tally.unlisted += 1,
            _ => {}
        }
        if let [slip] = reader.slips().as_slice()
            && verdict.is_none()
        {
            tally.one_slip += 1;
            tally.slip_named += usize::from(named_features(set, &first).contains(slip));
        }
        let again = settled_right(&reader.look_again(&first, rng));
        tally.right_of_could_again += usize::from(could && again == Some(true));
        tally.wrong_again += usize::from(again == Some(false));
    }
    tally
}
