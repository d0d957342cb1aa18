//! Reference sets as files: reading, writing, what is refused and with which words, validation.

#![allow(clippy::unwrap_used, reason = "a test that meets an error has failed")]

use std::path::Path;

use dietell::files::ReadError;
use dietell::files::text::TextError;
use dietell::reference::{
    OpenSet, Place, ReferenceSet, SET_FILE, SetError, SetSource, Severity, Side, open_set, parse_set,
    parse_set_bytes, save_set, validate, write_set,
};
use dietell::specimen::parse_landmarks_table;
use dietell::specimen::parse_specimen;

#[path = "sets/demo.rs"]
mod demo;
#[path = "sets/edits.rs"]
mod edits;
#[path = "sets/merging.rs"]
mod merging;
#[path = "sets/mutation.rs"]
mod mutation;
#[path = "sets/mutator.rs"]
mod mutator;
#[path = "support/numbers.rs"]
mod numbers;
#[path = "sets/packs.rs"]
mod packs;
#[path = "sets/properties.rs"]
mod properties;
#[path = "sets/usefulness.rs"]
mod usefulness;
#[path = "sets/verbs.rs"]
mod verbs;
#[path = "sets/zip_by_hand.rs"]
mod zip_by_hand;

const MINIMAL: &str = include_str!("data/sets/minimal.ron");
const README: &str = include_str!("../README.md");
const FORMATS: &str = include_str!("../reference/FORMATS.md");

/// The blocks of one language in a text.
fn blocks(text: &'static str, language: &str) -> Vec<&'static str> {
    text.split(&format!("```{language}\n"))
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap())
        .collect()
}

#[test]
fn the_described_examples_are_read() {
    let [set, specimen] = blocks(FORMATS, "ron")[..] else {
        panic!("the description has two examples in RON");
    };
    assert_eq!(parse_set(set, Path::new("FORMATS.md")).unwrap(), minimal());
    let record = parse_specimen(specimen.as_bytes(), Path::new("FORMATS.md")).unwrap();
    assert_eq!(record.set.id, minimal().id);
    let [table] = blocks(FORMATS, "csv")[..] else {
        panic!("the description has one table");
    };
    let sizes = [Some((4000, 3000)); 2];
    let table = parse_landmarks_table(table.as_bytes(), Path::new("FORMATS.md"), &minimal(), sizes).unwrap();
    assert_eq!(table.obverse.len(), 2);
}

/// The README's set, written by hand, is one that `dietell check` has no error in.
#[test]
fn the_readme_s_set_is_accepted() {
    let [set] = blocks(README, "ron")[..] else {
        panic!("the README has one set");
    };
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("set.ron"), set).unwrap();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let arguments = ["check".into(), folder.path().as_os_str().to_owned()];
    let exit = dietell::headless::run(arguments, &mut out, &mut err);
    let said = String::from_utf8([out, err].concat()).unwrap();
    assert_eq!(exit, dietell::headless::Exit::Done, "{said}");
    assert!(said.contains("0 errors"), "{said}");
}

fn minimal() -> ReferenceSet {
    parse_set(MINIMAL, Path::new("set.ron")).unwrap()
}

/// The message for the minimal set with one part exchanged.
fn message(from: &str, to: &str) -> String {
    assert!(MINIMAL.contains(from), "{from} is not in the minimal set");
    let text = MINIMAL.replacen(from, to, 1);
    parse_set(&text, Path::new("set.ron")).unwrap_err().to_string()
}

#[test]
fn a_set_reads_back_as_it_was_written() {
    let set = minimal();
    let text = write_set(&set).unwrap();
    assert_eq!(parse_set(&text, Path::new("set.ron")).unwrap(), set);
    // Written for people: one field a line, no line too long to read.
    assert!(
        text.contains("\n  title: \"Kettle farthing of Ostrel\",\n"),
        "{text}"
    );
    assert!(text.lines().all(|line| line.len() < 200));
}

#[test]
fn odd_words_read_back_as_they_were_written() {
    let mut set = minimal();
    set.title = "Ünïcode \u{201c}quotes\u{201d}, \"straight\", back\\slash,\n new line, \u{1f600} r#\"raw\"#"
        .to_owned();
    set.cautions = vec![String::new(), "'single'".to_owned(), "// no comment".to_owned()];
    let text = write_set(&set).unwrap();
    assert_eq!(parse_set(&text, Path::new("set.ron")).unwrap(), set);
    assert!(text.contains("Ünïcode"), "letters are not escaped: {text}");
}

#[test]
fn a_set_with_a_number_that_is_not_finite_is_not_written() {
    let mut set = minimal();
    set.measures.diameter_mm = f64::NAN;
    let error = write_set(&set).unwrap_err().to_string();
    assert!(error.contains("diameter_mm"), "{error}");
}

#[test]
fn errors_name_file_line_and_field() {
    for (from, to, expected) in [
        (
            "weight_g: 6.2",
            "wait_g: 6.2",
            "set.ron, line 6, column 33 (in measures): unknown field \u{201c}wait_g\u{201d}; known here are \
             diameter_mm, relief_mm, weight_g, weight_tolerance_g, die_axis_deg.",
        ),
        (
            "id: \"O2\", ",
            "",
            "(in obverse, dies, item 2): the field \u{201c}id\u{201d} is missing.",
        ),
        (
            "telling_detail_mm: 0.2",
            "telling_detail_mm: \"small\"",
            "(in obverse, zones, item 1, telling_detail_mm): a number is expected here.",
        ),
        (
            "\"lid knob\": (200.0, 80.0)",
            "\"spout tip\": (200.0, 80.0)",
            "\u{201c}spout tip\u{201d} stands here twice: keep one of them.",
        ),
        ("edition: 1", "edition: -1", "(in edition): "),
        (
            "reliability: 0.95",
            "reliability: NaN",
            "(in obverse, features, item 1, reliability): \u{201c}NaN\u{201d} is no usable number: write a finite one.",
        ),
        (
            "title: \"Kettle",
            "title: Kettle",
            "(in title): text in double quotes is expected here.",
        ),
        (
            "title: \"Kettle farthing of Ostrel\"",
            "title: \"Kettle farthing of Ostrel",
            "set.ron, line ",
        ),
        (
            "  edition: 1,\n",
            "  edition: 1,\n  edition: 1,\n",
            "stands here twice",
        ),
        ("format: 1,", "", "the field \u{201c}format\u{201d} is missing"),
    ] {
        let message = message(from, to);
        assert!(
            message.contains(expected),
            "{from} -> {to}\n  {message}\n  {expected}"
        );
    }
}

#[test]
fn a_newer_file_is_called_newer() {
    let message = message("format: 1,", "format: 2, invented_later: (1, 2),");
    assert!(message.contains("newer version of Dietell"), "{message}");
}

#[test]
fn a_cut_file_says_that_it_is_cut() {
    let text = &MINIMAL[..MINIMAL.len() / 2];
    let error = parse_set(text, Path::new("set.ron")).unwrap_err().to_string();
    assert!(error.starts_with("set.ron, line "), "{error}");
}

#[test]
fn encodings_are_told_apart() {
    let read = |bytes: &[u8]| parse_set_bytes(bytes, Path::new("set.ron"));
    let mut marked = b"\xef\xbb\xbf".to_vec();
    marked.extend(MINIMAL.as_bytes());
    assert_eq!(read(&marked).unwrap(), minimal());

    let utf16: Vec<u8> = MINIMAL.encode_utf16().flat_map(u16::to_le_bytes).collect();
    for bytes in [[b"\xff\xfe".to_vec(), utf16.clone()].concat(), utf16] {
        let error = read(&bytes).unwrap_err().to_string();
        assert_eq!(error, "set.ron is saved as UTF-16: save it as UTF-8.");
    }
    let latin1 = MINIMAL.replace("Kettle", "K@ttle").into_bytes();
    let latin1: Vec<u8> = latin1.iter().map(|&b| if b == b'@' { 0xe9 } else { b }).collect();
    let error = read(&latin1).unwrap_err().to_string();
    assert!(error.contains("is not UTF-8 text, first on line 5"), "{error}");
    let error = read(b"\xff\xd8\xff\xe0 a picture").unwrap_err().to_string();
    assert!(error.contains("is not a text file"), "{error}");
}

#[test]
fn hostile_text_is_refused_in_few_words() {
    let name = "x".repeat(10_000_000);
    let nested = format!("({}", "[".repeat(1000));
    let many_dies = format!("id: \"R1\"), {}(id: \"R2\"", "(id: \"R\"), ".repeat(6000));
    let hostile = [
        nested.clone(),
        MINIMAL.replacen("title: \"Kettle", &format!("title: {nested}\"Kettle"), 1),
        MINIMAL.replacen("spout tip", &name, 2),
        MINIMAL.replacen("weight_g", &name, 1),
        MINIMAL.replacen("id: \"O1\"", &format!("id: \"{}\"", "y".repeat(500)), 1),
        MINIMAL.replacen("24.0", &"9".repeat(1_000_000), 1),
        MINIMAL.replacen("id: \"R1\"", &many_dies, 1),
        MINIMAL.replacen("[\"411\"]", "[\"411\"", 1),
        "/*".repeat(100_000),
        String::new(),
        "(".to_owned(),
        "\"".to_owned(),
        "r#".to_owned(),
        "'".to_owned(),
    ];
    for text in hostile {
        let error = parse_set(&text, Path::new("set.ron")).unwrap_err().to_string();
        assert!(error.len() < 600 && error.starts_with("set.ron"), "{error}");
    }
    let error = parse_set_bytes(&vec![b' '; 33_000_000], Path::new("set.ron")).unwrap_err();
    assert!(
        matches!(error, SetError::Text(TextError::Read(ReadError::TooLarge { .. }))),
        "{error}"
    );
}

#[test]
fn a_saved_set_opens_with_its_plates() {
    let folder = tempfile::tempdir().unwrap();
    let set = minimal();
    save_set(folder.path(), &set).unwrap();
    std::fs::create_dir(folder.path().join("plates")).unwrap();
    image::RgbImage::new(400, 400)
        .save(folder.path().join("plates/o1.png"))
        .unwrap();
    for place in [folder.path().to_owned(), folder.path().join(SET_FILE)] {
        let open = open_set(&place).unwrap();
        assert_eq!(open.set, set);
        assert_eq!(open.note, None);
        let bytes = open
            .source
            .file_bytes(&open.set.obverse.dies[0].plates[0].file)
            .unwrap();
        assert!(bytes.starts_with(b"\x89PNG"));
        assert_eq!(errors(&open.set, Some(&open.source)), Vec::<String>::new());
    }
}

#[test]
fn a_broken_set_opens_by_the_version_before() {
    let folder = tempfile::tempdir().unwrap();
    let first = minimal();
    let mut second = first.clone();
    second.edition = 2;
    save_set(folder.path(), &first).unwrap();
    save_set(folder.path(), &second).unwrap();
    assert_eq!(open_set(folder.path()).unwrap().set.edition, 2);
    std::fs::write(folder.path().join(SET_FILE), "(format: 1, ti").unwrap();
    let open = open_set(folder.path()).unwrap();
    assert_eq!(open.set.edition, 1);
    assert!(open.note.unwrap().contains("set.ron, line 1"));
    // Saving now must not push the good version out by the broken one.
    std::fs::write(folder.path().join(SET_FILE), "broken").unwrap();
    save_set(folder.path(), &second).unwrap();
    std::fs::write(folder.path().join(SET_FILE), "broken").unwrap();
    assert_eq!(open_set(folder.path()).unwrap().set.edition, 1);
}

#[test]
fn a_plate_outside_the_folder_is_not_opened() {
    let folder = tempfile::tempdir().unwrap();
    let set_folder = folder.path().join("set");
    save_set(&set_folder, &minimal()).unwrap();
    std::fs::write(folder.path().join("secret.png"), "secret").unwrap();
    let mut open = open_set(&set_folder).unwrap();
    let plate = &mut open.set.obverse.dies[0].plates[0];
    for climbing in [
        "../secret.png",
        "plates/../../secret.png",
        "/etc/hostname",
        "..\\secret.png",
    ] {
        plate.file = climbing.to_owned();
        let error = OpenSet {
            set: minimal(),
            source: SetSource::Folder(set_folder.clone()),
            note: None,
        }
        .source
        .file_bytes(&plate.file)
        .unwrap_err();
        assert!(matches!(error, SetError::PlatePath { .. }), "{error}");
    }
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(folder.path().join("secret.png"), set_folder.join("link.png")).unwrap();
        plate.file = "link.png".to_owned();
        let plate = plate.clone();
        let error = open.source.file_bytes(&plate.file).unwrap_err().to_string();
        assert!(error.contains("leads out of the set's folder"), "{error}");
    }
}

#[test]
fn nothing_at_a_place_is_said() {
    let folder = tempfile::tempdir().unwrap();
    for place in [folder.path().join("nowhere"), folder.path().to_owned()] {
        let error = open_set(&place).unwrap_err();
        assert!(matches!(error, SetError::NotASet { .. }), "{error}");
    }
}

fn errors(set: &ReferenceSet, source: Option<&SetSource>) -> Vec<String> {
    validate(set, source)
        .into_iter()
        .filter(|finding| finding.severity == Severity::Error)
        .map(|finding| finding.to_string())
        .collect()
}

#[test]
fn the_minimal_set_has_no_errors() {
    assert_eq!(errors(&minimal(), None), Vec::<String>::new());
}

/// Each change to the minimal set gives a finding of its kind at its place.
#[test]
fn every_inconsistency_is_found_at_its_place() {
    type Change = fn(&mut ReferenceSet);
    let die = |id: &str| Place::Die(Side::Obverse, id.into());
    let zone = || Place::Zone(Side::Obverse, "steam".into());
    let feature = || Place::Feature(Side::Obverse, "curls".into());
    let plate = || Place::Plate(Side::Obverse, "O1".into(), 0);
    let pairing = |index: usize| Place::Pairing(index, format!("KF {}", index + 1));
    let cases: Vec<(&str, Severity, Place, Change)> = vec![
        ("diameter", Severity::Error, Place::Measures, |s| {
            s.measures.diameter_mm = 0.0
        }),
        ("unusual", Severity::Warning, Place::Measures, |s| {
            s.measures.diameter_mm = 900.0
        }),
        ("no obverse die", Severity::Error, pairing(0), |s| {
            s.pairings[0].obverse = "O9".into()
        }),
        ("unknown fact", Severity::Error, pairing(0), |s| {
            s.facts.clear();
        }),
        ("no choice", Severity::Error, pairing(0), |s| {
            s.pairings[0].facts.insert("date".into(), vec!["999".to_owned()]);
        }),
        ("no band", Severity::Error, pairing(0), |s| s.rarity_bands.clear()),
        ("listed twice", Severity::Warning, pairing(1), |s| {
            s.pairings[1].obverse = "O1".into()
        }),
        ("zone outside", Severity::Error, zone(), |s| {
            s.obverse.zones[0].centre_mm.x = 40.0
        }),
        ("no detail", Severity::Error, zone(), |s| {
            s.obverse.zones[0].telling_detail_mm = 0.0
        }),
        ("detail too large", Severity::Error, zone(), |s| {
            s.obverse.zones[0].telling_detail_mm = 9.0
        }),
        ("unknown zone", Severity::Error, feature(), |s| {
            s.obverse.features[0].zone = "sun".into()
        }),
        ("reliability", Severity::Error, feature(), |s| {
            s.obverse.features[0].reliability = 1.0
        }),
        ("all agree", Severity::Warning, feature(), |s| {
            s.obverse.dies[1].shows.insert("curls".into(), "two".into());
        }),
        ("not told apart", Severity::Warning, die("O2"), |s| {
            s.obverse.dies[1].shows.clear();
        }),
        ("doubled die", Severity::Error, die("O1"), |s| {
            let again = s.obverse.dies[0].clone();
            s.obverse.dies.push(again);
        }),
        (
            "unknown state",
            Severity::Error,
            Place::Shows(Side::Obverse, "O1".into(), "curls".into()),
            |s| {
                s.obverse.dies[0].shows.insert("curls".into(), "nine".into());
            },
        ),
        (
            "unknown feature",
            Severity::Error,
            Place::Shows(Side::Obverse, "O1".into(), "tail".into()),
            |s| {
                s.obverse.dies[0].shows.insert("tail".into(), "long".into());
            },
        ),
        (
            "landmark named twice",
            Severity::Error,
            Place::Landmark(Side::Obverse, "lid knob".into()),
            |s| s.obverse.landmarks[0].name = "lid knob".into(),
        ),
        (
            "unknown landmark on a plate",
            Severity::Error,
            Place::PlateLandmark(Side::Obverse, "O1".into(), 0, "nose".into()),
            |s| {
                s.obverse.dies[0].plates[0]
                    .landmarks
                    .insert("nose".into(), dietell::geometry::PicturePoint::new(1.0, 2.0));
            },
        ),
        ("too few landmarks", Severity::Warning, plate(), |s| {
            s.obverse.dies[0].plates[0].landmarks.clear();
        }),
        ("landmark missing on a plate", Severity::Warning, plate(), |s| {
            s.obverse.dies[0].plates[0].landmarks.remove(&"lid knob".into());
        }),
        ("coarse plate", Severity::Warning, plate(), |s| {
            s.obverse.zones[0].telling_detail_mm = 0.1
        }),
        ("climbing plate", Severity::Error, plate(), |s| {
            s.obverse.dies[0].plates[0].file = "../x.png".to_owned();
        }),
        ("no rights", Severity::Hint, plate(), |s| {
            s.obverse.dies[0].plates[0].rights.clear()
        }),
        ("no plate", Severity::Hint, die("O1"), |s| {
            s.obverse.dies[0].plates.clear()
        }),
        ("unpaired die", Severity::Hint, die("O2"), |s| {
            s.pairings.truncate(1);
        }),
    ];
    let before = validate(&minimal(), None);
    for (name, severity, place, change) in cases {
        let mut set = minimal();
        change(&mut set);
        let findings = validate(&set, None);
        let found = findings
            .iter()
            .any(|f| f.severity == severity && f.place == place && !before.contains(f));
        assert!(found, "{name}: no {severity:?} at {place} among {findings:#?}");
        for finding in findings {
            assert!(
                finding.sentence.ends_with('.') && finding.remedy.ends_with('.'),
                "{finding}"
            );
        }
    }
}

/// A stranger's names may hold what a terminal would obey.
#[test]
fn no_control_character_comes_out_of_a_finding() {
    let mut set = minimal();
    set.pairings[0].reverse = "R\u{1b}[2J\u{0}1".into();
    set.obverse.dies[0].plates[0].landmarks.insert(
        "\u{7}".repeat(50_000).as_str().into(),
        dietell::geometry::PicturePoint::new(1.0, 2.0),
    );
    for finding in validate(&set, None) {
        let words = finding.to_string();
        assert!(
            !words.contains(char::is_control) && words.len() < 10_000,
            "{words:?}"
        );
    }
}

#[test]
fn a_missing_plate_and_a_landmark_outside_it_are_found() {
    let folder = tempfile::tempdir().unwrap();
    save_set(folder.path(), &minimal()).unwrap();
    let source = SetSource::Folder(folder.path().to_owned());
    let missing = errors(&minimal(), Some(&source));
    assert!(
        missing.len() == 1 && missing[0].contains("\u{201c}plates/o1.png\u{201d} is missing"),
        "{missing:?}"
    );
    std::fs::create_dir(folder.path().join("plates")).unwrap();
    image::RgbImage::new(300, 300)
        .save(folder.path().join("plates/o1.png"))
        .unwrap();
    let outside = errors(&minimal(), Some(&source));
    assert!(
        outside.len() == 1 && outside[0].contains("outside the picture of 300 x 300 px"),
        "{outside:?}"
    );
    std::fs::write(folder.path().join("plates/o1.png"), "no picture").unwrap();
    let no_picture = errors(&minimal(), Some(&source));
    assert!(
        no_picture[0].contains("is no picture that can be read here"),
        "{no_picture:?}"
    );
}
