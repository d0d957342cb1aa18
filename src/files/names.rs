//! Names from outside made fit for files, folders and messages.

use std::path::Path;

use super::inside::inside;

/// The most characters of a name made here: every file system allows it with room to spare.
const MOST_CHARACTERS: usize = 60;

/// The file that is locked. It stays when the lock is given back: removing it would let two programs each hold a lock on
/// a file of this name.
pub(super) const LOCK_FILE: &str = ".dietell-lock";

/// A name for a file or folder that every system takes: the letters and digits of a text and the signs in `kept`, all
/// else a gap; what lies between gaps is joined by `joint`. `otherwise` stands where nothing fit is left.
#[must_use]
pub fn plain_name(text: &str, kept: &[char], joint: &str, otherwise: &str) -> String {
    let words: Vec<&str> = text
        .split(|c: char| !c.is_alphanumeric() && !kept.contains(&c))
        .filter(|word| !word.is_empty())
        .collect();
    let name: String = words.join(joint).chars().take(MOST_CHARACTERS).collect();
    let name = name.trim_end_matches(joint).trim_matches('.');
    if inside(name).is_ok() { name } else { otherwise }.to_owned()
}

/// The ending of a file's name where it is a plain one, in lower case; `otherwise` where not.
#[must_use]
pub fn ending(name: &str, otherwise: &str) -> String {
    let ending = Path::new(name)
        .extension()
        .map(|ending| ending.to_string_lossy().to_ascii_lowercase())
        .unwrap_or_default();
    let plain = (1..=5).contains(&ending.len()) && ending.chars().all(|c| c.is_ascii_alphanumeric());
    if plain { ending } else { otherwise.to_owned() }
}

/// The last part of a path as text for the user; empty where it has none.
#[must_use]
pub fn file_name(path: &Path) -> String {
    path.file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}

/// Shortens foreign text for a message, so that a name of ten megabytes does not become a message of ten megabytes.
#[must_use]
pub fn shorten(text: &str) -> String {
    let mut short: String = text.chars().take(MOST_CHARACTERS).map(shown).collect();
    if text.chars().nth(MOST_CHARACTERS).is_some() {
        short.push('\u{2026}');
    }
    short
}

/// A character of foreign text as a message may hold it: one that a terminal obeys, or that turns the direction of what
/// follows, is replaced. The marks of direction are those of Unicode 16, property `Bidi_Control`.
#[must_use]
pub fn shown(c: char) -> char {
    let turns =
        matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    if c.is_control() || turns { '\u{fffd}' } else { c }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_fit_for_every_system() {
        let title = |text: &str| plain_name(text, &['-', '_'], " ", "set");
        assert_eq!(title("Orlevay: five varn / 412?"), "Orlevay five varn 412");
        for hostile in ["", "../..", "nul", "CON", "\u{202e}", "/\\:*?\"<>|", "\0", ". ."] {
            assert_eq!(title(hostile), "set", "{hostile:?}");
        }
        assert!(title(&"x ".repeat(500)).chars().count() <= MOST_CHARACTERS);
        assert_eq!(plain_name("O1.b/..", &['.'], "-", "crop"), "O1.b-");
    }

    #[test]
    fn endings_are_plain_or_replaced() {
        assert_eq!(ending("a.JPG", "photo"), "jpg");
        for odd in ["a", "a.", "x.sh;rm -rf", "a.j/../../x", "a.abcdef", "a.\u{e9}"] {
            assert_eq!(ending(odd, "photo"), "photo", "{odd:?}");
        }
    }
}
