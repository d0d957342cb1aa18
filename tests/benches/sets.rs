//! How long a large set takes to open, save, check, compare and merge: `cargo bench --bench sets`.

use std::path::Path;

use dietell::files::Replacing;
use dietell::photo::Watch;
use dietell::reference::merge::merge;
use dietell::reference::pack::pack;
use dietell::reference::usefulness::{series_for_side, usefulness};
use dietell::reference::{OpenSet, open_set, parse_set, save_set, validate, write_set};
use divan::{Bencher, black_box};

#[path = "large.rs"]
mod coinage;
use coinage::large;

fn main() {
    divan::main();
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
    bencher.bench(|| open.source.file_bytes(&plate.file).expect("it is there"));
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
    pack(
        &open_set(&folder).expect("it is sound"),
        &file,
        Replacing::Ours,
        &Watch::default(),
    )
    .expect("it fits");
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
