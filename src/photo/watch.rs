//! Progress and cancelling of long work, shared between the worker and whoever waits for it.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

/// A handle on a piece of long work: the worker reports progress and asks whether to go on, the waiter reads the
/// progress and may cancel. Clones share the same work.
#[derive(Debug, Clone, Default)]
pub struct Watch {
    cancelled: Arc<AtomicBool>,
    /// In thousandths, so that it fits an atomic.
    progress: Arc<AtomicU32>,
}

impl Watch {
    /// Asks the worker to stop.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// Whether the worker should stop.
    #[must_use]
    pub fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }

    /// Reports how much is done, 0 to 1.
    pub fn report(&self, done: f32) {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to 0..=1000"
        )]
        let thousandths = (done.clamp(0.0, 1.0) * 1000.0) as u32;
        self.progress.store(thousandths, Ordering::Relaxed);
    }

    /// How much is done, 0 to 1.
    #[must_use]
    pub fn progress(&self) -> f32 {
        self.progress.load(Ordering::Relaxed) as f32 / 1000.0
    }
}
