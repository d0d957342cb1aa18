//! What a likelihood ratio may claim: trials with known truth, and the bound that follows from them.
//!
//! Each trial is a coin of a listed pairing of a set by seed, read with 5 or 10 % careless verdicts, with all told or
//! 40 % untold, one coin in ten with a badly read side. Its value is the log10 ratio of the true pairing against another
//! listed one that was drawn before the coin was read. The first half of the trials stands for claims that are true; the
//! second half, with its sign turned, for false claims that the other pairing struck the coin.

use dietell::evidence::{Standing, VALIDATED_LOG10};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::Value;

use super::random_sets::random_set;
use super::simulation::{Kind, Reader, Reading, strike};

const TRIALS: &str = include_str!("../data/ratio_trials.csv");
/// From tests/scripts/likelihood_bounds.py, by the package `lir` (1.3.1).
const BOUNDS: &str = include_str!("../data/ratio_bounds.json");

/// Sets by these seeds were used for nothing else.
const FIRST_SEED: u64 = 5_000;
const SETS: u64 = 250;
/// Of each set, under each of the four kinds of reading.
const COINS: usize = 10;

fn against_another(standing: &Standing, truth: usize, other: usize) -> f64 {
    standing.pairings[truth].log10_likelihood - standing.pairings[other].log10_likelihood
}

fn trials_of(seed: u64) -> Vec<f64> {
    let set = random_set(seed);
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut trials = Vec::new();
    for (careless, illegible) in [(0.05, 0.0), (0.05, 0.4), (0.1, 0.0), (0.1, 0.4)] {
        let reading = Reading {
            careless,
            illegible,
            badly_read: 0.1,
        };
        for _ in 0..COINS {
            let coin = strike(&set, Kind::Listed, &mut rng).unwrap();
            let truth = coin.truth.unwrap();
            let other = (truth + rng.random_range(1..set.pairings.len())) % set.pairings.len();
            let standing = Reader::look(&set, &coin, reading, &mut rng).standing();
            trials.push(against_another(&standing, truth, other));
        }
    }
    trials
}

fn committed() -> Vec<f64> {
    TRIALS.lines().map(|line| line.parse().unwrap()).collect()
}

#[test]
#[ignore = "writes tests/data/ratio_trials.csv"]
fn write_ratio_trials() {
    let rows = (FIRST_SEED..FIRST_SEED + SETS).flat_map(trials_of);
    let text: String = rows.map(|log10| format!("{log10:.4}\n")).collect();
    std::fs::write("tests/data/ratio_trials.csv", text).unwrap();
}

#[test]
fn the_committed_trials_are_those_of_the_program_as_it_is() {
    let committed = committed();
    let now: Vec<f64> = (FIRST_SEED..FIRST_SEED + 5).flat_map(trials_of).collect();
    assert_eq!(now.len(), 5 * 4 * COINS);
    for (now, then) in now.iter().zip(&committed) {
        assert!(
            (now - then).abs() < 1e-4,
            "{now} {then}: write the trials and their bounds anew"
        );
    }
    assert_eq!(committed.len(), SETS as usize * 4 * COINS);
}

/// The empirical upper bound (Vergeer et al. 2016): the greatest threshold up to which accepting a claim from that ratio
/// on costs no more than never accepting one, with a misleading trial added on each side.
fn upper_bound(true_claims: &[f64], false_claims: &[f64]) -> f64 {
    const STEP: f64 = 0.01;
    let share = |values: &[f64], threshold: f64, added: f64| {
        let above = values.iter().filter(|value| **value > threshold).count() as f64;
        (above + added) / (values.len() as f64 + 1.0)
    };
    let most = ((false_claims.len() + 1) as f64).log10();
    let mut bound = 0.0;
    for step in 0.. {
        let threshold = f64::from(step) * STEP;
        let cost = 1.0 - share(true_claims, threshold, 0.0)
            + 10f64.powf(threshold) * share(false_claims, threshold, 1.0);
        // Without a claim each true one is missed, at a cost of 1.
        if threshold > most || cost > 1.0 {
            break;
        }
        bound = threshold;
    }
    bound
}

#[test]
fn no_ratio_is_claimed_beyond_what_the_trials_bear_out() {
    let bounds: Value = serde_json::from_str(BOUNDS).unwrap();
    let by_lir = bounds["upper_log10"].as_f64().unwrap();
    let trials = committed();
    let (for_truth, other) = trials.split_at(trials.len() / 2);
    let against: Vec<f64> = other.iter().map(|log10| -log10).collect();
    let ours = upper_bound(for_truth, &against);
    println!("upper bound {ours}, by lir {by_lir}, in use {VALIDATED_LOG10}");
    assert!((ours - by_lir).abs() < 0.021, "{ours} {by_lir}");
    assert!(
        VALIDATED_LOG10 <= by_lir && VALIDATED_LOG10 > by_lir - 0.2,
        "{by_lir}"
    );
}
