//! The sheet's signs: verdicts and outcomes by shape, scale bars, uncertainty discs. Each verdict's shape differs in
//! outline, so that it is told on a grey print as well as in colour, and a word always stands beside it.

use super::block::Block;
use super::content::OutcomeKind;
use super::display::{Area, Colour, Pen};
use super::style::{ACCENT, INK, PAPER, QUIET};
use super::text::TextStyle;
use crate::pipeline;
use crate::specimen::Ruling;
use crate::words;

/// The radius of a verdict's mark in mm.
pub const MARK_RADIUS: f64 = 1.35;

fn pen(width: f64, colour: Colour) -> Pen {
    Pen { width, colour }
}

/// A tick in a filled disc, about a centre.
fn tick(block: &mut Block, (x, y): (f64, f64), r: f64) {
    block.disc((x, y), r, Some(ACCENT), None);
    block.polyline(
        &[
            (x - 0.48 * r, y + 0.04 * r),
            (x - 0.12 * r, y + 0.40 * r),
            (x + 0.50 * r, y - 0.36 * r),
        ],
        pen(0.24 * r, PAPER),
    );
}

fn cross(block: &mut Block, (x, y): (f64, f64), r: f64) {
    let d = 0.70 * r;
    block.line((x - d, y - d), (x + d, y + d), pen(0.34 * r, INK));
    block.line((x - d, y + d), (x + d, y - d), pen(0.34 * r, INK));
}

fn dash(block: &mut Block, (x, y): (f64, f64), r: f64) {
    block.disc((x, y), 0.88 * r, None, Some(pen(0.2 * r, QUIET)));
    block.line((x - 0.46 * r, y), (x + 0.46 * r, y), pen(0.26 * r, QUIET));
}

fn ring(block: &mut Block, (x, y): (f64, f64), r: f64) {
    block.disc((x, y), 0.88 * r, None, Some(pen(0.14 * r, QUIET)));
}

/// A verdict's mark about a centre; none is an empty ring.
pub fn verdict(block: &mut Block, centre: (f64, f64), ruling: Option<Ruling>) {
    match ruling {
        Some(Ruling::Agrees) => tick(block, centre, MARK_RADIUS),
        Some(Ruling::Differs) => cross(block, centre, MARK_RADIUS),
        Some(Ruling::CannotTell(_)) => dash(block, centre, MARK_RADIUS),
        None => ring(block, centre, MARK_RADIUS),
    }
}

/// The outcome's mark about a centre.
pub fn outcome(block: &mut Block, (x, y): (f64, f64), r: f64, kind: OutcomeKind) {
    match kind {
        OutcomeKind::Settled => tick(block, (x, y), r),
        OutcomeKind::Leaning => {
            // A half-filled disc.
            let half: Vec<(f64, f64)> = (0..=24)
                .map(|i| {
                    let turn = std::f64::consts::PI * (0.5 + f64::from(i) / 24.0);
                    (x + 0.9 * r * turn.cos(), y + 0.9 * r * turn.sin())
                })
                .collect();
            block.polygon(&half, Some(ACCENT), None);
            block.disc((x, y), 0.9 * r, None, Some(pen(0.2 * r, ACCENT)));
        }
        OutcomeKind::Open => ring(block, (x, y), r),
        OutcomeKind::Contradicted => cross(block, (x, y), r),
        OutcomeKind::Unlisted => {
            block.disc((x, y), 0.9 * r, None, Some(pen(0.2 * r, ACCENT)));
            block.line((x - 0.45 * r, y), (x + 0.45 * r, y), pen(0.22 * r, ACCENT));
            block.line((x, y - 0.45 * r), (x, y + 0.45 * r), pen(0.22 * r, ACCENT));
        }
        OutcomeKind::BeyondTelling => dash(block, (x, y), r),
    }
}

/// A zone's label: a numeral in a square, as verdicts have discs. `half` is half its height in mm; it widens for long
/// labels, to both sides.
pub fn badge(block: &mut Block, (x, y): (f64, f64), half: f64, label: &str, style: &TextStyle) {
    let wide = badge_half_width(half, label, style);
    let square = |grow: f64| {
        Area::new(
            x - wide - grow,
            y - half - grow,
            2.0 * (wide + grow),
            2.0 * (half + grow),
        )
    };
    block.rect(square(0.25), Some(PAPER), None);
    block.rect(square(0.0), Some(ACCENT), None);
    block.text_centred((x, y), label, &style.coloured(PAPER).strong());
}

/// Half the width of a badge in mm.
#[must_use]
pub fn badge_half_width(half: f64, label: &str, style: &TextStyle) -> f64 {
    half.max(style.strong().width(label) / 2.0 + 0.7)
}

/// A scale bar from a left end, for a picture printed at `times`, about as long as `wish` mm on paper. Returns where
/// its label ends.
pub fn scale_bar(block: &mut Block, x: f64, top: f64, times: f64, wish: f64, style: &TextStyle) -> f64 {
    let on_coin = pipeline::scale_bar_mm(wish / times).unwrap_or(1.0);
    let length = on_coin * times;
    let y = top + style.leading / 2.0;
    let half = 0.75;
    block.line((x, y), (x + length, y), pen(0.3, INK));
    for end in [x, x + length] {
        block.line((end, y - half), (end, y + half), pen(0.3, INK));
    }
    let label = words::length(on_coin);
    let at = x + length + 1.2;
    at + block.text(at, top, &label, &style.coloured(INK))
}

/// The corners of a zone on a picture, as angles that leave its inside clear.
pub fn zone_corners(block: &mut Block, zone: Area) {
    let arm = (zone.width.min(zone.height) / 4.0).min(1.6);
    for (x, dx) in [(zone.x, arm), (zone.right(), -arm)] {
        for (y, dy) in [(zone.y, arm), (zone.bottom(), -arm)] {
            let corner = [(x + dx, y), (x, y), (x, y + dy)];
            block.polyline(&corner, pen(0.45, PAPER));
            block.polyline(&corner, pen(0.18, INK));
        }
    }
}

/// The disc within which a place lies with 95 %, at true size, in the lower right corner of a picture; left out where
/// it is larger than the picture. Returns whether it was drawn.
pub fn uncertainty_disc(block: &mut Block, picture: Area, radius: f64) -> bool {
    const INSET: f64 = 1.2;
    if 2.0 * (radius + INSET) > picture.width.min(picture.height) {
        return false;
    }
    let centre = (
        picture.right() - INSET - radius,
        picture.bottom() - INSET - radius,
    );
    block.disc(centre, radius, None, Some(pen(0.6, PAPER)));
    block.disc(centre, radius, None, Some(pen(0.25, INK)));
    true
}
