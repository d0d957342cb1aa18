//! Outcomes and their precedence.

use std::collections::BTreeMap;

use dietell::evidence::{Cause, Caution, Outcome, Prior, Recheck, Wanting, standing};
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
            obverse: vec!["O1".into()],
            reverse: vec!["R2".into()]
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

/// Four dies a side that differ on three features each; four pairings.
fn strong() -> dietell::reference::ReferenceSet {
    let features: &[(&str, f64, &[&str])] = &[
        ("a", 0.95, &["yes", "no"]),
        ("b", 0.95, &["yes", "no"]),
        ("c", 0.95, &["yes", "no"]),
    ];
    let dies: [&[&str]; 4] = [
        &["yes", "yes", "no"],
        &["no", "no", "no"],
        &["yes", "no", "yes"],
        &["no", "yes", "yes"],
    ];
    let named = |letter: char| {
        let names: Vec<String> = (1..=4).map(|n| format!("{letter}{n}")).collect();
        let dies: Vec<(&str, &[&str])> = names.iter().map(String::as_str).zip(dies).collect();
        side(features, &dies)
    };
    set(
        named('O'),
        named('R'),
        &[
            ("S1", "O1", "R1"),
            ("S2", "O2", "R2"),
            ("S3", "O1", "R3"),
            ("S4", "O4", "R4"),
        ],
    )
}

#[test]
fn a_pairing_alone_left_with_support_on_both_sides_is_settled() {
    let set = strong();
    let verdicts = [
        o("a", '=', "yes"),
        o("b", '=', "yes"),
        o("c", '=', "no"),
        r("a", '=', "yes"),
        r("b", '=', "yes"),
        r("c", 'x', "yes"),
    ];
    let standing = stand(&set, &verdicts);
    assert_eq!(standing.outcome, Outcome::Settled { pairing: 0 });
    assert_eq!(
        standing.outcome.headline(&set),
        "Settled: S1, obverse O1 with reverse R1"
    );
    // Next is S3, with the same obverse and a reverse that differs on two features. A careful look, 0.95 of all, is
    // right with 0.95, a poor one with 0.725: 0.95 x 0.95^3 + 0.05 x 0.725^3 = 0.83356 against
    // 0.95 x 0.95 x 0.05^2 + 0.05 x 0.725 x 0.275^2 = 0.0049977 gives 167. Were the two looks independent of each other
    // whatever happened, it would be 361.
    let words = standing.explanation(&set).join(" ");
    assert!(
        words.contains("170 times as likely") && words.contains("moderately strong support"),
        "{words}"
    );
}

#[test]
fn a_die_that_follows_from_the_list_alone_does_not_settle() {
    let set = strong();
    // The obverse O2 is told and listed with R2 only; nobody has looked at the reverse.
    let standing = stand(&set, &[o("a", '=', "no"), o("b", '=', "no"), o("c", '=', "no")]);
    assert_eq!(standing.pairings_in().collect::<Vec<_>>(), [1]);
    assert_eq!(standing.outcome, Outcome::Leaning { pairing: 1 });
    let words = standing.explanation(&set).join(" ");
    assert!(
        words.contains("No verdict speaks for its reverse die yet"),
        "{words}"
    );
}

#[test]
fn one_look_at_a_good_feature_does_not_settle() {
    // O1 R1 against O1 R3 by one feature seen: (0.95 x 0.95 + 0.05 x 0.725) / (0.95 x 0.05 + 0.05 x 0.275) = 15.3.
    let standing = stand(
        &strong(),
        &[
            o("a", '=', "yes"),
            o("b", '=', "yes"),
            o("c", '=', "no"),
            r("c", '=', "no"),
            r("b", '?', "yes"),
        ],
    );
    assert_eq!(standing.outcome, Outcome::Leaning { pairing: 0 });
    assert!((standing.ratio.unwrap().log10 - (0.93875f64 / 0.06125).log10()).abs() < 1e-12);
}

#[test]
fn features_that_cannot_be_told_leave_a_coin_beyond_telling() {
    let set = strong();
    let told = [o("a", '=', "yes"), o("b", '=', "yes"), o("c", '=', "no")];
    let mut verdicts = told.to_vec();
    verdicts.extend([r("b", '?', "yes"), r("c", '?', "no")]);
    // S1 and S3 share the obverse; their reverses differ on b and c, which are worn.
    let standing = stand(&set, &verdicts);
    assert_eq!(standing.outcome, Outcome::BeyondTelling { possible: vec![0, 2] });
    assert!(
        standing
            .explanation(&set)
            .join(" ")
            .contains("never clean the coin")
    );
    // While one of them is not judged, the coin is open and that feature is named.
    let standing = stand(&set, &verdicts[..4]);
    assert_eq!(standing.outcome, Outcome::Open);
    assert_eq!(
        (standing.next[0].side, standing.next[0].feature.as_str()),
        (Side::Reverse, "c")
    );
}

#[test]
fn a_worn_out_coin_is_beyond_telling() {
    let set = strong();
    let mut verdicts = Vec::new();
    for feature in ["a", "b", "c"] {
        verdicts.extend([o(feature, '?', "yes"), r(feature, '?', "yes")]);
    }
    assert_eq!(
        stand(&set, &verdicts).outcome,
        Outcome::BeyondTelling {
            possible: vec![0, 1, 2, 3]
        }
    );
    // Even where the facts leave a single pairing, nothing on the coin confirms it.
    let set = dated(
        dated(dated(dated(set, 0, &["1"]), 1, &["2"]), 2, &["2"]),
        3,
        &["2"],
    );
    let standing = stand_dated(&set, FactAnswer::Is("1".into()), &verdicts);
    assert_eq!(standing.outcome, Outcome::BeyondTelling { possible: vec![0] });
    assert!(standing.outcome.headline(&set).contains("unconfirmed"));
}

#[test]
fn facts_exclude_and_an_unread_fact_does_not() {
    let set = dated(dated(worked(), 0, &["1", "2"]), 1, &["3"]);
    let out = |answer| {
        let standing = stand_dated(&set, answer, &[]);
        standing.pairings.iter().map(|p| !p.is_in()).collect::<Vec<_>>()
    };
    assert_eq!(out(FactAnswer::Is("3".into())), [true, false, false]);
    assert_eq!(
        out(FactAnswer::OneOf(vec!["2".into(), "3".into()])),
        [false, false, false]
    );
    assert_eq!(
        out(FactAnswer::OneOf(vec!["1".into(), "2".into()])),
        [false, true, false]
    );
    assert_eq!(out(FactAnswer::Unreadable), [false, false, false]);
    let standing = stand_dated(&set, FactAnswer::Is("3".into()), &[]);
    assert_eq!(
        standing.pairings[0].out[0].sentence(&set),
        "Known with date year 1 or year 2 only; the coin has year 3."
    );
}

#[test]
fn one_misread_feature_is_named_for_rechecking() {
    // Truth S2 (O2 R2) with feature b of the obverse misread: no obverse die is no, yes, no.
    let set = strong();
    let standing = stand(
        &set,
        &[
            o("a", '=', "no"),
            o("b", '=', "yes"),
            o("c", '=', "no"),
            r("a", '=', "no"),
            r("b", '=', "no"),
            r("c", '=', "no"),
        ],
    );
    // The slip does not end the matter: the true pairing leads, in doubt, and is not settled.
    assert_eq!(standing.outcome, Outcome::Leaning { pairing: 1 });
    assert!(standing.obverse[1].is_in());
    assert!(
        matches!(&standing.obverse[1].doubts[..], [Cause::ShowsOther { feature, .. }] if feature.as_str() == "b")
    );
    assert!(standing.wanting.contains(&Wanting::Contradicted));
    assert!(
        matches!(
            &standing.recheck[0],
            Recheck::Feature { side: Side::Obverse, feature, restores, dies }
                if feature.as_str() == "b" && restores == &[1] && dies.contains(&"O2".into())
        ),
        "{:?}",
        standing.recheck
    );
    assert!(
        standing
            .explanation(&set)
            .join(" ")
            .contains("Look again at the obverse feature")
    );
    assert!(
        standing.pairings[1].probability / (1.0 - standing.open_world.total()) > 0.9,
        "the soft weighing still finds it"
    );
}

#[test]
fn one_misread_fact_is_named_for_rechecking() {
    let set = dated(dated(dated(worked(), 0, &["1"]), 1, &["2"]), 2, &["2"]);
    let standing = stand_dated(
        &set,
        FactAnswer::Is("2".into()),
        &[o("stop", '=', "near"), r("line", '=', "open")],
    );
    assert_eq!(standing.outcome, Outcome::Contradicted { sides: vec![] });
    assert_eq!(
        standing.recheck[0],
        Recheck::Fact {
            fact: "date".into(),
            restores: vec![0]
        }
    );
}

#[test]
fn verdicts_that_contradict_one_another_are_flagged() {
    let set = worked();
    let both = [o("stop", '=', "near"), o("stop", '=', "far")];
    let conflict = Caution::ConflictingVerdicts {
        side: Side::Obverse,
        feature: "stop".into(),
    };
    let standing = stand(&set, &both);
    assert_eq!(standing.cautions, std::slice::from_ref(&conflict));
    assert_eq!(
        standing.outcome,
        Outcome::Contradicted {
            sides: vec![Side::Obverse]
        }
    );
    assert_eq!(standing.recheck[0].restores(), [0, 1, 2]);
    // Neither die gains by it: both are contradicted alike.
    assert_eq!(
        standing.obverse[0].log10_likelihood,
        standing.obverse[1].log10_likelihood
    );
    // The same state agreed with and differed from, as a file written by hand may have it.
    assert_eq!(
        stand(&set, &[o("stop", '=', "near"), o("stop", 'x', "near")]).cautions,
        [conflict]
    );
    // Differing from every state is no conflict: it points at an unlisted die.
    let none = stand(&set, &[o("stop", 'x', "near"), o("stop", 'x', "far")]);
    assert_eq!(
        none.cautions,
        [Caution::NoneOfTheStates {
            side: Side::Obverse,
            feature: "stop".into()
        }]
    );
}

#[test]
fn a_likelier_pairing_that_one_reading_excludes_keeps_the_coin_open() {
    // O9 is silent on everything and so fits anything; O1 fits two of three verdicts.
    let mut set = strong();
    let silent = dietell::reference::Die {
        id: "O9".into(),
        note: String::new(),
        shows: Default::default(),
        plates: vec![],
    };
    set.obverse.dies.push(silent);
    let mut pairing = set.pairings[0].clone();
    pairing.obverse = "O9".into();
    pairing.catalogue = "S9".into();
    set.pairings.push(pairing);
    set.obverse.features[2].reliability = 0.6;
    // c is misread: O1 shows no. O3 would fit, and is in no listed pairing.
    let standing = stand(
        &set,
        &[
            o("a", '=', "yes"),
            o("b", '=', "yes"),
            o("c", '=', "yes"),
            r("a", '=', "yes"),
        ],
    );
    assert!(!standing.pairings[0].is_in() && standing.pairings[4].is_in());
    assert!(standing.pairings[0].probability > standing.pairings[4].probability);
    assert_eq!(standing.outcome, Outcome::Open);
    assert_eq!(standing.recheck.len(), 1);
    assert!(standing.recheck[0].restores().contains(&0));
}

#[test]
fn weight_cautions_and_never_excludes() {
    let set = worked();
    let weighed = |grams| standing(&set, &BTreeMap::new(), Some(grams), &[], Prior::Equal);
    for grams in [1.0, 12.1, 40.0] {
        assert_eq!(weighed(grams).pairings_in().count(), 3);
    }
    assert!(matches!(weighed(12.3).cautions[..], [Caution::Heavy { .. }]));
    assert!(matches!(weighed(11.0).cautions[..], [Caution::Light { .. }]));
    assert!(weighed(12.19).cautions.is_empty() && weighed(f64::NAN).cautions.is_empty());
}

#[test]
fn estimated_numbers_weigh_in_only_when_asked() {
    let mut set = worked();
    set.pairings[0].estimated_known = Some(30.0);
    set.pairings[1].estimated_known = Some(10.0);
    let with = |prior| standing(&set, &BTreeMap::new(), None, &[], prior);
    let probabilities = |prior| {
        let standing = with(prior);
        // Without a verdict what is not listed has the shares that it began with.
        let listed = 1.0 - standing.open_world.total();
        assert!(
            (standing.open_world.pairing - 0.04 / 1.0016).abs() < 1e-12,
            "{:?}",
            standing.open_world
        );
        standing
            .pairings
            .iter()
            .map(|p| p.probability / listed)
            .collect::<Vec<_>>()
    };
    assert!(
        probabilities(Prior::Equal)
            .iter()
            .all(|p| (p - 1.0 / 3.0).abs() < 1e-12)
    );
    let known = probabilities(Prior::EstimatedKnown);
    // The third has no estimate and counts as the least of the others: 30, 10, 10.
    assert!(
        [0.6, 0.2, 0.2]
            .iter()
            .zip(&known)
            .all(|(a, b)| (a - b).abs() < 1e-12),
        "{known:?}"
    );
    // Numbers alone are no evidence from the coin.
    assert_eq!(with(Prior::EstimatedKnown).outcome, Outcome::Open);
}

#[test]
fn parts_that_the_set_does_not_have_are_named_and_not_counted() {
    let set = worked();
    let standing = stand(&set, &[o("stop", '=', "gone"), o("gone", '=', "near")]);
    assert_eq!(standing.outcome, Outcome::Open);
    assert_eq!(standing.cautions.len(), 2);
    assert!(standing.cautions[0].sentence(&set).contains("not counted"));
    let facts = BTreeMap::from([("hue".into(), FactAnswer::Unreadable)]);
    let standing = dietell::evidence::standing(&set, &facts, None, &[], Prior::Equal);
    assert_eq!(standing.cautions, [Caution::UnknownFact { fact: "hue".into() }]);
}

#[test]
fn an_unfinished_set_is_weighed_without_complaint() {
    // No pairings, a feature without states, a die that names a state that is gone, a pairing that names no die.
    let mut empty = set(side(&[], &[]), side(&[], &[]), &[]);
    assert_eq!(stand(&empty, &[]).outcome, Outcome::Open);
    empty.obverse = side(
        &[("stop", 0.9, &[]), ("leaf", 2.0, &["one"])],
        &[("O1", &["near", "one"])],
    );
    assert_eq!(
        stand(&empty, &[o("leaf", 'x', "one")]).outcome,
        Outcome::Contradicted {
            sides: vec![Side::Obverse]
        }
    );
    let named = set(
        empty.obverse.clone(),
        side(&[], &[]),
        &[("P1", "O1", "R9"), ("P2", "O9", "R9")],
    );
    let standing = stand(&named, &[o("leaf", '=', "one")]);
    assert_eq!(
        standing.pairings.iter().filter(|p| p.probability > 0.0).count(),
        2
    );
    assert_eq!(standing.outcome, Outcome::Open);
}
