//! How long a large set takes to open, save, check, compare and merge: `cargo bench --bench sets`.

use std::path::Path;

use dietell::geometry::{PicturePoint, SidePoint};
use dietell::reference::merge::merge;
use dietell::reference::pack::pack;
use dietell::reference::usefulness::{series_for_side, usefulness};
use dietell::reference::{
    Die, Feature, Landmark, OpenSet, Pairing, Plate, ReferenceSet, SideReference, State, Zone, open_set,
    parse_set, save_set, validate, write_set,
};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

const DIES: usize = 200;
const FEATURES: usize = 24;
const LANDMARKS: usize = 12;

/// A set of 200 dies a side with 24 features, 12 landmarks on each of the 400 plates, and 600 pairings.
fn large() -> ReferenceSet {
    let text = include_str!("../data/sets/minimal.ron");
    let mut set = parse_set(text, Path::new("set.ron")).expect("the minimal set is read");
    (set.obverse, set.reverse) = (side("O"), side("R"));
    set.pairings = (0..600)
        .map(|n| Pairing {
            catalogue: format!("KF {n}"),
            obverse: format!("O{}", n % DIES).as_str().into(),
            reverse: format!("R{}", (n * 7 + n / DIES) % DIES).as_str().into(),
            facts: [("date".into(), vec!["411".to_owned()])].into(),
            rarity: Some("common".into()),
            estimated_known: Some(50.0),
            note: "Known from the cabinet of the Ostrel mint.".to_owned(),
        })
        .collect();
    set
}

fn side(letter: &str) -> SideReference {
    let id = |word: &str, n: usize| format!("{word} {n}");
    SideReference {
        landmarks: (0..LANDMARKS)
            .map(|n| Landmark {
                name: id("landmark", n).as_str().into(),
                place_mm: place(n),
                hint: "The point where the stroke meets the border.".to_owned(),
            })
            .collect(),
        zones: (0..FEATURES)
            .map(|n| Zone {
                id: id("zone", n).as_str().into(),
                title: "Stop after the second letter".to_owned(),
                centre_mm: place(n),
                size_mm: (2.0, 2.0),
                telling_detail_mm: 0.15,
            })
            .collect(),
        features: (0..FEATURES)
            .map(|n| Feature {
                id: id("feature", n).as_str().into(),
                question: "How far is the stop from the letter?".to_owned(),
                zone: id("zone", n).as_str().into(),
                reliability: 0.95,
                states: (0..3)
                    .map(|state| State {
                        id: id("state", state).as_str().into(),
                        words: "about the width of a stroke".to_owned(),
                        stated: None,
                    })
                    .collect(),
            })
            .collect(),
        dies: (0..DIES)
            .map(|n| Die {
                id: format!("{letter}{n}").as_str().into(),
                note: "Recut after the accession.".to_owned(),
                // A fixed scatter of states; coprime steps keep the dies apart.
                shows: (0..FEATURES)
                    .map(|f| {
                        let state = (n * (f + 3) * 7919 / 13 + f * f) % 3;
                        (
                            id("feature", f).as_str().into(),
                            id("state", state).as_str().into(),
                        )
                    })
                    .collect(),
                plates: vec![Plate {
                    file: format!("plates/{letter}{n}.jpg"),
                    landmarks: (0..LANDMARKS)
                        .map(|l| {
                            let place = place(l);
                            let point =
                                PicturePoint::new(2000.25 + 150.0 * place.x, 1500.5 + 150.0 * place.y);
                            (id("landmark", l).as_str().into(), point)
                        })
                        .collect(),
                    source: "Photographed for this set.".to_owned(),
                    rights: "Free to share.".to_owned(),
                }],
            })
            .collect(),
    }
}

fn place(n: usize) -> SidePoint {
    let turn = n as f64 * 0.7;
    SidePoint::new(9.0 * turn.cos(), 9.0 * turn.sin())
}

fn text() -> String {
    write_set(&large()).expect("it is finite")
}

#[divan::bench]
fn read(bencher: Bencher) {
    let text = text();
    println!("set.ron: {} bytes", text.len());
    bencher.bench(|| parse_set(black_box(&text), Path::new("set.ron")).expect("it is sound"));
}

#[divan::bench]
fn open_folder(bencher: Bencher) {
    let home = tempfile::tempdir().expect("a place to work");
    save_set(home.path(), &large()).expect("it is ours");
    bencher.bench(|| open_set(home.path()).expect("it is sound"));
}

/// A set of 200 dies a side with 400 plates of 2 MB each, about 12 MP of JPEG, packed.
#[divan::bench(sample_count = 10)]
fn open_packed(bencher: Bencher) {
    let (_home, open) = packed();
    let place = open.source.place();
    bencher.bench(|| open_set(&place).expect("it is sound"));
}

#[divan::bench(sample_count = 10)]
fn plate_of_packed(bencher: Bencher) {
    let (_home, open) = packed();
    let plate = &open.set.reverse.dies[100].plates[0];
    bencher.bench(|| open.plate_bytes(plate).expect("it is there"));
}

fn packed() -> (tempfile::TempDir, OpenSet) {
    let home = tempfile::tempdir().expect("a place to work");
    let folder = home.path().join("set");
    let set = large();
    save_set(&folder, &set).expect("it is ours");
    std::fs::create_dir(folder.join("plates")).expect("it is ours");
    let bytes = vec![0x5a; 2_000_000];
    for die in set.obverse.dies.iter().chain(&set.reverse.dies) {
        std::fs::write(folder.join(&die.plates[0].file), &bytes).expect("it is ours");
    }
    let file = home.path().join("large.dieset");
    pack(&open_set(&folder).expect("it is sound"), &file).expect("it fits");
    let open = open_set(&file).expect("it is sound");
    (home, open)
}

#[divan::bench]
fn write(bencher: Bencher) {
    let set = large();
    bencher.bench(|| write_set(black_box(&set)).expect("it is finite"));
}

#[divan::bench]
fn check(bencher: Bencher) {
    let set = large();
    bencher.bench(|| validate(black_box(&set), None));
}

#[divan::bench]
fn tell_usefulness(bencher: Bencher) {
    let set = large();
    bencher.bench(|| usefulness(black_box(&set.obverse)));
}

#[divan::bench(sample_count = 5)]
fn series_for_all_dies(bencher: Bencher) {
    let set = large();
    bencher.bench(|| series_for_side(black_box(&set.obverse)));
}

#[divan::bench]
fn merge_changed(bencher: Bencher) {
    let base = large();
    let (mut mine, mut theirs) = (base.clone(), base.clone());
    mine.obverse.dies[3].note = "mine".to_owned();
    theirs.obverse.dies[5].note = "theirs".to_owned();
    bencher.bench(|| merge(Some(&base), &mine, &theirs).expect("one coinage"));
}
