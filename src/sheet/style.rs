//! The sheet's measures, sizes and colours. Lengths in mm.

use super::display::{Colour, Pen};
use super::text::{MM_PER_PT, TextStyle, Weight};

/// The width of what is printed: fits A4 (210) and Letter (215.9) with margins of 15 or more.
pub const LIVE_WIDTH: f64 = 180.0;
/// The height of what is printed: fits Letter (279.4) with margins of 12, and A4 (297) with 20, so that both papers
/// carry the same pages and a file made for one loses nothing on the other at full size.
pub const LIVE_HEIGHT: f64 = 255.0;
/// The part of the live height at its foot that the page line takes.
pub const FOOT: f64 = 9.0;
/// The gap between columns.
pub const GUTTER: f64 = 4.0;

/// The width and height of a side's picture: half the live width.
pub const SIDE_PICTURE: f64 = (LIVE_WIDTH - GUTTER) / 2.0;

/// How many crops stand beside each other for so many in all.
#[must_use]
pub fn crop_columns(crops: usize) -> usize {
    if crops <= 3 { 3 } else { 4 }
}

/// The width and height that a crop has when so many stand in one feature.
#[must_use]
pub fn crop_room(crops: usize) -> (f64, f64) {
    /// Lower crops leave room for three features on a page.
    const HIGHEST: f64 = 50.0;
    let columns = f64::from(u32::try_from(crop_columns(crops)).unwrap_or(4));
    ((LIVE_WIDTH - (columns - 1.0) * GUTTER) / columns, HIGHEST)
}

/// Text.
pub const INK: Colour = Colour(0x1b, 0x1d, 0x1f);
/// Captions and units; still 5:1 against white.
pub const QUIET: Colour = Colour(0x5c, 0x61, 0x66);
/// Hairlines.
pub const HAIR: Colour = Colour(0xbd, 0xc1, 0xc5);
/// The ground of panels and of what a picture does not reach.
pub const PANEL: Colour = Colour(0xf1, 0xf2, 0xf3);
/// The one accent; as dark as text in greyscale.
pub const ACCENT: Colour = Colour(0x0b, 0x4f, 0x6c);
/// Paper.
pub const PAPER: Colour = Colour(0xff, 0xff, 0xff);

/// A hairline.
pub const HAIRLINE: Pen = Pen {
    width: 0.18,
    colour: HAIR,
};
/// A rule above a section.
pub const RULE: Pen = Pen {
    width: 0.35,
    colour: INK,
};

const fn style(size_pt: f64, weight: Weight, colour: Colour, leading_pt: f64) -> TextStyle {
    TextStyle {
        size_pt,
        weight,
        colour,
        leading: leading_pt * MM_PER_PT,
    }
}

/// The sheet's title.
pub const TITLE: TextStyle = style(17.0, Weight::SemiBold, INK, 21.0);
/// A section's heading.
pub const HEADING: TextStyle = style(10.0, Weight::SemiBold, INK, 13.0);
/// The outcome's word.
pub const OUTCOME: TextStyle = style(13.0, Weight::SemiBold, INK, 16.0);
/// Running text.
pub const BODY: TextStyle = style(8.0, Weight::Regular, INK, 11.0);
/// Tables and captions.
pub const SMALL: TextStyle = style(7.0, Weight::Regular, INK, 9.4);
/// Labels and units.
pub const LABEL: TextStyle = style(6.4, Weight::Regular, QUIET, 8.6);
