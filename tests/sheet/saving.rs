//! Writing the files.

use dietell::files::{OutError, Replacing};
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
    let files = write_sheet(&sheet, &folder.path().join("coin.png"), Replacing::Ours).unwrap();
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
    let error = write_sheet(&sheet, &folder.path().join("coin.docx"), Replacing::Ours).unwrap_err();
    assert!(matches!(error, SheetError::Out(OutError::Ending { .. })));
    assert!(error.to_string().ends_with("its name must end in .pdf or .png."));
    let error = write_sheet(&sheet, &folder.path().join("no/such/coin.pdf"), Replacing::Ours).unwrap_err();
    assert!(matches!(error, SheetError::Write(_)));
    assert!(
        error.to_string().contains("coin.pdf could not be written"),
        "{error}"
    );
    // A folder in the file's place: the sheet is not written and no temporary file stays.
    std::fs::create_dir(folder.path().join("taken.pdf")).unwrap();
    assert!(write_sheet(&sheet, &folder.path().join("taken.pdf"), Replacing::Ours).is_err());
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn only_what_was_made_here_is_replaced_unasked() {
    let home = tempfile::tempdir().unwrap();
    let (photo, second, sheet) = (
        home.path().join("coin.png"),
        home.path().join("sheet-2.png"),
        small(),
    );
    for ending in ["pdf", "png"] {
        // Its own files may be written again.
        for _ in 0..2 {
            write_sheet(
                &sheet,
                &home.path().join(format!("again.{ending}")),
                Replacing::Ours,
            )
            .unwrap();
        }
    }
    for file in [&photo, &second] {
        image::RgbImage::new(3, 3).save(file).unwrap();
    }
    let before = std::fs::read(&photo).unwrap();
    let error = write_sheet(&sheet, &photo, Replacing::Ours).unwrap_err();
    assert!(
        matches!(error, SheetError::Out(OutError::NotOurs { .. })),
        "{error}"
    );
    // A page that nobody named is as safe, and no page before it is written.
    assert!(sheet.pages.len() > 1);
    write_sheet(&sheet, &home.path().join("sheet.png"), Replacing::Ours).unwrap_err();
    assert!(!home.path().join("sheet.png").exists());
    assert_eq!(
        (std::fs::read(&photo).unwrap(), std::fs::read(&second).unwrap()),
        (before.clone(), before)
    );
    // In a specimen nothing is written.
    let coin = home.path().join("coin");
    std::fs::create_dir(&coin).unwrap();
    std::fs::write(coin.join("specimen.ron"), "").unwrap();
    let error = write_sheet(&sheet, &coin.join("sheet.pdf"), Replacing::Ours).unwrap_err();
    assert!(
        matches!(error, SheetError::Out(OutError::Inside { .. })),
        "{error}"
    );
    write_sheet(&sheet, &photo, Replacing::Anything).unwrap();
}
