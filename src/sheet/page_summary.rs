//! The first page: title, outcome, both sides with their zones, facts and originals.

use super::block::Block;
use super::content::{OutcomeContent, SheetContent, SideContent, SidePicture, ZoneMark};
use super::display::{Area, Pen};
use super::marks;
use super::paginate::Pages;
use super::style::{
    self, ACCENT, BODY, GUTTER, HAIRLINE, LABEL, LIVE_WIDTH, PAPER, QUIET, SIDE_PICTURE, SMALL,
};

pub(super) fn summary(pages: &mut Pages, content: &SheetContent, made_on: &str) {
    title(pages, content, made_on);
    pages.place(outcome(&content.outcome));
    pages.gap(5.0);
    pages.place(sides(&content.sides));
    pages.gap(2.0);
    zone_key(pages, &content.sides);
    facts(pages, content);
    originals(pages, &content.sides);
}

fn title(pages: &mut Pages, content: &SheetContent, made_on: &str) {
    let mut top = Block::default();
    let label = LABEL.strong();
    top.text(
        0.0,
        0.0,
        "Die attribution from photographs",
        &label.coloured(ACCENT),
    );
    let date = super::text::one_line(&format!("Made on {made_on}"), &LABEL, 80.0);
    top.text_right(LIVE_WIDTH, 0.0, &date, &LABEL);
    top.height += 1.0;
    pages.place(top);
    let name = if content.title.trim().is_empty() {
        "Untitled specimen"
    } else {
        &content.title
    };
    pages.paragraph(0.0, LIVE_WIDTH, name, &style::TITLE);
    pages.gap(0.6);
    let set = format!(
        "Compared with \u{201c}{}\u{201d}, edition {} ({})",
        content.set_title, content.set_edition, content.set_id
    );
    pages.paragraph(0.0, LIVE_WIDTH, &set, &BODY.coloured(QUIET));
    pages.gap(3.0);
}

/// What the evidence amounts to, in two columns under a rule in the accent colour.
fn outcome(outcome: &OutcomeContent) -> Block {
    let mut block = Block::default();
    let column = SIDE_PICTURE;
    let right = column + GUTTER;
    block.line(
        (0.0, 0.0),
        (LIVE_WIDTH, 0.0),
        Pen {
            width: 0.7,
            colour: ACCENT,
        },
    );
    let top = 3.0;
    // Left: the word, the pairing, what it means.
    let r = 2.5;
    marks::outcome(
        &mut block,
        (r, top + style::OUTCOME.leading / 2.0),
        r,
        outcome.kind,
    );
    block.text(2.0 * r + 2.0, top, outcome.kind.word(), &style::OUTCOME);
    let mut y = top + style::OUTCOME.leading + 1.2;
    if let Some((obverse, reverse)) = &outcome.dies {
        let dies = format!("Obverse die {obverse} with reverse die {reverse}");
        y = block.paragraph_capped(0.0, y, column, &dies, &BODY.strong(), 3).0;
    }
    if let Some(catalogue) = &outcome.catalogue {
        let number = format!("Catalogue number {catalogue}");
        y = block
            .paragraph_capped(0.0, y, column, &number, &BODY.strong(), 2)
            .0;
    }
    y += 0.6;
    block.paragraph_capped(0.0, y, column, &outcome.meaning, &BODY, 8);
    // Right: rarity and the weight of the evidence.
    let mut y = top + (style::OUTCOME.leading - BODY.leading) / 2.0;
    if let Some((band, meaning)) = &outcome.rarity {
        y = labelled(
            &mut block,
            right,
            y,
            column,
            "Rarity",
            &format!("{band}: {meaning}"),
            4,
        );
    } else if outcome.catalogue.is_some() {
        y = labelled(&mut block, right, y, column, "Rarity", "the set gives none", 1);
    }
    if let Some(ratio) = outcome.ratio {
        let text = if ratio.log10 >= 0.0 {
            format!(
                "{ratio} to 1 for the best listed pairing against the next: {} (ENFSI guideline, 2015)",
                ratio.verbal().words()
            )
        } else {
            "the verdicts alone favour another pairing; the facts rule it out".to_owned()
        };
        y = labelled(&mut block, right, y, column, "Likelihood ratio", &text, 5);
    }
    if !outcome.note.is_empty() {
        y = labelled(&mut block, right, y, column, "Pairing", &outcome.note, 5);
    }
    labelled(
        &mut block,
        right,
        y,
        column,
        "Caution",
        "an opinion from photographs, not an authentication or appraisal",
        3,
    );
    block.height += 0.5;
    block
}

/// A label with its text hung beside it. Returns the lower edge with a gap.
fn labelled(block: &mut Block, x: f64, y: f64, width: f64, label: &str, text: &str, most: usize) -> f64 {
    const INDENT: f64 = 23.0;
    // Small text on the baseline of the larger.
    let label_style = LABEL;
    let shift = (BODY.leading + BODY.cap_height() - label_style.leading - label_style.cap_height()) / 2.0;
    block.text(x, y + shift, label, &label_style);
    block
        .paragraph_capped(x + INDENT, y, width - INDENT, text, &BODY, most)
        .0
        + 0.9
}

fn sides(sides: &[SideContent]) -> Block {
    let mut block = Block::default();
    for (i, side) in sides.iter().enumerate() {
        let x = if i == 0 { 0.0 } else { SIDE_PICTURE + GUTTER };
        block.take(side_picture(side), x, 0.0);
    }
    block
}

fn side_picture(side: &SideContent) -> Block {
    let mut block = Block::default();
    let name = side.side.title();
    block.text(0.0, 0.0, name, &BODY.strong());
    let top = BODY.leading + 1.0;
    match &side.picture {
        Err(reason) => {
            let area = Area::new(0.0, top, SIDE_PICTURE, 30.0);
            empty(&mut block, area, &reason.to_string());
            block.reach(area.bottom() + 1.0);
        }
        Ok(SidePicture { crop, enlargement }) => {
            let (w, h) = crop.size_mm();
            let times = *enlargement;
            let times_f = f64::from(times);
            let shown = (w * times_f, h * times_f);
            let area = Area::new(0.0, top, shown.0, shown.1);
            block.picture(area, &crop.pixels);
            let place = |mm_x: f64, mm_y: f64| {
                let p = crop
                    .frame
                    .point_in_crop(crate::geometry::SidePoint::new(mm_x, mm_y));
                let paper = times_f / crop.frame.px_per_mm;
                (area.x + (p.x + 0.5) * paper, area.y + (p.y + 0.5) * paper)
            };
            zone_marks(&mut block, area, &side.zones, times_f, place);
            let y = area.bottom() + 1.0;
            marks::scale_bar(&mut block, area.x, y, times_f, 22.0, &LABEL);
            block.text_right(
                area.right(),
                y,
                &format!("{times}\u{d7} true size, brought upright"),
                &LABEL,
            );
        }
    }
    block
}

/// A frame with a sentence in place of a picture.
pub(super) fn empty(block: &mut Block, area: Area, reason: &str) {
    block.rect(area, Some(style::PANEL), Some(HAIRLINE));
    let most = lines_in(area.height - 4.0, SMALL.leading);
    block.paragraph_capped(
        area.x + 2.0,
        area.y + 2.0,
        area.width - 4.0,
        reason,
        &SMALL.coloured(QUIET),
        most,
    );
    block.reach(area.bottom());
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a few lines"
)]
fn lines_in(height: f64, leading: f64) -> usize {
    (height / leading).floor().max(1.0) as usize
}

/// Outlines the zones and puts each one's number where it hides least: beside its rectangle, away from other zones
/// and numbers.
fn zone_marks(
    block: &mut Block,
    picture: Area,
    zones: &[ZoneMark],
    times: f64,
    place: impl Fn(f64, f64) -> (f64, f64),
) {
    const RADIUS: f64 = 1.75;
    let rects: Vec<Area> = zones
        .iter()
        .map(|zone| {
            let (x, y) = place(zone.centre.x, zone.centre.y);
            let (w, h) = (zone.size_mm.0 * times, zone.size_mm.1 * times);
            clip(Area::new(x - w / 2.0, y - h / 2.0, w, h), picture)
        })
        .collect();
    for rect in &rects {
        let outline = |width, colour| Some(Pen { width, colour });
        block.rect(*rect, None, outline(0.75, PAPER));
        block.rect(*rect, None, outline(0.3, ACCENT));
    }
    let mut taken: Vec<Area> = Vec::new();
    for (zone, rect) in zones.iter().zip(&rects) {
        let label = zone.number.to_string();
        let half_width = marks::badge_half_width(RADIUS, &label, &LABEL);
        let (wide, high) = (half_width + 0.15, RADIUS + 0.15);
        let (mx, my) = rect.middle();
        // Standing on a corner of the rectangle first, as a tab on a folder.
        let candidates = [
            (rect.x + wide - 0.3, rect.y - high),
            (rect.right() - wide + 0.3, rect.y - high),
            (rect.x + wide - 0.3, rect.bottom() + high),
            (rect.right() - wide + 0.3, rect.bottom() + high),
            (rect.x - wide, my),
            (rect.right() + wide, my),
            (rect.x - wide, rect.y - high),
            (rect.right() + wide, rect.y - high),
            (rect.x - wide, rect.bottom() + high),
            (rect.right() + wide, rect.bottom() + high),
            (rect.x, rect.y),
            (mx, my),
        ];
        let disc = |(x, y): (f64, f64)| Area::new(x - half_width, y - RADIUS, 2.0 * half_width, 2.0 * RADIUS);
        let cost = |&at: &(f64, f64)| {
            let area = disc(at);
            let outside = if picture.holds(&area, 0.0) { 0 } else { 100 };
            let numbers = taken.iter().filter(|t| t.overlaps(&area, 0.0)).count() * 20;
            let crossed = rects.iter().filter(|r| r.overlaps(&area, 0.0)).count() * 5;
            outside + numbers + crossed
        };
        let Some(&at) = candidates.iter().min_by_key(|at| cost(at)) else {
            continue;
        };
        taken.push(disc(at));
        marks::badge(block, at, RADIUS, &label, &LABEL);
    }
}

/// What of `area` lies inside `within`; a point on its edge where nothing does.
fn clip(area: Area, within: Area) -> Area {
    let x = area.x.clamp(within.x, within.right());
    let y = area.y.clamp(within.y, within.bottom());
    let right = area.right().clamp(x, within.right().max(x));
    let bottom = area.bottom().clamp(y, within.bottom().max(y));
    Area::new(x, y, right - x, bottom - y)
}

/// The zones' numbers with their titles, a column a side.
fn zone_key(pages: &mut Pages, sides: &[SideContent]) {
    let rows = sides.iter().map(|s| s.zones.len()).max().unwrap_or(0);
    for row in 0..rows {
        let mut block = Block::default();
        for (i, side) in sides.iter().enumerate() {
            let x = if i == 0 { 0.0 } else { SIDE_PICTURE + GUTTER };
            if let Some(zone) = side.zones.get(row) {
                block.text(x, 0.0, &zone.number.to_string(), &SMALL.strong().coloured(ACCENT));
                block.paragraph_capped(x + 6.0, 0.0, SIDE_PICTURE - 6.0, &zone.title, &SMALL, 3);
            }
        }
        pages.place(block);
    }
}

fn facts(pages: &mut Pages, content: &SheetContent) {
    pages.heading("Facts", 12.0);
    let mut lines: Vec<(&str, &str)> = content
        .facts
        .iter()
        .map(|f| (f.question.as_str(), f.answer.as_str()))
        .collect();
    if !content.grade.is_empty() {
        lines.push(("Grade, in the owner\u{2019}s words", &content.grade));
    }
    // Two columns while the lines are short enough for one row each.
    for pair in lines.chunks(2) {
        let mut block = Block::default();
        for (i, (question, answer)) in pair.iter().enumerate() {
            let x = if i == 0 { 0.0 } else { SIDE_PICTURE + GUTTER };
            block.paragraph_capped(x, 0.0, 38.0, question, &SMALL.coloured(QUIET), 4);
            block.paragraph_capped(x + 40.0, 0.0, SIDE_PICTURE - 40.0, answer, &SMALL, 6);
        }
        block.height += 0.4;
        pages.place(block);
    }
    if !content.notes.is_empty() {
        pages.gap(1.0);
        pages.paragraph(0.0, LIVE_WIDTH, &content.notes, &SMALL);
    }
}

/// The photos' names, sizes and hashes.
fn originals(pages: &mut Pages, sides: &[SideContent]) {
    pages.heading("Original photos", 18.0);
    let mut block = Block::default();
    for (i, side) in sides.iter().enumerate() {
        let x = if i == 0 { 0.0 } else { SIDE_PICTURE + GUTTER };
        let Some(photo) = &side.photo else {
            let none = format!("No {} photo.", side.side.word());
            block.text(x, 0.0, &none, &SMALL.coloured(QUIET));
            continue;
        };
        let size = format!("{} \u{d7} {} px", photo.size_px.0, photo.size_px.1);
        let name_width = SIDE_PICTURE - SMALL.width(&size) - 3.0;
        let name = super::text::one_line(&photo.name, &SMALL, name_width);
        block.text(x, 0.0, &name, &SMALL);
        block.text_right(x + SIDE_PICTURE, 0.0, &size, &SMALL.coloured(QUIET));
        let hash = format!("SHA-256 {}", spaced(&photo.sha256));
        block.paragraph_capped(x, SMALL.leading, SIDE_PICTURE, &hash, &LABEL, 4);
    }
    pages.place(block);
    pages.gap(1.0);
    pages.paragraph(
        0.0,
        LIVE_WIDTH,
        "Whoever holds the same files can check with any SHA-256 program that these, and no others, were compared.",
        &LABEL,
    );
}

/// A hash in groups of eight, so that a person can compare it.
fn spaced(hash: &str) -> String {
    let letters: Vec<char> = hash.chars().collect();
    letters
        .chunks(8)
        .map(|group| group.iter().collect::<String>())
        .collect::<Vec<_>>()
        .join(" ")
}
