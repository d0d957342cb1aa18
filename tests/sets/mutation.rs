//! Every reader against damaged and hostile input: whatever the bytes, an answer or a short sentence, never a panic,
//! never a file outside the target, and what is read can be written and read again.
//!
//! Inputs are changed by their form (see `mutator`), and one that gets an answer not heard before becomes a seed of its
//! own. The ordinary tests run some thousand; `cargo test --release --test sets mutation_for_long -- --ignored
//! --nocapture` runs for `DIETELL_FUZZ_SECONDS` (300) a reader, or for `DIETELL_FUZZ_READER` alone, and prints how many it tried and how many were accepted.

use std::path::Path;
use std::time::{Duration, Instant};

use dietell::photo::{ReadLimits, Watch, read_picture, upright_size};
use dietell::reference::merge::merge;
use dietell::reference::pack::copy_set;
use dietell::reference::usefulness::{series_for_side, usefulness};
use dietell::reference::{Side, open_set, parse_set, parse_set_bytes, validate, write_set};
use dietell::specimen::parse_landmarks_table;
use dietell::specimen::{parse_specimen, write_specimen};
use proptest::prelude::*;
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::mutator::{Form, mutate};
use super::zip_by_hand::{Member, zip};
use super::{FORMATS, MINIMAL, blocks};

/// Whether a reader accepted its input.
#[derive(Clone, PartialEq, Eq)]
enum Answer {
    Read,
    /// With the message.
    Refused(String),
}

/// A message is a sentence or two, whatever it is about.
fn check_message(message: &str) -> Answer {
    assert!(message.len() < 10_000, "a message of {} bytes", message.len());
    assert!(!message.contains(['\0', '\u{1b}']), "{message:?}");
    Answer::Refused(message.to_owned())
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
                if let Err(error) = open.source.file_bytes(&plate.file) {
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

/// A picture of a stranger: within the limits or refused, and of the size that its head says.
fn target_picture(bytes: &[u8]) -> Answer {
    let limits = ReadLimits {
        most_pixels: 200_000,
        most_bytes: 1_000_000,
    };
    let told = upright_size(bytes);
    match read_picture(Path::new("plate.jpg"), bytes, &limits, &Watch::default()) {
        Ok(picture) => {
            assert_eq!(told, Some((picture.width(), picture.height())));
            assert!(u64::from(picture.width()) * u64::from(picture.height()) <= limits.most_pixels);
            Answer::Read
        }
        Err(error) => check_message(&error.to_string()),
    }
}

struct Reader {
    form: Form,
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
            form: Form::Ron,
            name: "set.ron",
            target: target_set,
            seeds: vec![MINIMAL.as_bytes().to_vec()],
        },
        Reader {
            form: Form::Ron,
            name: "specimen.ron",
            target: target_specimen,
            seeds: vec![blocks(FORMATS, "ron")[1].as_bytes().to_vec(), specimen],
        },
        Reader {
            form: Form::Csv,
            name: "landmarks.csv",
            target: target_landmarks,
            seeds: vec![blocks(FORMATS, "csv")[0].as_bytes().to_vec()],
        },
        Reader {
            form: Form::Zip,
            name: "pack",
            target: target_pack,
            seeds: vec![pack, include_bytes!("../data/sets/by-python.dieset").to_vec()],
        },
        Reader {
            form: Form::Picture,
            name: "picture",
            target: target_picture,
            seeds: pictures(),
        },
    ]
}

/// Small pictures of every kind that is read, with turn flags and colour profiles.
fn pictures() -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/pictures");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("it is ours")
        .flatten()
        .map(|e| e.path())
        .collect();
    files.sort();
    let kinds = ["jpg", "png", "tif", "webp"].map(Some);
    let is_picture = |file: &&std::path::PathBuf| kinds.contains(&file.extension().and_then(|e| e.to_str()));
    let small = |file: &std::path::PathBuf| std::fs::read(file).ok().filter(|bytes| bytes.len() < 3_000);
    files.iter().filter(is_picture).filter_map(small).collect()
}

/// What a run came to.
struct Count {
    tried: u64,
    read: u64,
    /// Different answers: the messages without what they quote and count.
    answers: usize,
}

/// A message without names and numbers, so that answers of one kind are the same.
fn kind_of(message: &str) -> String {
    let mut kind = String::new();
    let mut quoted = false;
    // Where the file happened to lie is no part of an answer.
    let words = message.split(' ').filter(|word| !word.contains("/.tmp"));
    for letter in words.collect::<Vec<_>>().join(" ").chars() {
        match letter {
            '\u{201c}' => quoted = true,
            '\u{201d}' => quoted = false,
            _ if quoted || letter.is_ascii_digit() => {}
            _ => kind.push(letter),
        }
    }
    kind.chars().take(160).collect()
}

fn run(reader: &Reader, random: &mut ChaCha8Rng, mut go_on: impl FnMut(u64) -> bool) -> Count {
    /// Seeds beyond these are not kept, nor larger ones, in bytes: each would slow all that follow.
    const MOST_SEEDS: usize = 400;
    const LARGEST_SEED: usize = 60_000;
    /// One in so many inputs that were accepted becomes a seed, so that changes add up.
    const ACCEPTED_SEED: u32 = 16;
    // Accepted ones, and those that were refused for a reason of their own.
    let mut seeds = [reader.seeds.clone(), Vec::new()];
    let mut heard = std::collections::BTreeSet::new();
    let (mut tried, mut read) = (0, 0);
    while go_on(tried) {
        // Two in three start from what a reader accepts: what is refused early gets no deeper by more of it.
        let from = usize::from(!seeds[1].is_empty() && random.random_range(0..3) == 0);
        let seed = &seeds[from][random.random_range(0..seeds[from].len())];
        let other = &seeds[0][random.random_range(0..seeds[0].len())];
        let bytes = mutate(random, reader.form, seed, other);
        tried += 1;
        let answer = std::panic::catch_unwind(|| (reader.target)(&bytes));
        let Ok(answer) = answer else {
            panic!("{} failed on {:?}", reader.name, String::from_utf8_lossy(&bytes));
        };
        read += u64::from(answer == Answer::Read);
        let (kind, of, keeps) = match answer {
            Answer::Read => ("read".to_owned(), 0, random.random_range(0..ACCEPTED_SEED) == 0),
            Answer::Refused(message) => (kind_of(&message), 1, false),
        };
        let is_new = heard.insert(kind);
        if (is_new || keeps) && seeds[of].len() < MOST_SEEDS && bytes.len() <= LARGEST_SEED {
            seeds[of].push(bytes);
        }
    }
    Count {
        tried,
        read,
        answers: heard.len(),
    }
}

#[test]
fn the_seeds_are_accepted() {
    for reader in readers() {
        for seed in &reader.seeds {
            let answer = (reader.target)(seed);
            // Among the pictures are some that the program refuses on purpose.
            assert!(
                answer == Answer::Read || reader.name == "picture",
                "{}",
                reader.name
            );
        }
    }
}

#[test]
fn mutated_files_are_read_or_refused() {
    for reader in readers() {
        let mut random = ChaCha8Rng::seed_from_u64(411);
        let most = if reader.name == "pack" { 300 } else { 1_500 };
        let Count { tried, read, answers } = run(&reader, &mut random, |tried| tried < most);
        println!(
            "{}: {tried} tried, {read} read, {answers} different answers",
            reader.name
        );
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
    let only = std::env::var("DIETELL_FUZZ_READER").ok();
    for reader in readers() {
        if only.as_ref().is_some_and(|name| name != reader.name) {
            continue;
        }
        let start = Instant::now();
        let mut random = ChaCha8Rng::seed_from_u64(412);
        let Count { tried, read, answers } = run(&reader, &mut random, |_| {
            start.elapsed() < Duration::from_secs(seconds)
        });
        println!(
            "{}: {tried} tried in {seconds} s, {read} read, {} refused, {answers} different answers",
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
