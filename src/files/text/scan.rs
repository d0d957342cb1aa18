//! A shallow look at RON text before and after parsing: nesting, over-long names, numbers that are not finite, the
//! format's version, and the way to the field at a place. It builds nothing, so hostile text costs one pass.

/// The deepest nesting of brackets; an honest set needs 9, a specimen 6.
pub(crate) const DEEPEST_NESTING: usize = 32;
/// The longest quoted text in bytes; the longest honest one is a page of notes.
pub(crate) const LONGEST_TEXT_BYTES: usize = 100_000;
/// The greatest magnitude of any number: every honest one is a count, px, mm, g, degrees or a price ratio.
pub(crate) const GREATEST_NUMBER: f64 = 1e12;

/// What is wrong, at which byte.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct ScanFault {
    pub at: usize,
    pub what: String,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Token<'a> {
    Open(u8),
    Close(u8),
    Colon,
    Comma,
    /// The text between the quotes, escapes untouched.
    Quoted(&'a str),
    /// A bare word: a field, a variant, a number.
    Word(&'a str),
    Other,
}

struct Lexer<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Lexer<'a> {
    fn new(text: &'a str) -> Self {
        Self { text, at: 0 }
    }

    /// The next token with its first byte; none at the end.
    fn next(&mut self) -> Option<(usize, Token<'a>)> {
        self.skip_space_and_comments();
        let bytes = self.text.as_bytes();
        let start = self.at;
        let token = match *bytes.get(start)? {
            open @ (b'(' | b'[' | b'{') => self.single(Token::Open(open)),
            close @ (b')' | b']' | b'}') => self.single(Token::Close(close)),
            b':' => self.single(Token::Colon),
            b',' => self.single(Token::Comma),
            b'"' => self.quoted(start + 1),
            b'\'' => self.character(),
            byte if is_word(byte) => self.word(),
            _ => self.single(Token::Other),
        };
        Some((start, token))
    }

    fn single(&mut self, token: Token<'a>) -> Token<'a> {
        self.at += 1;
        token
    }

    fn quoted(&mut self, from: usize) -> Token<'a> {
        let bytes = self.text.as_bytes();
        let mut at = from;
        while let Some(&byte) = bytes.get(at) {
            match byte {
                b'\\' => at += 2,
                b'"' => break,
                _ => at += 1,
            }
        }
        let end = at.min(bytes.len());
        self.at = (end + 1).min(bytes.len());
        Token::Quoted(self.text.get(from..end).unwrap_or_default())
    }

    fn raw(&mut self, from: usize, hashes: usize) -> Token<'a> {
        let rest = self.text.get(from..).unwrap_or_default();
        let close = format!("\"{}", "#".repeat(hashes));
        let length = rest.find(&close).unwrap_or(rest.len());
        self.at = (from + length + close.len()).min(self.text.len());
        Token::Quoted(rest.get(..length).unwrap_or_default())
    }

    /// `'x'` or `'\x'`; a lone quote mark is passed over.
    fn character(&mut self) -> Token<'a> {
        let rest = self.text.get(self.at + 1..).unwrap_or_default();
        let mut chars = rest.char_indices();
        let escaped = chars.next().is_some_and(|(_, c)| c == '\\');
        let close = rest
            .char_indices()
            .skip(1 + usize::from(escaped))
            .find(|(_, c)| *c == '\'');
        self.at += match close {
            // A Unicode escape is the longest character, `\u{10FFFF}`.
            Some((i, _)) if i <= 12 => i + 2,
            _ => 1,
        };
        Token::Other
    }

    fn word(&mut self) -> Token<'a> {
        let bytes = self.text.as_bytes();
        let start = self.at;
        let mut at = start;
        while bytes.get(at).copied().is_some_and(is_word) {
            at += 1;
        }
        let word = self.text.get(start..at).unwrap_or_default();
        if matches!(word, "r" | "br" | "b") {
            let hashes = bytes[at..].iter().take_while(|&&b| b == b'#').count();
            if bytes.get(at + hashes) == Some(&b'"') {
                return if word == "b" && hashes == 0 {
                    self.quoted(at + 1)
                } else {
                    self.raw(at + hashes + 1, hashes)
                };
            }
        }
        self.at = at;
        Token::Word(word)
    }

    fn skip_space_and_comments(&mut self) {
        let bytes = self.text.as_bytes();
        loop {
            match (bytes.get(self.at), bytes.get(self.at + 1)) {
                (Some(b' ' | b'\t' | b'\r' | b'\n'), _) => self.at += 1,
                (Some(b'/'), Some(b'/')) => {
                    self.at = bytes[self.at..]
                        .iter()
                        .position(|&b| b == b'\n')
                        .map_or(bytes.len(), |n| self.at + n);
                }
                (Some(b'/'), Some(b'*')) => self.skip_block_comment(),
                _ => return,
            }
        }
    }

    /// RON's block comments nest.
    fn skip_block_comment(&mut self) {
        let bytes = self.text.as_bytes();
        let mut depth = 0_usize;
        while self.at < bytes.len() {
            match (bytes[self.at], bytes.get(self.at + 1)) {
                (b'/', Some(b'*')) => {
                    depth += 1;
                    self.at += 2;
                }
                (b'*', Some(b'/')) => {
                    depth -= 1;
                    self.at += 2;
                    if depth == 0 {
                        return;
                    }
                }
                _ => self.at += 1,
            }
        }
    }
}

/// Bytes of names and numbers; a byte above 127 belongs to some letter.
fn is_word(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'+' | b'-' | b'.') || byte >= 0x80
}

/// Checks the bounds that must hold before parsing.
pub(crate) fn check_bounds(text: &str) -> Result<(), ScanFault> {
    let mut lexer = Lexer::new(text);
    let mut depth = 0_usize;
    while let Some((at, token)) = lexer.next() {
        match token {
            Token::Open(_) => {
                depth += 1;
                if depth > DEEPEST_NESTING {
                    let what = format!(
                        "brackets are nested more than {DEEPEST_NESTING} deep: this is no honest file, or a \
                         closing bracket is missing before"
                    );
                    return Err(ScanFault { at, what });
                }
            }
            Token::Close(_) => depth = depth.saturating_sub(1),
            Token::Quoted(text) if text.len() > LONGEST_TEXT_BYTES => {
                let what = format!(
                    "the quoted text is longer than {LONGEST_TEXT_BYTES} bytes: shorten it, or close its quote mark"
                );
                return Err(ScanFault { at, what });
            }
            Token::Word(word) => {
                if let Some(what) = fault_of_number(word) {
                    return Err(ScanFault { at, what });
                }
            }
            _ => {}
        }
    }
    Ok(())
}

/// Why a bare word is an unusable number; none for usable ones and for words that are no numbers.
fn fault_of_number(word: &str) -> Option<String> {
    let bare = word.trim_start_matches(['+', '-']);
    if ["inf", "NaN", "inff32", "inff64", "NaNf32", "NaNf64"].contains(&bare) {
        return Some(format!(
            "\u{201c}{word}\u{201d} is no usable number: write a finite one"
        ));
    }
    if !bare.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
        return None;
    }
    let digits = bare
        .trim_end_matches("f32")
        .trim_end_matches("f64")
        .replace('_', "");
    let value: f64 = digits.parse().ok()?;
    (value.abs() > GREATEST_NUMBER).then(|| {
        format!(
            "the number {} is beyond all measure here: the greatest is {GREATEST_NUMBER:e}",
            crate::files::shorten(word)
        )
    })
}

/// The format's version, where the text states one at its top level.
pub(crate) fn stated_format(text: &str) -> Option<u64> {
    let mut lexer = Lexer::new(text);
    let mut depth = 0_usize;
    let mut before = [Token::Other; 2];
    while let Some((_, token)) = lexer.next() {
        match token {
            Token::Open(_) => depth += 1,
            Token::Close(_) => depth = depth.saturating_sub(1),
            Token::Word(number) if depth == 1 && before == [Token::Word("format"), Token::Colon] => {
                return whole_number(number);
            }
            _ => {}
        }
        before = [before[1], token];
    }
    None
}

/// A whole number in any of the ways that RON allows: `33`, `3_3`, `0x21`, `33u32`.
fn whole_number(word: &str) -> Option<u64> {
    let digits = word.trim_start_matches('+').replace('_', "");
    let digits = digits.split(['u', 'i']).next().unwrap_or_default();
    let (digits, radix) = match digits.get(..2) {
        Some("0x") => (&digits[2..], 16),
        Some("0o") => (&digits[2..], 8),
        Some("0b") => (&digits[2..], 2),
        _ => (digits, 10),
    };
    u64::from_str_radix(digits, radix).ok()
}

struct Level<'a> {
    open: u8,
    label: Option<&'a str>,
    index: usize,
}

/// The way to the field that stands at a byte, such as `obverse, dies, item 2, shows`; items count from 1.
pub(crate) fn field_at(text: &str, offset: usize) -> String {
    words(&levels_at(text, offset))
}

/// The way to what encloses the field at a byte, such as `obverse, dies, item 2`.
pub(crate) fn enclosing_at(text: &str, offset: usize) -> String {
    let mut levels = levels_at(text, offset);
    if let Some(innermost) = levels.last_mut()
        && innermost.open == b'('
    {
        innermost.label = None;
    }
    words(&levels)
}

fn levels_at(text: &str, offset: usize) -> Vec<Level<'_>> {
    let mut lexer = Lexer::new(text);
    let mut levels: Vec<Level> = Vec::new();
    let mut last = Token::Other;
    while let Some((start, token)) = lexer.next() {
        if start >= offset && !matches!(token, Token::Colon) {
            break;
        }
        match token {
            Token::Open(open) if levels.len() < DEEPEST_NESTING => levels.push(Level {
                open,
                label: None,
                index: 0,
            }),
            Token::Close(_) => {
                levels.pop();
            }
            Token::Colon => {
                if let (Some(level), Token::Word(name) | Token::Quoted(name)) = (levels.last_mut(), last) {
                    level.label = Some(name);
                }
            }
            Token::Comma => {
                if let Some(level) = levels.last_mut() {
                    level.index += 1;
                    level.label = None;
                }
            }
            _ => {}
        }
        last = token;
    }
    levels
}

fn words(levels: &[Level]) -> String {
    let mut words = Vec::new();
    for level in levels {
        match (level.label, level.open) {
            (Some(name), b'{') => words.push(format!("\u{201c}{}\u{201d}", crate::files::shorten(name))),
            (Some(name), _) => words.push(crate::files::shorten(name)),
            (None, b'[') => words.push(format!("item {}", level.index + 1)),
            (None, _) => {}
        }
    }
    words.join(", ")
}

/// Line and column (in characters) of a byte, both from 1.
pub(crate) fn line_and_column(text: &str, offset: usize) -> (usize, usize) {
    let before = text.get(..offset).unwrap_or(text);
    let line = 1 + before.bytes().filter(|&b| b == b'\n').count();
    let column = 1 + before.rsplit('\n').next().unwrap_or_default().chars().count();
    (line, column)
}

/// The byte at a line and column (in characters), both from 1; the text's length where it has no such place.
pub(crate) fn byte_at(text: &str, line: usize, column: usize) -> usize {
    let mut start = 0;
    for _ in 1..line {
        match text.get(start..).and_then(|rest| rest.find('\n')) {
            Some(n) => start += n + 1,
            None => return text.len(),
        }
    }
    let rest = text.get(start..).unwrap_or_default();
    rest.char_indices()
        .nth(column.saturating_sub(1))
        .map_or(text.len(), |(i, _)| start + i)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn brackets_in_quotes_and_comments_are_no_nesting() {
        let many = "[".repeat(DEEPEST_NESTING + 1);
        assert!(check_bounds(&format!("(a: \"{many}\")")).is_ok());
        assert!(check_bounds(&format!("(a: r#\"{many}\"#)")).is_ok());
        assert!(check_bounds(&format!("(/* {many} */ a: 1) // {many}")).is_ok());
        assert_eq!(
            check_bounds(&format!("(a: {many}")).map_err(|f| f.at),
            Err(4 + DEEPEST_NESTING - 1)
        );
    }

    #[test]
    fn numbers_that_are_not_finite_are_found() {
        for bad in ["inf", "-inf", "NaN", "1e999", "-1e13", "1e400f64"] {
            assert!(check_bounds(&format!("(a: {bad})")).is_err(), "{bad}");
        }
        for good in ["1.5", "-3", "1e3", "\"inf\"", "info", "0.5f32", "1_000"] {
            assert!(check_bounds(&format!("(a: {good})")).is_ok(), "{good}");
        }
    }

    #[test]
    fn the_way_to_a_field_is_told() {
        let text = "(obverse: (dies: [(id: \"a\"), (id: \"b\", shows: {\"stop\": 7})]))";
        let at = text.find('7').expect("it is there");
        assert_eq!(
            field_at(text, at),
            "obverse, dies, item 2, shows, \u{201c}stop\u{201d}"
        );
    }

    #[test]
    fn the_format_is_read_at_the_top_only() {
        assert_eq!(stated_format("( // one\n format: 7, x: (format: 2))"), Some(7));
        assert_eq!(stated_format("(x: (format: 2))"), None);
        for written in ["0x21", "3_3", "+33", "33u32", "0b100001", "0o41"] {
            assert_eq!(
                stated_format(&format!("(format: {written})")),
                Some(33),
                "{written}"
            );
        }
        assert_eq!(stated_format("(format: new)"), None);
    }

    #[test]
    fn places_go_both_ways() {
        let text = "a\nbé\u{201c}c\nd";
        for (offset, _) in text.char_indices() {
            let (line, column) = line_and_column(text, offset);
            assert_eq!(byte_at(text, line, column), offset);
        }
    }
}
