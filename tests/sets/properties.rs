//! Properties of any set that can be made in the window.

use std::path::Path;

use dietell::geometry::{PicturePoint, SidePoint};
use dietell::reference::merge::merge;
use dietell::reference::{
    Die, FactChoice, FactQuestion, Feature, Landmark, Pairing, Plate, ReferenceSet, SideReference, State,
    StatedMeasure, Zone, parse_set, validate, write_set,
};
use proptest::prelude::*;

use super::minimal;

/// Words of any kind, quotes, brackets and line ends included.
fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z ]{0,12}",
        "\\PC{0,20}",
        "[\"'\\\\#r(){}\\[\\],:/*\n\r\t\u{0}]{0,12}"
    ]
}

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        -100.0..100.0,
        Just(0.0),
        Just(-0.0),
        Just(1e-300),
        Just(1e11),
        Just(0.1 + 0.2)
    ]
}

fn side() -> impl Strategy<Value = SideReference> {
    let landmark = (words(), number(), number(), words()).prop_map(|(name, x, y, hint)| Landmark {
        name: name.as_str().into(),
        place_mm: SidePoint::new(x, y),
        height: None,
        hint,
    });
    let zone = (words(), words(), number(), number(), number()).prop_map(|(id, title, x, y, detail)| Zone {
        id: id.as_str().into(),
        title,
        centre_mm: SidePoint::new(x, y),
        size_mm: (y, x),
        height: None,
        telling_detail_mm: detail,
    });
    let state = (words(), words(), prop::option::of((words(), number(), number()))).prop_map(
        |(id, words, stated)| State {
            id: id.as_str().into(),
            words,
            stated: stated.map(|(what, value, tolerance)| StatedMeasure::AngleDeg {
                what,
                value,
                tolerance,
            }),
        },
    );
    let feature = (
        words(),
        words(),
        words(),
        number(),
        prop::collection::vec(state, 0..4),
    )
        .prop_map(|(id, question, zone, reliability, states)| Feature {
            id: id.as_str().into(),
            question,
            zone: zone.as_str().into(),
            reliability,
            states,
        });
    let plate = (
        words(),
        prop::collection::btree_map(words(), (number(), number()), 0..3),
        words(),
    )
        .prop_map(|(file, landmarks, source)| Plate {
            file,
            landmarks: landmarks
                .into_iter()
                .map(|(name, (x, y))| (name.as_str().into(), PicturePoint::new(x, y)))
                .collect(),
            source,
            rights: String::new(),
        });
    let die = (
        words(),
        words(),
        prop::collection::btree_map(words(), words(), 0..3),
        prop::collection::vec(plate, 0..2),
    )
        .prop_map(|(id, note, shows, plates)| Die {
            id: id.as_str().into(),
            note,
            shows: shows
                .into_iter()
                .map(|(f, s)| (f.as_str().into(), s.as_str().into()))
                .collect(),
            plates,
        });
    (
        prop::collection::vec(landmark, 0..3),
        prop::collection::vec(zone, 0..3),
        prop::collection::vec(feature, 0..3),
        prop::collection::vec(die, 0..4),
    )
        .prop_map(|(landmarks, zones, features, dies)| SideReference {
            landmarks,
            zones,
            features,
            dies,
        })
}

fn set() -> impl Strategy<Value = ReferenceSet> {
    let pairing = (
        words(),
        words(),
        words(),
        prop::option::of(words()),
        prop::option::of(number()),
        words(),
    )
        .prop_map(
            |(catalogue, obverse, reverse, rarity, estimated_known, note)| Pairing {
                catalogue,
                obverse: obverse.as_str().into(),
                reverse: reverse.as_str().into(),
                facts: [("date".into(), vec![note.clone()])].into(),
                rarity: rarity.map(|r| r.as_str().into()),
                estimated_known,
                note,
            },
        );
    let fact = (words(), words(), prop::collection::vec((words(), words()), 0..3)).prop_map(
        |(id, question, choices)| FactQuestion {
            id: id.as_str().into(),
            question,
            choices: choices
                .into_iter()
                .map(|(value, words)| FactChoice { value, words })
                .collect(),
        },
    );
    (
        side(),
        side(),
        prop::collection::vec(pairing, 0..4),
        prop::collection::vec(fact, 0..2),
        words(),
        any::<u32>(),
        prop::collection::vec(words(), 0..3),
    )
        .prop_map(
            |(obverse, reverse, pairings, facts, title, edition, cautions)| ReferenceSet {
                obverse,
                reverse,
                pairings,
                facts,
                title,
                edition,
                cautions,
                ..minimal()
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_set_reads_back_as_it_was_written(set in set()) {
        let text = write_set(&set).unwrap();
        prop_assert_eq!(parse_set(&text, Path::new("set.ron")).unwrap(), set);
    }

    #[test]
    fn any_set_can_be_checked(set in set()) {
        for finding in validate(&set, None) {
            prop_assert!(finding.sentence.ends_with('.') && finding.remedy.ends_with('.'), "{}", finding);
        }
    }

    /// One side's changes alone always win, and nothing is called a conflict.
    #[test]
    fn a_merge_with_the_unchanged_gives_the_changed(base in set(), changed in set()) {
        let theirs = merge(Some(&base), &base, &changed).unwrap();
        prop_assert!(theirs.conflicts.is_empty(), "{:?}", theirs.conflicts);
        let mine = merge(Some(&base), &changed, &base).unwrap();
        prop_assert!(mine.conflicts.is_empty() && mine.taken.is_empty(), "{:?}", mine.conflicts);
        prop_assert_eq!(sorted(&mine.merged), sorted(&changed));
        prop_assert_eq!(sorted(&theirs.merged), sorted(&changed));
    }

    /// Deciding every conflict for one person never leaves a part that neither has.
    #[test]
    fn a_merge_without_a_common_start_loses_nothing(mine in set(), theirs in set()) {
        let merged = merge(None, &mine, &theirs).unwrap();
        for die in &mine.obverse.dies {
            prop_assert!(merged.merged.obverse.dies.iter().any(|other| other.id == die.id));
        }
        for die in &theirs.obverse.dies {
            prop_assert!(merged.merged.obverse.dies.iter().any(|other| other.id == die.id));
        }
        prop_assert_eq!(merged.settle(&[]).unwrap(), merged.merged);
    }
}

/// The order of the lists that merging may change does not matter here.
fn sorted(set: &ReferenceSet) -> ReferenceSet {
    let mut set = set.clone();
    for side in [&mut set.obverse, &mut set.reverse] {
        side.landmarks
            .sort_by(|a, b| format!("{a:?}").cmp(&format!("{b:?}")));
        side.zones.sort_by(|a, b| format!("{a:?}").cmp(&format!("{b:?}")));
        for feature in &mut side.features {
            feature
                .states
                .sort_by(|a, b| format!("{a:?}").cmp(&format!("{b:?}")));
        }
        side.features
            .sort_by(|a, b| format!("{a:?}").cmp(&format!("{b:?}")));
        for die in &mut side.dies {
            die.plates.sort_by(|a, b| format!("{a:?}").cmp(&format!("{b:?}")));
        }
        side.dies.sort_by(|a, b| format!("{a:?}").cmp(&format!("{b:?}")));
    }
    for fact in &mut set.facts {
        fact.choices
            .sort_by(|a, b| format!("{a:?}").cmp(&format!("{b:?}")));
    }
    set.facts.sort_by(|a, b| format!("{a:?}").cmp(&format!("{b:?}")));
    set.pairings
        .sort_by(|a, b| format!("{a:?}").cmp(&format!("{b:?}")));
    set.cautions.sort();
    set.edition = 0;
    set
}
