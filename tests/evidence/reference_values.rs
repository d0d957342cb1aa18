//! Likelihoods, probabilities, the open world's shares, ratio and information gain against values from NumPy and SciPy
//! (tests/scripts/evidence_values.py), which enumerates every joint reading instead of multiplying by feature.

use dietell::evidence::standing;
use dietell::reference::{ReferenceSet, Side};
use dietell::specimen::Verdict;
use serde_json::Value;

use super::builder;

const CASES: &str = include_str!("../data/evidence_values.json");

fn list(value: &Value) -> &Vec<Value> {
    value.as_array().unwrap()
}

fn side_of(case: &Value, letter: &str) -> dietell::reference::SideReference {
    let names: Vec<(String, f64, Vec<String>)> = list(&case["features"])
        .iter()
        .enumerate()
        .map(|(place, feature)| {
            let states = feature["states"].as_u64().unwrap();
            let states = (0..states).map(|state| state.to_string()).collect();
            (
                place.to_string(),
                feature["reliability"].as_f64().unwrap(),
                states,
            )
        })
        .collect();
    let states: Vec<Vec<&str>> = names
        .iter()
        .map(|(_, _, states)| states.iter().map(String::as_str).collect())
        .collect();
    let features: Vec<(&str, f64, &[&str])> = names
        .iter()
        .zip(&states)
        .map(|((id, r, _), states)| (id.as_str(), *r, states.as_slice()))
        .collect();
    let dies: Vec<(String, Vec<String>)> = list(&case["dies"])
        .iter()
        .enumerate()
        .map(|(place, shows)| {
            let shows = list(shows);
            let shows = shows
                .iter()
                .map(|s| s.as_u64().map_or("-".to_owned(), |s| s.to_string()));
            (format!("{letter}{place}"), shows.collect())
        })
        .collect();
    let shows: Vec<Vec<&str>> = dies
        .iter()
        .map(|(_, shows)| shows.iter().map(String::as_str).collect())
        .collect();
    let dies: Vec<(&str, &[&str])> = dies
        .iter()
        .zip(&shows)
        .map(|((id, _), shows)| (id.as_str(), shows.as_slice()))
        .collect();
    builder::side(&features, &dies)
}

fn set_of(case: &Value) -> ReferenceSet {
    let pairings: Vec<(String, String, String)> = list(&case["pairings"])
        .iter()
        .enumerate()
        .map(|(place, dies)| {
            (
                format!("P{place}"),
                format!("O{}", dies[0]),
                format!("R{}", dies[1]),
            )
        })
        .collect();
    let pairings: Vec<(&str, &str, &str)> = pairings
        .iter()
        .map(|(c, o, r)| (c.as_str(), o.as_str(), r.as_str()))
        .collect();
    builder::set(
        side_of(&case["obverse"], "O"),
        side_of(&case["reverse"], "R"),
        &pairings,
    )
}

fn verdicts_of(case: &Value) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for side in Side::BOTH {
        for verdict in list(&case["verdicts"][side.word()]) {
            let ruling = if verdict[2] == "agrees" { '=' } else { 'x' };
            verdicts.push(builder::verdict(
                side,
                &verdict[0].to_string(),
                ruling,
                &verdict[1].to_string(),
            ));
        }
    }
    verdicts
}

#[test]
fn weighing_agrees_with_numpy_and_scipy() {
    let cases: Value = serde_json::from_str(CASES).unwrap();
    let close = |a: f64, b: f64| (a - b).abs() < 1e-10;
    let mut gains_seen = 0;
    for case in list(&cases) {
        let set = set_of(case);
        let result = standing(
            &set,
            &Default::default(),
            None,
            &verdicts_of(case),
            dietell::evidence::Prior::Equal,
        );
        let expected = &case["expected"];
        for side in Side::BOTH {
            for (die, expected) in result
                .side(side)
                .iter()
                .zip(list(&expected["likelihoods"][side.word()]))
            {
                let expected = expected.as_f64().unwrap();
                assert!(
                    close(10f64.powf(die.log10_likelihood), expected),
                    "{die:?} {expected}"
                );
            }
        }
        for side in Side::BOTH {
            let probabilities = list(&expected["die_probabilities"][side.word()]);
            for (die, expected) in result.side(side).iter().zip(probabilities) {
                assert!(
                    close(die.probability, expected.as_f64().unwrap()),
                    "{die:?} {expected}"
                );
            }
            let unlisted = expected["unlisted_die"][side.word()].as_f64().unwrap();
            assert!(close(result.open_world.side[side], unlisted), "{unlisted}");
        }
        let world = result.open_world;
        let ours = [
            world.pairing,
            world.obverse_die,
            world.reverse_die,
            world.both_dies,
        ];
        for (ours, expected) in ours.iter().zip(list(&expected["open_world"])) {
            assert!(close(*ours, expected.as_f64().unwrap()), "{ours} {expected}");
        }
        let probabilities = list(&expected["probabilities"]);
        for (pairing, expected) in result.pairings.iter().zip(probabilities) {
            assert!(
                close(pairing.probability, expected.as_f64().unwrap()),
                "{pairing:?} {expected}"
            );
        }
        assert!(close(
            result.ratio.unwrap().log10,
            expected["log10_ratio"].as_f64().unwrap()
        ));
        for (name, gain) in expected["gains_bits"].as_object().unwrap() {
            let gain = gain.as_f64().unwrap();
            let ours = result
                .next
                .iter()
                .find(|next| name == &format!("{} {}", next.side.word(), next.feature))
                .map_or(0.0, |next| next.gain_bits);
            assert!(close(ours, gain), "{name}: {ours} and {gain}");
            gains_seen += usize::from(gain > 1e-6);
        }
    }
    assert!(
        list(&cases).len() > 40 && gains_seen > 40,
        "{gains_seen} gains compared"
    );
}
