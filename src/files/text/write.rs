//! From a document to text that a person can read and edit.

use ron::ser::PrettyConfig;
use serde::Serialize;

use super::error::UnwritableText;
use super::read::ron_options;

/// Writes a document as RON text, one field a line.
///
/// # Errors
/// [`UnwritableText`]; no honest document meets it.
pub fn write_document<T: Serialize>(document: &T) -> Result<String, UnwritableText> {
    let pretty = PrettyConfig::new()
        .indentor("  ")
        .new_line("\n")
        .separate_tuple_members(false);
    let mut text = ron_options()
        .to_string_pretty(document, pretty)
        .map_err(|error| UnwritableText(error.to_string()))?;
    text.push('\n');
    Ok(text)
}
