//! The comparisons with other coins: a short section, an opinion as the rest.

use super::content::{ComparisonContent, FindingRow};
use super::paginate::{Align, Column, Pages, Row};
use super::style::{BODY, LABEL, LIVE_WIDTH, SMALL};
use super::words;

const fn left(label: &'static str, width: f64) -> Column {
    Column {
        label,
        width,
        align: Align::Left,
    }
}

const FINDINGS: [Column; 5] = [
    left("Spot", 54.0),
    left("found", 30.0),
    left("kind", 38.0),
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
    let heading = format!("{} against that of {title}", words::capital(c.side.word()));
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
        let rows: Vec<Row> = c.findings.iter().map(row).collect();
        pages.table(None, &FINDINGS, &rows);
    }
    for line in c.measures.iter().chain(&c.cautions) {
        pages.gap(0.8);
        pages.paragraph(0.0, LIVE_WIDTH, line, &SMALL);
    }
}

fn row(f: &FindingRow) -> Row {
    Row::plain(vec![
        f.spot.clone(),
        f.found.clone(),
        f.kind.clone(),
        f.place.clone(),
        f.note.clone(),
    ])
}
