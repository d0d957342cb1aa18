//! What must hold for any set and any verdicts.

use std::collections::BTreeMap;

use dietell::evidence::{Cause, Outcome, Prior, Recheck, Standing, Wanting, standing};
use dietell::reference::{DieId, FactId, ReferenceSet, Side, SideReference};
use dietell::specimen::{FactAnswer, Verdict};
use proptest::prelude::*;
use proptest::sample::Index;

use super::builder;

const STATES: [&str; 4] = ["s0", "s1", "s2", "s3"];
const NAMES: [&str; 5] = ["d0", "d1", "d2", "d3", "d4"];
const FEATURES: [&str; 4] = ["f0", "f1", "f2", "f3"];

/// A side of 1 to 5 dies and 1 to 4 features of 2 to 4 states; a fifth of the cells is silent.
fn any_side() -> impl Strategy<Value = SideReference> {
    let feature = (0.55f64..0.99, 2usize..=4);
    (
        prop::collection::vec(feature, 1..=4),
        1usize..=5,
        prop::collection::vec(any::<Index>(), 20),
    )
        .prop_map(|(features, dies, draws)| {
            let specs: Vec<(&str, f64, &[&str])> = features
                .iter()
                .zip(FEATURES)
                .map(|((reliability, states), name)| (name, *reliability, &STATES[..*states]))
                .collect();
            let shows: Vec<Vec<&str>> = (0..dies)
                .map(|die| {
                    let cells = features.iter().enumerate();
                    cells
                        .map(|(place, (_, states))| {
                            let draw = draws[die * 4 + place].index(5 * states);
                            if draw < *states {
                                "-"
                            } else {
                                STATES[draw % states]
                            }
                        })
                        .collect()
                })
                .collect();
            let rows: Vec<(&str, &[&str])> = NAMES
                .iter()
                .zip(&shows)
                .map(|(name, row)| (*name, row.as_slice()))
                .collect();
            builder::side(&specs, &rows)
        })
}

/// A set with 1 to 6 distinct pairings; each may be known with some of three dates.
fn any_set() -> impl Strategy<Value = ReferenceSet> {
    let pairing = (any::<Index>(), any::<Index>(), 0u8..8);
    (any_side(), any_side(), prop::collection::vec(pairing, 1..=6)).prop_map(|(obverse, reverse, draws)| {
        let mut dies: Vec<(usize, usize, u8)> = draws
            .iter()
            .map(|(o, r, dates)| (o.index(obverse.dies.len()), r.index(reverse.dies.len()), *dates))
            .collect();
        dies.sort_unstable();
        dies.dedup_by_key(|(o, r, _)| (*o, *r));
        let numbers: Vec<String> = (1..=dies.len()).map(|n| format!("P{n}")).collect();
        let listed: Vec<(&str, &str, &str)> = dies
            .iter()
            .zip(&numbers)
            .map(|((o, r, _), number)| (number.as_str(), NAMES[*o], NAMES[*r]))
            .collect();
        let mut set = builder::set(obverse, reverse, &listed);
        for (pairing, (_, _, dates)) in set.pairings.iter_mut().zip(&dies) {
            let known: Vec<String> = (0..3)
                .filter(|bit| dates >> bit & 1 == 1)
                .map(|bit| (bit + 1).to_string())
                .collect();
            if !known.is_empty() {
                pairing.facts.insert("date".into(), known);
            }
        }
        set
    })
}

/// Any verdicts at all, at most one for each state.
fn verdicts(set: &ReferenceSet, draws: &[Index]) -> Vec<Verdict> {
    let mut given = Vec::new();
    let mut draws = draws.iter().cycle();
    for side in Side::BOTH {
        for feature in &set.side(side).features {
            for state in &feature.states {
                let draw = draws.next().map_or(0, |draw| draw.index(6));
                if let Some(ruling) = ['=', 'x', '?'].get(draw) {
                    given.push(builder::verdict(
                        side,
                        feature.id.as_str(),
                        *ruling,
                        state.id.as_str(),
                    ));
                }
            }
        }
    }
    given
}

fn facts(draw: &Index) -> BTreeMap<FactId, FactAnswer> {
    let answer = match draw.index(6) {
        n @ 1..=3 => FactAnswer::Is(n.to_string()),
        4 => FactAnswer::OneOf(vec!["1".into(), "2".into()]),
        5 => FactAnswer::Unreadable,
        _ => return BTreeMap::new(),
    };
    BTreeMap::from([("date".into(), answer)])
}

fn weigh(set: &ReferenceSet, facts: &BTreeMap<FactId, FactAnswer>, verdicts: &[Verdict]) -> Standing {
    standing(set, facts, None, verdicts, Prior::Equal)
}

/// What an honest eye says of a coin of that pairing: for each feature and state, agrees where the die shows it and
/// differs where it shows another; nothing where the set is silent.
fn truthful(set: &ReferenceSet, pairing: usize) -> Vec<Verdict> {
    let mut given = Vec::new();
    for side in Side::BOTH {
        let reference = set.side(side);
        let id = match side {
            Side::Obverse => &set.pairings[pairing].obverse,
            Side::Reverse => &set.pairings[pairing].reverse,
        };
        let die = reference.die(id).unwrap();
        for feature in &reference.features {
            let Some(shown) = die.shows.get(&feature.id) else {
                continue;
            };
            for state in &feature.states {
                let ruling = if &state.id == shown { '=' } else { 'x' };
                given.push(builder::verdict(
                    side,
                    feature.id.as_str(),
                    ruling,
                    state.id.as_str(),
                ));
            }
        }
    }
    given
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn the_order_of_verdicts_does_not_matter(
        (set, shuffled, given) in (any_set(), prop::collection::vec(any::<Index>(), 32)).prop_flat_map(|(set, draws)| {
            let given = verdicts(&set, &draws);
            (Just(set), Just(given.clone()).prop_shuffle(), Just(given))
        }),
        date: Index,
    ) {
        prop_assert_eq!(weigh(&set, &facts(&date), &given), weigh(&set, &facts(&date), &shuffled));
    }

    #[test]
    fn a_true_verdict_never_puts_the_true_pairing_out(set in any_set(), pick: Index, order in any::<u64>()) {
        let truth = pick.index(set.pairings.len());
        let mut given = truthful(&set, truth);
        // Any order will do, as any subset is reached on the way.
        given.sort_by_key(|verdict| {
            let name = format!("{:?}{}{}", verdict.side, verdict.feature, verdict.state);
            name.bytes().fold(order, |hash, byte| hash.wrapping_mul(31).wrapping_add(u64::from(byte)) ^ (hash >> 7))
        });
        for count in 0..=given.len() {
            let standing = weigh(&set, &BTreeMap::new(), &given[..count]);
            prop_assert!(standing.pairings[truth].is_in());
            let contradicted = matches!(standing.outcome, Outcome::Contradicted { .. });
            prop_assert!(!contradicted);
            if let Outcome::Settled { pairing } = standing.outcome {
                prop_assert_eq!(pairing, truth);
            }
        }
    }

    #[test]
    fn probabilities_sum_to_one(set in any_set(), draws in prop::collection::vec(any::<Index>(), 32), date: Index) {
        let standing = weigh(&set, &facts(&date), &verdicts(&set, &draws));
        for side in Side::BOTH {
            let sum: f64 = standing.side(side).iter().map(|die| die.probability).sum::<f64>() + standing.open_world.side[side];
            prop_assert!((sum - 1.0).abs() < 1e-9, "{} dies: {sum}", side.word());
        }
        let listed: f64 = standing.pairings.iter().map(|pairing| pairing.probability).sum();
        let sum = listed + standing.open_world.total();
        prop_assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        if !standing.pairings.iter().any(|pairing| pairing.fits_facts()) {
            prop_assert_eq!(listed, 0.0);
        }
    }

    #[test]
    fn renaming_the_dies_changes_nothing_but_names(
        set in any_set(),
        draws in prop::collection::vec(any::<Index>(), 32),
        date: Index,
    ) {
        let given = verdicts(&set, &draws);
        // Names in the opposite order, so that nothing may hang on their sorting.
        let rename = |die: &DieId| DieId(format!("z{}", 9 - die.as_str()[1..].parse::<u32>().unwrap()));
        let mut renamed = set.clone();
        for side in Side::BOTH {
            renamed.side_mut(side).dies.iter_mut().for_each(|die| die.id = rename(&die.id));
        }
        for pairing in &mut renamed.pairings {
            pairing.obverse = rename(&pairing.obverse);
            pairing.reverse = rename(&pairing.reverse);
        }
        let mut expected = weigh(&set, &facts(&date), &given);
        for die in expected.obverse.iter_mut().chain(&mut expected.reverse) {
            die.die = rename(&die.die);
        }
        for cause in expected.pairings.iter_mut().flat_map(|pairing| &mut pairing.out) {
            if let Cause::DieOut { die, .. } = cause {
                *die = rename(die);
            }
        }
        for recheck in &mut expected.recheck {
            if let Recheck::Feature { dies, .. } = recheck {
                dies.iter_mut().for_each(|die| *die = rename(die));
            }
        }
        for die in expected.hinges.iter_mut().flat_map(|hinge| &mut hinge.others) {
            *die = rename(die);
        }
        for wanting in &mut expected.wanting {
            if let Wanting::DieNotTold { others, .. } = wanting {
                others.iter_mut().for_each(|die| *die = rename(die));
            }
        }
        if let Outcome::Unlisted { obverse, reverse } = &mut expected.outcome {
            obverse.iter_mut().chain(reverse).for_each(|die| *die = rename(die));
        }
        prop_assert_eq!(weigh(&renamed, &facts(&date), &given), expected);
    }

    #[test]
    fn withdrawing_a_reading_named_for_rechecking_lets_its_pairings_in(
        set in any_set(),
        draws in prop::collection::vec(any::<Index>(), 32),
        date: Index,
    ) {
        let (given, answers) = (verdicts(&set, &draws), facts(&date));
        for recheck in weigh(&set, &answers, &given).recheck {
            let without = match &recheck {
                Recheck::Feature { side, feature, .. } => {
                    let kept: Vec<Verdict> =
                        given.iter().filter(|v| v.side != *side || &v.feature != feature).cloned().collect();
                    weigh(&set, &answers, &kept)
                }
                Recheck::Fact { .. } => weigh(&set, &BTreeMap::new(), &given),
            };
            prop_assert!(recheck.restores().iter().all(|&index| without.pairings[index].is_in()));
        }
    }

    #[test]
    fn a_hint_never_costs_information(set in any_set(), draws in prop::collection::vec(any::<Index>(), 32)) {
        let standing = weigh(&set, &BTreeMap::new(), &verdicts(&set, &draws));
        prop_assert!(standing.next.iter().all(|next| next.gain_bits > 0.0 && next.gain_bits <= 2.0 + 1e-9));
        prop_assert!(standing.next.is_sorted_by(|a, b| a.gain_bits >= b.gain_bits));
    }
}
