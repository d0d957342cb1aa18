//! What lies over the screen: settings, keys, a question to answer first.

use crate::app::model::action::Action;

/// A question that an action waits for.
pub struct Confirm {
    /// What will happen, in one or two sentences.
    pub question: String,
    /// The button that goes on, in words that say what it does.
    pub yes: &'static str,
    /// What is done then.
    pub then: Action,
}

/// What lies over the screen.
#[derive(Default)]
pub enum Overlay {
    /// Nothing.
    #[default]
    None,
    /// The settings.
    Settings,
    /// The list of keys.
    Keys,
    /// The specimen's title, being changed.
    Rename(String),
    /// What the user should know of the opening, each one sentence.
    Notes(Vec<String>),
    /// What the log holds, as it may be handed on.
    Log(String),
    /// A question.
    Confirm(Box<Confirm>),
}
