//! An example worked by hand; the same numbers stand in the first case of tests/data/evidence_values.json, from NumPy
//! and SciPy.
//!
//! Verdicts: the stop agrees with near (r 0.9, 2 states), the leaf differs from none (r 0.8, 3 states: one or two was
//! read), the line agrees with open (r 0.95, 2 states).
//!
//! A side is looked at carefully with probability 0.95; a poor look, with 0.05, is half a careful one and half a guess.
//!
//! | die | careful look: stop, leaf or line | poor look | likelihood |
//! |---|---|---|---|
//! | O1 near, one | 0.9 x (0.8 + 0.1) = 0.81 | 0.7 x (0.45 + 1 / 3) = 0.548333 | 0.7695 + 0.027417 = 0.796917 |
//! | O2 far, one | 0.1 x 0.9 = 0.09 | 0.3 x 0.783333 = 0.235 | 0.0855 + 0.01175 = 0.09725 |
//! | O3 far, silent | 0.1 x 2 / 3 = 0.066667 | 0.3 x 2 / 3 = 0.2 | 0.063333 + 0.01 = 0.073333 |
//! | R1 open | 0.95 | 0.725 | 0.9025 + 0.03625 = 0.93875 |
//! | R2 closed | 0.05 | 0.275 | 0.0475 + 0.01375 = 0.06125 |
//!
//! P1 = O1 R1: 0.748105, P2 = O2 R1: 0.091293, P3 = O3 R2: 0.004492; P1 against P2 is 0.796917 / 0.09725 = 8.1945.

use dietell::evidence::{Cause, Outcome, VerbalScale};
use dietell::reference::Side;

use super::builder::{o, r, stand, worked};

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-12
}

#[test]
fn likelihoods_probabilities_and_ratio_are_those_worked_by_hand() {
    let standing = stand(
        &worked(),
        &[
            o("stop", '=', "near"),
            o("leaf", 'x', "none"),
            r("line", '=', "open"),
        ],
    );
    let obverse: Vec<f64> = standing
        .obverse
        .iter()
        .map(|d| 10f64.powf(d.log10_likelihood))
        .collect();
    let by_hand = [
        0.7695 + 0.05 * 0.7 * (0.45 + 1.0 / 3.0),
        0.09725,
        0.19 / 3.0 + 0.01,
    ];
    assert!(
        obverse.iter().zip(by_hand).all(|(a, b)| close(*a, b)),
        "{obverse:?}"
    );
    let pairs = [by_hand[0] * 0.93875, by_hand[1] * 0.93875, by_hand[2] * 0.06125];
    let sum: f64 = pairs.iter().sum();
    // The three share what is left beside what the set does not list.
    let listed = 1.0 - standing.open_world.total();
    assert!(listed > 0.9 && listed < 1.0, "{listed}");
    for (pairing, by_hand) in standing.pairings.iter().zip(pairs) {
        assert!(
            close(pairing.probability / listed, by_hand / sum),
            "{pairing:?} {by_hand}"
        );
    }
    let ratio = standing.ratio.unwrap();
    assert!(
        close(10f64.powf(ratio.log10), by_hand[0] / by_hand[1]),
        "{ratio:?}"
    );
    assert_eq!(ratio.verbal(), VerbalScale::Weak);
    assert_eq!(standing.outcome, Outcome::Leaning { pairing: 0 });
}

#[test]
fn each_exclusion_names_every_cause() {
    let set = worked();
    let standing = stand(
        &set,
        &[
            o("stop", '=', "near"),
            o("stop", 'x', "far"),
            r("line", '=', "open"),
        ],
    );
    assert!(standing.obverse[0].out.is_empty());
    assert_eq!(
        standing.obverse[1].out,
        [
            Cause::ShowsOther {
                side: Side::Obverse,
                feature: "stop".into(),
                coin: "near".into(),
                die: "far".into()
            },
            Cause::Differs {
                side: Side::Obverse,
                feature: "stop".into(),
                die: "far".into()
            },
        ]
    );
    let sentences: Vec<String> = standing.obverse[1]
        .out
        .iter()
        .map(|cause| cause.sentence(&set))
        .collect();
    assert_eq!(
        sentences,
        [
            "How is the stop? The coin shows \u{201c}near stop\u{201d}, this die \u{201c}far stop\u{201d}.",
            "How is the stop? The coin differs from \u{201c}far stop\u{201d}, which this die shows.",
        ]
    );
    assert_eq!(
        standing.pairings[2].out,
        [
            Cause::DieOut {
                side: Side::Obverse,
                die: "O3".into()
            },
            Cause::DieOut {
                side: Side::Reverse,
                die: "R2".into()
            },
        ]
    );
}

#[test]
fn two_verdicts_on_one_feature_are_one_look() {
    // Agreeing with near and differing from far is the same reading told twice, and weighs once.
    let once = stand(&worked(), &[o("stop", '=', "near")]);
    let twice = stand(&worked(), &[o("stop", '=', "near"), o("stop", 'x', "far")]);
    assert_eq!(once.ratio, twice.ratio);
    assert_eq!((once.obverse[0].supporting, twice.obverse[0].supporting), (1, 2));
}

#[test]
fn a_silent_die_is_neither_raised_nor_lowered() {
    // Against two dies that fit alike well and badly, the silent one stays at its share of what the listed ones have.
    let standing = stand(&worked(), &[o("leaf", '=', "two")]);
    // O1 and O2 show one: 0.95 x 0.1 + 0.05 x (0.05 + 1/6) each; O3 is silent: 1/3.
    let sum = 2.0 * (0.095 + 0.05 * (0.05 + 1.0 / 6.0)) + 1.0 / 3.0;
    let listed = 1.0 - standing.open_world.side.obverse;
    assert!(close(standing.obverse[2].probability / listed, (1.0 / 3.0) / sum));
    assert!(standing.obverse[2].out.is_empty());
    // And a die that agrees outweighs it.
    let standing = stand(&worked(), &[o("leaf", '=', "one")]);
    assert!(standing.obverse[0].probability > standing.obverse[2].probability);
}
