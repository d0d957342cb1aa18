//! Merging a set that came back from another person.

use dietell::files::Replacing;
use dietell::photo::Watch;
use dietell::reference::merge::{Choice, CommonStart, MergeError, merge, merge_open};
use dietell::reference::pack::{copy_set, pack};
use dietell::reference::{Die, ReferenceSet, open_set, save_set};

use super::minimal;
use super::packs::in_folder;

fn changed(change: impl FnOnce(&mut ReferenceSet)) -> ReferenceSet {
    let mut set = minimal();
    change(&mut set);
    set
}

fn new_die(id: &str) -> Die {
    Die {
        id: id.into(),
        note: String::new(),
        shows: std::collections::BTreeMap::new(),
        plates: Vec::new(),
    }
}

fn ways<T>(list: &[T], way: impl Fn(&T) -> String) -> Vec<String> {
    list.iter().map(way).collect()
}

#[test]
fn the_same_set_merges_to_itself() {
    for base in [None, Some(minimal())] {
        let merge = merge(base.as_ref(), &minimal(), &minimal()).unwrap();
        assert_eq!(merge.merged, minimal());
        assert!(merge.conflicts.is_empty() && merge.taken.is_empty());
    }
}

#[test]
fn what_only_one_changed_is_taken() {
    let mine = changed(|set| {
        set.obverse.dies[0].note = "mine".to_owned();
        set.obverse.dies.push(new_die("O3"));
        set.pairings.remove(1);
    });
    let theirs = changed(|set| {
        set.obverse.features[0].reliability = 0.9;
        set.obverse.dies.push(new_die("O4"));
        set.reverse.dies[0].shows.insert("x".into(), "y".into());
        set.cautions.push("Theirs.".to_owned());
        set.rarity_bands.clear();
    });
    let merge = merge(Some(&minimal()), &mine, &theirs).unwrap();
    assert!(merge.conflicts.is_empty(), "{:?}", merge.conflicts);
    let expected = changed(|set| {
        set.obverse.dies[0].note = "mine".to_owned();
        set.obverse.dies.push(new_die("O3"));
        set.obverse.dies.push(new_die("O4"));
        set.pairings.remove(1);
        set.obverse.features[0].reliability = 0.9;
        set.reverse.dies[0].shows.insert("x".into(), "y".into());
        set.cautions.push("Theirs.".to_owned());
        set.rarity_bands.clear();
    });
    assert_eq!(merge.merged, expected);
    assert_eq!(
        ways(&merge.taken, |taken| taken.way.to_string()),
        [
            "cautions, Theirs.",
            "obverse, dies, O4",
            "obverse, features, curls, reliability",
            "rarity_bands, common",
            "reverse, dies, R1, shows, x",
        ]
    );
}

#[test]
fn what_both_changed_stands_as_a_conflict_until_decided() {
    let mine = changed(|set| {
        set.title = "Mine".to_owned();
        set.obverse.zones[0].size_mm = (4.0, 4.0);
        set.obverse.dies.remove(1);
        set.pairings[0]
            .facts
            .insert("date".into(), vec!["411".to_owned(), "412".to_owned()]);
    });
    let theirs = changed(|set| {
        set.title = "Theirs".to_owned();
        set.obverse.zones[0].size_mm = (5.0, 5.0);
        set.obverse.dies[1].note = "they know more of it".to_owned();
        set.pairings[0]
            .facts
            .insert("date".into(), vec!["412".to_owned()]);
        set.edition = 7;
    });
    let merge = merge(Some(&minimal()), &mine, &theirs).unwrap();
    assert_eq!(
        ways(&merge.conflicts, |conflict| conflict.way.to_string()),
        ["obverse, dies, O2", "obverse, zones, steam, size_mm", "title"]
    );
    let title = &merge.conflicts[2];
    assert_eq!(title.mine.as_deref(), Some("Mine"));
    assert_eq!(title.theirs.as_deref(), Some("Theirs"));
    assert_eq!(title.before.as_deref(), Some("Kettle farthing of Ostrel"));
    assert_eq!(merge.conflicts[0].mine, None);
    // Undecided, all stays as it is here; the edition never falls.
    assert_eq!(merge.merged.title, "Mine");
    assert_eq!(merge.merged.edition, 7);
    assert_eq!(merge.merged.obverse.dies.len(), 1);
    // 411 was removed there, 412 added on both sides.
    assert_eq!(merge.merged.pairings[0].facts[&"date".into()], ["412"]);
    let settled = merge
        .settle(&[Choice::Theirs, Choice::Mine, Choice::Theirs])
        .unwrap();
    assert_eq!(settled.title, "Theirs");
    assert_eq!(settled.obverse.zones[0].size_mm, (4.0, 4.0));
    assert_eq!(settled.obverse.dies[1].note, "they know more of it");
    assert_eq!(merge.settle(&[]).unwrap(), merge.merged);
}

#[test]
fn without_a_common_start_all_that_differs_is_a_conflict() {
    let mine = changed(|set| {
        set.obverse.dies[0].note = "mine".to_owned();
        set.obverse.dies.remove(1);
    });
    let theirs = changed(|set| {
        set.reverse.dies.push(new_die("R2"));
        set.pairings.remove(0);
    });
    let merge = merge(None, &mine, &theirs).unwrap();
    assert_eq!(
        ways(&merge.conflicts, |conflict| conflict.way.to_string()),
        ["obverse, dies, O1, note"]
    );
    // What one has and the other has not is kept, since nothing says that it was removed.
    assert_eq!(merge.merged.obverse.dies.len(), 2);
    assert_eq!(merge.merged.reverse.dies.len(), 2);
    assert_eq!(merge.merged.pairings.len(), 2);
}

#[test]
fn different_coinages_are_not_merged() {
    let other = changed(|set| set.id = "another".to_owned());
    let error = merge(None, &minimal(), &other).unwrap_err();
    assert!(matches!(error, MergeError::DifferentSets { .. }), "{error}");
}

/// One person shares a set, another changes it and gives it back while the first has changed it, too.
#[test]
fn a_set_that_comes_back_merges_from_the_edition_that_was_shared() {
    let home = tempfile::tempdir().unwrap();
    let at = |name: &str| home.path().join(name);
    let mine = in_folder(&at("mine"));
    pack(&mine, &at("first.dieset"), Replacing::Ours, &Watch::default()).unwrap();

    let mut theirs = copy_set(
        &open_set(at("first.dieset")).unwrap(),
        &at("theirs"),
        &Watch::default(),
    )
    .unwrap();
    theirs.set.obverse.dies[1].note = "seen in hand".to_owned();
    theirs.set.pairings.remove(1);
    theirs.set.edition = 2;
    save_set(&at("theirs"), &theirs.set).unwrap();
    // The same name, another picture.
    image::RgbImage::new(401, 401)
        .save(at("theirs/plates/o1.png"))
        .unwrap();
    let better = std::fs::read(at("theirs/plates/o1.png")).unwrap();
    pack(&theirs, &at("second.dieset"), Replacing::Ours, &Watch::default()).unwrap();

    let mut mine = open_set(at("mine")).unwrap();
    mine.set.obverse.dies[0].note = "from the cabinet".to_owned();
    save_set(&at("mine"), &mine.set).unwrap();
    let back = open_set(at("second.dieset")).unwrap();
    let merged = merge_open(&mine, &back, &Watch::default()).unwrap();
    assert_eq!(merged.common_start, CommonStart::Known);
    assert_eq!(merged.merge.merged.obverse.dies[0].note, "from the cabinet");
    assert_eq!(merged.merge.merged.obverse.dies[1].note, "seen in hand");
    assert_eq!(merged.merge.merged.pairings.len(), 1);

    let before = std::fs::read(at("mine/plates/o1.png")).unwrap();
    let brought = merged
        .bring_plates(&merged.merge.merged, &at("mine"), &Watch::default())
        .unwrap();
    assert_eq!(
        std::fs::read(at("mine/plates/o1.png")).unwrap(),
        before,
        "no picture is overwritten"
    );
    assert_eq!(brought.len(), 1);
    assert_eq!(std::fs::read(at("mine").join(&brought[0])).unwrap(), better);

    // A set that was never shared has no common start with it.
    let stranger = in_folder(&at("stranger"));
    assert_eq!(
        merge_open(&stranger, &back, &Watch::default())
            .unwrap()
            .common_start,
        CommonStart::Unknown
    );
}

/// A picture of theirs that cannot be read is not taken for ours: its landmarks would lie on another picture.
#[test]
fn a_picture_that_cannot_be_compared_is_said_and_kept_apart() {
    let home = tempfile::tempdir().unwrap();
    let at = |name: &str| home.path().join(name);
    let mine = in_folder(&at("mine"));
    let mut theirs = in_folder(&at("theirs"));
    // A folder in the file's place is read by nobody, whoever runs the tests.
    std::fs::remove_file(at("theirs/plates/o1.png")).unwrap();
    std::fs::create_dir(at("theirs/plates/o1.png")).unwrap();
    let plate = &mut theirs.set.obverse.dies[0].plates[0];
    assert_eq!(plate.file, "plates/o1.png");
    for point in plate.landmarks.values_mut() {
        point.x += 40.0;
    }
    let merged = merge_open(&mine, &theirs, &Watch::default()).unwrap();
    assert_eq!(merged.uncompared.len(), 1, "{:?}", merged.uncompared);
    assert!(
        merged.uncompared[0].contains("plates/o1.png"),
        "{:?}",
        merged.uncompared
    );
    assert_eq!(merged.merge.merged, mine.set);
    assert_eq!((merged.merge.taken.len(), merged.merge.conflicts.len()), (0, 0));
}
