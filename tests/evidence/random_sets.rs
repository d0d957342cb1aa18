//! Reference sets by seed: sides of 3 to 12 dies and 5 to 10 features, some dies nearly alike, some cells silent,
//! pairings in a chain as dies wear out one after the other.

use dietell::reference::{ReferenceSet, SideReference};
use rand::Rng;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::builder;

const STATES: [&str; 4] = ["s0", "s1", "s2", "s3"];
/// Of the dies but the first, how many are made from another by a change or two.
const NEAR_COPIES: f64 = 0.25;
const SILENT: f64 = 0.04;

/// The set of a seed.
pub fn random_set(seed: u64) -> ReferenceSet {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let obverse = side('O', &mut rng);
    let reverse = side('R', &mut rng);
    // A chain: with each new pairing one of the two dies is replaced, seldom both; now and then an old one returns.
    let (mut o, mut r) = (0, 0);
    let mut pairs = vec![(0, 0)];
    while o + 1 < obverse.dies.len() || r + 1 < reverse.dies.len() {
        let both = rng.random_bool(0.1);
        let first = rng.random_bool(0.5);
        if (first || both) && o + 1 < obverse.dies.len() {
            o += 1;
        }
        if (!first || both) && r + 1 < reverse.dies.len() {
            r += 1;
        }
        if pairs.last() != Some(&(o, r)) {
            pairs.push((o, r));
        }
        if rng.random_bool(0.2) {
            let again = (rng.random_range(0..=o), r);
            if !pairs.contains(&again) {
                pairs.push(again);
            }
        }
    }
    let mut distinct: Vec<(usize, usize)> = Vec::new();
    for pair in pairs {
        if !distinct.contains(&pair) {
            distinct.push(pair);
        }
    }
    let names: Vec<[String; 3]> = distinct
        .iter()
        .enumerate()
        .map(|(n, (o, r))| {
            [
                format!("N{}", n + 1),
                format!("O{}", o + 1),
                format!("R{}", r + 1),
            ]
        })
        .collect();
    let listed: Vec<(&str, &str, &str)> = names
        .iter()
        .map(|[n, o, r]| (n.as_str(), o.as_str(), r.as_str()))
        .collect();
    builder::set(obverse, reverse, &listed)
}

fn side(letter: char, rng: &mut ChaCha8Rng) -> SideReference {
    let features: Vec<(String, f64, usize)> = (0..rng.random_range(5..=10))
        .map(|n| {
            let reliability = f64::from(rng.random_range(80..=96)) / 100.0;
            let states = if rng.random_bool(0.75) {
                2
            } else {
                rng.random_range(3..=4)
            };
            (format!("f{n}"), reliability, states)
        })
        .collect();
    let count = rng.random_range(3..=12);
    let mut rows: Vec<Vec<usize>> = Vec::new();
    while rows.len() < count {
        let mut row: Vec<usize> = features
            .iter()
            .map(|(_, _, states)| rng.random_range(0..*states))
            .collect();
        if !rows.is_empty() && rng.random_bool(NEAR_COPIES) {
            row = rows[rng.random_range(0..rows.len())].clone();
            for _ in 0..rng.random_range(1..=2) {
                let index = rng.random_range(0..row.len());
                row[index] = (row[index] + 1) % features[index].2;
            }
        }
        // Two dies that the set cannot tell apart are no two dies.
        if !rows.contains(&row) {
            rows.push(row);
        }
    }
    let cells: Vec<Vec<&str>> = rows
        .iter()
        .map(|row| {
            row.iter()
                .map(|state| {
                    if rng.random_bool(SILENT) {
                        "-"
                    } else {
                        STATES[*state]
                    }
                })
                .collect()
        })
        .collect();
    let names: Vec<String> = (1..=count).map(|n| format!("{letter}{n}")).collect();
    let dies: Vec<(&str, &[&str])> = names
        .iter()
        .map(String::as_str)
        .zip(&cells)
        .map(|(name, row)| (name, row.as_slice()))
        .collect();
    let specs: Vec<(&str, f64, &[&str])> = features
        .iter()
        .map(|(name, r, states)| (name.as_str(), *r, &STATES[..*states]))
        .collect();
    builder::side(&specs, &dies)
}
