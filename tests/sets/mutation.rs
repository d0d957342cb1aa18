//! Every reader against damaged and hostile input: whatever the bytes, an answer or a short sentence, never a panic,
//! never a file outside the target, and what is read can be written and read again.
//!
//! The ordinary tests run some thousand inputs; `cargo test --release --test sets -- --ignored --nocapture mutation`
//! runs for `DIETELL_FUZZ_SECONDS` (300) a reader and prints how many it tried and how many were accepted.

use std::path::Path;
use std::time::{Duration, Instant};

use dietell::headless::parse_landmarks_table;
use dietell::photo::Watch;
use dietell::reference::merge::merge;
use dietell::reference::pack::copy_set;
use dietell::reference::usefulness::{series_for_side, usefulness};
use dietell::reference::{Side, open_set, parse_set, parse_set_bytes, validate, write_set};
use dietell::specimen::{parse_specimen, write_specimen};
use proptest::prelude::*;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::zip_by_hand::{Member, zip};
use super::{FORMATS, MINIMAL, blocks};

/// Whether a reader accepted its input.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Answer {
    Read,
    Refused,
}

/// A message is a sentence or two, whatever it is about.
fn check_message(message: &str) -> Answer {
    assert!(message.len() < 10_000, "a message of {} bytes", message.len());
    assert!(!message.contains(['\0', '\u{1b}']), "{message:?}");
    Answer::Refused
}

fn target_set(bytes: &[u8]) -> Answer {
    let set = match parse_set_bytes(bytes, Path::new("set.ron")) {
        Ok(set) => set,
        Err(error) => return check_message(&error.to_string()),
    };
    let text = write_set(&set).expect("a set that was read can be written");
    assert_eq!(
        parse_set(&text, Path::new("set.ron")).expect("what was written is read"),
        set
    );
    for finding in validate(&set, None) {
        check_message(&finding.to_string());
    }
    for side in Side::BOTH {
        let _ = (usefulness(set.side(side)), series_for_side(set.side(side)));
    }
    let merged = merge(None, &set, &set).expect("a set merges with itself");
    assert!(merged.merged == set && merged.conflicts.is_empty());
    Answer::Read
}

fn target_specimen(bytes: &[u8]) -> Answer {
    let file = Path::new("specimen.ron");
    let record = match parse_specimen(bytes, file) {
        Ok(record) => record,
        Err(error) => return check_message(&error.to_string()),
    };
    let text = write_specimen(&record).expect("a record that was read can be written");
    assert_eq!(
        parse_specimen(text.as_bytes(), file).expect("what was written is read"),
        record
    );
    Answer::Read
}

fn target_landmarks(bytes: &[u8]) -> Answer {
    let size = Some((4000, 3000));
    match parse_landmarks_table(bytes, Path::new("landmarks.csv"), &super::minimal(), [size, size]) {
        Ok(table) => {
            for point in table.obverse.values().chain(table.reverse.values()) {
                assert!(
                    (-0.5..4000.0).contains(&point.x) && (-0.5..3000.0).contains(&point.y),
                    "{point:?}"
                );
            }
            Answer::Read
        }
        Err(error) => check_message(&error.to_string()),
    }
}

fn target_pack(bytes: &[u8]) -> Answer {
    let home = tempfile::tempdir().expect("a place to work");
    let file = home.path().join("fuzz.dieset");
    std::fs::write(&file, bytes).expect("it is ours");
    let target = home.path().join("target");
    let answer = match open_set(&file) {
        Ok(open) => {
            for plate in Side::BOTH
                .iter()
                .flat_map(|side| &open.set.side(*side).dies)
                .flat_map(|die| &die.plates)
            {
                if let Err(error) = open.plate_bytes(plate) {
                    check_message(&error.to_string());
                }
            }
            if let Err(error) = copy_set(&open, &target, &Watch::default()) {
                check_message(&error.to_string());
                assert!(!target.exists(), "half a set was left behind");
            }
            Answer::Read
        }
        Err(error) => check_message(&error.to_string()),
    };
    let mut left: Vec<_> = std::fs::read_dir(home.path())
        .expect("it is ours")
        .flatten()
        .map(|e| e.path())
        .collect();
    left.retain(|path| *path != file && *path != target);
    assert!(left.is_empty(), "written outside the target: {left:?}");
    answer
}

struct Reader {
    name: &'static str,
    target: fn(&[u8]) -> Answer,
    seeds: Vec<Vec<u8>>,
}

fn readers() -> Vec<Reader> {
    let specimen = include_bytes!("../data/sets/full-specimen.ron").to_vec();
    let pack = zip(&[
        Member::stored("set.ron", MINIMAL.as_bytes()),
        Member::stored("plates/", b""),
        Member::stored("plates/o1.png", b"a picture of a kettle"),
    ]);
    vec![
        Reader {
            name: "set.ron",
            target: target_set,
            seeds: vec![MINIMAL.as_bytes().to_vec()],
        },
        Reader {
            name: "specimen.ron",
            target: target_specimen,
            seeds: vec![blocks(FORMATS, "ron")[1].as_bytes().to_vec(), specimen],
        },
        Reader {
            name: "landmarks.csv",
            target: target_landmarks,
            seeds: vec![blocks(FORMATS, "csv")[0].as_bytes().to_vec()],
        },
        Reader {
            name: "pack",
            target: target_pack,
            seeds: vec![pack, include_bytes!("../data/sets/by-python.dieset").to_vec()],
        },
    ]
}

/// Pieces that readers stumble over.
const PIECES: [&[u8]; 48] = [
    b"(",
    b")",
    b"[",
    b"]",
    b"{",
    b"}",
    b"\"",
    b"'",
    b":",
    b",",
    b"//",
    b"/*",
    b"*/",
    b"r#\"",
    b"\"#",
    b"\\",
    b"\\u{0}",
    b"Some(",
    b"None",
    b"inf",
    b"-inf",
    b"NaN",
    b"1e999",
    b"-0.0",
    b"1e-320",
    b"18446744073709551616",
    b"0x7f",
    b"_",
    b"\0",
    b"\xff",
    b"\xc0\x80",
    b"\xef\xbb\xbf",
    b"\xff\xfe",
    b"\r",
    b"\n",
    b"#![enable(unwrap_newtypes)]",
    b"format: 2",
    b"../",
    b"/",
    b"C:",
    b"PK\x01\x02",
    b"PK\x03\x04",
    b"PK\x05\x06",
    b"PK\x06\x06",
    b"\xff\xff\xff\xff",
    b"\x01\x00",
    b"((((((((((((((((((((((((((((((((((((((((",
    b"[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[",
];

/// Changes a seed in one to six places.
fn mutate(random: &mut ChaCha8Rng, seed: &[u8]) -> Vec<u8> {
    let mut bytes = seed.to_vec();
    for _ in 0..random.random_range(1..=6) {
        let length = bytes.len();
        let at = random.random_range(0..=length);
        let end = (at + random.random_range(0..64_usize)).min(length);
        match random.random_range(0..8) {
            0 if at < length => bytes[at] ^= 1 << random.random_range(0..8),
            1 if at < length => bytes[at] = random.random(),
            2 => drop(bytes.drain(at..end)),
            3 => {
                let piece = bytes[at..end].to_vec();
                let to = random.random_range(0..=length);
                bytes.splice(to..to, piece);
            }
            4 => bytes.truncate(at),
            5 => {
                // A digit made another keeps the form and changes the value.
                if let Some(digit) = bytes[at..].iter_mut().find(|b| b.is_ascii_digit()) {
                    *digit = b'0' + random.random_range(0..10_u8);
                }
            }
            _ => {
                let piece = PIECES[random.random_range(0..PIECES.len())];
                bytes.splice(at..at, piece.iter().copied());
            }
        }
    }
    bytes
}

fn run(reader: &Reader, random: &mut ChaCha8Rng, mut go_on: impl FnMut(u64) -> bool) -> (u64, u64) {
    let (mut tried, mut read) = (0, 0);
    while go_on(tried) {
        let seed = &reader.seeds[random.random_range(0..reader.seeds.len())];
        let bytes = mutate(random, seed);
        tried += 1;
        let answer = std::panic::catch_unwind(|| (reader.target)(&bytes));
        let Ok(answer) = answer else {
            panic!("{} failed on {:?}", reader.name, String::from_utf8_lossy(&bytes));
        };
        read += u64::from(answer == Answer::Read);
    }
    (tried, read)
}

#[test]
fn the_seeds_are_accepted() {
    for reader in readers() {
        for seed in &reader.seeds {
            assert!((reader.target)(seed) == Answer::Read, "{}", reader.name);
        }
    }
}

#[test]
fn mutated_files_are_read_or_refused() {
    for reader in readers() {
        let mut random = ChaCha8Rng::seed_from_u64(411);
        let most = if reader.name == "pack" { 300 } else { 2_000 };
        let (tried, read) = run(&reader, &mut random, |tried| tried < most);
        println!("{}: {tried} tried, {read} read", reader.name);
        assert!(
            read > 0 && read < tried,
            "{}: {read} of {tried} read",
            reader.name
        );
    }
}

#[test]
#[ignore = "runs for minutes; see the head of the file"]
fn mutation_for_long() {
    let seconds = std::env::var("DIETELL_FUZZ_SECONDS")
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(300);
    for reader in readers() {
        let start = Instant::now();
        let mut random = ChaCha8Rng::seed_from_u64(412);
        let (tried, read) = run(&reader, &mut random, |_| {
            start.elapsed() < Duration::from_secs(seconds)
        });
        println!(
            "{}: {tried} tried in {seconds} s, {read} read, {} refused",
            reader.name,
            tried - read
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// Bytes of no form at all.
    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        for reader in readers() {
            (reader.target)(&bytes);
        }
    }

    /// Text made of what RON is made of.
    #[test]
    fn any_text_of_its_characters_is_read_or_refused(text in "[\\(\\)\\[\\]\\{\\}:,\"a-c0-2 ./*'#r\\\\-]{0,200}") {
        target_set(text.as_bytes());
        target_specimen(text.as_bytes());
    }
}
