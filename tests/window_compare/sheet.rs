//! The sheet's preview, its fields and the export.

use dietell::app::model::bench::Step;
use dietell::app::shell::dialogs::ScriptedDialogs;
use dietell::sheet::Paper;
use egui_kittest::kittest::Queryable as _;

use super::synthetic::{harness, opened, record, window};

#[test]
fn the_preview_shows_all_pages() {
    let harness = opened(Step::Sheet);
    let pages = harness.state().pages.sheet.page_count().unwrap();
    assert!(pages >= 2);
    for page in 1..=pages {
        let name = format!("Page {page} of {pages}");
        assert!(harness.query_all_by_label(&name).next().is_some());
    }
}

#[test]
fn the_fields_are_written_to_the_record() {
    let mut harness = opened(Step::Sheet);
    harness.get_by_label("Grade").focus();
    harness.run_ok();
    harness.get_by_label("Grade").type_text("nearly very fine");
    harness.run_ok();
    let bench = harness.state_mut().bench.as_mut().unwrap();
    assert_eq!(bench.record().grade, "nearly very fine");
    bench.history.undo();
    assert_eq!(bench.record().grade, "");
}

#[test]
fn the_sheet_is_written_where_the_user_says() {
    let folder = tempfile::tempdir().unwrap();
    let dialogs = ScriptedDialogs::default();
    let file = folder.path().join("one.pdf");
    dialogs.answer(file.clone());
    let mut harness = harness(window(Step::Sheet, record(), dialogs.clone()), (1280.0, 800.0));
    harness.get_by_label("Letter").click();
    harness.run_ok();
    assert_eq!(harness.state().pages.sheet.paper, Paper::Letter);
    harness.get_by_label("Export PDF").click();
    harness.run_ok();
    let bytes = std::fs::read(&file).unwrap();
    assert!(bytes.starts_with(b"%PDF-"));
    assert!(
        harness
            .query_all_by_label_contains("The sheet is written to")
            .next()
            .is_some()
    );

    let picture = folder.path().join("two.png");
    dialogs.answer(picture.clone());
    harness.get_by_label("Export PNG").click();
    harness.run_ok();
    let first = image::open(&picture).unwrap();
    assert!(first.width() > 1000);

    let nowhere = folder.path().join("no such folder/three.pdf");
    dialogs.answer(nowhere);
    harness.get_by_label("Export PDF").click();
    harness.run_ok();
    assert!(
        harness
            .query_all_by_label_contains("could not be written")
            .next()
            .is_some()
    );
}
