//! Changes to a set that keep it consistent.

use dietell::reference::edit::{EditError, consequences_of_removing, remove, rename};
use dietell::reference::{Place, ReferenceSet, Side, write_set};
use dietell::specimen::die_from_specimen;

use super::{errors, minimal};

const OBVERSE: Side = Side::Obverse;

/// Every part of the minimal set that has a name, with that name.
fn named_parts() -> Vec<(Place, &'static str)> {
    vec![
        (Place::Die(OBVERSE, "O1".into()), "\"O1\""),
        (Place::Die(Side::Reverse, "R1".into()), "\"R1\""),
        (Place::Feature(OBVERSE, "curls".into()), "\"curls\""),
        (Place::State(OBVERSE, "curls".into(), "two".into()), "\"two\""),
        (Place::Zone(OBVERSE, "steam".into()), "\"steam\""),
        (Place::Landmark(OBVERSE, "lid knob".into()), "\"lid knob\""),
        (Place::Fact("date".into()), "\"date\""),
        (Place::RarityBand("common".into()), "\"common\""),
        (Place::Pairing(0, "KF 1".to_owned()), "\"KF 1\""),
    ]
}

#[test]
fn a_renamed_part_is_renamed_wherever_it_is_named() {
    for (place, quoted) in named_parts() {
        let mut set = minimal();
        rename(&mut set, &place, " brand new ").unwrap();
        assert_eq!(errors(&set, None), Vec::<String>::new(), "{place}");
        let (before, after) = (write_set(&minimal()).unwrap(), write_set(&set).unwrap());
        assert!(
            !after.contains(quoted),
            "{place} is still named somewhere:\n{after}"
        );
        // Sorted maps may move the entry; what stands in them is the same.
        let lines = |text: &str| {
            let mut lines: Vec<String> = text
                .lines()
                .map(|line| line.replace(quoted, "\"brand new\""))
                .collect();
            lines.sort();
            lines
        };
        assert_eq!(lines(&before), lines(&after), "{place}");
    }
}

#[test]
fn a_taken_or_empty_name_is_refused_and_changes_nothing() {
    for (place, name, expected) in [
        (
            Place::Die(OBVERSE, "O1".into()),
            "O2",
            EditError::NameTaken {
                name: "O2".to_owned(),
            },
        ),
        (Place::Die(OBVERSE, "O1".into()), "  ", EditError::BadName),
        (
            Place::Landmark(OBVERSE, "nose".into()),
            "chin",
            EditError::NotThere {
                place: Place::Landmark(OBVERSE, "nose".into()),
            },
        ),
        (
            Place::Measures,
            "x",
            EditError::Impossible {
                place: Place::Measures,
            },
        ),
    ] {
        let mut set = minimal();
        assert_eq!(rename(&mut set, &place, name), Err(expected));
        assert_eq!(set, minimal());
    }
    let mut set = minimal();
    rename(&mut set, &Place::Die(OBVERSE, "O1".into()), "O1").unwrap();
    assert_eq!(set, minimal());
}

#[test]
fn a_removed_part_takes_along_what_hangs_on_it() {
    let count_errors = |set: &ReferenceSet| errors(set, None).len();
    for (place, _) in named_parts() {
        let told = consequences_of_removing(&minimal(), &place).unwrap();
        let mut set = minimal();
        assert_eq!(remove(&mut set, &place).unwrap(), told);
        assert_eq!(count_errors(&set), 0, "{place}: {:?}", errors(&set, None));
        assert_ne!(set, minimal());
        assert!(
            remove(&mut set, &place).is_err() || matches!(place, Place::Pairing(..)),
            "{place}"
        );
    }
    let told = consequences_of_removing(&minimal(), &Place::Die(OBVERSE, "O1".into())).unwrap();
    assert_eq!(
        told,
        [
            "1 plate is of the die O1 no longer named by the set; the files stay.",
            "The pairing KF 1 goes with the die O1.",
        ]
    );
}

#[test]
fn a_die_begins_from_a_specimen_that_fits_none() {
    use dietell::geometry::PicturePoint;
    use dietell::specimen::{Ruling, SetReference, SidePhoto, SpecimenRecord, Verdict};
    let reference = SetReference {
        id: "kettle-farthing".to_owned(),
        edition: 1,
        title: String::new(),
        place: "demo".to_owned(),
    };
    let mut record = SpecimenRecord::new("Odd one", reference);
    let blank = die_from_specimen(&minimal(), &record, OBVERSE, "O3".into(), "plates/o3.jpg");
    assert!(blank.is_err(), "it has no photo yet");
    record.obverse = Some(SidePhoto {
        file: "obverse.jpg".to_owned(),
        original_name: String::new(),
        sha256: String::new(),
        width_px: 10,
        height_px: 10,
        landmarks: [
            ("lid knob".into(), PicturePoint::new(1.0, 2.0)),
            ("nose".into(), PicturePoint::new(3.0, 4.0)),
        ]
        .into(),
        held_model: None,
        rim: None,
        fine_shifts: std::collections::BTreeMap::new(),
    });
    let verdict = |state: &str, ruling| Verdict {
        side: OBVERSE,
        feature: "curls".into(),
        state: state.into(),
        ruling,
        note: String::new(),
        seen: None,
    };
    record.verdicts = vec![verdict("two", Ruling::Differs), verdict("three", Ruling::Agrees)];
    let mut set = minimal();
    let die = die_from_specimen(&set, &record, OBVERSE, "O3".into(), "plates/o3.jpg").unwrap();
    assert_eq!(die.shows, [("curls".into(), "three".into())].into());
    assert_eq!(
        die.plates[0].landmarks,
        [("lid knob".into(), PicturePoint::new(1.0, 2.0))].into()
    );
    set.obverse.dies.push(die);
    assert_eq!(errors(&set, None), Vec::<String>::new());
    assert!(die_from_specimen(&set, &record, OBVERSE, "O3".into(), "plates/o3.jpg").is_err());
}
