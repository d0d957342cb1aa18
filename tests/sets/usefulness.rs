//! How well features tell dies apart, against values worked out otherwise.

use dietell::evidence;
use dietell::reference::usefulness::{
    DECIDED_LOG10, Reach, deciding_features, series_for_side, shortest_series, usefulness,
};
use dietell::reference::{Die, Feature, SideReference, State};
use rand::{Rng, SeedableRng};

/// A side by the states that its dies show, one string a die, one letter a feature, `-` for silent.
fn side(reliabilities: &[f64], states: usize, dies: &[&str]) -> SideReference {
    let name = |index: usize| char::from(b'a' + index as u8).to_string();
    SideReference {
        features: reliabilities
            .iter()
            .enumerate()
            .map(|(index, reliability)| Feature {
                id: format!("f{index}").as_str().into(),
                question: "?".to_owned(),
                zone: "z".into(),
                reliability: *reliability,
                states: (0..states)
                    .map(|state| State {
                        id: name(state).as_str().into(),
                        words: String::new(),
                        stated: None,
                    })
                    .collect(),
            })
            .collect(),
        dies: dies
            .iter()
            .enumerate()
            .map(|(index, shows)| Die {
                id: format!("D{index}").as_str().into(),
                note: String::new(),
                shows: shows
                    .chars()
                    .enumerate()
                    .filter(|(_, state)| *state != '-')
                    .map(|(f, state)| (format!("f{f}").as_str().into(), state.to_string().as_str().into()))
                    .collect(),
                plates: Vec::new(),
            })
            .collect(),
        ..SideReference::default()
    }
}

fn names(list: &[dietell::reference::FeatureId]) -> Vec<&str> {
    list.iter().map(dietell::reference::FeatureId::as_str).collect()
}

/// Mutual information by tests/scripts/mutual_information.py (NumPy, from the joint distribution).
#[test]
fn bits_agree_with_numpy() {
    for (reliability, states, dies, expected) in [
        (0.95, 2, &["a", "b"][..], 0.713_603_042_884_043_6),
        (0.9, 3, &["a", "b", "c", "a", "-"][..], 0.772_921_391_730_454_5),
        (0.8, 4, &["a", "a", "a", "b"][..], 0.412_084_442_870_276_46),
        (0.95, 2, &["a", "a", "-"][..], 0.197_663_456_810_058_45),
    ] {
        let found = usefulness(&side(&[reliability], states, dies))[0].bits;
        assert!(
            (found - expected).abs() < 1e-12,
            "{reliability} {states} {dies:?}: {found} {expected}"
        );
    }
}

#[test]
fn the_most_useful_comes_first_and_pairs_are_counted() {
    let side = side(&[0.9, 0.9, 0.9], 2, &["aaa", "aba", "bba", "-bb"]);
    let list = usefulness(&side);
    let found: Vec<_> = list
        .iter()
        .map(|use_of| (use_of.feature.as_str(), use_of.pairs_told))
        .collect();
    assert_eq!(found, [("f1", 3), ("f2", 3), ("f0", 2)]);
}

#[test]
fn a_series_is_as_long_as_it_must_be() {
    // One look at 0.995 gives 199 to 1; at 0.95 it gives 19 to 1, so that two are needed for 100 to 1.
    let side = side(&[0.95, 0.95, 0.995, 0.6], 2, &["aaaa", "bbaa", "bbba", "aaab"]);
    let pair = |a: usize, b: usize| shortest_series(&side, &side.dies[a], &side.dies[b]);
    assert_eq!(
        (names(&pair(0, 1).features), pair(0, 1).reach),
        (vec!["f0", "f1"], Reach::Shortest)
    );
    assert_eq!(
        (names(&pair(0, 2).features), pair(0, 2).reach),
        (vec!["f2"], Reach::Shortest)
    );
    assert_eq!(
        (names(&pair(0, 3).features), pair(0, 3).reach),
        (vec!["f3"], Reach::NotEnough)
    );
    let deciding = deciding_features(&side, &side.dies[0], &side.dies[1]);
    assert!((deciding[0].log10_ratio - 19_f64.log10()).abs() < 1e-12);
    assert_eq!(deciding.len(), 2);
}

/// The weighing of verdicts gives the ratio that a deciding feature promises.
#[test]
fn a_series_decides_where_the_weighing_settles() {
    assert!((10_f64.powf(DECIDED_LOG10) - evidence::SETTLED_AT).abs() < 1e-9);
}

/// The shortest series for a side against trying every subset.
#[test]
fn the_series_for_a_side_is_the_shortest() {
    let mut random = rand_chacha::ChaCha8Rng::seed_from_u64(7);
    let mut decided = 0;
    for _ in 0..60 {
        let features = random.random_range(1..=7);
        let reliabilities: Vec<f64> = (0..features)
            .map(|_| [0.8, 0.95, 0.995][random.random_range(0..3)])
            .collect();
        let dies: Vec<String> = (0..random.random_range(2..=6))
            .map(|_| {
                (0..features)
                    .map(|_| ['a', 'b', 'c', '-'][random.random_range(0..4)])
                    .collect()
            })
            .collect();
        let side = side(
            &reliabilities,
            3,
            &dies.iter().map(String::as_str).collect::<Vec<_>>(),
        );
        let found = series_for_side(&side);
        let all: u32 = (1 << features) - 1;
        let fewest = (0..=all)
            .filter(|chosen| goes_as_far(&side, *chosen, all))
            .map(u32::count_ones)
            .min()
            .unwrap();
        assert_eq!(found.series.features.len(), fewest as usize, "{side:?}");
        assert!(found.is_shortest);
        decided += usize::from(found.series.reach == Reach::Shortest);
    }
    assert!(decided > 0, "no case was decided in full");
}

/// Whether the chosen features take every pair as far as all features do, up to deciding it.
fn goes_as_far(side: &SideReference, chosen: u32, all: u32) -> bool {
    let reach = |a: &Die, b: &Die, chosen: u32| -> f64 {
        let within = |deciding: &&dietell::reference::usefulness::Deciding| {
            let index = side
                .features
                .iter()
                .position(|f| f.id == deciding.feature)
                .unwrap();
            chosen >> index & 1 == 1
        };
        let list = deciding_features(side, a, b);
        let sum: f64 = list
            .iter()
            .filter(within)
            .map(|deciding| deciding.log10_ratio)
            .sum();
        sum.min(DECIDED_LOG10)
    };
    side.dies.iter().enumerate().all(|(index, a)| {
        side.dies[..index]
            .iter()
            .all(|b| reach(a, b, chosen) > reach(a, b, all) - 1e-6)
    })
}
