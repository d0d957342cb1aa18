//! Specimens on disk: saving that survives kills, full disks and read-only folders; photos kept byte for byte.

#![allow(clippy::unwrap_used, reason = "a test that meets an error has failed")]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use dietell::geometry::{Model, PicturePoint, SidePoint, SideVector};
use dietell::reference::{OpenSet, ReferenceSet, SetSource, Side, open_set, parse_set, save_set};
use dietell::specimen::{
    Cabinet, CannotTell, Conclusion, Difference, FactAnswer, FineShift, Found, MeasureKind, Measurement,
    Notice, OtherSpecimen, PREVIOUS_RECORD_FILE, PairMeasurement, RECORD_FILE, Ruling, SeenCrop, SeenPair,
    SetReference, Settings, SpecimenError, SpecimenFolder, SpecimenRecord, Spot, Theme, Verdict, WhichCoin,
    changes_for, parse_specimen, write_specimen,
};
use rand::{Rng, SeedableRng};

fn set() -> ReferenceSet {
    parse_set(include_str!("data/sets/minimal.ron"), Path::new("set.ron")).unwrap()
}

fn blank() -> SpecimenRecord {
    let reference = SetReference {
        id: "kettle-farthing".to_owned(),
        edition: 1,
        title: "Kettle farthing of Ostrel".to_owned(),
        place: "../set".to_owned(),
    };
    SpecimenRecord::new("A farthing from the market", reference)
}

fn verdict(state: &str, ruling: Ruling) -> Verdict {
    Verdict {
        side: Side::Obverse,
        feature: "curls".into(),
        state: state.into(),
        ruling,
        note: "clear".to_owned(),
        seen: Some(SeenCrop {
            plate: Some(("O1".into(), 0)),
            photo_from_side: [20.0, 0.5, 300.0, -0.5, 20.0, 310.0, 1e-5, 0.0, 1.0],
            centre_mm: SidePoint::new(-6.0, -4.5),
            size_mm: (4.5, 4.5),
            px_per_mm: 80.0,
            uncertainty_mm: 0.06,
            light_evened: 0.5,
        }),
    }
}

fn other_coin() -> OtherSpecimen {
    OtherSpecimen {
        title: "A farthing from the fair".to_owned(),
        place: "../fair".to_owned(),
        photo: "IMG 0007.JPG".to_owned(),
        sha256: "cd".repeat(32),
    }
}

/// A file of the first format, which knew no comparisons, opens as it was and is written in the newest.
#[test]
fn a_record_of_the_first_format_is_read_and_brought_up_to_date() {
    let old = include_str!("data/sets/full-specimen.ron");
    assert!(old.contains("format: 1"));
    let record = parse_specimen(old.as_bytes(), Path::new("specimen.ron")).unwrap();
    assert_eq!(record.format, SpecimenRecord::FORMAT);
    assert!(record.comparisons.is_empty());
    assert!(!record.verdicts.is_empty());
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    SpecimenFolder::create(&path, &blank()).unwrap();
    std::fs::write(path.join(RECORD_FILE), old).unwrap();
    let mut opened = SpecimenFolder::open(&path).unwrap();
    assert_eq!(opened.record, record);
    opened.folder.save(&opened.record).unwrap();
    let text = std::fs::read_to_string(path.join(RECORD_FILE)).unwrap();
    assert!(text.contains("format: 2"), "{text}");
    assert_eq!(
        parse_specimen(text.as_bytes(), Path::new("specimen.ron")).unwrap(),
        record
    );
}

/// A specimen in which every field is filled.
fn full(folder: &SpecimenFolder) -> SpecimenRecord {
    let mut record = blank();
    let mut photo = folder
        .take_in_bytes(
            Side::Obverse,
            "IMG 0001.JPG",
            b"the photo's own bytes",
            (4000, 3000),
        )
        .unwrap();
    photo
        .landmarks
        .insert("spout tip".into(), PicturePoint::new(812.3, 1001.7));
    photo.held_model = Some(Model::Affine);
    photo.rim = Some(dietell::align::Rim {
        centre: PicturePoint::new(2000.0, 1500.0),
        long_px: 1400.0,
        short_px: 1390.5,
        turn_deg: 12.0,
        by_hand: true,
    });
    let shift_mm = SideVector::new(0.02, -0.01);
    photo.fine_shifts.insert("steam".into(), FineShift { shift_mm });
    record.obverse = Some(photo);
    record.facts.insert(
        "date".into(),
        FactAnswer::OneOf(vec!["411".to_owned(), "412".to_owned()]),
    );
    record.weight_g = Some(6.05);
    record.verdicts = vec![
        verdict("two", Ruling::Agrees),
        verdict("three", Ruling::CannotTell(CannotTell::NotInPhoto)),
    ];
    record.measurements = vec![Measurement {
        side: Side::Obverse,
        feature: "curls".into(),
        kind: MeasureKind::Distance,
        points_mm: vec![SidePoint::new(0.1, 0.2), SidePoint::new(0.3, 0.4)],
        note: "width".to_owned(),
    }];
    record.compare_with(Side::Obverse, &other_coin(), |c| {
        c.finding_mut(&Spot::Zone("steam".into())).found = Some(Found::Same);
        let crack = c.finding_mut(&Spot::Place {
            title: "crack by the spout".to_owned(),
            centre_mm: SidePoint::new(-7.5, 2.25),
            size_mm: (3.0, 2.0),
        });
        crack.found = Some(Found::Differs(Difference::DieState));
        crack.more_on = Some(WhichCoin::Other);
        crack.note = "from the rim to the spout".to_owned();
        crack.seen = Some(SeenPair {
            photo_from_side: [20.0, 0.5, 300.0, -0.5, 20.0, 310.0, 1e-5, 0.0, 1.0],
            other_from_side: [30.0, 0.0, 500.0, 0.0, 30.0, 510.0, 0.0, 0.0, 1.0],
            sha256: "ab".repeat(32),
            other_sha256: "cd".repeat(32),
            centre_mm: SidePoint::new(-7.5, 2.25),
            size_mm: (3.9, 2.6),
            px_per_mm: 80.0,
            uncertainty_mm: 0.07,
            light_evened: 0.0,
        });
        c.measurements.push(PairMeasurement {
            spot: Spot::WholeSide,
            on: WhichCoin::Other,
            kind: MeasureKind::Distance,
            points_mm: vec![SidePoint::new(0.1, 0.2), SidePoint::new(0.3, 0.4)],
            half_width_95: Some(0.05),
        });
        c.conclusion = Some(Conclusion::SameDieThisEarlier);
        c.note = "the crack has grown".to_owned();
    });
    record.grade = "Fine".to_owned();
    record.cost = "3 kettles".to_owned();
    record.notes = "A line.\nAnother \"line\".".to_owned();
    record
}

#[test]
fn a_saved_specimen_opens_as_it_was() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    let mut folder = SpecimenFolder::create(&path, &blank()).unwrap();
    let record = full(&folder);
    assert_eq!(folder.save(&record).unwrap(), None);
    folder.keep_set(&set()).unwrap();
    let opened = SpecimenFolder::open(&path).unwrap();
    assert_eq!(opened.record, record);
    assert_eq!(opened.notices, []);
    assert_eq!(opened.folder.set_as_used().unwrap(), Some(set()));
    // The record's file may be chosen as well as its folder.
    assert_eq!(
        SpecimenFolder::open(&path.join(RECORD_FILE)).unwrap().record,
        record
    );
    let photo = opened
        .folder
        .photo_path(record.obverse.as_ref().unwrap())
        .unwrap();
    assert_eq!(std::fs::read(&photo).unwrap(), b"the photo's own bytes");
    assert_eq!(photo.extension().unwrap(), "jpg");
}

/// SHA-256 by Python's hashlib: `hashlib.sha256(b"the photo's own bytes").hexdigest()`.
#[test]
fn the_hash_is_sha_256() {
    let home = tempfile::tempdir().unwrap();
    let folder = SpecimenFolder::create(&home.path().join("coin"), &blank()).unwrap();
    let photo = full(&folder).obverse.unwrap();
    assert_eq!(
        photo.sha256,
        "b028347a294db2b53fe3c398a43f5e04e40d01f01700521451aa62f85a5da582"
    );
}

#[test]
fn a_new_specimen_needs_an_empty_folder() {
    let home = tempfile::tempdir().unwrap();
    std::fs::write(home.path().join("something"), "").unwrap();
    let error = SpecimenFolder::create(home.path(), &blank()).unwrap_err();
    assert!(matches!(error, SpecimenError::FolderInUse { .. }), "{error}");
}

#[test]
fn a_broken_record_opens_by_the_one_before_and_is_kept() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    let mut folder = SpecimenFolder::create(&path, &blank()).unwrap();
    let mut second = blank();
    second.title = "Second".to_owned();
    folder.save(&second).unwrap();
    for broken in ["", "(format: 1, title: \"cut", "\0\0\0\0"] {
        std::fs::write(path.join(RECORD_FILE), broken).unwrap();
        let mut opened = SpecimenFolder::open(&path).unwrap();
        assert_eq!(opened.record, blank());
        let notice = opened.notices[0].to_string();
        assert!(
            notice.contains("before the last was opened") && notice.contains("specimen.other-"),
            "{notice}"
        );
        // Saving goes on from there; neither the good version before nor the broken file is lost.
        let kept = match opened.folder.save(&second).unwrap() {
            Some(Notice::OtherVersionKept { kept }) => kept,
            other => panic!("{other:?}"),
        };
        assert_eq!(std::fs::read_to_string(&kept).unwrap(), broken);
        assert_eq!(SpecimenFolder::open(&path).unwrap().record, second);
        std::fs::write(path.join(RECORD_FILE), "broken again").unwrap();
        assert_eq!(SpecimenFolder::open(&path).unwrap().record, blank());
    }
    // Where the record is gone altogether, too.
    std::fs::remove_file(path.join(RECORD_FILE)).unwrap();
    assert_eq!(SpecimenFolder::open(&path).unwrap().record, blank());
    std::fs::remove_file(path.join(PREVIOUS_RECORD_FILE)).unwrap();
    let error = SpecimenFolder::open(&path).unwrap_err();
    assert!(matches!(error, SpecimenError::NotASpecimen { .. }), "{error}");
}

#[test]
fn a_newer_record_is_not_opened_by_an_older_copy() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    let mut folder = SpecimenFolder::create(&path, &blank()).unwrap();
    folder.save(&blank()).unwrap();
    let text = std::fs::read_to_string(path.join(RECORD_FILE)).unwrap();
    std::fs::write(path.join(RECORD_FILE), text.replace("format: 2", "format: 99")).unwrap();
    let error = SpecimenFolder::open(&path).unwrap_err().to_string();
    assert!(error.contains("newer version of Dietell"), "{error}");
}

#[test]
fn photos_gone_or_changed_between_sessions_are_told() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    let mut folder = SpecimenFolder::create(&path, &blank()).unwrap();
    let record = full(&folder);
    folder.save(&record).unwrap();
    let photo = folder.photo_path(record.obverse.as_ref().unwrap()).unwrap();
    std::fs::write(&photo, "edited").unwrap();
    let opened = SpecimenFolder::open(&path).unwrap();
    assert_eq!(opened.record, record);
    assert!(matches!(
        &opened.notices[..],
        [Notice::PhotoChanged {
            side: Side::Obverse,
            ..
        }]
    ));
    std::fs::remove_file(&photo).unwrap();
    let opened = SpecimenFolder::open(&path).unwrap();
    assert_eq!(opened.record, record);
    let [notice] = &opened.notices[..] else {
        panic!("{:?}", opened.notices)
    };
    assert!(matches!(notice, Notice::PhotoMissing { .. }));
    assert!(
        notice
            .to_string()
            .contains("is not in the specimen's folder any more"),
        "{notice}"
    );
}

#[test]
fn a_photo_outside_the_folder_is_not_opened() {
    let home = tempfile::tempdir().unwrap();
    let folder = SpecimenFolder::create(&home.path().join("coin"), &blank()).unwrap();
    let mut record = full(&folder);
    record.obverse.as_mut().unwrap().file = "../../secret.jpg".to_owned();
    let error = folder.photo_path(record.obverse.as_ref().unwrap()).unwrap_err();
    assert!(matches!(error, SpecimenError::PhotoPath { .. }), "{error}");
    assert!(matches!(
        &folder.check_photos(&record)[..],
        [Notice::PhotoUnreadable { .. }]
    ));
}

#[test]
fn a_second_photo_of_a_side_leaves_the_first() {
    let home = tempfile::tempdir().unwrap();
    let folder = SpecimenFolder::create(&home.path().join("coin"), &blank()).unwrap();
    let take = |bytes: &[u8]| {
        folder
            .take_in_bytes(Side::Reverse, "a.png", bytes, (1, 1))
            .unwrap()
    };
    let (first, second) = (take(b"first"), take(b"second"));
    assert_ne!(first.file, second.file);
    assert_eq!(
        std::fs::read(folder.photo_path(&first).unwrap()).unwrap(),
        b"first"
    );
    // Names from outside do not shape the path.
    let odd = folder
        .take_in_bytes(Side::Reverse, "../../x.sh;rm -rf", b"odd", (1, 1))
        .unwrap();
    assert!(folder.photo_path(&odd).unwrap().starts_with(folder.path()));
    assert!(odd.file.ends_with(".photo"), "{}", odd.file);
}

#[test]
fn a_record_that_is_no_number_is_not_saved_over_a_good_one() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    let mut folder = SpecimenFolder::create(&path, &blank()).unwrap();
    let mut bad = blank();
    bad.weight_g = Some(f64::INFINITY);
    let error = folder.save(&bad).unwrap_err().to_string();
    assert!(error.contains("weight_g"), "{error}");
    assert_eq!(SpecimenFolder::open(&path).unwrap().record, blank());
}

#[test]
fn errors_in_a_record_name_file_line_and_field() {
    let text = write_specimen(&blank()).unwrap().replace("grade: ", "grading: ");
    let error = parse_specimen(text.as_bytes(), Path::new("specimen.ron"))
        .unwrap_err()
        .to_string();
    assert!(
        error.starts_with("specimen.ron, line ") && error.contains("unknown field \u{201c}grading\u{201d}"),
        "{error}"
    );
    let twice = write_specimen(&blank())
        .unwrap()
        .replace("facts: {}", "facts: {\"date\": Unreadable, \"date\": Unreadable}");
    let error = parse_specimen(twice.as_bytes(), Path::new("specimen.ron"))
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("\u{201c}date\u{201d} stands here twice"),
        "{error}"
    );
}

// ---- the set that a specimen names

#[test]
fn the_set_is_found_again_also_when_both_moved() {
    let home = tempfile::tempdir().unwrap();
    let place = |root: &str| home.path().join(root);
    save_set(&place("a/set"), &set()).unwrap();
    let coin = place("a/coin");
    let folder = SpecimenFolder::create(&coin, &blank()).unwrap();
    let reference = SetReference::to(&open_set(place("a/set")).unwrap(), &coin).unwrap();
    assert_eq!(reference.place, "../set");
    assert_eq!(folder.open_reference_set(&reference).unwrap().set, set());
    std::fs::rename(place("a"), place("b")).unwrap();
    let opened = SpecimenFolder::open(&place("b/coin")).unwrap();
    assert_eq!(opened.folder.open_reference_set(&reference).unwrap().set, set());
    let demo = OpenSet {
        set: set(),
        source: SetSource::Demo,
        note: None,
    };
    assert_eq!(SetReference::to(&demo, &coin).unwrap().place, "demo");
}

#[cfg(unix)]
#[test]
fn a_set_at_an_odd_path_is_found_again_or_refused() {
    use std::os::unix::ffi::OsStrExt;
    let home = tempfile::tempdir().unwrap();
    let make = |name: &std::ffi::OsStr, coin: &str| {
        let folder = home.path().join(name);
        save_set(&folder, &set()).unwrap();
        let open = open_set(&folder).unwrap();
        let coin = home.path().join(coin);
        let made = SpecimenFolder::make(&coin, "A farthing", &open, |_, _| Ok::<_, SpecimenError>(()));
        (coin, made)
    };
    // A backslash is a letter like any other here.
    let (coin, _) = make("back\\slash".as_ref(), "first");
    let opened = SpecimenFolder::open(&coin).unwrap();
    assert_eq!(
        opened.folder.open_reference_set(&opened.record.set).unwrap().set,
        set()
    );
    // Bytes that are no Unicode cannot be kept in a text.
    let (coin, made) = make(std::ffi::OsStr::from_bytes(b"odd\xff"), "second");
    assert!(matches!(made, Err(SpecimenError::SetPath { .. })));
    assert!(!coin.exists(), "nothing half-made is left");
    assert_eq!(std::fs::read_dir(home.path()).unwrap().count(), 3);
}

#[test]
fn what_a_newer_edition_changes_is_told() {
    let mut record = blank();
    record.verdicts = vec![verdict("two", Ruling::Agrees), verdict("three", Ruling::Differs)];
    assert_eq!(changes_for(&record, &set(), &set()), Vec::<String>::new());
    let mut new = set();
    new.edition = 2;
    new.obverse.features[0].states.remove(1);
    new.obverse.features[0].question = "Two curls or three?".to_owned();
    new.obverse.dies[0].shows.insert("curls".into(), "three".into());
    new.obverse.dies.remove(1);
    new.reverse.dies.push(dietell::reference::Die {
        id: "R2".into(),
        note: String::new(),
        shows: std::collections::BTreeMap::new(),
        plates: Vec::new(),
    });
    new.pairings[0].catalogue = "KF 10".to_owned();
    new.pairings.remove(1);
    let changes = changes_for(&record, &set(), &new);
    for expected in [
        "Your verdict on the state \u{201c}three\u{201d} of the obverse feature \u{201c}curls\u{201d} no longer counts: the state is \
         gone.",
        "The words of the obverse feature \u{201c}curls\u{201d} changed since your verdict: check that it still fits.",
        "What the obverse die O1 shows of \u{201c}curls\u{201d} was \u{201c}two\u{201d} and is \u{201c}three\u{201d} now.",
        "The obverse die O2 is gone from the set.",
        "The reverse die R2 is new in the set: compare the coin with it.",
        "The pairing of O1 with R1 was KF 1 and is KF 10 now.",
        "The pairing KF 2 (O2 with R1) is gone from the set.",
    ] {
        assert!(
            changes.iter().any(|change| change == expected),
            "{expected}\n{changes:#?}"
        );
    }
}

// ---- cabinet and settings

#[test]
fn the_cabinet_lists_good_and_broken_specimens() {
    let home = tempfile::tempdir().unwrap();
    let root = home.path().join("cabinet");
    let cabinet = Cabinet::at(&root);
    assert_eq!(cabinet.list().unwrap(), []);
    for title in ["A farthing", "A farthing", "\u{1f600} / ..", "nul"] {
        let mut record = blank();
        record.title = title.to_owned();
        let folder = cabinet.folder_for(title).unwrap();
        assert_eq!(folder.parent().unwrap(), root);
        SpecimenFolder::create(&folder, &record).unwrap();
    }
    let broken = cabinet.folder_for("broken").unwrap();
    std::fs::create_dir(&broken).unwrap();
    std::fs::write(broken.join(RECORD_FILE), "(").unwrap();
    std::fs::create_dir(root.join("no specimen")).unwrap();
    let mut entries = cabinet.list().unwrap();
    entries.sort_by(|a, b| a.folder.cmp(&b.folder));
    let names: Vec<_> = entries
        .iter()
        .map(|e| (e.folder.file_name().unwrap().to_str().unwrap(), e.fault.is_some()))
        .collect();
    assert_eq!(
        names,
        [
            ("a-farthing", false),
            ("a-farthing-2", false),
            ("broken", true),
            ("coin", false),
            ("coin-2", false)
        ]
    );
}

#[test]
fn settings_are_kept() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("deep/settings.ron");
    let mut settings = Settings::read(&file).unwrap();
    assert_eq!(settings, Settings::default());
    settings.theme = Theme::Dark;
    for name in ["a", "b", "a"] {
        settings.opened_specimen(Path::new(name));
    }
    settings.save(&file).unwrap();
    let read = Settings::read(&file).unwrap();
    assert_eq!(read, settings);
    assert_eq!(read.recent_specimens, [PathBuf::from("a"), PathBuf::from("b")]);
    std::fs::write(&file, "(format: 1, colour: 3)").unwrap();
    assert!(
        Settings::read(&file)
            .unwrap_err()
            .to_string()
            .contains("unknown field")
    );
}

// ---- hard times: this test program runs itself again as a child, under limits or to be killed

/// The folder that a child works in.
const CHILD_FOLDER: &str = "DIETELL_TEST_CHILD_FOLDER";

fn child_folder() -> Option<PathBuf> {
    std::env::var_os(CHILD_FOLDER).map(PathBuf::from)
}

/// A numbered record whose parts must all be of one save.
fn numbered(number: u64) -> SpecimenRecord {
    let mut record = blank();
    record.title = number.to_string();
    record.notes = format!("{number} ").repeat(5_000);
    record
}

fn number_of(record: &SpecimenRecord) -> u64 {
    let number = record.title.parse().unwrap();
    assert_eq!(*record, numbered(number), "a record of two saves mixed");
    number
}

#[test]
#[ignore = "runs only as a child of other tests"]
fn child_saves_in_a_loop() {
    let Some(path) = child_folder() else { return };
    let mut opened = SpecimenFolder::open(&path).unwrap();
    let mut number = number_of(&opened.record);
    loop {
        number += 1;
        opened.folder.save(&numbered(number)).unwrap();
        // From the first save on the parent may kill, in whatever a later one is doing.
        std::fs::write(path.with_extension("started"), number.to_string()).unwrap();
    }
}

#[cfg(unix)]
#[test]
fn killed_at_any_moment_the_last_saved_record_opens() {
    const KILLS: usize = 40;
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    SpecimenFolder::create(&path, &numbered(0)).unwrap();
    let mut random = rand_chacha::ChaCha8Rng::seed_from_u64(20_411);
    let mut last = 0;
    for _ in 0..KILLS {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--ignored", "--exact", "child_saves_in_a_loop"])
            .env(CHILD_FOLDER, &path)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let started = path.with_extension("started");
        while !started.exists() {
            assert!(
                child.try_wait().unwrap().is_none(),
                "the child ended before it saved anything"
            );
            std::thread::sleep(Duration::from_millis(1));
        }
        std::thread::sleep(Duration::from_micros(random.random_range(500..60_000)));
        // SIGKILL on Unix: no chance to tidy up.
        child.kill().unwrap();
        child.wait().unwrap();
        // What a save returned for must be there; the note itself may have been cut short.
        let returned: u64 = std::fs::read_to_string(&started).unwrap().parse().unwrap_or(0);
        std::fs::remove_file(&started).unwrap();
        let opened = SpecimenFolder::open(&path).unwrap();
        assert_eq!(opened.notices, [], "a kill must not even cost the last version");
        let number = number_of(&opened.record);
        assert!(
            number > last && number >= returned,
            "saved work was lost: {number} after {last} and {returned}"
        );
        last = number;
    }
    println!("{KILLS} kills, {last} saves");
}

#[test]
#[ignore = "runs only as a child of other tests"]
fn child_cannot_save() {
    let Some(path) = child_folder() else { return };
    let mut opened = SpecimenFolder::open(&path).unwrap();
    fill_the_disk(&path);
    let error = opened.folder.save(&numbered(1)).unwrap_err();
    println!("saving: {error}");
    let photo = opened
        .folder
        .take_in_bytes(Side::Obverse, "a.jpg", &[7; 200_000], (1, 1));
    println!("photo: {}", photo.unwrap_err());
    let opened = SpecimenFolder::open(&path).unwrap();
    assert_eq!(number_of(&opened.record), 0);
    assert_eq!(opened.notices, []);
}

/// Fills the file system where the test gave it a small one.
fn fill_the_disk(path: &Path) {
    if std::env::var_os("DIETELL_TEST_FILL").is_some() {
        use std::io::Write;
        let mut file = std::fs::File::create(path.join("filler")).unwrap();
        while file.write_all(&[0; 512]).is_ok() {}
    }
}

/// Runs `child_cannot_save` behind a shell line that ends in `exec "$@"`; its output.
#[cfg(unix)]
fn child_behind(shell_line: &str, path: &Path) -> (bool, String) {
    let output = Command::new("sh")
        .args(["-c", shell_line, "sh"])
        .arg(std::env::current_exe().unwrap())
        .args(["--ignored", "--exact", "--nocapture", "child_cannot_save"])
        .env(CHILD_FOLDER, path)
        .output()
        .unwrap();
    let text =
        String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr);
    (output.status.success() && text.contains("saving: "), text)
}

#[cfg(unix)]
#[test]
fn a_file_size_limit_loses_nothing() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    SpecimenFolder::create(&path, &numbered(0)).unwrap();
    // 8 blocks of 512 bytes; the signal is ignored, so that the write fails as it does on a full disk.
    let (passed, text) = child_behind("trap '' XFSZ; ulimit -f 8; exec \"$@\"", &path);
    assert!(passed, "{text}");
    assert_eq!(text.matches("no room is left on the disk").count(), 2, "{text}");
    assert_eq!(number_of(&SpecimenFolder::open(&path).unwrap().record), 0);
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_loses_nothing() {
    let home = tempfile::tempdir().unwrap();
    let disk = home.path().join("disk");
    let path = disk.join("coin");
    std::fs::create_dir(&disk).unwrap();
    let quoted = disk.display();
    let can_mount = Command::new("unshare")
        .args([
            "-rm",
            "sh",
            "-c",
            &format!("mount -t tmpfs -o size=256k tmpfs '{quoted}'"),
        ])
        .output()
        .is_ok_and(|output| output.status.success());
    if !can_mount {
        println!(
            "skipped: this system lets no user mount a small disk; the file size limit is tested instead"
        );
        return;
    }
    let made = home.path().join("made");
    SpecimenFolder::create(&made, &numbered(0)).unwrap();
    let line = format!(
        "export DIETELL_TEST_FILL=1; exec unshare -rm sh -c \
         'mount -t tmpfs -o size=256k tmpfs \"{quoted}\" && cp -r \"{}\" \"{}\" && exec \"$@\"' sh \"$@\"",
        made.display(),
        path.display()
    );
    let (passed, text) = child_behind(&line, &path);
    assert!(passed, "{text}");
    assert_eq!(text.matches("no room is left on the disk").count(), 2, "{text}");
}

#[cfg(target_os = "linux")]
#[test]
fn a_read_only_folder_loses_nothing() {
    use std::os::unix::fs::PermissionsExt;
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    SpecimenFolder::create(&path, &numbered(0)).unwrap();
    let allow = |path: &Path, mode| {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
    };
    allow(home.path(), 0o755);
    allow(&path, 0o555);
    // The superuser may write anywhere, so the child gives that up where this test runs as one.
    let line = "if [ \"$(id -u)\" = 0 ]; then exec setpriv --reuid=65534 --regid=65534 --clear-groups \"$@\"; fi; \
                exec \"$@\"";
    let (passed, text) = child_behind(line, &path);
    allow(&path, 0o755);
    assert!(passed, "{text}");
    assert_eq!(
        text.matches("its folder may not be written to").count(),
        2,
        "{text}"
    );
}

#[test]
fn a_folder_that_went_away_is_said() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    let mut folder = SpecimenFolder::create(&path, &blank()).unwrap();
    std::fs::remove_dir_all(&path).unwrap();
    let error = folder.save(&blank()).unwrap_err().to_string();
    assert!(error.contains("its folder is not there any more"), "{error}");
}
