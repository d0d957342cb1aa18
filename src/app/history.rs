//! Undo: earlier records, not inverse actions.

/// What an edit changed, so that a drag or a typed word becomes one step of undo.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EditLabel {
    /// What is undone, in words that follow "Undo": "placing the landmark".
    pub words: String,
    /// Edits in a row with the same gesture number are one step; none always starts a step.
    pub gesture: Option<u64>,
}

/// The record as it is and as it was.
#[derive(Debug, Clone)]
pub struct History<T> {
    now: T,
    past: Vec<(EditLabel, T)>,
    future: Vec<(EditLabel, T)>,
    /// Raised at every change, undo and redo included, so that derived state knows when it is stale.
    revision: u64,
}

impl<T: Clone + PartialEq> History<T> {
    /// The most steps kept; records are a few kB each.
    pub const MOST_STEPS: usize = 500;

    /// Starts with a record and nothing to undo.
    #[must_use]
    pub fn new(now: T) -> Self {
        Self {
            now,
            past: Vec::new(),
            future: Vec::new(),
            revision: 0,
        }
    }

    /// The record as it is.
    #[must_use]
    pub fn now(&self) -> &T {
        &self.now
    }

    /// A number that changes whenever the record does.
    #[must_use]
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Changes the record; nothing is kept where the change changes nothing.
    pub fn edit(&mut self, label: EditLabel, change: impl FnOnce(&mut T)) {
        let mut next = self.now.clone();
        change(&mut next);
        if next == self.now {
            return;
        }
        let same_gesture = label.gesture.is_some()
            && self.past.last().is_some_and(|(last, _)| *last == label)
            && self.future.is_empty();
        let before = std::mem::replace(&mut self.now, next);
        if !same_gesture {
            self.past.push((label, before));
            if self.past.len() > Self::MOST_STEPS {
                self.past.remove(0);
            }
        }
        self.future.clear();
        self.revision += 1;
    }

    /// Changes the record without a step of undo, as it is and as it was: for what the program adds by itself, so that
    /// undoing what the user did does not take it away again.
    pub fn amend(&mut self, change: impl Fn(&mut T)) {
        let before = self.now.clone();
        change(&mut self.now);
        for (_, record) in self.past.iter_mut().chain(&mut self.future) {
            change(record);
        }
        if before != self.now {
            self.revision += 1;
        }
    }

    /// What `undo` would undo.
    #[must_use]
    pub fn undo_words(&self) -> Option<&str> {
        self.past.last().map(|(label, _)| label.words.as_str())
    }

    /// What `redo` would do again.
    #[must_use]
    pub fn redo_words(&self) -> Option<&str> {
        self.future.last().map(|(label, _)| label.words.as_str())
    }

    /// One step back.
    pub fn undo(&mut self) {
        if let Some((label, before)) = self.past.pop() {
            let after = std::mem::replace(&mut self.now, before);
            self.future.push((label, after));
            self.revision += 1;
        }
    }

    /// One step forward again.
    pub fn redo(&mut self) {
        if let Some((label, after)) = self.future.pop() {
            let before = std::mem::replace(&mut self.now, after);
            self.past.push((label, before));
            self.revision += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(words: &str, gesture: Option<u64>) -> EditLabel {
        EditLabel {
            words: words.to_owned(),
            gesture,
        }
    }

    #[test]
    fn a_drag_is_one_step() {
        let mut history = History::new(0);
        history.edit(label("set", None), |n| *n = 1);
        for value in 2..10 {
            history.edit(label("drag", Some(7)), |n| *n = value);
        }
        history.edit(label("drag", Some(8)), |n| *n = 20);
        history.undo();
        assert_eq!(*history.now(), 9);
        history.undo();
        assert_eq!(*history.now(), 1);
        history.redo();
        assert_eq!(*history.now(), 9);
        assert_eq!(history.redo_words(), Some("drag"));
    }

    #[test]
    fn an_amendment_is_no_step_and_outlives_undo() {
        let mut history = History::new((0, 0));
        history.edit(label("a", None), |n| n.0 = 1);
        history.amend(|n| n.1 = 7);
        assert_eq!(*history.now(), (1, 7));
        history.undo();
        assert_eq!(*history.now(), (0, 7));
        assert_eq!(history.undo_words(), None);
    }

    #[test]
    fn a_new_edit_ends_the_future_and_no_change_is_no_step() {
        let mut history = History::new(0);
        history.edit(label("a", None), |n| *n = 1);
        history.undo();
        history.edit(label("b", None), |n| *n = 0);
        assert_eq!(history.redo_words(), Some("a"));
        history.edit(label("b", None), |n| *n = 2);
        assert_eq!(history.redo_words(), None);
        assert_eq!(history.undo_words(), Some("b"));
    }
}
