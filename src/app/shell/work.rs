//! Work off the UI thread: a quick lane in which a newer job of the same key replaces the one still waiting, and a
//! slow lane for reading, saving and exporting. Results come back as messages.

use std::collections::VecDeque;
use std::sync::{Arc, Condvar, Mutex, PoisonError};

use crossbeam_channel::{Receiver, Sender, unbounded};

/// A piece of work; returns the messages to deliver.
pub type Job<M> = Box<dyn FnOnce() -> M + Send>;

/// How jobs are run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lanes {
    /// On threads of their own.
    Threads,
    /// When messages are collected, on the caller's thread: for tests, where order must not depend on luck.
    Inline,
}

struct Waiting<K, M> {
    jobs: Mutex<Queue<K, M>>,
    signal: Condvar,
}

struct Queue<K, M> {
    waiting: VecDeque<(K, Job<M>)>,
    closed: bool,
}

/// The workers. `K` names what a quick job draws; a job replaces a waiting one of the same key.
pub struct Workers<K, M> {
    lanes: Lanes,
    quick: Arc<Waiting<K, M>>,
    slow: Sender<Job<M>>,
    background: Sender<Job<M>>,
    slow_inline: Receiver<Job<M>>,
    results: Receiver<M>,
    results_in: Sender<M>,
    aside: Vec<M>,
}

impl<K: PartialEq + Send + 'static, M: Send + 'static> Workers<K, M> {
    /// Starts the workers; `wake` is called after every result so that the window looks for it.
    #[must_use]
    pub fn start(lanes: Lanes, wake: impl Fn() + Clone + Send + 'static) -> Self {
        let quick = Arc::new(Waiting {
            jobs: Mutex::new(Queue {
                waiting: VecDeque::new(),
                closed: false,
            }),
            signal: Condvar::new(),
        });
        let (slow, slow_jobs) = unbounded::<Job<M>>();
        let mut background = slow.clone();
        let (results_in, results) = unbounded();
        if lanes == Lanes::Threads {
            let (queue, out, wake_quick) = (Arc::clone(&quick), results_in.clone(), wake.clone());
            std::thread::spawn(move || {
                while let Some(job) = next_quick(&queue) {
                    if out.send(job()).is_err() {
                        break;
                    }
                    wake_quick();
                }
            });
            let (background_in, background_jobs) = unbounded::<Job<M>>();
            background = background_in;
            // Two, so that a long export does not hold up the reading of a photo; and one for the background.
            for jobs in [slow_jobs.clone(), slow_jobs.clone(), background_jobs] {
                let (out, wake) = (results_in.clone(), wake.clone());
                std::thread::spawn(move || {
                    for job in jobs {
                        if out.send(job()).is_err() {
                            break;
                        }
                        wake();
                    }
                });
            }
        }
        Self {
            lanes,
            quick,
            slow,
            background,
            slow_inline: slow_jobs,
            results,
            results_in,
            aside: Vec::new(),
        }
    }

    /// Puts the results aside that have come in and not been collected, so that a test can open something else
    /// meanwhile; with [`Lanes::Inline`] the work that waits is done first.
    pub fn set_aside(&mut self) {
        let results = self.collect();
        self.aside.extend(results);
    }

    /// Has the results that were put aside collected next.
    pub fn bring_back(&mut self) {
        for result in self.aside.drain(..) {
            // The receiver lives as long as self.
            let _ = self.results_in.send(result);
        }
    }

    /// Queues a quick job, in place of one of the same key that has not started.
    pub fn quick<R: Into<M>>(&self, key: K, job: impl FnOnce() -> R + Send + 'static) {
        let mut jobs = self.quick.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        jobs.waiting.retain(|(waiting, _)| *waiting != key);
        jobs.waiting.push_back((key, Box::new(move || job().into())));
        drop(jobs);
        self.quick.signal.notify_one();
    }

    /// Queues a slow job.
    pub fn slow<R: Into<M>>(&self, job: impl FnOnce() -> R + Send + 'static) {
        // The receiver lives as long as self, so this cannot fail.
        let _ = self.slow.send(Box::new(move || job().into()));
    }

    /// Queues a job that nobody waits for, such as a check: it holds no slow job up.
    pub fn background<R: Into<M>>(&self, job: impl FnOnce() -> R + Send + 'static) {
        // As for slow jobs.
        let _ = self.background.send(Box::new(move || job().into()));
    }

    /// Whether inline work or its results wait to be collected; work on threads wakes the window by itself.
    #[must_use]
    pub fn is_waiting(&self) -> bool {
        let quick = self.quick.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        let idle = quick.waiting.is_empty() && self.slow_inline.is_empty() && self.results.is_empty();
        self.lanes == Lanes::Inline && !idle
    }

    /// The results that have come in.
    pub fn collect(&self) -> Vec<M> {
        if self.lanes == Lanes::Inline {
            while let Ok(job) = self.slow_inline.try_recv() {
                let _ = self.results_in.send(job());
            }
            loop {
                let mut jobs = self.quick.jobs.lock().unwrap_or_else(PoisonError::into_inner);
                let Some((_, job)) = jobs.waiting.pop_front() else {
                    break;
                };
                drop(jobs);
                let _ = self.results_in.send(job());
            }
        }
        self.results.try_iter().collect()
    }
}

fn next_quick<K, M>(queue: &Waiting<K, M>) -> Option<Job<M>> {
    let mut jobs = queue.jobs.lock().unwrap_or_else(PoisonError::into_inner);
    loop {
        if jobs.closed {
            return None;
        }
        if let Some((_, job)) = jobs.waiting.pop_front() {
            return Some(job);
        }
        jobs = queue.signal.wait(jobs).unwrap_or_else(PoisonError::into_inner);
    }
}

impl<K, M> Drop for Workers<K, M> {
    fn drop(&mut self) {
        let mut jobs = self.quick.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        jobs.closed = true;
        drop(jobs);
        self.quick.signal.notify_all();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_newer_quick_job_replaces_the_waiting_one() {
        let workers: Workers<u8, u32> = Workers::start(Lanes::Inline, || {});
        workers.quick(1, || 10_u32);
        workers.quick(2, || 20_u32);
        workers.quick(1, || 11_u32);
        assert_eq!(workers.collect(), [20, 11]);
        assert!(workers.collect().is_empty());
    }

    #[test]
    fn results_put_aside_come_after_later_ones() {
        let mut workers: Workers<u8, u32> = Workers::start(Lanes::Inline, || {});
        workers.slow(|| 1_u32);
        workers.set_aside();
        assert!(!workers.is_waiting());
        workers.slow(|| 2_u32);
        assert_eq!(workers.collect(), [2]);
        workers.bring_back();
        assert!(workers.is_waiting());
        assert_eq!(workers.collect(), [1]);
    }

    #[test]
    fn threads_deliver_and_wake() {
        let (woken_in, woken) = unbounded();
        let workers: Workers<u8, u32> = Workers::start(Lanes::Threads, move || {
            let _ = woken_in.send(());
        });
        workers.quick(1, || 1_u32);
        workers.slow(|| 2_u32);
        woken.recv().unwrap();
        woken.recv().unwrap();
        let mut got = workers.collect();
        got.sort_unstable();
        assert_eq!(got, [1, 2]);
    }
}
