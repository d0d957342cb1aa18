//! The program's typeface, in two weights: Inter 4 under the SIL Open Font License 1.1 (`OFL.txt` beside this file), cut
//! down by `tests/scripts/make_fonts.py` to the European scripts and technical signs, with tabular figures as the plain
//! digits. The sheet embeds it and the window shows it, so that both look alike.

/// Inter Regular, a TrueType file.
pub const REGULAR: &[u8] = include_bytes!("Inter-Regular.ttf");

/// Inter SemiBold, a TrueType file.
pub const SEMIBOLD: &[u8] = include_bytes!("Inter-SemiBold.ttf");

/// What stands for a character that the typeface lacks.
pub const REPLACEMENT: char = '\u{25a1}';

#[cfg(test)]
mod tests {
    use super::*;
    use skrifa::instance::{LocationRef, Size};
    use skrifa::{FontRef, MetadataProvider};

    #[test]
    fn covers_european_names_and_the_signs_of_a_sheet() {
        for data in [REGULAR, SEMIBOLD] {
            let letters = FontRef::new(data).unwrap().charmap();
            for c in "ĄčđĒğĦİķŁńŐřŞŢůŵŶžßþðÆøŒǼșțẞẁΑωЖя0123456789×−±°µ²≈≥≤→“”‘’„‚«»–—…·•□€£₤½"
                .chars()
                .chain([REPLACEMENT])
            {
                assert!(letters.map(c).is_some(), "{c} is missing");
            }
        }
    }

    #[test]
    fn digits_are_tabular() {
        for data in [REGULAR, SEMIBOLD] {
            let font = FontRef::new(data).unwrap();
            let widths = font.glyph_metrics(Size::unscaled(), LocationRef::default());
            let width = |c| widths.advance_width(font.charmap().map(c).unwrap()).unwrap();
            assert!(('0'..='9').all(|c| width(c) == width('0')));
        }
    }
}
