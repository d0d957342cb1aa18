//! The comparisons with other coins: a short section, an opinion as the rest.

use super::block::Block;
use super::content::{ComparisonContent, FindingRow, PairCrops, SheetCrop};
use super::display::Area;
use super::marks;
use super::page_summary::empty;
use super::paginate::{Align, Column, Pages, Row};
use super::style::{BODY, GUTTER, INK, LABEL, LIVE_WIDTH, SMALL};
use super::text::one_line;
use crate::pipeline::Missing;

/// The width of a pair of crops and of one, in mm: two pairs fill the page's width.
const PAIR: f64 = (LIVE_WIDTH - GUTTER) / 2.0;
const CROP: f64 = (PAIR - GUTTER) / 2.0;
/// The height of the frame that stands in for a crop, in mm.
const EMPTY_HEIGHT: f64 = 22.0;

const fn left(label: &'static str, width: f64) -> Column {
    Column {
        label,
        width,
        align: Align::Left,
    }
}

const FINDINGS: [Column; 6] = [
    left("", 6.0),
    left("Spot", 50.0),
    left("found", 30.0),
    left("kind", 36.0),
    left("place", 24.0),
    left("note", 34.0),
];

pub(super) fn comparisons(pages: &mut Pages, all: &[ComparisonContent]) {
    if all.is_empty() {
        return;
    }
    pages.heading("Compared with other coins", 40.0);
    pages.paragraph(
        0.0,
        LIVE_WIDTH,
        "This coin and another, side against side, by their photos. What is found and concluded is the user\u{2019}s \
         opinion; the program laid the photos on each other and decided nothing. A place\u{2019}s \u{b1} is the 95 % radius between the two photos, both alignments together.",
        &LABEL,
    );
    for comparison in all {
        pages.gap(4.0);
        one(pages, comparison);
    }
}

fn one(pages: &mut Pages, c: &ComparisonContent) {
    pages.keep(26.0);
    let title = if c.other.trim().is_empty() {
        "an untitled specimen"
    } else {
        c.other.trim()
    };
    let heading = format!("{} against that of {title}", c.side.title());
    pages.paragraph(0.0, LIVE_WIDTH, &heading, &BODY.strong());
    let conclusion = match &c.conclusion {
        Some(words) => format!("Concluded, as an opinion: {words}."),
        None => "Nothing concluded yet.".to_owned(),
    };
    pages.paragraph(0.0, LIVE_WIDTH, &conclusion, &BODY);
    if !c.note.trim().is_empty() {
        pages.paragraph(0.0, LIVE_WIDTH, c.note.trim(), &SMALL);
    }
    pages.paragraph(
        0.0,
        LIVE_WIDTH,
        &format!(
            "The other coin\u{2019}s photo: {}, SHA-256 {}",
            c.other_photo, c.other_sha256
        ),
        &LABEL,
    );
    if !c.findings.is_empty() {
        pages.gap(1.5);
        let rows: Vec<Row> = c
            .findings
            .iter()
            .enumerate()
            .map(|(i, f)| row(i + 1, f))
            .collect();
        pages.table(None, &FINDINGS, &rows);
        crops(pages, &c.findings);
    }
    for (i, line) in c.measures.iter().chain(&c.cautions).enumerate() {
        pages.gap(if i == 0 { 2.5 } else { 0.8 });
        pages.paragraph(0.0, LIVE_WIDTH, line, &SMALL);
    }
}

/// The crops as they were seen, two pairs in a row.
fn crops(pages: &mut Pages, findings: &[FindingRow]) {
    let pairs: Vec<(usize, &FindingRow, &PairCrops)> = findings
        .iter()
        .enumerate()
        .filter_map(|(i, f)| Some((i + 1, f, f.crops.as_ref()?)))
        .collect();
    for (i, two) in pairs.chunks(2).enumerate() {
        pages.gap(if i == 0 { 3.0 } else { 4.0 });
        let mut block = Block::default();
        for (place, (number, finding, crops)) in two.iter().enumerate() {
            let x = if place == 0 { 0.0 } else { PAIR + GUTTER };
            block.take(pair(*number, finding, crops), x, 0.0);
        }
        pages.place(block);
    }
}

/// One pair under its number and spot.
fn pair(number: usize, finding: &FindingRow, crops: &PairCrops) -> Block {
    let mut block = Block::default();
    let title = format!("{number}  {}: {}", finding.spot, finding.found);
    block.text(
        0.0,
        0.0,
        &one_line(&title, &SMALL.strong(), PAIR),
        &SMALL.strong(),
    );
    let (top, times) = (SMALL.leading + 0.6, f64::from(crops.enlargement));
    let size = |crop: &Result<SheetCrop, Missing>| match crop {
        Ok(crop) => (crop.size_mm().0 * times, crop.size_mm().1 * times),
        Err(_) => (CROP, EMPTY_HEIGHT),
    };
    let height = size(&crops.this).1.max(size(&crops.other).1);
    let foot = top + height + 0.4;
    for (x, crop, name) in [
        (0.0, &crops.this, "this coin"),
        (CROP + GUTTER, &crops.other, "the other coin"),
    ] {
        match crop {
            Err(reason) => empty(&mut block, Area::new(x, top, CROP, height), &reason.to_string()),
            Ok(picture) => {
                let (w, h) = size(crop);
                let area = Area::new(x, top, w, h);
                block.picture(area, &picture.pixels);
                if let Some(radius) = crops.radius95_mm {
                    marks::uncertainty_disc(&mut block, area, radius * times);
                }
            }
        }
        block.text_right(x + size(crop).0, foot, name, &LABEL);
    }
    let end = marks::scale_bar(&mut block, 0.0, foot, times, 14.0, &LABEL) + 2.5;
    let label = format!("{}\u{d7}", crops.enlargement);
    block.text(end, foot, &label, &LABEL.strong().coloured(INK));
    block.reach(foot + LABEL.leading);
    if let Some(evened) = crops.light_evened {
        let words = format!("light evened {:.0} % on both", evened * 100.0);
        block.text(0.0, foot + LABEL.leading, &words, &LABEL);
        block.reach(foot + 2.0 * LABEL.leading);
    }
    block
}

fn row(number: usize, f: &FindingRow) -> Row {
    Row::plain(vec![
        number.to_string(),
        f.spot.clone(),
        f.found.clone(),
        f.kind.clone(),
        f.place.clone(),
        f.note.clone(),
    ])
}
