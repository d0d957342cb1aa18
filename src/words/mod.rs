//! Every sentence about an outcome, an exclusion, a verdict, a model, a measure or a part of a set, once. Decides
//! nothing.
//!
//! The evidence's own types say what they mean by `sentence`, `headline` and `explanation`, added to them here.

mod findings;
mod measures;
mod models;
mod numbers;
mod outcomes;
mod quality;
mod set;

pub use findings::{finding_parts, finding_words, verdict_words};
pub use measures::{measure_kind, measured, stated};
pub use models::{model, model_choice, model_explanation, model_title};
pub use numbers::{length, letters, mm, percent, plain, signed};
pub use outcomes::{OPINION, die_names, exclusions, open_world_sentence, prior_sentence};
pub use quality::{Because, because, doubt, plate_not_aligned};
pub use set::{answer_words, choice_words, pairing_words, rarity_meaning, spot_title, value_words};

/// Words with a capital, as a sentence or a heading begins.
#[must_use]
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
