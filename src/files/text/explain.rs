//! The parser's complaints in plain words.

use ron::error::Error;

use crate::files::shorten;

/// What is wrong and what to do, in words for someone who writes the file by hand; no full stop.
pub(crate) fn explain(error: &Error) -> String {
    match error {
        Error::NoSuchStructField { expected, found, .. } => {
            let found = shorten(found);
            format!(
                "unknown field \u{201c}{found}\u{201d}; known here are {}",
                list(expected)
            )
        }
        Error::MissingStructField { field, .. } => format!("the field \u{201c}{field}\u{201d} is missing"),
        Error::DuplicateStructField { field, .. } => {
            format!("the field \u{201c}{field}\u{201d} stands here twice: keep one of them")
        }
        Error::NoSuchEnumVariant { expected, found, .. } => {
            let found = shorten(found);
            format!(
                "\u{201c}{found}\u{201d} is none of the words known here, which are {}",
                list(expected)
            )
        }
        Error::InvalidValueForType { expected, found } => {
            format!("{} is expected here, not {}", shorten(expected), shorten(found))
        }
        Error::ExpectedDifferentLength { expected, found } => {
            format!("{} is expected here, not {found}", shorten(expected))
        }
        Error::ExpectedFloat => "a number is expected here".to_owned(),
        Error::ExpectedInteger => "a whole number is expected here".to_owned(),
        Error::IntegerOutOfBounds => "the whole number is too large or below zero".to_owned(),
        Error::ExpectedString => "text in double quotes is expected here".to_owned(),
        Error::ExpectedStringEnd => "the closing quote mark is missing".to_owned(),
        Error::ExpectedBoolean => "true or false is expected here".to_owned(),
        Error::ExpectedArray => "a list in square brackets is expected here".to_owned(),
        Error::ExpectedArrayEnd => "the closing square bracket or a comma is missing".to_owned(),
        Error::ExpectedMap => "a map in curly brackets is expected here".to_owned(),
        Error::ExpectedMapEnd => "the closing curly bracket or a comma is missing".to_owned(),
        Error::ExpectedMapColon => "a colon is missing after the name".to_owned(),
        Error::ExpectedComma => "a comma is missing".to_owned(),
        Error::ExpectedStructLike | Error::ExpectedNamedStructLike(_) => {
            "an opening round bracket is expected here".to_owned()
        }
        Error::ExpectedStructLikeEnd | Error::ExpectedOptionEnd => {
            "the closing round bracket or a comma is missing".to_owned()
        }
        Error::ExpectedIdentifier => "a field's name is expected here".to_owned(),
        Error::Eof => "the file ends too early: it is cut short, or a bracket is not closed".to_owned(),
        Error::TrailingCharacters => "something follows after the last bracket: remove it".to_owned(),
        Error::UnclosedBlockComment => "the comment is not closed by */".to_owned(),
        Error::UnexpectedChar(c) => format!(
            "the character \u{201c}{}\u{201d} does not belong here",
            c.escape_debug()
        ),
        Error::ExceededRecursionLimit => "brackets are nested too deep".to_owned(),
        Error::Message(message) => {
            let message = message.trim_end_matches('.');
            message.chars().take(MOST_MESSAGE_CHARACTERS).collect()
        }
        other => shorten(&other.to_string()),
    }
}

/// A type's own message is passed on up to this length.
const MOST_MESSAGE_CHARACTERS: usize = 300;

fn list(names: &[&str]) -> String {
    if names.is_empty() {
        "none".to_owned()
    } else {
        names.join(", ")
    }
}
