//! The kinds of outcome, without what each says of dies and pairings.

use super::Outcome;

/// The kind of an outcome.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutcomeKind {
    /// One pairing left, strongly supported.
    Settled,
    /// One pairing ahead.
    Leaning,
    /// Nothing tells yet.
    Open,
    /// Nothing listed fits, even with a slip.
    Contradicted,
    /// Dies left on each side, none of them listed together.
    Unlisted,
    /// Cannot be told from this coin or photo.
    BeyondTelling,
}

impl Outcome {
    /// Its kind.
    #[must_use]
    pub fn kind(&self) -> OutcomeKind {
        match self {
            Outcome::Settled { .. } => OutcomeKind::Settled,
            Outcome::Leaning { .. } => OutcomeKind::Leaning,
            Outcome::Open => OutcomeKind::Open,
            Outcome::Contradicted { .. } => OutcomeKind::Contradicted,
            Outcome::Unlisted { .. } => OutcomeKind::Unlisted,
            Outcome::BeyondTelling { .. } => OutcomeKind::BeyondTelling,
        }
    }

    /// The pairing that it names, as an index into the set's list.
    #[must_use]
    pub fn pairing(&self) -> Option<usize> {
        match self {
            Outcome::Settled { pairing } | Outcome::Leaning { pairing } => Some(*pairing),
            _ => None,
        }
    }
}
