//! Writing the files.

use dietell::sheet::{Paper, SheetError, compose, write_sheet};

use crate::options;
use crate::synthetic::{Amounts, content};

fn small() -> dietell::sheet::Sheet {
    compose(
        &content(&Amounts {
            features: 3,
            px_per_paper_mm: 1.0,
            ..Amounts::default()
        }),
        &options(Paper::A4),
    )
}

#[test]
fn png_pages_are_numbered_and_state_their_dpi() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = small();
    let files = write_sheet(&sheet, &folder.path().join("coin.png")).unwrap();
    let names: Vec<_> = files
        .iter()
        .map(|f| f.file_name().unwrap().to_str().unwrap())
        .collect();
    assert_eq!(names[..2], ["coin.png", "coin-2.png"]);
    assert_eq!(files.len(), sheet.pages.len());
    let bytes = std::fs::read(&files[0]).unwrap();
    let picture = image::load_from_memory(&bytes).unwrap();
    assert_eq!((picture.width(), picture.height()), (1654, 2339));
    let at = bytes.windows(4).position(|w| w == b"pHYs").unwrap();
    assert_eq!(bytes[at + 4..at + 8], 7874_u32.to_be_bytes());
    // Nothing is left beside the pages.
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), files.len());
}

#[test]
fn what_cannot_be_written_is_said_in_a_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = small();
    let error = write_sheet(&sheet, &folder.path().join("coin.docx")).unwrap_err();
    assert!(matches!(error, SheetError::UnknownKind { .. }));
    assert!(error.to_string().ends_with("its name must end in .pdf or .png."));
    let error = write_sheet(&sheet, &folder.path().join("no/such/coin.pdf")).unwrap_err();
    assert!(matches!(error, SheetError::Write(_)));
    assert!(
        error.to_string().contains("coin.pdf could not be written"),
        "{error}"
    );
    // A folder in the file's place: the sheet is not written and no temporary file stays.
    std::fs::create_dir(folder.path().join("taken.pdf")).unwrap();
    assert!(write_sheet(&sheet, &folder.path().join("taken.pdf")).is_err());
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}
