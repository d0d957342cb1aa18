//! Whom a result is for. Work and questions are asked for with a ticket; what comes back for something that is no
//! longer open, was changed since, or was cancelled, is dropped.

use crate::photo::Watch;

/// What something is asked for on behalf of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Subject {
    /// The window itself, whatever is open in it.
    Window,
    /// The specimen that was last asked to be opened.
    SpecimenToOpen,
    /// The open specimen.
    Specimen,
    /// The other coin that it is compared with.
    OtherCoin,
    /// The specimen being put together.
    Intake,
    /// The set that was last asked to be opened in the workshop.
    SetToOpen,
    /// The set in the workshop.
    Set,
}

/// Names one opening of a subject, and how little of it may change before the result is of no use.
#[derive(Debug, Clone)]
pub struct Ticket {
    subject: Subject,
    /// Which opening of it; no two subjects opened have the same.
    opening: u64,
    /// The revision of its record that the result belongs to; none where later ones do as well.
    revision: Option<u64>,
    /// Cancelled when nobody waits any more.
    watch: Option<Watch>,
}

impl Ticket {
    /// For the window itself: always taken in.
    #[must_use]
    pub fn window() -> Self {
        Self::new(Subject::Window, 0)
    }

    fn new(subject: Subject, opening: u64) -> Self {
        Self {
            subject,
            opening,
            revision: None,
            watch: None,
        }
    }

    /// What it is for.
    #[must_use]
    pub fn subject(&self) -> Subject {
        self.subject
    }

    /// The same for one revision of the subject's record alone.
    #[must_use]
    pub fn at_revision(&self, revision: u64) -> Self {
        Self {
            revision: Some(revision),
            ..self.clone()
        }
    }

    /// The same for any revision of the subject's record.
    #[must_use]
    pub fn at_any_revision(&self) -> Self {
        Self {
            revision: None,
            ..self.clone()
        }
    }

    /// The same until it is cancelled.
    #[must_use]
    pub fn until_cancelled(&self, watch: &Watch) -> Self {
        Self {
            watch: Some(watch.clone()),
            ..self.clone()
        }
    }

    /// Whether a result with this ticket may be taken in, where `open` is the ticket of what is open now, at `revision`.
    #[must_use]
    pub fn is_current(&self, open: &Ticket, revision: u64) -> bool {
        (self.subject, self.opening) == (open.subject, open.opening)
            && self.revision.is_none_or(|wanted| wanted == revision)
            && !self.watch.as_ref().is_some_and(Watch::is_cancelled)
    }
}

/// Numbers what is opened.
#[derive(Debug, Default)]
pub struct Openings(u64);

impl Openings {
    /// The ticket of a subject that is opened now.
    pub fn open(&mut self, subject: Subject) -> Ticket {
        self.0 += 1;
        Ticket::new(subject, self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ticket_is_for_one_opening_one_revision_and_until_cancelled() {
        let mut openings = Openings::default();
        let (first, second) = (openings.open(Subject::Set), openings.open(Subject::Set));
        assert!(first.is_current(&first, 3));
        assert!(!first.is_current(&second, 3));
        assert!(!first.is_current(&openings.open(Subject::Specimen), 3));
        assert!(first.at_revision(3).is_current(&first, 3));
        assert!(!first.at_revision(3).is_current(&first, 4));
        let watch = Watch::default();
        let waiting = first.until_cancelled(&watch);
        assert!(waiting.is_current(&first, 3));
        watch.cancel();
        assert!(!waiting.is_current(&first, 3));
    }
}
