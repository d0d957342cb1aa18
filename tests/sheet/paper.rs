//! What is on paper: the PDF read back with poppler (an independent reader), and the PNG against it.

use std::path::{Path, PathBuf};

use dietell::files::Replacing;
use dietell::sheet::display::Shape;
use dietell::sheet::{Paper, Sheet, compose, pdf_bytes, png_bytes, write_sheet};

use crate::absent::poppler;
use crate::numbers::greatest;
use crate::options;
use crate::synthetic::{Amounts, checker, content, frame};

/// A sheet with pictures at full sharpness, kept for a look where `DIETELL_SHEET_OUT` names a folder.
fn example() -> Sheet {
    let keep = std::env::var_os("DIETELL_SHEET_OUT").map(PathBuf::from);
    let content = content(&Amounts {
        features: if keep.is_some() { 12 } else { 4 },
        ..Amounts::default()
    });
    let sheet = compose(&content, &options(Paper::A4));
    if let Some(out) = keep {
        std::fs::create_dir_all(&out).unwrap();
        write_sheet(&sheet, &out.join("sheet.pdf"), Replacing::Anything).unwrap();
        write_sheet(&sheet, &out.join("sheet.png"), Replacing::Anything).unwrap();
    }
    sheet
}

fn written(sheet: &Sheet, folder: &Path) -> PathBuf {
    let file = folder.join("sheet.pdf");
    write_sheet(sheet, &file, Replacing::Anything).unwrap();
    file
}

#[test]
fn the_pdf_states_its_size_title_and_date() {
    let folder = tempfile::tempdir().unwrap();
    for (paper, size) in [
        (Paper::A4, "595.276 x 841.89 pts (A4)"),
        (Paper::Letter, "612 x 792 pts (letter)"),
    ] {
        let sheet = compose(
            &content(&Amounts {
                px_per_paper_mm: 1.0,
                ..Amounts::default()
            }),
            &options(paper),
        );
        let file = written(&sheet, folder.path());
        let Some(info) = poppler("pdfinfo", &[file.to_str().unwrap()]) else {
            return;
        };
        let info = String::from_utf8(info).unwrap();
        assert!(info.contains(size), "{info}");
        assert!(info.contains("Quarter with an open petal, tray 4"), "{info}");
        assert!(
            info.contains(&format!("Pages:           {}", sheet.pages.len())),
            "{info}"
        );
        assert!(info.contains("2026"), "{info}");
        // Viewers are asked to print at full size.
        let bytes = std::fs::read(&file).unwrap();
        assert!(bytes.windows(18).any(|w| w == b"/PrintScaling/None"));
    }
}

#[test]
fn the_text_of_the_pdf_can_be_selected() {
    let folder = tempfile::tempdir().unwrap();
    let mut content = content(&Amounts {
        px_per_paper_mm: 1.0,
        ..Amounts::default()
    });
    content.title = "Łódź, Gdańsk, Ærø, İzmir \u{201c}½\u{201d} Ωμέγα".to_owned();
    let sheet = compose(&content, &options(Paper::A4));
    let file = written(&sheet, folder.path());
    let Some(text) = poppler("pdftotext", &["-layout", file.to_str().unwrap(), "-"]) else {
        return;
    };
    let text = String::from_utf8(text).unwrap();
    for needed in [
        "Łódź, Gdańsk, Ærø, İzmir \u{201c}½\u{201d} Ωμέγα",
        "Made on 2026-01-31",
        "Compared with \u{201c}Quarters of an invented isle\u{201d}, edition 3",
        "Catalogue number IQ-1",
        "31 to 75 thought to exist",
        "1,600 to 1",
        "ENFSI",
        "Is the second petal open or closed?",
        "homography, chosen by evidence",
        "\u{2212}0.89",
        "01234567 89abcdef",
        "Out: Its obverse die is out",
        "professional grader or authenticator",
        "heritage, export and sale",
        "From the reference set: Cast copies",
    ] {
        assert!(text.contains(needed), "{needed:?} is missing from\n{text}");
    }
}

#[test]
fn a_crop_printed_at_ten_times_is_ten_times_on_paper() {
    // Squares of 0.25 mm on a zone of 3 x 2 mm; printed at 10 times each is 2.5 mm. Read back with poppler at 600 dpi.
    let folder = tempfile::tempdir().unwrap();
    let mut content = content(&Amounts {
        px_per_paper_mm: 1.0,
        features: 1,
        ..Amounts::default()
    });
    let frame = frame((8.5, 0.0), (4.5, 3.0), 10.0 * 12.0);
    let feature = &mut content.features[0];
    feature.enlargement = 10;
    feature.zone_size_mm = (3.0, 2.0);
    feature.coin = Ok(checker(frame, 0.25));
    feature.measures.clear();
    feature.radius95_mm = None;
    let sheet = compose(&content, &options(Paper::A4));
    let (page, area) = sheet
        .pages
        .iter()
        .enumerate()
        .find_map(|(number, page)| {
            page.items.iter().find_map(|item| match &item.shape {
                Shape::Picture { area, pixels } if pixels.width() == frame.width_px => Some((number, *area)),
                _ => None,
            })
        })
        .unwrap();
    assert!((area.width - 45.0).abs() < 1e-9 && (area.height - 30.0).abs() < 1e-9);
    let file = written(&sheet, folder.path());
    let target = folder.path().join("page");
    let page_number = (page + 1).to_string();
    let arguments = [
        "-r",
        "600",
        "-png",
        "-singlefile",
        "-f",
        &page_number,
        "-l",
        &page_number,
        file.to_str().unwrap(),
        target.to_str().unwrap(),
    ];
    if poppler("pdftoppm", &arguments).is_none() {
        return;
    }
    let raster = image::open(target.with_extension("png")).unwrap().to_luma8();
    let px_per_mm = 600.0 / 25.4;
    // Along a row of squares in each direction, clear of the corner marks: the steps between dark and light.
    let across = |from: f64, at: f64, length: f64, horizontal: bool| {
        let line: Vec<f64> = (0..(length * px_per_mm) as u32)
            .map(|i| {
                let along = (from * px_per_mm).round() as u32 + i;
                let other = (at * px_per_mm).round() as u32;
                let p = if horizontal {
                    raster.get_pixel(along, other)
                } else {
                    raster.get_pixel(other, along)
                };
                f64::from(p.0[0])
            })
            .collect();
        let middle = (0x30 + 0xd8) as f64 / 2.0;
        let steps: Vec<f64> = line
            .windows(2)
            .enumerate()
            .filter(|(_, w)| (w[0] < middle) != (w[1] < middle))
            .map(|(i, w)| i as f64 + (middle - w[0]) / (w[1] - w[0]))
            .collect();
        let n = steps.len() - 1;
        (steps[n] - steps[0]) / n as f64 / px_per_mm
    };
    // A quarter square inside, in the middle band of squares.
    let wide = across(area.x + 1.0, area.y + 13.7, area.width - 2.0, true);
    let high = across(area.y + 1.0, area.x + 21.2, area.height - 2.0, false);
    eprintln!("squares of 0.25 mm at 10 times: {wide:.4} x {high:.4} mm on paper");
    assert!((wide / 2.5 - 1.0).abs() < 0.002, "{wide} mm across");
    assert!((high / 2.5 - 1.0).abs() < 0.002, "{high} mm down");
}

#[test]
fn png_and_pdf_show_the_same() {
    // The two rasterisers place edges and glyphs differently within a pixel, so means over squares of about 2 mm are
    // compared: a shape that only one of them draws, or draws elsewhere, changes them far more.
    let folder = tempfile::tempdir().unwrap();
    let sheet = example();
    let file = written(&sheet, folder.path());
    let target = folder.path().join("page");
    let arguments = [
        "-r",
        "150",
        "-png",
        file.to_str().unwrap(),
        target.to_str().unwrap(),
    ];
    if poppler("pdftoppm", &arguments).is_none() {
        return;
    }
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "png"))
        .collect();
    files.sort();
    assert_eq!(files.len(), sheet.pages.len());
    for (number, (path, page)) in files.iter().zip(&sheet.pages).enumerate() {
        let theirs = image::open(path).unwrap().to_luma8();
        let (average, most) = difference(&theirs, page);
        eprintln!(
            "page {}: squares differ by {average:.3} on average, {most:.1} at most, of 255",
            number + 1
        );
        assert!(average < AVERAGE, "page {}: {average}", number + 1);
        assert!(most < MOST, "page {}: {most}", number + 1);
        if number == 0 {
            // The comparison sees a title that one of the two does not draw.
            let mut untitled = page.clone();
            untitled
                .items
                .retain(|item| !matches!(&item.shape, Shape::Text { text, .. } if *text == sheet.title));
            assert!(untitled.items.len() < page.items.len());
            assert!(difference(&theirs, &untitled).1 > MOST);
        }
    }
}

const DPI: f64 = 150.0;
/// The side of the compared squares in px: about 2 mm.
const SQUARE: u32 = 12;
/// The most by which squares may differ on average, and a single one, in levels of 255.
const AVERAGE: f64 = 1.0;
const MOST: f64 = 35.0;

/// How far the means over squares of poppler's page lie from ours: on average, and at most.
fn difference(theirs: &image::GrayImage, page: &dietell::sheet::Page) -> (f64, f64) {
    let ours = image::load_from_memory(&png_bytes(page, DPI).unwrap())
        .unwrap()
        .to_luma8();
    assert!(theirs.width().abs_diff(ours.width()) <= 1 && theirs.height().abs_diff(ours.height()) <= 1);
    let across = ours.width().min(theirs.width()) / SQUARE;
    let down = ours.height().min(theirs.height()) / SQUARE;
    let mean = |map: &image::GrayImage, sx: u32, sy: u32| {
        let sum: u32 = (0..SQUARE * SQUARE)
            .map(|i| {
                u32::from(
                    map.get_pixel(sx * SQUARE + i % SQUARE, sy * SQUARE + i / SQUARE)
                        .0[0],
                )
            })
            .sum();
        f64::from(sum) / f64::from(SQUARE * SQUARE)
    };
    let off: Vec<f64> = (0..down)
        .flat_map(|sy| (0..across).map(move |sx| (sx, sy)))
        .map(|(sx, sy)| (mean(theirs, sx, sy) - mean(&ours, sx, sy)).abs())
        .collect();
    (
        off.iter().sum::<f64>() / off.len() as f64,
        greatest(off.iter().copied()),
    )
}

#[test]
fn the_same_sheet_makes_the_same_file() {
    let content = content(&Amounts {
        px_per_paper_mm: 2.0,
        ..Amounts::default()
    });
    let make = || pdf_bytes(&compose(&content, &options(Paper::A4))).unwrap();
    assert!(make() == make());
}
