//! What the verbs say when something is wrong: one line, the right exit code, nothing half done.

use std::fs;

use dietell::headless::Exit;
use dietell::reference::Side;

use super::workshop::{Said, Workshop};

/// Starts a specimen with a table of these rows.
fn with_table(shop: &Workshop, rows: &[u8]) -> Said {
    fs::write(shop.path("table.csv"), rows).unwrap();
    shop.run("new @/coin --set @/set --obverse @/obverse.png --landmarks @/table.csv")
}

fn one_line(said: &Said) -> &str {
    let mut lines = said.err.lines();
    let line = lines
        .next()
        .unwrap_or_else(|| panic!("nothing on the error stream"));
    assert_eq!(lines.next(), None, "{}", said.err);
    assert!(line.starts_with("dietell: "), "{line}");
    line
}

#[test]
fn a_wrong_table_names_line_and_column_and_leaves_no_folder() {
    let shop = Workshop::new();
    let cases: [(&[u8], &str); 14] = [
        (b"obverse,top,1,2\nobverse,foot,3\n", "line 2: 3 fields"),
        (
            b"obverse,top,1,2\nobverse,top,3,4\n",
            "line 2, column 2 (name): \u{201c}top\u{201d} stands on line 1 already",
        ),
        (
            b"side,name,x_px,y_px\nobverse,beak,1,2\n",
            "line 2, column 2 (name): the set has no obverse landmark",
        ),
        (b"obverse,Top,1,2\n", "did you mean \u{201c}top\u{201d}?"),
        (
            b"front,top,1,2\n",
            "line 1, column 1 (side): \u{201c}front\u{201d} is neither",
        ),
        (
            b"reverse,top,1,2\n",
            "line 1, column 1 (side): there is no reverse photo",
        ),
        (
            b"obverse,top,one,2\n",
            "line 1, column 3 (x_px): \u{201c}one\u{201d} is not a number",
        ),
        (
            b"obverse,top,1,NaN\n",
            "line 1, column 4 (y_px): NaN is not a finite number",
        ),
        (
            b"obverse,top,inf,2\n",
            "line 1, column 3 (x_px): inf is not a finite number",
        ),
        (
            b"obverse,top,1e400,2\n",
            "line 1, column 3 (x_px): inf is not a finite number",
        ),
        (
            b"obverse,top,1,460\n",
            "line 1, column 4 (y_px): 460 lies outside the photo",
        ),
        (
            b"\n\nobverse,top,-1,2\n",
            "line 3, column 3 (x_px): -1 lies outside",
        ),
        (b"obverse,\xff\xfe,1,2\n", "line 1, column 2 (name): is not UTF-8"),
        (b"obverse,\"top,1,2\nobverse,foot,1,2\n", "1 fields"),
    ];
    for (rows, expected) in cases {
        let said = with_table(&shop, rows);
        let expected = if expected == "1 fields" {
            "line 1: 2 fields"
        } else {
            expected
        };
        assert_eq!(said.exit, Exit::Unreadable, "{expected}");
        assert!(
            one_line(&said).contains(expected),
            "{} should have {expected}",
            said.err
        );
        assert!(!shop.path("coin").exists(), "{expected}");
    }
    // A header in capitals behind a byte-order mark, spaces, a quoted name and a Windows line end are all well.
    let said = with_table(
        &shop,
        b"\xef\xbb\xbfSide, Name, X_px, Y_px\r\nobverse,\"top\", 1.5 , 2e1\r\n",
    );
    assert_eq!((said.exit, said.err.as_str()), (Exit::Done, ""));
    let record = fs::read_to_string(shop.path("coin/specimen.ron")).unwrap();
    assert!(record.contains("1.5") && record.contains("20.0"), "{record}");
}

#[test]
fn what_is_missing_is_named() {
    let shop = Workshop::new();
    for (line, exit, expected) in [
        ("check @/nowhere", Exit::Unreadable, "No reference set"),
        ("align @/nowhere", Exit::Unreadable, "nowhere"),
        (
            "new @/coin --set @/set --obverse @/gone.png",
            Exit::Unreadable,
            "gone.png",
        ),
        (
            "new @/coin --set @/set --obverse @/landmarks.csv",
            Exit::Unreadable,
            "landmarks.csv",
        ),
        (
            "new @/coin --set @/set --obverse @/obverse.png --landmarks @/gone.csv",
            Exit::Unreadable,
            "gone.csv",
        ),
        (
            "new @/set --set @/set --obverse @/obverse.png",
            Exit::Unwritable,
            "already holds files",
        ),
        ("new @/coin --set @/set", Exit::Usage, "--obverse"),
        (
            "new @/obverse.png/coin --set @/set --obverse @/obverse.png",
            Exit::Unwritable,
            "obverse.png",
        ),
        ("strike @/coin", Exit::Usage, "strike"),
        ("check", Exit::Usage, "SET"),
    ] {
        let said = shop.run(line);
        assert_eq!(said.exit, exit, "{line}: {}", said.err);
        assert!(one_line(&said).contains(expected), "{line}: {}", said.err);
        assert_eq!(said.out, "", "{line}");
    }
}

#[test]
fn names_that_the_set_does_not_have_are_refused_with_those_it_has() {
    let shop = Workshop::new();
    shop.start();
    for (line, expected) in [
        (
            "verdict @/coin --side obverse --feature beak --state near --ruling agrees",
            "stop, line",
        ),
        (
            "verdict @/coin --side obverse --feature stop --state gone --ruling agrees",
            "near, far",
        ),
        (
            "verdict @/coin --side obverse --feature stop --state near --ruling maybe",
            "cannot-tell",
        ),
        (
            "verdict @/coin --side obverse --feature stop --state near --ruling cannot-tell:bored",
            "not-in-photo",
        ),
        (
            "verdict @/coin --side obverse --feature stop --state near --ruling agrees:worn",
            "reason",
        ),
        (
            "verdict @/coin --side edge --feature stop --state near --ruling agrees",
            "edge",
        ),
        ("fact @/coin date 3", "1, 2"),
        ("fact @/coin date 1|3", "\u{201c}3\u{201d}"),
        ("fact @/coin colour red", "date, weight"),
        ("fact @/coin weight heavy", "grams"),
        ("fact @/coin weight -1", "-1"),
        ("crops @/coin --out @/crops --px-per-mm 0", "above 0"),
        ("crops @/coin --out @/crops --px-per-mm NaN", "above 0"),
        ("crops @/coin --out @/crops --px-per-mm 4999", "16384 px"),
        ("crops @/coin --out @/crops --px-per-mm 10 --margin 11", "0 to 10"),
        ("sheet @/coin --out @/sheet.doc", ".pdf or .png"),
        ("sheet @/coin --out @/sheet.pdf --date yesterday", "yesterday"),
    ] {
        let said = shop.run(line);
        assert_eq!(said.exit, Exit::Usage, "{line}: {}", said.err);
        assert!(one_line(&said).contains(expected), "{line}: {}", said.err);
    }
    assert_eq!(shop.run("standing @/coin --json").json()["verdicts"], 0);
    assert!(!shop.path("crops").exists());
}

#[test]
fn a_side_without_landmarks_is_a_no_and_the_other_is_reported() {
    let shop = Workshop::new();
    let obverse_only: String = shop
        .table()
        .lines()
        .filter(|line| !line.starts_with("reverse"))
        .map(|line| format!("{line}\n"))
        .collect();
    fs::write(shop.path("landmarks.csv"), obverse_only).unwrap();
    shop.start();
    let said = shop.run("align @/coin --json");
    let report = said.json();
    assert_eq!(said.exit, Exit::Negative);
    assert!(report["sides"][0]["problem"].is_null() && report["sides"][1]["alignment"].is_null());
    assert!(
        report["sides"][1]["problem"]
            .as_str()
            .unwrap()
            .contains("landmarks"),
        "{report:#}"
    );
    let said = shop.run("crops @/coin --out @/crops --px-per-mm 10 --json");
    let report = said.json();
    assert_eq!(said.exit, Exit::Negative);
    // The coin's reverse crops are missing; the plates' are there all the same.
    assert_eq!(report["missing"].as_array().unwrap().len(), 2, "{report:#}");
    assert_eq!(report["crops"].as_array().unwrap().len(), 10, "{report:#}");
}

#[test]
fn pictures_that_went_missing_cost_only_what_needs_them() {
    let shop = Workshop::new();
    shop.start();
    fs::remove_file(shop.path("set/plates/obverse-1.png")).unwrap();
    let photo = super::workshop::files(&shop.path("coin"))
        .into_iter()
        .find(|n| n.starts_with("reverse"))
        .unwrap();
    fs::remove_file(shop.path("coin").join(photo)).unwrap();
    let said = shop.run("crops @/coin --out @/crops --px-per-mm 10 --json");
    let report = said.json();
    assert_eq!(said.exit, Exit::Negative);
    assert!(
        said.err.starts_with("dietell: note: The reverse photo"),
        "{}",
        said.err
    );
    // Two features of the coin's reverse, two states that the missing plate shows.
    assert_eq!(report["missing"].as_array().unwrap().len(), 4, "{report:#}");
    assert_eq!(shop.run("sheet @/coin --out @/sheet.pdf").exit, Exit::Done);
    // Without the set, its text as it was used still gives the standing.
    fs::rename(shop.path("set"), shop.path("moved")).unwrap();
    let said = shop.run("standing @/coin --json");
    assert_eq!(said.exit, Exit::Done, "{}", said.err);
    let notes: Vec<&str> = said.err.lines().collect();
    assert!(
        notes.len() == 2 && notes[1].contains("as it was last used"),
        "{}",
        said.err
    );
    assert_eq!(said.json()["pairings"].as_array().unwrap().len(), 3);
}

#[test]
fn a_broken_record_is_named_with_its_line() {
    let shop = Workshop::new();
    shop.start();
    let file = shop.path("coin/specimen.ron");
    let text = fs::read_to_string(&file).unwrap();
    // There is no version before the first to open in its stead.
    assert!(!shop.path("coin/specimen.previous.ron").exists());
    fs::write(&file, text.replace("title:", "tittle:")).unwrap();
    let said = shop.run("standing @/coin");
    assert_eq!(said.exit, Exit::Unreadable);
    let line = one_line(&said);
    assert!(line.contains("specimen.ron") && line.contains("tittle"), "{line}");
    // A file of a newer version is said to be one.
    fs::write(&file, text.replace("format: 2", "format: 999")).unwrap();
    let said = shop.run("standing @/coin");
    assert_eq!(said.exit, Exit::Unreadable);
    assert!(one_line(&said).contains("newer"), "{}", said.err);
}

#[test]
fn a_report_that_cannot_be_written_is_an_error_and_a_closed_pipe_is_none() {
    struct Full(std::io::ErrorKind);
    impl std::io::Write for Full {
        fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
            Err(self.0.into())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }
    let shop = Workshop::new();
    let set = shop.path("set").to_string_lossy().into_owned();
    let ends = |kind| dietell::headless::run(["check", &set], &mut Full(kind), &mut Vec::new());
    assert_eq!(ends(std::io::ErrorKind::StorageFull), Exit::Unwritable);
    assert_eq!(ends(std::io::ErrorKind::BrokenPipe), Exit::Done);
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_to_keeps_what_is_saved() {
    use std::os::unix::fs::PermissionsExt;
    let shop = Workshop::new();
    shop.start();
    let folder = shop.path("coin");
    let before = fs::read(folder.join("specimen.ron")).unwrap();
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o555)).unwrap();
    // The superuser may write anywhere: then there is nothing to see here.
    let locked = fs::write(folder.join("probe"), b"").is_err();
    let said = shop.run("verdict @/coin --side obverse --feature stop --state near --ruling agrees");
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o755)).unwrap();
    if locked {
        assert_eq!(said.exit, Exit::Unwritable);
        assert!(one_line(&said).contains("specimen.ron"));
        assert_eq!(fs::read(folder.join("specimen.ron")).unwrap(), before);
    }
    assert!(shop.photo(Side::Obverse).exists());
}
