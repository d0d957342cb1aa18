//! Folders, packs, pictures, tables and names made to do harm. Each case ends in an answer within seconds, writes nothing
//! where it should not, and hands a terminal nothing to obey.
//!
//! `cargo test --release --test attacks -- --ignored --nocapture` attacks for long and prints a table.

#![allow(clippy::unwrap_used, reason = "a test that meets an error has failed")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::time::{Duration, Instant};

use dietell::files::Replacing;
use dietell::headless::{Exit, run};
use dietell::photo::{PhotoError, PictureNote, ReadLimits, Watch, read_picture, upright_size};
use dietell::reference::merge::merge_open;
use dietell::reference::pack::{copy_set, pack};
use dietell::reference::{ReferenceSet, SetError, Side, open_set, parse_set, save_set, take_in_plate};
use dietell::specimen::{
    RECORD_FILE, SET_AS_USED_FILE, SpecimenError, SpecimenFolder, parse_landmarks_table,
};
use rand::{Rng, SeedableRng};

fn set() -> ReferenceSet {
    parse_set(include_str!("data/sets/minimal.ron"), Path::new("set.ron")).unwrap()
}

/// The set without pictures, saved in a folder.
fn bare_set(folder: &Path) -> PathBuf {
    let mut set = set();
    for side in Side::BOTH {
        for die in &mut set.side_mut(side).dies {
            die.plates.clear();
        }
    }
    save_set(folder, &set).unwrap();
    folder.to_owned()
}

fn coin(home: &Path) -> PathBuf {
    let open = open_set(bare_set(&home.join("set"))).unwrap();
    let folder = home.join("coin");
    SpecimenFolder::make(&folder, "A farthing", &open, |_, _| Ok::<_, SpecimenError>(())).unwrap();
    folder
}

/// What a run of the program ends with; it must end within seconds.
fn verb(arguments: &[&str]) -> (Exit, String, String) {
    let given: Vec<String> = arguments.iter().map(|word| (*word).to_owned()).collect();
    within_seconds(&arguments.join(" "), move || {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let exit = run(given, &mut out, &mut err);
        let text = |bytes| String::from_utf8(bytes).unwrap();
        (exit, text(out), text(err))
    })
}

fn within_seconds<T: Send + 'static>(what: &str, work: impl FnOnce() -> T + Send + 'static) -> T {
    let (done, answer) = mpsc::channel();
    std::thread::spawn(move || done.send(work()));
    answer
        .recv_timeout(Duration::from_secs(20))
        .unwrap_or_else(|_| panic!("{what} does not end"))
}

#[cfg(unix)]
fn pipe(at: &Path) {
    let _ = std::fs::remove_file(at);
    assert!(
        std::process::Command::new("mkfifo")
            .arg(at)
            .status()
            .unwrap()
            .success()
    );
}

#[cfg(unix)]
#[test]
fn pipes_and_devices_in_folders_end_in_a_sentence() {
    type Put = fn(&Path);
    let puts: [(&str, Put); 3] = [
        ("pipe", pipe),
        ("endless", |at| {
            let _ = std::fs::remove_file(at);
            std::os::unix::fs::symlink("/dev/zero", at).unwrap();
        }),
        ("sparse", |at| {
            // Claims more than any file of its kind has, and takes no room.
            std::fs::File::create(at).unwrap().set_len(1 << 40).unwrap();
        }),
    ];
    for (kind, put) in puts {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name).to_str().unwrap().to_owned();
        coin(home.path());
        put(&home.path().join("coin").join(SET_AS_USED_FILE));
        std::fs::rename(at("set"), at("gone")).unwrap();
        let (exit, _, err) = verb(&["standing", &at("coin")]);
        assert_eq!(exit, Exit::Unreadable, "{kind}: {err}");
        std::fs::rename(at("gone"), at("set")).unwrap();
        put(&home.path().join("set/set.ron"));
        let (exit, _, err) = verb(&["check", &at("set")]);
        assert_eq!(
            (exit, err.lines().count()),
            (Exit::Unreadable, 1),
            "{kind}: {err}"
        );
        put(&home.path().join("coin").join(RECORD_FILE));
        let (exit, _, err) = verb(&["standing", &at("coin")]);
        assert_eq!(
            (exit, err.lines().count()),
            (Exit::Unreadable, 1),
            "{kind}: {err}"
        );
        let table = home.path().join("table.csv");
        put(&table);
        bare_set(&home.path().join("other"));
        image::RgbImage::new(60, 60).save(at("sound.png")).unwrap();
        let new = [
            "new",
            &at("new"),
            "--set",
            &at("other"),
            "--obverse",
            &at("sound.png"),
            "--landmarks",
            &at("table.csv"),
        ];
        let (exit, _, err) = verb(&new);
        assert_eq!(
            (exit, err.lines().count()),
            (Exit::Unreadable, 1),
            "{kind}: {err}"
        );
        put(&home.path().join("photo.jpg"));
        let (exit, _, err) = verb(&[
            "new",
            &at("new"),
            "--set",
            &at("other"),
            "--obverse",
            &at("photo.jpg"),
        ]);
        assert_eq!(
            (exit, err.lines().count()),
            (Exit::Unreadable, 1),
            "{kind}: {err}"
        );
        assert!(
            !home.path().join("new").exists(),
            "{kind}: nothing half-made is left"
        );
    }
}

#[cfg(unix)]
#[test]
fn links_in_a_folder_lead_nothing_outside() {
    let home = tempfile::tempdir().unwrap();
    let at = |name: &str| home.path().join(name);
    let folder = bare_set(&at("set"));
    std::fs::create_dir(at("outside")).unwrap();
    for name in ["history", "plates"] {
        std::os::unix::fs::symlink(at("outside"), folder.join(name)).unwrap();
    }
    let note = pack(
        &open_set(&folder).unwrap(),
        &at("a.dieset"),
        Replacing::Ours,
        &Watch::default(),
    )
    .unwrap();
    assert!(
        note.unwrap().contains("is a link"),
        "that it could not be noted is said"
    );
    let error = take_in_plate(&folder, "photo.jpg", b"bytes").unwrap_err();
    assert!(matches!(error, SetError::Write(_)), "{error}");
    // A merge that brings a picture.
    let theirs = bare_set(&at("theirs"));
    let mut set = open_set(&theirs).unwrap().set;
    set.obverse.dies[0].plates = self::set().obverse.dies[0].plates.clone();
    save_set(&theirs, &set).unwrap();
    std::fs::create_dir(theirs.join("plates")).unwrap();
    std::fs::write(theirs.join(&set.obverse.dies[0].plates[0].file), "bytes").unwrap();
    let merge = merge_open(
        &open_set(&folder).unwrap(),
        &open_set(&theirs).unwrap(),
        &Watch::default(),
    )
    .unwrap();
    assert!(merge.bring_plates(&set, &folder, &Watch::default()).is_err());
    assert_eq!(std::fs::read_dir(at("outside")).unwrap().count(), 0);
    // A photo through a link is not read.
    let coin = coin(&at("cabinet"));
    std::fs::write(at("outside/secret.jpg"), "secret").unwrap();
    std::os::unix::fs::symlink(at("outside/secret.jpg"), coin.join("photo.jpg")).unwrap();
    let made = SpecimenFolder::open(&coin).unwrap();
    let mut photo = made
        .folder
        .take_in_bytes(Side::Obverse, "a.jpg", b"a", (1, 1))
        .unwrap();
    photo.file = "photo.jpg".to_owned();
    assert!(matches!(
        made.folder.photo_path(&photo),
        Err(SpecimenError::PhotoPath { .. })
    ));
}

#[test]
fn a_terminal_gets_nothing_to_obey() {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("set");
    let mut set = set();
    set.title = "Farthing \u{1b}[2J\u{9b}31m\u{202e}gnihtraf\u{7}".to_owned();
    set.obverse.dies[0].plates[0].source = "\u{1b}]0;owned\u{7}".to_owned();
    save_set(&folder, &set).unwrap();
    let path = folder.to_str().unwrap();
    for arguments in [
        vec!["check", path],
        vec!["features", path],
        vec!["check", path, "--json"],
    ] {
        let (_, out, err) = verb(&arguments);
        let obeyed = |c: &char| *c != '\n' && (c.is_control() || ('\u{202a}'..='\u{202e}').contains(c));
        assert_eq!((out + &err).chars().find(|c| obeyed(c)), None, "{arguments:?}");
    }
    // Programs get what is there.
    let (_, out, _) = verb(&["check", path, "--json"]);
    let report: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(report["title"], set.title);
}

#[test]
fn tables_of_other_habits_are_answered_with_what_to_change() {
    let set = set();
    let name = set.obverse.landmarks[0].name.to_string();
    for (row, expected) in [
        (format!("obverse;{name};12.5;7.25"), "separate them by commas"),
        (format!("obverse\t{name}\t12.5\t7.25"), "separate them by commas"),
        (format!("obverse,{name},12,5,7,25"), "write numbers with a point"),
    ] {
        let error = parse_landmarks_table(row.as_bytes(), Path::new("t.csv"), &set, [Some((99, 99)), None])
            .unwrap_err();
        assert!(error.to_string().contains(expected), "{error}");
    }
}

#[test]
fn kinds_of_jpeg_that_are_not_read_are_called_so() {
    let jpeg = include_bytes!("data/pictures/whole.jpg");
    let frame = memchr::memmem::find(jpeg, b"\xff\xc0").unwrap();
    for (marker, precision, expected) in [
        (0xC3, 8, "lossless"),
        (0xC9, 8, "arithmetic"),
        (0xC1, 12, "more than 8 bits"),
    ] {
        let mut odd = jpeg.to_vec();
        (odd[frame + 1], odd[frame + 4]) = (marker, precision);
        let error = read_picture(
            Path::new("a.jpg"),
            &odd,
            &ReadLimits::default(),
            &Watch::default(),
        )
        .unwrap_err();
        assert!(matches!(error, PhotoError::Unsupported { .. }), "{error}");
        assert!(error.to_string().contains(expected), "{error}");
    }
}

/// A PNG whose colour profile unpacks to many megabytes.
fn profile_bomb(unpacked: usize) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 4, 4);
    encoder.set_color(png::ColorType::Rgb);
    let mut writer = encoder.write_header().unwrap();
    let mut chunk = b"bomb\0\0".to_vec();
    let mut packer = flate2::write::ZlibEncoder::new(&mut chunk, flate2::Compression::best());
    std::io::Write::write_all(&mut packer, &vec![0; unpacked]).unwrap();
    packer.finish().unwrap();
    writer
        .write_chunk(png::chunk::ChunkType(*b"iCCP"), &chunk)
        .unwrap();
    writer.write_image_data(&[9; 48]).unwrap();
    writer.finish().unwrap();
    bytes
}

#[test]
fn a_profile_that_unpacks_to_much_is_passed_over_and_said() {
    let bomb = profile_bomb(200_000_000);
    assert!(bomb.len() < 400_000);
    let begun = Instant::now();
    assert_eq!(upright_size(&bomb), Some((4, 4)));
    let picture = read_picture(
        Path::new("a.png"),
        &bomb,
        &ReadLimits::default(),
        &Watch::default(),
    )
    .unwrap();
    assert_eq!(picture.notes(), [PictureNote::BrokenProfile]);
    assert!(begun.elapsed() < Duration::from_secs(5), "{:?}", begun.elapsed());
}

// ---- for long

/// Cases, failures and the longest time of each area.
#[derive(Default)]
struct Tally(BTreeMap<&'static str, (usize, usize, Duration)>);

impl Tally {
    fn case(&mut self, area: &'static str, holds: impl FnOnce() -> bool + std::panic::UnwindSafe) {
        let begun = Instant::now();
        let held = std::panic::catch_unwind(holds).unwrap_or(false);
        let entry = self.0.entry(area).or_default();
        entry.0 += 1;
        entry.1 += usize::from(!held || begun.elapsed() > Duration::from_secs(10));
        entry.2 = entry.2.max(begun.elapsed());
    }
}

/// The most memory that this process had, in MB; none where the system does not tell.
fn peak_mb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM"))?;
    line.split_whitespace()
        .nth(1)?
        .parse::<u64>()
        .ok()
        .map(|kb| kb / 1_000)
}

/// A few changes at random, the length among them.
fn mutated(bytes: &[u8], random: &mut impl Rng) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for _ in 0..random.random_range(1..12) {
        let reach = if random.random_bool(0.5) {
            bytes.len().min(600)
        } else {
            bytes.len()
        };
        if reach > 0 {
            bytes[random.random_range(0..reach)] = random.random();
        }
    }
    if random.random_bool(0.3) {
        bytes.truncate(random.random_range(0..=bytes.len()));
    }
    bytes
}

#[test]
#[ignore = "runs for minutes: an attack for long"]
fn attack_for_long() {
    let rounds: usize = std::env::var("DIETELL_ATTACKS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(2_000);
    let mut random = rand_chacha::ChaCha8Rng::seed_from_u64(31_337);
    let mut tally = Tally::default();
    let home = tempfile::tempdir().unwrap();
    let pictures = [
        "whole.jpg",
        "whole.png",
        "whole.webp",
        "whole.tif",
        "gps.jpg",
        "gps.png",
        "gps.webp",
        "gps.tif",
    ];
    let data = |name: &str| {
        std::fs::read(
            Path::new(env!("CARGO_MANIFEST_DIR"))
                .join("tests/data/pictures")
                .join(name),
        )
        .unwrap()
    };
    let pictures: Vec<Vec<u8>> = pictures.iter().map(|name| data(name)).collect();
    let set_text = include_bytes!("data/sets/minimal.ron");
    let whole = open_set(bare_set(&home.path().join("whole"))).unwrap();
    let packed = home.path().join("whole.dieset");
    pack(&whole, &packed, Replacing::Ours, &Watch::default()).unwrap();
    let packed = std::fs::read(packed).unwrap();
    let coin = coin(&home.path().join("coins"));
    let record = std::fs::read(coin.join(RECORD_FILE)).unwrap();
    for round in 0..rounds {
        let bytes = mutated(&pictures[round % pictures.len()], &mut random);
        tally.case("pictures, read", || {
            let limits = ReadLimits {
                most_pixels: 1_000_000,
                most_bytes: 1_000_000,
            };
            read_picture(Path::new("a"), &bytes, &limits, &Watch::default()).map_or_else(
                |error| error.to_string().ends_with('.'),
                |picture| picture.width() > 0,
            )
        });
        tally.case("pictures, handed on", || {
            // What was cleaned once is clean.
            dietell::photo::anonymous(&bytes).map_or(true, |once| {
                dietell::photo::anonymous(&once).is_ok_and(|twice| twice == once)
            })
        });
        let text = mutated(set_text, &mut random);
        tally.case("sets", || {
            let file = Path::new("set.ron");
            dietell::reference::parse_set_bytes(&text, file).is_ok_and(|set| set.id.len() < 1_000)
                || dietell::reference::parse_set_bytes(&text, file)
                    .is_err_and(|error| error.to_string().len() < 2_000)
        });
        let text = mutated(&record, &mut random);
        let broken = coin.join(RECORD_FILE);
        std::fs::write(&broken, &text).unwrap();
        tally.case("records", || {
            SpecimenFolder::open_unchecked(&coin).map_or(true, |opened| opened.notices.len() < 3)
        });
        let bytes = mutated(&packed, &mut random);
        let (file, out) = (home.path().join("a.dieset"), home.path().join("out"));
        std::fs::write(&file, &bytes).unwrap();
        tally.case("packs", || {
            let Ok(open) = open_set(&file) else { return true };
            let copied = copy_set(&open, &out, &Watch::default()).is_ok();
            let left = out.exists();
            let _ = std::fs::remove_dir_all(&out);
            copied == left
        });
        let row = mutated(b"obverse,brooch,12.5,7.25\nreverse,stem,1,2\n", &mut random);
        tally.case("tables", || {
            parse_landmarks_table(&row, Path::new("t.csv"), &set(), [Some((99, 99)), Some((99, 99))])
                .map_or_else(|error| error.to_string().ends_with('.'), |_| true)
        });
    }
    println!("{:24} {:>8} {:>8} {:>10}", "area", "cases", "failed", "longest");
    for (area, (cases, failed, longest)) in &tally.0 {
        println!(
            "{area:24} {cases:>8} {failed:>8} {:>7.0} ms",
            longest.as_secs_f64() * 1e3
        );
    }
    println!(
        "most memory: {} MB",
        peak_mb().map_or_else(|| "?".to_owned(), |mb| mb.to_string())
    );
    assert!(tally.0.values().all(|(_, failed, _)| *failed == 0));
}
