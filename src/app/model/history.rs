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
    /// How many bytes a record takes, roughly.
    weigh: fn(&T) -> usize,
}

impl<T: Clone + PartialEq> History<T> {
    /// The most steps kept.
    pub const MOST_STEPS: usize = 500;
    /// The most bytes of steps kept, as `weigh` gives them; the last steps are kept whatever they weigh.
    pub const MOST_BYTES: usize = 150_000_000;
    /// Steps that are always kept.
    pub const FEWEST_STEPS: usize = 20;

    /// Starts with a record of a few kB and nothing to undo.
    #[must_use]
    pub fn new(now: T) -> Self {
        Self::weighed(now, |_| 0)
    }

    /// As [`History::new`], for records that may be large: `weigh` tells how many bytes one takes, roughly.
    #[must_use]
    pub fn weighed(now: T, weigh: fn(&T) -> usize) -> Self {
        Self {
            now,
            past: Vec::new(),
            future: Vec::new(),
            revision: 0,
            weigh,
        }
    }

    /// Gives the oldest steps up where there are too many or they weigh too much.
    fn make_room(&mut self) {
        // A record is about as large as the one before it, so that weighing the newest is enough.
        let bytes = self
            .past
            .last()
            .map_or(0, |(_, record)| (self.weigh)(record))
            .max(1);
        let most = (Self::MOST_BYTES / bytes).clamp(Self::FEWEST_STEPS, Self::MOST_STEPS);
        let too_many = self.past.len().saturating_sub(most);
        self.past.drain(..too_many);
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
            self.make_room();
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
    fn heavy_records_are_kept_for_fewer_steps() {
        let mut history = History::weighed(0, |_| History::<usize>::MOST_BYTES / 30);
        let mut light = History::new(0);
        for value in 1..1_000 {
            history.edit(label("a", None), |n| *n = value);
            light.edit(label("a", None), |n| *n = value);
        }
        let steps = |mut history: History<usize>| {
            let mut steps = 0;
            while history.undo_words().is_some() {
                history.undo();
                steps += 1;
            }
            steps
        };
        assert_eq!(steps(history), 30);
        assert_eq!(steps(light), History::<usize>::MOST_STEPS);
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
