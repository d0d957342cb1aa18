//! Nothing overlaps, nothing leaves the margins, whatever a sheet has to say.

use dietell::sheet::display::{Area, Layer, Shape};
use dietell::sheet::style::{LIVE_HEIGHT, LIVE_WIDTH};
use dietell::sheet::{Paper, Sheet, compose};
use proptest::prelude::*;

use crate::options;
use crate::synthetic::{Amounts, content};

/// Checks every page and returns the text of all.
pub fn check(sheet: &Sheet) -> String {
    let mut all = String::new();
    for (number, page) in sheet.pages.iter().enumerate() {
        let live = Area::new(
            (page.width - LIVE_WIDTH) / 2.0,
            (page.height - LIVE_HEIGHT) / 2.0,
            LIVE_WIDTH,
            LIVE_HEIGHT,
        );
        // Lines drawn on an edge of the live area reach half their width over it.
        for item in &page.items {
            assert!(
                live.holds(&item.area(), 0.4),
                "page {}: {:?} leaves the margins {live:?}",
                number + 1,
                what(&item.shape)
            );
            if let Shape::Text { text, .. } = &item.shape {
                all.push_str(text);
                all.push('\n');
            }
        }
        let ground: Vec<(Area, &Shape)> = page
            .items
            .iter()
            .filter(|item| item.layer == Layer::Ground)
            .map(|item| (item.area(), &item.shape))
            .collect();
        for (i, (a, a_shape)) in ground.iter().enumerate() {
            for (b, b_shape) in &ground[i + 1..] {
                assert!(
                    !a.overlaps(b, 0.05),
                    "page {}: {} and {} overlap",
                    number + 1,
                    what(a_shape),
                    what(b_shape)
                );
            }
        }
    }
    all
}

fn what(shape: &Shape) -> String {
    match shape {
        Shape::Text { text, x, y, .. } => format!("the text {text:?} at {x:.1}, {y:.1}"),
        Shape::Picture { area, .. } => format!("the picture {area:?}"),
        other => format!("{other:?}"),
    }
}

fn sheet(amounts: &Amounts) -> Sheet {
    compose(&content(amounts), &options(Paper::A4))
}

/// Small pictures: the layout does not look at pixels.
fn coarse() -> Amounts {
    Amounts {
        px_per_paper_mm: 1.0,
        ..Amounts::default()
    }
}

#[test]
fn an_ordinary_sheet_keeps_to_its_places() {
    let text = check(&sheet(&coarse()));
    for needed in [
        "Settled",
        "Catalogue number IQ-1",
        "Obverse die O1 with reverse die R1",
        "R5: 31 to 75 thought to exist",
        "Cannot tell: worn",
        "Agrees",
        "Differs",
        "No verdict",
        "Light evened on coin and plates",
        "not an authentication",
        "8\u{d7}",
    ] {
        assert!(text.contains(needed), "{needed} is missing from\n{text}");
    }
}

#[test]
fn every_outcome_has_its_word_and_its_own_shape() {
    use dietell::sheet::content::OutcomeKind::*;
    let mut marks = Vec::new();
    for (kind, word) in [
        (Settled, "Settled"),
        (Leaning, "Leaning"),
        (Open, "Open"),
        (Contradicted, "Contradicted"),
        (Unlisted, "Unlisted pairing"),
        (BeyondTelling, "Beyond telling"),
    ] {
        let mut content = content(&Amounts {
            features: 2,
            ..coarse()
        });
        content.outcome.kind = kind;
        let sheet = compose(&content, &options(Paper::A4));
        assert!(check(&sheet).lines().any(|line| line == word), "{word}");
        // What is drawn left of the word, without colours: told apart on a grey print.
        let page = &sheet.pages[0];
        let (x, y) = page
            .items
            .iter()
            .find_map(|item| match &item.shape {
                Shape::Text { x, y, text, .. } if text == word => Some((*x, *y)),
                _ => None,
            })
            .unwrap();
        let place = Area::new(x - 8.0, y - 5.0, 7.9, 8.0);
        let mark: Vec<String> = page
            .items
            .iter()
            .filter(|item| item.layer == Layer::Mark && place.holds(&item.area(), 0.0))
            .map(|item| match &item.shape {
                Shape::Path { points, fill, .. } => format!("path {points:.2?} {}", fill.is_some()),
                Shape::Disc { radius, fill, .. } => format!("disc {radius:.2} {}", fill.is_some()),
                other => what(other),
            })
            .collect();
        assert!(!mark.is_empty(), "{word}");
        assert!(!marks.contains(&mark), "{word}");
        marks.push(mark);
        if let Some(out) = std::env::var_os("DIETELL_SHEET_OUT") {
            let file = std::path::Path::new(&out).join(format!("outcome-{word}.png"));
            std::fs::create_dir_all(&out).unwrap();
            std::fs::write(file, dietell::sheet::png_bytes(page, 100.0).unwrap()).unwrap();
        }
    }
}

#[test]
fn forty_features_paginate() {
    let sheet = sheet(&Amounts {
        features: 40,
        pairings: 60,
        dies: 12,
        ..coarse()
    });
    assert!(sheet.pages.len() >= 12);
    let text = check(&sheet);
    assert!(text.contains(&format!("Page {0} of {0}", sheet.pages.len())));
}

#[test]
fn an_empty_specimen_makes_a_sheet() {
    let text = check(&sheet(&Amounts {
        features: 0,
        dies: 0,
        pairings: 0,
        verdicts: false,
        aligned: false,
        ..coarse()
    }));
    assert!(text.contains("Open") && text.contains("Page 1 of"));
}

#[test]
fn both_papers_carry_the_same_pages() {
    let content = content(&coarse());
    let a4 = compose(&content, &options(Paper::A4));
    let letter = compose(&content, &options(Paper::Letter));
    assert_eq!(a4.pages.len(), letter.pages.len());
    for (a, b) in a4.pages.iter().zip(&letter.pages) {
        assert_eq!(a.items.len(), b.items.len());
        // At full size and centred, what is printed for one paper fits the other with 12 mm to spare.
        let (dx, dy) = ((b.width - a.width) / 2.0, (b.height - a.height) / 2.0);
        let inner = Area::new(12.0 - 0.4, 12.0 - 0.4, b.width - 23.2, b.height - 23.2);
        for item in &a.items {
            assert!(inner.holds(&item.clone().moved(dx, dy).area(), 0.0));
        }
    }
}

#[test]
fn a_zone_wider_than_the_grid_takes_a_row_of_its_own() {
    check(&sheet(&Amounts {
        zone: (70.0, 30.0),
        features: 3,
        ..coarse()
    }));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, rng_seed: proptest::test_runner::RngSeed::Fixed(7), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_sheet_keeps_to_its_places(
        features in 0_usize..9,
        states in 1_usize..8,
        dies in 0_usize..14,
        pairings in 0_usize..12,
        causes in 0_usize..7,
        wordiness in 1_usize..7,
        zone_w in 0.3_f64..12.0,
        zone_h in 0.3_f64..12.0,
        missing_plates in 0_usize..6,
        verdicts: bool,
        aligned: bool,
        word in "\\PC{0,60}|[a-zA-Z]{80,300}|Straße|Przemyśl|\u{6771}\u{4eac}",
    ) {
        let sheet = sheet(&Amounts {
            features, states, dies, pairings, causes, wordiness,
            zone: (zone_w, zone_h),
            missing_plates, verdicts, aligned, word,
            px_per_paper_mm: 1.0,
        });
        check(&sheet);
    }
}

#[test]
fn every_reason_for_an_exclusion_is_printed_whole() {
    let sheet = sheet(&Amounts {
        causes: 40,
        pairings: 3,
        word: "quillwort".to_owned(),
        ..coarse()
    });
    let text = check(&sheet).replace('\n', " ");
    // 2 pairings out of 3 and 3 dies of 4 a side are out, for 40 reasons each.
    assert_eq!(
        text.matches("quillwort and this die a closed").count(),
        40 * (2 + 6)
    );
}
