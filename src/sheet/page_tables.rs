//! The alignment and the standing, as tables.

use super::alignment_map;
use super::content::{AlignmentContent, DieRow, PairingRow, SheetContent, SideContent};
use super::paginate::{Align, Column, Pages, Row};
use super::style::{self, BODY, LABEL, LIVE_WIDTH, QUIET, SMALL};
use crate::reference::Side;
use crate::words;

const fn left(label: &'static str, width: f64) -> Column {
    Column {
        label,
        width,
        align: Align::Left,
    }
}

const fn right(label: &'static str, width: f64) -> Column {
    Column {
        label,
        width,
        align: Align::Right,
    }
}

const LANDMARKS: [Column; 8] = [
    left("", 8.0),
    left("Landmark", 50.0),
    right("right, px", 17.0),
    right("down, px", 17.0),
    right("length, px", 17.0),
    right("on the coin, mm", 22.0),
    right("left out, px", 18.0),
    left("", 31.0),
];

const ZONES: [Column; 6] = [
    left("Zone", 8.0),
    left("", 67.0),
    right("scale, px/mm", 21.0),
    right("place \u{b1}, mm", 20.0),
    right("telling detail, mm", 25.0),
    left("", 39.0),
];

const DIES: [Column; 4] = [
    left("Die", 16.0),
    right("probability", 18.0),
    right("verdicts for it", 22.0),
    left("standing", 124.0),
];

const PAIRINGS: [Column; 6] = [
    left("Catalogue", 22.0),
    left("obverse", 16.0),
    left("reverse", 16.0),
    left("rarity", 22.0),
    right("probability", 18.0),
    left("standing", 86.0),
];

pub(super) fn alignment(pages: &mut Pages, sides: &[SideContent]) {
    pages.heading("Alignment", 30.0);
    pages.paragraph(
        0.0,
        LIVE_WIDTH,
        "Marked minus fitted place of each landmark; \u{2018}left out\u{2019} is its distance from where the other \
         landmarks alone put it. Small residuals alone are no proof of a good alignment: the uncertainty of each \
         zone\u{2019}s place, a 95 % radius by the photo alone, is what counts.",
        &LABEL,
    );
    pages.gap(2.0);
    pages.place(alignment_map::maps(sides));
    for side in sides {
        pages.gap(4.0);
        pages.keep(24.0);
        let name = side.side.title();
        match &side.alignment {
            Err(reason) => {
                pages.paragraph(0.0, LIVE_WIDTH, &format!("{name}: not aligned"), &BODY.strong());
                pages.paragraph(0.0, LIVE_WIDTH, &reason.to_string(), &SMALL);
            }
            Ok(alignment) => one_alignment(pages, name, alignment),
        }
    }
}

fn one_alignment(pages: &mut Pages, name: &str, a: &AlignmentContent) {
    let how = if a.held {
        "held by the user"
    } else {
        "chosen by evidence"
    };
    let line = format!(
        "{name}: {}, {how}; {:.1} px/mm at the centre; placing noise {:.2} px a coordinate",
        words::model(a.model),
        a.px_per_mm,
        a.noise_px
    );
    let rows: Vec<Row> = a
        .landmarks
        .iter()
        .enumerate()
        .map(|(i, l)| {
            let (dx, dy) = l.residual_px;
            Row {
                strong: l.disagrees,
                ..Row::plain(vec![
                    words::letters(i),
                    l.name.clone(),
                    words::signed(dx, 2),
                    words::signed(dy, 2),
                    format!("{:.2}", dx.hypot(dy)),
                    format!("{:.3}", l.residual_mm),
                    l.left_out_px
                        .map_or_else(|| "\u{2013}".to_owned(), |v| format!("{v:.2}")),
                    if l.disagrees {
                        "disagrees with the rest".to_owned()
                    } else {
                        String::new()
                    },
                ])
            }
        })
        .collect();
    pages.table(Some(&line), &LANDMARKS, &rows);
    if !a.zones.is_empty() {
        pages.gap(2.0);
        let rows: Vec<Row> = a
            .zones
            .iter()
            .map(|z| {
                let exceeds = z.radius95_mm > z.telling_detail_mm;
                Row {
                    strong: exceeds,
                    ..Row::plain(vec![
                        z.number.to_string(),
                        z.title.clone(),
                        format!("{:.1}", z.px_per_mm),
                        format!("{:.3}", z.radius95_mm),
                        format!("{:.3}", z.telling_detail_mm),
                        if exceeds {
                            "exceeds the telling detail".to_owned()
                        } else {
                            "within the telling detail".to_owned()
                        },
                    ])
                }
            })
            .collect();
        pages.table(None, &ZONES, &rows);
    }
    for advice in &a.advice {
        pages.gap(0.8);
        pages.paragraph(0.0, LIVE_WIDTH, advice, &SMALL);
    }
}

pub(super) fn standing(pages: &mut Pages, content: &SheetContent) {
    pages.heading("Standing", 24.0);
    for sentence in &content.outcome.explanation {
        pages.paragraph(0.0, LIVE_WIDTH, sentence, &BODY);
    }
    pages.gap(0.8);
    pages.paragraph(0.0, LIVE_WIDTH, &content.prior, &LABEL);
    for side in Side::BOTH {
        let rows: Vec<Row> = content
            .dies
            .iter()
            .filter(|d| d.side == side)
            .map(die_row)
            .collect();
        pages.gap(3.0);
        let name = format!("{} dies", side.title());
        table_or_none(pages, &name, &DIES, &rows);
    }
    pages.gap(3.0);
    let rows: Vec<Row> = content.pairings.iter().map(pairing_row).collect();
    table_or_none(pages, "Pairings", &PAIRINGS, &rows);
}

fn table_or_none(pages: &mut Pages, title: &str, columns: &[Column], rows: &[Row]) {
    if rows.is_empty() {
        pages.keep(BODY.leading + SMALL.leading);
        pages.paragraph(0.0, LIVE_WIDTH, title, &BODY.strong());
        pages.paragraph(0.0, LIVE_WIDTH, "The set lists none.", &SMALL.coloured(QUIET));
    } else {
        pages.table(Some(title), columns, rows);
    }
}

/// One cause a line.
fn reasons(out: &[String], doubts: &[String]) -> String {
    match (out, doubts) {
        ([], []) => "In".to_owned(),
        ([], doubts) => format!("In doubt, by a slip or an unlisted die: {}", doubts.join("\n")),
        (out, _) => format!("Out: {}", out.join("\n")),
    }
}

fn die_row(d: &DieRow) -> Row {
    let cells = vec![
        d.die.clone(),
        words::percent(d.probability),
        d.supporting.to_string(),
        reasons(&d.out, &d.doubts),
    ];
    by_standing(cells, d.out.is_empty())
}

fn pairing_row(p: &PairingRow) -> Row {
    let cells = vec![
        p.catalogue.clone(),
        p.obverse.clone(),
        p.reverse.clone(),
        p.rarity.clone(),
        words::percent(p.probability),
        reasons(&p.out, &[]),
    ];
    by_standing(cells, p.out.is_empty())
}

/// What is in stands out, what is out is quiet.
fn by_standing(cells: Vec<String>, is_in: bool) -> Row {
    Row {
        strong: is_in,
        colour: if is_in { style::INK } else { QUIET },
        ..Row::plain(cells)
    }
}
