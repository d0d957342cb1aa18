//! Several programs that change the same files at the same time, some of them killed: nothing that was reported saved may
//! be lost.

#![allow(clippy::unwrap_used, reason = "a test that meets an error has failed")]

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use dietell::headless::{Exit, run};
use dietell::reference::{ReferenceSet, SavedSet, SetOnDisk, SetSource, open_set, parse_set, save_set};
use dietell::specimen::{
    FactAnswer, Notice, RECORD_FILE, SetReference, SpecimenError, SpecimenFolder, SpecimenRecord,
    parse_specimen,
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

/// A change that no other writer makes.
fn give(record: &mut SpecimenRecord, name: &str) {
    let answer = FactAnswer::Is("here".to_owned());
    record.facts.insert(name.into(), answer);
}

fn record_in(folder: &Path) -> SpecimenRecord {
    let opened = SpecimenFolder::open(folder).unwrap();
    assert_eq!(opened.notices, []);
    opened.record
}

#[test]
fn of_a_thousand_changes_by_verbs_and_an_open_window_none_is_lost() {
    const VERBS: usize = 9;
    const CHANGES_EACH: usize = 100;
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    SpecimenFolder::create(&path, &blank()).unwrap();
    std::thread::scope(|scope| {
        for verb in 0..VERBS {
            let path = &path;
            scope.spawn(move || {
                for change in 0..CHANGES_EACH {
                    // As each run of a verb does.
                    let mut opened = SpecimenFolder::open(path).unwrap();
                    let name = format!("verb {verb} change {change}");
                    let (record, _) = opened.folder.change(|record| give(record, &name)).unwrap();
                    assert!(record.facts.contains_key(&name.as_str().into()));
                }
            });
        }
        // The window saves the record that it has, and does not even look at what the verbs did meanwhile.
        let mut window = SpecimenFolder::open(&path).unwrap();
        for change in 0..CHANGES_EACH {
            give(&mut window.record, &format!("window change {change}"));
            let notice = window.folder.save(&window.record).unwrap();
            assert!(matches!(notice, None | Some(Notice::TookIn)), "{notice:?}");
        }
    });
    assert_eq!(record_in(&path).facts.len(), (VERBS + 1) * CHANGES_EACH);
}

#[test]
fn what_two_windows_change_of_one_thing_is_kept_in_both_versions() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    let mut mine = SpecimenFolder::create(&path, &blank()).unwrap();
    let mut other = SpecimenFolder::open(&path).unwrap();
    other.record.notes = "typed in the other window".to_owned();
    give(&mut other.record, "theirs");
    other.folder.save(&other.record).unwrap();
    let mut record = blank();
    record.notes = "typed here".to_owned();
    let Some(Notice::OtherVersionKept { kept }) = mine.save(&record).unwrap() else {
        panic!("the other window's words gave way silently");
    };
    let text = std::fs::read(&kept).unwrap();
    assert_eq!(parse_specimen(&text, &kept).unwrap(), other.record);
    let both = record_in(&path);
    assert_eq!(both.notes, "typed here");
    assert_eq!(both.facts.len(), 1, "what only the other changed is there");
    assert_eq!(mine.newest(), Some(&both));
}

// ---- killed while they write: this test program runs itself again as children

/// The folder that a child works in, and the name of its changes.
const CHILD_FOLDER: &str = "DIETELL_TEST_WRITER_FOLDER";
const CHILD_NAME: &str = "DIETELL_TEST_WRITER_NAME";

#[test]
#[ignore = "runs only as a child of another test"]
fn child_changes_in_a_loop() {
    let Some(path) = std::env::var_os(CHILD_FOLDER).map(PathBuf::from) else {
        return;
    };
    let name = std::env::var(CHILD_NAME).unwrap();
    let mut journal = std::fs::File::create(path.with_file_name(format!("{name}.journal"))).unwrap();
    for number in 0.. {
        let change = format!("{name} {number}");
        let mut opened = SpecimenFolder::open(&path).unwrap();
        opened.folder.change(|record| give(record, &change)).unwrap();
        journal.write_all(format!("{change}\n").as_bytes()).unwrap();
    }
}

fn writer(path: &Path, name: &str) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["--ignored", "--exact", "child_changes_in_a_loop"])
        .env(CHILD_FOLDER, path)
        .env(CHILD_NAME, name)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

#[cfg(unix)]
#[test]
fn two_hundred_kills_lose_nothing_that_was_reported_saved() {
    const KILLS: usize = 200;
    let home = tempfile::tempdir().unwrap();
    let mut random = rand_chacha::ChaCha8Rng::seed_from_u64(70_911);
    let mut reported = 0;
    // A new coin now and then, so that records stay as long as real ones.
    for round in 0..KILLS / 20 {
        let path = home.path().join(format!("coin {round}"));
        SpecimenFolder::create(&path, &blank()).unwrap();
        for kill in 0..10 {
            let names = ["a", "b"].map(|name| format!("{name}{round}-{kill}"));
            let mut children = names.each_ref().map(|name| writer(&path, name));
            std::thread::sleep(Duration::from_micros(random.random_range(20_000..80_000)));
            for child in &mut children {
                child.kill().unwrap();
                child.wait().unwrap();
            }
            let record = record_in(&path);
            for name in &names {
                let journal =
                    std::fs::read_to_string(home.path().join(format!("{name}.journal"))).unwrap_or_default();
                // The last line may have been cut short.
                for change in journal
                    .split_inclusive('\n')
                    .filter_map(|line| line.strip_suffix('\n'))
                {
                    assert!(record.facts.contains_key(&change.into()), "{change} is lost");
                    reported += 1;
                }
            }
        }
    }
    assert!(reported > KILLS, "only {reported} changes were reported");
    println!("{KILLS} kills, {reported} changes reported, 0 lost");
}

// ---- sets

#[test]
fn two_merges_into_one_set_keep_both_contributions() {
    let home = tempfile::tempdir().unwrap();
    let at = |name: &str| home.path().join(name);
    for round in 0..10 {
        let mine = at(&format!("mine {round}"));
        save_set(&mine, &set()).unwrap();
        for (name, note) in [("first", "seen by the first"), ("second", "seen by the second")] {
            let mut theirs = set();
            let side = if name == "first" {
                &mut theirs.obverse
            } else {
                &mut theirs.reverse
            };
            let mut die = side.dies[0].clone();
            die.id = format!("new by the {name}").as_str().into();
            die.note = note.to_owned();
            die.plates.clear();
            side.dies.push(die);
            save_set(&at(&format!("{name} {round}")), &theirs).unwrap();
        }
        std::thread::scope(|scope| {
            for name in ["first", "second"] {
                let (mine, theirs) = (&mine, at(&format!("{name} {round}")));
                scope.spawn(move || {
                    let words = [
                        "merge".as_ref(),
                        mine.as_os_str(),
                        "--with".as_ref(),
                        theirs.as_os_str(),
                    ];
                    let (mut out, mut err) = (Vec::new(), Vec::new());
                    let exit = run(words, &mut out, &mut err);
                    assert_eq!(exit, Exit::Done, "{}", String::from_utf8_lossy(&err));
                });
            }
        });
        let merged = open_set(&mine).unwrap().set;
        assert!(
            merged.obverse.die(&"new by the first".into()).is_some(),
            "round {round}"
        );
        assert!(
            merged.reverse.die(&"new by the second".into()).is_some(),
            "round {round}"
        );
    }
}

#[test]
fn a_set_changed_by_another_program_is_put_together() {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("set");
    save_set(&folder, &set()).unwrap();
    let mut here = SetOnDisk::opened(&folder, &set());
    let mut theirs = set();
    theirs.obverse.dies[0].note = "by another".to_owned();
    save_set(&folder, &theirs).unwrap();
    let mut ours = set();
    ours.reverse.dies[0].note = "by us".to_owned();
    let SavedSet::Together(both) = here.save(&ours).unwrap() else {
        panic!("the other's change went unseen");
    };
    assert_eq!(both.obverse.dies[0].note, "by another");
    assert_eq!(both.reverse.dies[0].note, "by us");
    assert_eq!(open_set(&folder).unwrap().set, *both);
    assert_eq!(here.save(&both).unwrap(), SavedSet::AsGiven);
    // The same in both: ours stands, theirs is kept whole.
    let mut theirs = (*both).clone();
    theirs.title = "Theirs".to_owned();
    save_set(&folder, &theirs).unwrap();
    let mut ours = *both;
    ours.title = "Ours".to_owned();
    let SavedSet::OtherKept(saved, kept) = here.save(&ours).unwrap() else {
        panic!("the other's title gave way silently");
    };
    assert_eq!(saved.title, "Ours");
    let kept = parse_set(&std::fs::read_to_string(kept).unwrap(), Path::new("set.ron")).unwrap();
    assert_eq!(kept.title, "Theirs");
}

// ---- what cannot be read is not what is not there

#[test]
fn a_record_that_cannot_be_read_is_not_replaced_by_an_older_one() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("coin");
    let mut made = SpecimenFolder::create(&path, &blank()).unwrap();
    let mut newer = blank();
    newer.notes = "newer".to_owned();
    made.save(&newer).unwrap();
    // Not even the superuser reads a folder as a file, so that this holds whoever runs the tests.
    let record = path.join(RECORD_FILE);
    std::fs::rename(&record, path.join("aside")).unwrap();
    std::fs::create_dir(&record).unwrap();
    let error = SpecimenFolder::open(&path).unwrap_err();
    assert!(matches!(error, SpecimenError::Read(_)), "{error}");
    assert!(made.save(&blank()).is_err());
    assert!(made.change(|record| give(record, "lost")).is_err());
    let files = std::fs::read_dir(&path)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let others: Vec<String> = files.filter(|name| name.contains("other")).collect();
    assert_eq!(others, Vec::<String>::new());
    std::fs::remove_dir(&record).unwrap();
    std::fs::rename(path.join("aside"), &record).unwrap();
    assert_eq!(record_in(&path), newer);
}

#[test]
fn a_set_that_cannot_be_read_is_not_replaced_by_an_older_one() {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("set");
    save_set(&folder, &set()).unwrap();
    let mut newer = set();
    newer.edition = 2;
    save_set(&folder, &newer).unwrap();
    let file = folder.join("set.ron");
    std::fs::rename(&file, folder.join("aside")).unwrap();
    std::fs::create_dir(&file).unwrap();
    let error = open_set(&folder).unwrap_err().to_string();
    assert!(error.contains("set.ron is not a file"), "{error}");
    assert!(save_set(&folder, &newer).is_err());
    std::fs::remove_dir(&file).unwrap();
    std::fs::rename(folder.join("aside"), &file).unwrap();
    let opened = open_set(&folder).unwrap();
    assert_eq!((opened.set.edition, opened.note), (2, None));
    assert_eq!(opened.source, SetSource::Folder(folder));
}
