//! Outcomes and their precedence.

use dietell::evidence::Outcome;
use dietell::reference::Side;
use dietell::specimen::FactAnswer;

use super::builder::{dated, o, r, set, side, stand, stand_dated, worked};

#[test]
fn no_evidence_is_open() {
    let standing = stand(&worked(), &[]);
    assert_eq!(standing.outcome, Outcome::Open);
    // By hand: line H(0.65) - H(0.95) = 0.648 bits, stop H(0.3667) - H(0.9) = 0.479 bits, leaf less.
    let next: Vec<(&str, f64)> = standing
        .next
        .iter()
        .map(|n| (n.feature.as_str(), n.gain_bits))
        .collect();
    assert!(
        next[0].0 == "line" && (next[0].1 - 0.648).abs() < 5e-4,
        "{next:?}"
    );
    assert!(
        next[1].0 == "stop" && (next[1].1 - 0.479).abs() < 5e-4,
        "{next:?}"
    );
}

#[test]
fn a_side_on_which_no_die_is_left_contradicts() {
    let standing = stand(&worked(), &[r("line", 'x', "open"), r("line", 'x', "closed")]);
    assert_eq!(
        standing.outcome,
        Outcome::Contradicted {
            sides: vec![Side::Reverse]
        }
    );
}

#[test]
fn facts_that_exclude_every_pairing_contradict_without_a_side() {
    let set = dated(dated(dated(worked(), 0, &["1"]), 1, &["1"]), 2, &["2"]);
    let standing = stand_dated(&set, FactAnswer::Is("3".into()), &[]);
    assert_eq!(standing.outcome, Outcome::Contradicted { sides: vec![] });
    assert!(standing.pairings.iter().all(|p| p.probability == 0.0));
}

#[test]
fn two_told_dies_that_are_not_listed_together_are_an_unlisted_pairing() {
    let standing = stand(&worked(), &[o("stop", '=', "near"), r("line", '=', "closed")]);
    assert_eq!(
        standing.outcome,
        Outcome::Unlisted {
            obverse: "O1".into(),
            reverse: "R2".into()
        }
    );
}

#[test]
fn a_single_die_a_side_without_verdicts_is_open() {
    let set = set(
        side(&[("stop", 0.9, &["near", "far"])], &[("O1", &["near"])]),
        side(&[("line", 0.9, &["open", "closed"])], &[("R1", &["open"])]),
        &[],
    );
    assert_eq!(stand(&set, &[]).outcome, Outcome::Open);
}
