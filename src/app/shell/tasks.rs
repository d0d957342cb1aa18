//! Long work with its progress: copying, packing and merging many pictures. Each can be cancelled.

use super::window::Window;
use crate::app::model::done::{Delivery, Done};
use crate::app::model::ticket::Ticket;
use crate::photo::Watch;

/// A piece of long work.
#[derive(Debug, Clone)]
pub struct Task {
    number: u64,
    /// What is done, in words: "Packing 40 pictures".
    pub words: String,
    /// Its progress, and the way to stop it.
    pub watch: Watch,
    /// When it was first seen by the window, in the window's seconds.
    since_s: Option<f64>,
}

/// The work that runs or waits, oldest first.
#[derive(Debug, Default)]
pub struct Tasks {
    list: Vec<Task>,
    begun: u64,
}

impl Tasks {
    /// Work that is done sooner is not shown, in s: it would only flicker. Common practice, no source.
    pub const SHOWN_AFTER_S: f64 = 0.3;

    /// Begins one.
    pub fn begin(&mut self, words: impl Into<String>) -> (u64, Watch) {
        self.begun += 1;
        let watch = Watch::default();
        self.list.push(Task {
            number: self.begun,
            words: words.into(),
            watch: watch.clone(),
            since_s: None,
        });
        (self.begun, watch)
    }

    /// It is done, or was stopped.
    pub fn end(&mut self, number: u64) {
        self.list.retain(|task| task.number != number);
    }

    /// Those to show at a time, in the window's seconds.
    pub fn in_view(&mut self, now_s: f64) -> Vec<&Task> {
        for task in &mut self.list {
            task.since_s.get_or_insert(now_s);
        }
        let long = |task: &&Task| {
            task.since_s
                .is_some_and(|since_s| now_s - since_s >= Self::SHOWN_AFTER_S)
        };
        self.list.iter().filter(long).collect()
    }

    /// Whether there are any.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }
}

impl Window {
    /// Runs long work on a worker, with its progress in view. The job reports to the watch and looks at it whether it
    /// should stop.
    pub(super) fn run_task(
        &mut self,
        words: impl Into<String>,
        ticket: Ticket,
        job: impl FnOnce(&Watch) -> Done + Send + 'static,
    ) {
        let (number, watch) = self.tasks.begin(words);
        self.workers.slow(move || Delivery {
            ticket,
            task: Some(number),
            done: job(&watch),
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_work_is_not_shown() {
        let mut tasks = Tasks::default();
        let (first, _) = tasks.begin("Packing");
        assert!(tasks.in_view(10.0).is_empty());
        let (second, _) = tasks.begin("Unpacking");
        let shown: Vec<_> = tasks.in_view(10.4).iter().map(|t| t.words.clone()).collect();
        assert_eq!(shown, ["Packing"]);
        tasks.end(first);
        assert_eq!(tasks.in_view(10.8).len(), 1);
        tasks.end(second);
        assert!(tasks.is_empty());
    }
}
