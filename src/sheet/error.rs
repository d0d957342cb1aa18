//! Why a sheet could not be made or written.

use crate::files::{OutError, WriteError};

/// Why a sheet could not be written. Each message is one plain sentence for the user.
#[derive(Debug, thiserror::Error)]
pub enum SheetError {
    /// The file could not be written.
    #[error(transparent)]
    Write(#[from] WriteError),
    /// The file may not be written.
    #[error(transparent)]
    Out(#[from] OutError),
    /// The document could not be put together.
    #[error("The sheet could not be put together: {reason}.")]
    Encode {
        /// What went wrong.
        reason: String,
    },
}

impl SheetError {
    pub(super) fn encode(reason: &str) -> Self {
        SheetError::Encode {
            reason: reason.trim_end_matches('.').to_owned(),
        }
    }
}
