//! A map of each side: where the landmarks are, which way each is off, and how far each zone may be off.

use super::block::Block;
use super::content::{AlignmentContent, SideContent};
use super::display::Pen;
use super::style::{ACCENT, GUTTER, INK, LABEL, LIVE_WIDTH, PAPER, QUIET, SIDE_PICTURE};
use crate::geometry::SidePoint;
use crate::words;

/// The diameter at which the coin is drawn, in mm.
const ACROSS: f64 = 62.0;
/// Room around the circle for letters and errors of landmarks on the rim, in mm.
const AROUND: f64 = 4.0;
/// The longest that a landmark's error is drawn, in mm.
const LONGEST_LINE: f64 = 6.0;
/// The widest radius at which a zone's disc is drawn, in mm.
const WIDEST_RING: f64 = 6.0;

/// Both sides beside each other; nothing where neither is aligned.
pub(super) fn maps(sides: &[SideContent]) -> Block {
    let mut block = Block::default();
    let shown: Vec<_> = sides.iter().map(|s| s.alignment.as_ref().ok()).collect();
    let each = || shown.iter().flatten().copied();
    if each().next().is_none() {
        return block;
    }
    let lines = each().flat_map(|a| a.landmarks.iter().map(|l| l.residual_mm * scale(a)));
    let rings = each().flat_map(|a| a.zones.iter().map(|z| z.radius95_mm * scale(a)));
    let times = Exaggeration {
        lines: exaggeration(lines, LONGEST_LINE),
        rings: exaggeration(rings, WIDEST_RING),
    };
    for (i, (side, alignment)) in sides.iter().zip(shown).enumerate() {
        let x = if i == 0 { 0.0 } else { SIDE_PICTURE + GUTTER };
        if let Some(alignment) = alignment {
            block.take(map(side.side.word(), alignment, times), x, 0.0);
        }
    }
    let y = block.height + 0.5;
    let legend = format!(
        "Letters are landmarks, each with a line from its place towards where it was marked, {:.0} times too \
         long. Numbers are zones, each with the disc that holds its true place with 95 % probability, {:.0} times too \
         large.",
        times.lines, times.rings
    );
    block.paragraph_capped(0.0, y, LIVE_WIDTH, &legend, &LABEL, 3);
    block
}

/// How many times as long as the map's own scale errors of these lengths (in mm of the map) are drawn.
fn exaggeration(lengths: impl Iterator<Item = f64>, longest: f64) -> f64 {
    const ROUND: [f64; 10] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0];
    let most = lengths.filter(|v| v.is_finite()).fold(1e-9, f64::max);
    ROUND
        .into_iter()
        .rev()
        .find(|times| most * times <= longest)
        .unwrap_or(1.0)
}

/// The same on both sides, so that they compare.
#[derive(Debug, Clone, Copy)]
struct Exaggeration {
    lines: f64,
    rings: f64,
}

/// Millimetres on the map per mm on the coin.
fn scale(a: &AlignmentContent) -> f64 {
    ACROSS / a.diameter_mm
}

fn map(side: &str, a: &AlignmentContent, times: Exaggeration) -> Block {
    let mut block = Block::default();
    let scale = scale(a);
    let radius = a.diameter_mm / 2.0 * scale;
    let centre = (radius + AROUND, radius + AROUND);
    let at = |p: SidePoint| (centre.0 + p.x * scale, centre.1 + p.y * scale);
    // A place far off the coin would leave the map.
    let inside = |p: &SidePoint| p.to_vector().length() <= a.diameter_mm / 2.0;
    let thin = |width: f64, colour| Pen { width, colour };
    block.disc(centre, radius, None, Some(thin(0.25, INK)));
    for zone in a
        .zones
        .iter()
        .filter(|z| inside(&z.centre) && z.radius95_mm.is_finite())
    {
        let drawn = (zone.radius95_mm * scale * times.rings).min(WIDEST_RING);
        block.disc(at(zone.centre), drawn, None, Some(thin(0.2, QUIET)));
        // The number stands inside its ring where there is room, else beside it.
        let (x, y) = at(zone.centre);
        let number = zone.number.to_string();
        let beside = if drawn < 2.2 {
            drawn + 0.6 + LABEL.width(&number) / 2.0
        } else {
            0.0
        };
        block.text_centred((x + beside, y), &number, &LABEL.coloured(QUIET));
    }
    for (i, landmark) in a.landmarks.iter().enumerate() {
        let (Some(place), Some(off)) = (landmark.place.filter(inside), landmark.residual_on_side) else {
            continue;
        };
        let (x, y) = at(place);
        let length = off.length() * scale * times.lines;
        let shorten = if length > LONGEST_LINE {
            LONGEST_LINE / length
        } else {
            1.0
        };
        let drawn = off * (scale * times.lines * shorten);
        let (dx, dy) = (drawn.x, drawn.y);
        block.line((x, y), (x + dx, y + dy), thin(0.35, ACCENT));
        block.disc((x, y), 0.65, Some(ACCENT), Some(thin(0.25, PAPER)));
        // The letter stands where the error does not point.
        let (sx, sy) = if length > 0.2 { (-dx, -dy) } else { (1.0, -1.0) };
        let long = sx.hypot(sy);
        block.text_centred(
            (x + sx / long * 2.2, y + sy / long * 2.2),
            &words::letters(i),
            &LABEL.coloured(INK).strong(),
        );
    }
    block.text(0.0, 0.0, &words::capital(side), &LABEL.coloured(INK).strong());
    block.reach(2.0 * centre.1);
    block
}
