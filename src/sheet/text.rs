//! Text set in the program's typeface: shaping, measuring and breaking into lines.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::rc::Rc;
use std::sync::LazyLock;

use harfrust::{Direction, Script, ShapeOptions, ShapePlan, Shaper, ShaperData, UnicodeBuffer};
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{FontRef, GlyphId, MetadataProvider};

use super::display::Colour;
use crate::files::log::OrLog;
use crate::fonts;

/// Millimetres in a typographic point (1/72 inch).
pub const MM_PER_PT: f64 = 25.4 / 72.0;

/// A weight of the typeface.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// For running text.
    Regular,
    /// For headings and what must be found.
    SemiBold,
}

impl Weight {
    /// The font file.
    #[must_use]
    pub fn data(self) -> &'static [u8] {
        match self {
            Weight::Regular => fonts::REGULAR,
            Weight::SemiBold => fonts::SEMIBOLD,
        }
    }

    /// The font, read once.
    pub(super) fn face(self) -> &'static Face {
        static REGULAR: LazyLock<Face> = LazyLock::new(|| Face::read(fonts::REGULAR));
        static SEMIBOLD: LazyLock<Face> = LazyLock::new(|| Face::read(fonts::SEMIBOLD));
        match self {
            Weight::Regular => &REGULAR,
            Weight::SemiBold => &SEMIBOLD,
        }
    }
}

/// One of the built-in fonts.
pub(super) struct Face {
    font: FontRef<'static>,
    shaping: ShaperData,
    /// Font units in an em.
    pub(super) units_per_em: f64,
    /// The height of capitals and figures in em.
    cap_height: f64,
}

impl Face {
    #[expect(clippy::expect_used, reason = "a font of our own, which a test reads")]
    fn read(data: &'static [u8]) -> Self {
        let font = FontRef::new(data).expect("the built-in font is whole");
        let metrics = font.metrics(Size::unscaled(), LocationRef::default());
        let units_per_em = f64::from(metrics.units_per_em);
        Self {
            shaping: ShaperData::new(&font),
            cap_height: f64::from(metrics.cap_height.unwrap_or(1490.0)) / units_per_em,
            units_per_em,
            font,
        }
    }

    fn shaper(&self) -> Shaper<'_> {
        self.shaping.shaper(&self.font).build()
    }

    fn has(&self, c: char) -> bool {
        self.font.charmap().map(c).is_some()
    }

    /// Draws a glyph's outline in font units, y up; a blank has none.
    pub(super) fn outline(&self, glyph: GlyphId, pen: &mut impl OutlinePen) {
        if let Some(outline) = self.font.outline_glyphs().get(glyph) {
            let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
            outline.draw(settings, pen).or_log("Drawing a letter");
        }
    }
}

/// A glyph in its place; lengths in em.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedGlyph {
    /// Its number in the font.
    pub id: u16,
    /// How far it moves the pen.
    pub advance: f64,
    /// How far it is drawn right of the pen.
    pub dx: f64,
    /// How far it is drawn above the baseline.
    pub dy: f64,
    /// The bytes of the text that it stands for.
    pub from: std::ops::Range<usize>,
}

/// Size, weight and colour of text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TextStyle {
    /// Size in pt.
    pub size_pt: f64,
    /// Weight.
    pub weight: Weight,
    /// Colour.
    pub colour: Colour,
    /// Distance of baselines in mm.
    pub leading: f64,
}

impl TextStyle {
    /// The em in mm.
    #[must_use]
    pub fn em(&self) -> f64 {
        self.size_pt * MM_PER_PT
    }

    /// The height of capitals and figures in mm.
    #[must_use]
    pub fn cap_height(&self) -> f64 {
        self.weight.face().cap_height * self.em()
    }

    /// How far descenders reach below the baseline, in mm.
    #[must_use]
    pub fn depth(&self) -> f64 {
        0.21 * self.em()
    }

    /// The width of a line in mm.
    #[must_use]
    pub fn width(&self, text: &str) -> f64 {
        shape(text, self.weight).iter().map(|g| g.advance).sum::<f64>() * self.em()
    }

    /// The same in another colour.
    #[must_use]
    pub fn coloured(self, colour: Colour) -> Self {
        Self { colour, ..self }
    }

    /// The same in semibold.
    #[must_use]
    pub fn strong(self) -> Self {
        Self {
            weight: Weight::SemiBold,
            ..self
        }
    }
}

/// Shapes one line, left to right.
#[must_use]
pub fn shape(text: &str, weight: Weight) -> Vec<PlacedGlyph> {
    let face = weight.face();
    let em = face.units_per_em;
    let shaper = face.shaper();
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.set_direction(Direction::LeftToRight);
    buffer.guess_segment_properties();
    let plan = plan(weight, &shaper, &buffer);
    let shaped = shaper.shape(buffer, ShapeOptions::new().plan(Some(&plan)));
    let infos = shaped.glyph_infos();
    let mut out = Vec::with_capacity(infos.len());
    for (i, (info, pos)) in infos.iter().zip(shaped.glyph_positions()).enumerate() {
        let start = info.cluster as usize;
        let end = infos[i..]
            .iter()
            .map(|next| next.cluster as usize)
            .find(|&c| c > start)
            .unwrap_or(text.len());
        out.push(PlacedGlyph {
            id: u16::try_from(info.glyph_id).unwrap_or(0),
            advance: f64::from(pos.x_advance) / em,
            dx: f64::from(pos.x_offset) / em,
            dy: f64::from(pos.y_offset) / em,
            from: start..end,
        });
    }
    out
}

/// The shaper's plan for a script, made once a thread: making one takes longer than using it.
fn plan(weight: Weight, shaper: &Shaper<'_>, buffer: &UnicodeBuffer) -> Rc<ShapePlan> {
    type Plans = Vec<(Weight, Script, Rc<ShapePlan>)>;
    thread_local! {
        static PLANS: RefCell<Plans> = const { RefCell::new(Vec::new()) };
    }
    let script = buffer.script();
    PLANS.with_borrow_mut(|plans| {
        if let Some((_, _, plan)) = plans.iter().find(|(w, s, _)| (*w, *s) == (weight, script)) {
            return Rc::clone(plan);
        }
        let plan = Rc::new(ShapePlan::new(
            shaper,
            Direction::LeftToRight,
            Some(script),
            buffer.language().as_ref(),
            &[],
        ));
        plans.push((weight, script, Rc::clone(&plan)));
        plan
    })
}

/// The text with every character that cannot be set replaced: a box for one that the typeface lacks, a blank for a
/// tab; invisible format characters are dropped. Line ends stay.
#[must_use]
pub fn printable(text: &str) -> String {
    let face = Weight::Regular.face();
    let text = text.replace("\r\n", "\n");
    text.chars()
        .filter_map(|c| match c {
            '\n' | '\u{2028}' | '\u{2029}' | '\r' => Some('\n'),
            '\t' => Some(' '),
            // Marks of direction, joiners, variation selectors and the like: no shape of their own.
            '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' => None,
            '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ad}' => None,
            c if c.is_control() => Some(fonts::REPLACEMENT),
            c if face.has(c) => Some(c),
            _ => Some(fonts::REPLACEMENT),
        })
        .collect()
}

/// Breaks text into lines no wider than `width` mm: at blanks, else after a hyphen or slash, else inside the word.
#[must_use]
pub fn wrap(text: &str, style: &TextStyle, width: f64) -> Vec<String> {
    let mut lines = Vec::new();
    for paragraph in printable(text).split('\n') {
        let words: Vec<(&str, f64)> = paragraph
            .split(' ')
            .filter(|word| !word.is_empty())
            .map(|word| (word, style.width(start_of(word, style, width))))
            .collect();
        wrap_words(&words, style, width, &mut lines);
    }
    while lines.len() > 1 && lines.last().is_some_and(String::is_empty) {
        lines.pop();
    }
    lines
}

/// Fills lines with words, each given with its width.
fn wrap_words(words: &[(&str, f64)], style: &TextStyle, width: f64, lines: &mut Vec<String>) {
    let blank = style.width(" ");
    let mut words: VecDeque<(String, f64)> = words.iter().map(|(word, w)| ((*word).to_owned(), *w)).collect();
    loop {
        // As many words as fit by their own widths; then, as letters may stand closer or farther about a blank, by the
        // line's.
        let mut sum = -blank;
        let mut count = words
            .iter()
            .take_while(|(_, w)| {
                sum += blank + w;
                sum <= width
            })
            .count();
        let line = |count: usize| {
            let words: Vec<&str> = words.iter().take(count).map(|(word, _)| word.as_str()).collect();
            words.join(" ")
        };
        while count > 1 && style.width(&line(count)) > width {
            count -= 1;
        }
        if count == words.len() {
            lines.push(line(count));
            return;
        }
        if count > 0 {
            lines.push(line(count));
            words.drain(..count);
        } else if let Some((word, _)) = words.pop_front() {
            // The first word alone is too wide: its end goes on with the next words.
            let tail = break_word(&word, style, width, lines);
            if style.width(&tail) > width {
                // Not even one character fits.
                lines.push(tail);
            } else {
                let tail_width = style.width(&tail);
                words.push_front((tail, tail_width));
            }
        }
    }
}

/// How many letters are looked at first for what fits one line; a few times as many as a line of the sheet takes.
const FIRST_LETTERS: usize = 256;

/// The start of a text that is too wide for a line, or the whole of one that may fit: setting all of a word of many
/// thousand letters again for each line of it would take a time that grows with the square of its length.
fn start_of<'a>(text: &'a str, style: &TextStyle, width: f64) -> &'a str {
    let mut letters = FIRST_LETTERS;
    loop {
        match text.char_indices().nth(letters) {
            Some((end, _)) if style.width(&text[..end]) > width => return &text[..end],
            Some(_) => letters *= 2,
            None => return text,
        }
    }
}

/// Pushes full lines of a word too wide for one and returns the rest.
fn break_word(word: &str, style: &TextStyle, width: f64, lines: &mut Vec<String>) -> String {
    let mut rest = word;
    loop {
        let start = start_of(rest, style, width);
        if start.len() == rest.len() && style.width(rest) <= width {
            return rest.to_owned();
        }
        let cuts = cuts(start);
        // Widths grow with the text, so the last cut that fits is found by halving.
        let fitting = cuts.partition_point(|&cut| style.width(&start[..cut]) <= width);
        let most = if fitting == 0 {
            cuts.first().copied().unwrap_or(start.len())
        } else {
            cuts[fitting - 1]
        };
        let soft = start[..most]
            .rfind(['-', '/', '\u{2013}', '_', ',', '.', ';'])
            .map(|at| at + start[at..].chars().next().map_or(1, char::len_utf8))
            .filter(|&at| at * 2 >= most);
        let cut = soft.unwrap_or(most);
        if cut >= rest.len() {
            return rest.to_owned();
        }
        lines.push(rest[..cut].to_owned());
        rest = &rest[cut..];
    }
}

/// Where a word may be cut: before each character that is not a combining mark.
fn cuts(word: &str) -> Vec<usize> {
    word.char_indices()
        .skip(1)
        .filter(|(_, c)| !('\u{300}'..='\u{36f}').contains(c))
        .map(|(at, _)| at)
        .chain([word.len()])
        .collect()
}

/// The text on one line no wider than `width` mm, cut with an ellipsis where it must be.
#[must_use]
pub fn one_line(text: &str, style: &TextStyle, width: f64) -> String {
    let text = printable(text).replace('\n', " ");
    let start = start_of(&text, style, width);
    if start.len() == text.len() && style.width(&text) <= width {
        return text;
    }
    let text = start;
    let cuts = cuts(text);
    let fits = |cut: usize| style.width(&format!("{}\u{2026}", text[..cut].trim_end())) <= width;
    let fitting = cuts.partition_point(|&cut| fits(cut));
    let cut = if fitting == 0 { 0 } else { cuts[fitting - 1] };
    format!("{}\u{2026}", text[..cut].trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::style;

    #[test]
    fn wraps_at_blanks_and_inside_long_words() {
        let style = style::BODY;
        let lines = wrap("A stop after the legend, near the leaf", &style, 20.0);
        assert!(lines.len() > 1 && lines.iter().all(|l| style.width(l) <= 20.0));
        assert_eq!(lines.join(" "), "A stop after the legend, near the leaf");
        let long = "Straßenbahnhaltestelle".repeat(8);
        let lines = wrap(&long, &style, 20.0);
        assert!(lines.iter().all(|l| style.width(l) <= 20.0));
        assert_eq!(lines.concat(), long);
    }

    #[test]
    fn a_word_of_many_thousand_letters_is_broken_at_once() {
        let word = "Straßenbahn".repeat(5_000);
        let begun = std::time::Instant::now();
        let lines = wrap(&word, &style::BODY, 60.0);
        assert!(lines.iter().all(|line| style::BODY.width(line) <= 60.0));
        assert_eq!(lines.concat(), word);
        assert!(one_line(&word, &style::BODY, 60.0).ends_with('\u{2026}'));
        // It took over 20 s; a thousandth of that would do, and no machine is so slow.
        assert!(begun.elapsed().as_secs() < 10, "{:?}", begun.elapsed());
    }

    #[test]
    fn replaces_what_the_typeface_lacks_and_keeps_the_rest() {
        assert_eq!(
            printable("Łódź \u{6f22}\t\u{200d}x\u{7}"),
            "Łódź \u{25a1} x\u{25a1}"
        );
        let composed: f64 = style::BODY.width("\u{e9}");
        let combined: f64 = style::BODY.width("e\u{301}");
        assert!((composed - combined).abs() < 1e-9);
    }

    #[test]
    fn one_line_ends_in_an_ellipsis_when_cut() {
        let cut = one_line("The second leaf from the left is open", &style::BODY, 20.0);
        assert!(cut.ends_with('\u{2026}') && style::BODY.width(&cut) <= 20.0);
        assert_eq!(one_line("short", &style::BODY, 20.0), "short");
    }
}
