//! Notices: short sentences at the window's foot that say what happened or what to do.

/// How a notice is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoticeKind {
    /// Something was done; goes by itself.
    Done,
    /// Something went wrong; stays until dismissed.
    Problem,
}

/// One notice.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// Its kind.
    pub kind: NoticeKind,
    /// One or two plain sentences.
    pub text: String,
    /// When it was first drawn, in the window's seconds; none before.
    pub shown_at_s: Option<f64>,
}

/// The notices in view, oldest first.
#[derive(Debug, Default)]
pub struct Notices {
    list: Vec<Notice>,
}

impl Notices {
    /// How long a [`NoticeKind::Done`] stays, in s.
    pub const DONE_STAYS_S: f64 = 5.0;
    /// More than these and the oldest goes.
    const MOST: usize = 4;

    /// Says that something was done.
    pub fn done(&mut self, text: impl Into<String>) {
        self.push(NoticeKind::Done, text.into());
    }

    /// Says that something went wrong.
    pub fn problem(&mut self, text: impl Into<String>) {
        self.push(NoticeKind::Problem, text.into());
    }

    fn push(&mut self, kind: NoticeKind, text: String) {
        // The same sentence twice (an autosave that fails every few seconds) is shown once.
        self.list.retain(|n| n.text != text);
        self.list.push(Notice {
            kind,
            text,
            shown_at_s: None,
        });
        if self.list.len() > Self::MOST {
            self.list.remove(0);
        }
    }

    /// The notices, oldest first.
    #[must_use]
    pub fn list(&self) -> &[Notice] {
        &self.list
    }

    /// Takes one away.
    pub fn dismiss(&mut self, index: usize) {
        if index < self.list.len() {
            self.list.remove(index);
        }
    }

    /// Marks new ones as seen at `now_s` and drops those that go by themselves; returns when to look again, in s.
    pub fn tick(&mut self, now_s: f64) -> Option<f64> {
        for notice in &mut self.list {
            notice.shown_at_s.get_or_insert(now_s);
        }
        let left = |n: &Notice| Self::DONE_STAYS_S - (now_s - n.shown_at_s.unwrap_or(now_s));
        self.list
            .retain(|n| n.kind == NoticeKind::Problem || left(n) > 0.0);
        self.list
            .iter()
            .filter(|n| n.kind == NoticeKind::Done)
            .map(left)
            .min_by(f64::total_cmp)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn done_goes_and_a_problem_stays() {
        let mut notices = Notices::default();
        notices.done("Saved.");
        notices.problem("The folder is read-only.");
        notices.problem("The folder is read-only.");
        assert_eq!(notices.list().len(), 2);
        assert_eq!(notices.tick(10.0), Some(Notices::DONE_STAYS_S));
        assert_eq!(notices.tick(10.0 + Notices::DONE_STAYS_S), None);
        assert_eq!(notices.list().len(), 1);
        notices.dismiss(0);
        assert!(notices.list().is_empty());
    }
}
