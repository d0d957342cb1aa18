//! What went wrong, as the user is told: what happened, where, and what to do.

use std::fmt;
use std::path::Path;

/// Something that went wrong, in words for the user. The rooms' typed errors turn into one by `?`, their message being
/// a whole sentence already; what only the upper rooms can tell is put together with [`Problem::at`] and
/// [`Problem::remedy`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    what: String,
    place: Option<String>,
    remedy: Option<String>,
}

impl Problem {
    /// What happened, as a sentence.
    #[must_use]
    pub fn new(what: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            place: None,
            remedy: None,
        }
    }

    /// The file or folder that it happened to.
    #[must_use]
    pub fn at(mut self, place: &Path) -> Self {
        self.place = Some(place.display().to_string());
        self
    }

    /// What the user can do about it, as a sentence.
    #[must_use]
    pub fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = Some(remedy.into());
        self
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(place) = &self.place {
            write!(f, "{place}: ")?;
        }
        f.write_str(&self.what)?;
        match &self.remedy {
            Some(remedy) => write!(f, " {remedy}"),
            None => Ok(()),
        }
    }
}

// Not an error itself, so that `?` can take every error in.
impl<E: std::error::Error> From<E> for Problem {
    fn from(error: E) -> Self {
        Self::new(error.to_string())
    }
}

impl From<Problem> for String {
    fn from(problem: Problem) -> Self {
        problem.to_string()
    }
}

impl From<&Problem> for String {
    fn from(problem: &Problem) -> Self {
        problem.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_reads_as_place_event_and_remedy() {
        let problem = Problem::new("It holds no picture.")
            .at(Path::new("a.txt"))
            .remedy("Choose a photo.");
        assert_eq!(problem.to_string(), "a.txt: It holds no picture. Choose a photo.");
    }

    #[test]
    fn a_typed_error_becomes_one_by_the_question_mark() {
        let parse = |text: &str| -> Result<u32, Problem> { Ok(text.parse()?) };
        assert_eq!(
            parse("x").unwrap_err().to_string(),
            "invalid digit found in string"
        );
    }
}
