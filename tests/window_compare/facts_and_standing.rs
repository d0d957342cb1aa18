//! Facts and verdicts change what is left, and the Standing page says why.

use dietell::app::model::bench::Step;
use dietell::app::shell::window::Window;
use dietell::evidence::{Outcome, Prior};
use dietell::specimen::FactAnswer;
use egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use super::synthetic::opened;

fn pairings_in(harness: &mut Harness<'_, Window>) -> Vec<String> {
    let bench = harness.state_mut().bench.as_mut().unwrap();
    let standing = bench.derived().standing.clone();
    standing
        .pairings_in()
        .map(|i| bench.set.pairings[i].catalogue.clone())
        .collect()
}

#[test]
fn a_fact_puts_pairings_out_and_the_standing_says_which() {
    let mut harness = opened(Step::Compare);
    harness.key_press(Key::F);
    harness.run_ok();
    harness.get_by_label("213").click();
    harness.run_ok();
    assert_eq!(pairings_in(&mut harness), ["SL 4", "SL 5"]);
    harness.get_by_label("2 of 5 pairings");

    harness
        .get_by_label("One of several: Which year does it bear?")
        .click();
    harness.run_ok();
    harness.get_by_label("211").click();
    harness.run_ok();
    let answer = harness.state().bench.as_ref().unwrap().record().facts[&"date".into()].clone();
    assert_eq!(
        answer,
        FactAnswer::OneOf(vec!["211".to_owned(), "213".to_owned()])
    );
    assert_eq!(pairings_in(&mut harness), ["SL 1", "SL 2", "SL 4", "SL 5"]);

    harness.state_mut().bench.as_mut().unwrap().step = Step::Standing;
    harness.run_ok();
    harness.get_by_label_contains("Known with");
    harness.get_by_label("4 of 5 listed pairings still in");

    harness.state_mut().bench.as_mut().unwrap().step = Step::Compare;
    harness.run_ok();
    harness
        .get_by_label("Not looked at yet: Which year does it bear?")
        .click();
    harness.run_ok();
    assert_eq!(pairings_in(&mut harness).len(), 5);
}

#[test]
fn the_weight_is_entered_and_cautioned_against() {
    let mut harness = opened(Step::Compare);
    harness.key_press(Key::F);
    harness.run_ok();
    harness.get_by_label("Enter the weight").click();
    harness.run_ok();
    let weight = harness.state().bench.as_ref().unwrap().record().weight_g;
    assert_eq!(weight, Some(7.5));
    harness
        .state_mut()
        .bench
        .as_mut()
        .unwrap()
        .edit("the weight", None, |record| record.weight_g = Some(9.0));
    harness.state_mut().bench.as_mut().unwrap().step = Step::Standing;
    harness.run_ok();
    harness.get_by_label_contains("Wear cannot add weight");
}

#[test]
fn truthful_verdicts_settle_the_true_pairing() {
    let mut harness = opened(Step::Compare);
    for name in ["Agrees: two leaves", "the other 4 differ"] {
        harness.get_by_label(name).click();
        harness.run_ok();
    }
    harness
        .get_by_label_contains("How far is the stop from the letter?:")
        .click();
    harness.run_ok();
    harness.get_by_label("Agrees: well clear of the letter").click();
    harness.run_ok();
    harness.get_by_label("the other differs").click();
    harness.run_ok();
    // The same two questions on the reverse.
    harness.key_press(Key::N);
    harness.key_press(Key::N);
    harness.run_ok();
    harness.get_by_label("Agrees: well clear of the letter").click();
    harness.run_ok();
    harness.get_by_label("the other differs").click();
    harness.run_ok();
    let bench = harness.state_mut().bench.as_mut().unwrap();
    let outcome = bench.derived().standing.outcome.clone();
    // SL 3 is C with 2, the coin's own.
    assert!(
        matches!(
            outcome,
            Outcome::Settled { pairing: 2 } | Outcome::Leaning { pairing: 2 }
        ),
        "{outcome:?}"
    );
    bench.step = Step::Standing;
    harness.run_ok();
    let named = "SL 3, obverse C with reverse 2";
    assert!(harness.query_all_by_label_contains(named).next().is_some());
    harness.get_by_label("Obverse dies: 1 of 5 still in");
    harness.get_by_label("A out");
    assert!(
        harness
            .query_all_by_label_contains("Likelihood ratio")
            .next()
            .is_some()
    );
}

#[test]
fn the_standing_leads_back_to_the_feature_that_tells_most() {
    let mut harness = opened(Step::Standing);
    harness.get_by_label("How many leaves are on the stem?").click();
    harness.run_ok();
    let bench = harness.state().bench.as_ref().unwrap();
    assert_eq!(bench.step, Step::Compare);
    assert_eq!(bench.feature.obverse, Some("leaves".into()));
}

#[test]
fn the_prior_is_the_users_choice() {
    let mut harness = opened(Step::Standing);
    assert_eq!(harness.state().bench.as_ref().unwrap().prior, Prior::Equal);
    harness
        .get_by_label("pairings count by how many are thought to exist")
        .click();
    harness.run_ok();
    assert_eq!(
        harness.state().bench.as_ref().unwrap().prior,
        Prior::EstimatedKnown
    );
}
