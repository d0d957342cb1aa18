//! The features: the coin's crop beside the plate of each state, at one scale, with the verdicts under them.

use super::block::Block;
use super::content::{FeatureContent, MeasureContent, SheetContent, SheetCrop, StateContent};
use super::display::{Area, Pen};
use super::marks;
use super::page_summary::empty;
use super::paginate::Pages;
use super::style::{self, ACCENT, BODY, GUTTER, HAIRLINE, LABEL, LIVE_WIDTH, PAPER, QUIET, SMALL};
use crate::geometry::SidePoint;
use crate::words;

/// The height of the frame that stands in for a crop, in mm.
const EMPTY_HEIGHT: f64 = 22.0;
/// The most lines of a question and of a state's words in a cell; longer ones are told in full below.
const MOST_LINES: usize = 4;
/// A crop may be wider than its column by the pixel that its edge was rounded up to, in mm.
const PIXEL: f64 = 0.1;
/// The most measurements told in the coin's cell.
const MOST_MEASURES: usize = 4;
/// The height under a crop that its scale bar takes, in mm.
const STRIP: f64 = 4.2;

pub(super) fn features(pages: &mut Pages, content: &SheetContent) {
    if content.features.is_empty() {
        return;
    }
    pages.turn();
    pages.heading("Features", 60.0);
    pages.paragraph(
        0.0,
        LIVE_WIDTH,
        "Coin and plates at one scale and upright. Angles mark the zone. The ring in a crop\u{2019}s lower right corner \
         is the disc that holds the true place with 95 % probability: on the coin by its own alignment, on a plate by \
         both alignments together.",
        &LABEL,
    );
    pages.gap(2.0);
    for (i, feature) in content.features.iter().enumerate() {
        if i > 0 {
            pages.gap(5.0);
        }
        one(pages, feature);
    }
}

fn one(pages: &mut Pages, feature: &FeatureContent) {
    let mut overflow = Vec::new();
    let mut block = header(feature, &mut overflow);
    let crops = 1 + feature.states.len();
    let columns = columns(feature, crops);
    let width = {
        let n = f64::from(u32::try_from(columns).unwrap_or(1));
        (LIVE_WIDTH - (n - 1.0) * GUTTER) / n
    };
    let mut rows: Vec<Block> = Vec::new();
    for start in (0..crops).step_by(columns) {
        let cells: Vec<Cell<'_>> = (start..crops.min(start + columns))
            .map(|i| match i {
                0 => Cell::Coin(feature),
                _ => Cell::State(feature, &feature.states[i - 1]),
            })
            .collect();
        rows.push(row(&cells, width, &mut overflow));
    }
    let mut rows = rows.into_iter();
    if let Some(first) = rows.next() {
        let y = block.height;
        block.take(first, 0.0, y);
    }
    pages.place(block);
    for row in rows {
        pages.gap(2.5);
        pages.place(row);
    }
    for remark in feature.remarks.iter().chain(&overflow) {
        pages.gap(0.8);
        pages.paragraph(0.0, LIVE_WIDTH, remark, &SMALL);
    }
}

/// As many crops beside each other as the usual grid has, fewer where they are too wide for it.
fn columns(feature: &FeatureContent, crops: usize) -> usize {
    let widest = crops_of(feature)
        .map(|crop| crop.size_mm().0 * f64::from(feature.enlargement))
        .fold(0.0, f64::max);
    let usual = style::crop_columns(crops);
    (1..=usual)
        .rev()
        .find(|&n| {
            let n = f64::from(u32::try_from(n).unwrap_or(1));
            widest <= (LIVE_WIDTH - (n - 1.0) * GUTTER) / n + PIXEL
        })
        .unwrap_or(1)
}

fn crops_of(feature: &FeatureContent) -> impl Iterator<Item = &SheetCrop> {
    let plates = feature
        .states
        .iter()
        .filter_map(|s| s.plate.as_ref().and_then(|p| p.crop.as_ref().ok()));
    feature.coin.as_ref().ok().into_iter().chain(plates)
}

fn header(feature: &FeatureContent, overflow: &mut Vec<String>) -> Block {
    let mut block = Block::default();
    block.line((0.0, 0.0), (LIVE_WIDTH, 0.0), HAIRLINE);
    let top = 1.6;
    let half = 1.9;
    let half_width = marks::badge_half_width(half, &feature.label, &LABEL);
    marks::badge(
        &mut block,
        (half_width, top + BODY.leading / 2.0),
        half,
        &feature.label,
        &LABEL,
    );
    let x = 2.0 * half_width + 2.2;
    let right_width = 62.0;
    let (left_end, whole) = block.paragraph_capped(
        x,
        top,
        LIVE_WIDTH - x - right_width - GUTTER,
        &feature.question,
        &BODY.strong(),
        MOST_LINES,
    );
    if !whole {
        overflow.push(format!("The question in full: {}", feature.question));
    }
    let detail = format!(
        "{} zone {:.1} \u{d7} {:.1} mm, telling detail {}",
        feature.side.title(),
        feature.zone_size_mm.0,
        feature.zone_size_mm.1,
        words::mm(feature.telling_detail_mm)
    );
    let mut y = top + (BODY.leading - LABEL.leading) / 2.0;
    let title = super::text::wrap(&feature.zone_title, &LABEL, right_width);
    if title.len() > MOST_LINES {
        overflow.push(format!("The zone in full: {}", feature.zone_title));
    }
    for line in title.iter().take(MOST_LINES).chain([&detail]) {
        block.text_right(LIVE_WIDTH, y, line, &LABEL);
        y += LABEL.leading;
    }
    block.reach(left_end);
    block.height += 1.2;
    block
}

enum Cell<'a> {
    Coin(&'a FeatureContent),
    State(&'a FeatureContent, &'a StateContent),
}

impl Cell<'_> {
    /// Its crop, or a sentence why it has none.
    fn crop(&self) -> Result<&SheetCrop, String> {
        let crop = match self {
            Cell::Coin(feature) => &feature.coin,
            Cell::State(_, state) => match &state.plate {
                None => return Err("No plate: this state is known in words only.".to_owned()),
                Some(plate) => &plate.crop,
            },
        };
        crop.as_ref().map_err(ToString::to_string)
    }

    fn feature(&self) -> &FeatureContent {
        match self {
            Cell::Coin(feature) | Cell::State(feature, _) => feature,
        }
    }
}

/// Cells beside each other: the crops on one line, the words under them.
fn row(cells: &[Cell<'_>], width: f64, overflow: &mut Vec<String>) -> Block {
    let mut block = Block::default();
    let picture_height = cells
        .iter()
        .map(|cell| match cell.crop() {
            Ok(crop) => crop.size_mm().1 * f64::from(cell.feature().enlargement),
            Err(_) => EMPTY_HEIGHT,
        })
        .fold(0.0, f64::max);
    let mut x = 0.0;
    for cell in cells {
        cell_block(&mut block, cell, x, width, picture_height, overflow);
        x += width + GUTTER;
    }
    block
}

fn cell_block(
    block: &mut Block,
    cell: &Cell<'_>,
    x: f64,
    width: f64,
    picture_height: f64,
    overflow: &mut Vec<String>,
) {
    let feature = cell.feature();
    let times = f64::from(feature.enlargement);
    let radius = match cell {
        Cell::Coin(f) => f.radius95_mm,
        Cell::State(_, s) => s.plate.as_ref().and_then(|p| p.radius95_mm),
    };
    match cell.crop() {
        Err(reason) => empty(block, Area::new(x, 0.0, width, picture_height), &reason),
        Ok(crop) => {
            let (w, h) = crop.size_mm();
            let area = Area::new(x, 0.0, w * times, h * times);
            block.picture(area, &crop.pixels);
            let zone = on_paper(crop, area, times, feature.zone_centre);
            let size = (feature.zone_size_mm.0 * times, feature.zone_size_mm.1 * times);
            marks::zone_corners(
                block,
                Area::new(zone.0 - size.0 / 2.0, zone.1 - size.1 / 2.0, size.0, size.1),
            );
            if let Cell::Coin(feature) = cell {
                for measure in feature.measures.iter().zip('A'..) {
                    measure_mark(block, crop, area, times, measure);
                }
            }
            if let Some(radius) = radius {
                marks::uncertainty_disc(block, area, radius * times);
            }
        }
    }
    let y = picture_height + 0.4;
    if cell.crop().is_ok() {
        let end = marks::scale_bar(block, x, y, times, 14.0, &LABEL);
        let label = format!("{}\u{d7}", feature.enlargement);
        let at = LABEL.strong().coloured(style::INK);
        let end = end + 2.5;
        let end = end + block.text(end, y, &label, &at);
        if let Some(radius) = radius {
            let place = format!("\u{b1} {}", words::mm(radius));
            let picture = cell.crop().map_or(width, |crop| crop.size_mm().0 * times);
            let place_left = x + picture - LABEL.width(&place);
            if place_left > end + 1.5 {
                block.text(place_left, y, &place, &LABEL);
            }
        }
    }
    match cell {
        Cell::Coin(feature) => coin_words(block, feature, x, y + STRIP, width, overflow),
        Cell::State(feature, state) => {
            state_words(block, feature, state, x, y + STRIP, width, overflow);
        }
    }
}

/// A place on the side, on paper.
fn on_paper(crop: &SheetCrop, area: Area, times: f64, place: SidePoint) -> (f64, f64) {
    let p = crop.frame.point_in_crop(place);
    let mm = times / crop.frame.px_per_mm;
    (area.x + (p.x + 0.5) * mm, area.y + (p.y + 0.5) * mm)
}

fn measure_mark(
    block: &mut Block,
    crop: &SheetCrop,
    area: Area,
    times: f64,
    (measure, letter): (&MeasureContent, char),
) {
    let points: Vec<(f64, f64)> = measure
        .points
        .iter()
        .map(|&p| on_paper(crop, area, times, p))
        .collect();
    if points
        .iter()
        .any(|p| !area.holds(&Area::new(p.0, p.1, 0.0, 0.0), 0.0))
    {
        return;
    }
    for (width, colour) in [(0.8, PAPER), (0.3, ACCENT)] {
        block.polyline(&points, Pen { width, colour });
    }
    let Some(&(mut px, mut py)) = points.first() else {
        return;
    };
    let r = 1.5;
    // Up and left of the first point, but inside the crop; a crop smaller than the badge has it at its corner.
    px = (px - r - 0.6).min(area.right() - r - 0.3).max(area.x + r + 0.3);
    py = (py - r - 0.6).min(area.bottom() - r - 0.3).max(area.y + r + 0.3);
    marks::badge(block, (px, py), r, &letter.to_string(), &LABEL);
}

fn measure_line((measure, letter): (&MeasureContent, char)) -> String {
    let mut line = format!(
        "Measured {letter}: {} {}",
        words::measure_kind(measure.kind).to_lowercase(),
        words::measured(measure.kind, measure.value, measure.uncertainty)
    );
    for (verb, states) in [("fits", &measure.fits), ("does not fit", &measure.contradicts)] {
        if !states.is_empty() {
            let states: Vec<String> = states.iter().map(|s| format!("\u{201c}{s}\u{201d}")).collect();
            line.push_str(&format!("; {verb} {}", states.join(", ")));
        }
    }
    if !measure.note.trim().is_empty() {
        line.push_str(", ");
        line.push_str(&measure.note);
    }
    line
}

fn coin_words(
    block: &mut Block,
    feature: &FeatureContent,
    x: f64,
    top: f64,
    width: f64,
    overflow: &mut Vec<String>,
) {
    let mut y = top;
    block.text(x, y, "The coin", &SMALL.strong());
    y += SMALL.leading;
    let mut lines = Vec::new();
    if let Some(radius) = feature.radius95_mm.filter(|r| *r > feature.telling_detail_mm) {
        lines.push(format!(
            "Place uncertain: {} exceeds the telling detail.",
            words::mm(radius)
        ));
    }
    if let Some(strength) = feature.light_evened {
        lines.push(format!(
            "Light evened on coin and plates, {:.0} %",
            strength * 100.0
        ));
    }
    if let Some(shift) = feature.fine_shift {
        lines.push(format!(
            "Fine shift {} right, {} down (mm)",
            words::signed(shift.x, 3),
            words::signed(shift.y, 3)
        ));
    }
    for line in lines {
        y = block.paragraph_capped(x, y, width, &line, &SMALL, 3).0;
    }
    for (i, measure) in feature.measures.iter().zip('A'..).enumerate() {
        let line = measure_line(measure);
        if i >= MOST_MEASURES {
            overflow.push(line);
            continue;
        }
        let fit;
        (y, fit) = block.paragraph_capped(x, y, width, &line, &SMALL, 3);
        if !fit {
            overflow.push(line);
        }
    }
}

fn state_words(
    block: &mut Block,
    feature: &FeatureContent,
    state: &StateContent,
    x: f64,
    top: f64,
    width: f64,
    overflow: &mut Vec<String>,
) {
    let ruling = state.verdict.as_ref().map(|v| v.ruling);
    let r = marks::MARK_RADIUS;
    marks::verdict(block, (x + r, top + SMALL.leading / 2.0), ruling);
    let verdict_style = if ruling.is_some() {
        SMALL.strong()
    } else {
        SMALL.coloured(QUIET)
    };
    block.text(
        x + 2.0 * r + 1.4,
        top,
        &words::verdict_words(ruling),
        &verdict_style,
    );
    let mut y = top + SMALL.leading + 0.3;
    let whole;
    (y, whole) = block.paragraph_capped(x, y, width, &state.words, &SMALL, MOST_LINES);
    if !whole {
        overflow.push(format!("The state in full: {}", state.words));
    }
    if let Some(stated) = &state.stated {
        let stated = format!("Stated: {}", words::stated(stated));
        let fit;
        (y, fit) = block.paragraph_capped(x, y, width, &stated, &LABEL, 2);
        if !fit {
            overflow.push(stated);
        }
    }
    let dies = match state.dies.as_slice() {
        [] => "No listed die shows it".to_owned(),
        [die] => format!("Die {die}"),
        dies => format!("Dies {}", dies.join(", ")),
    };
    let dies = match &state.plate {
        Some(plate) if state.dies.len() > 1 || plate.die.contains(',') => {
            format!("{dies}; shown: {}", plate.die)
        }
        _ => dies,
    };
    let (mut y, fit) = block.paragraph_capped(x, y, width, &dies, &LABEL, 2);
    if !fit {
        overflow.push(format!("{}: {dies}", feature.label));
    }
    if let Some(verdict) = state.verdict.as_ref().filter(|v| !v.note.trim().is_empty()) {
        // The note belongs to the verdict, and stands off from what the set says.
        y += 0.8;
        let note = format!("Note: {}", verdict.note);
        if !block.paragraph_capped(x, y, width, &note, &SMALL, MOST_LINES).1 {
            overflow.push(format!(
                "Note on \u{201c}{}\u{201d}: {}",
                state.words, verdict.note
            ));
        }
    }
}
