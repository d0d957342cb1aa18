//! A picture as far as it is there.

use std::sync::Arc;

use crate::photo::{Picture, Watch};
use crate::problem::Problem;

/// A picture that is not there yet, there, or not to be had.
#[derive(Debug, Clone, Default)]
pub enum PictureSlot {
    /// No photo chosen.
    #[default]
    Empty,
    /// Being read.
    Loading(Watch),
    /// In memory.
    Ready(Arc<Picture>),
    /// Not to be had, and why.
    Failed(Problem),
}

impl PictureSlot {
    /// The picture, where it is there.
    #[must_use]
    pub fn picture(&self) -> Option<&Arc<Picture>> {
        match self {
            PictureSlot::Ready(picture) => Some(picture),
            _ => None,
        }
    }

    /// Stops what is being read.
    pub fn cancel(&self) {
        if let PictureSlot::Loading(watch) = self {
            watch.cancel();
        }
    }
}

impl From<Result<Arc<Picture>, Problem>> for PictureSlot {
    fn from(read: Result<Arc<Picture>, Problem>) -> Self {
        match read {
            Ok(picture) => Self::Ready(picture),
            Err(problem) => Self::Failed(problem),
        }
    }
}
