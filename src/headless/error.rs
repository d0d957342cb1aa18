//! What ends a verb before its time.

use std::io;

use super::Exit;
use crate::photo::PhotoError;
use crate::pipeline::OpenError;
use crate::reference::SetError;
use crate::sheet::SheetError;
use crate::specimen::SpecimenError;
use crate::specimen::TableError;

/// Why a verb could not go on. Each message is one plain sentence.
#[derive(Debug, thiserror::Error)]
pub(super) enum VerbError {
    /// A part that the set or specimen does not have, or a value out of range.
    #[error("{0}")]
    Usage(String),
    /// A landmarks table.
    #[error(transparent)]
    Table(#[from] TableError),
    /// A reference set.
    #[error(transparent)]
    Set(#[from] SetError),
    /// A specimen's folder.
    #[error(transparent)]
    Specimen(#[from] SpecimenError),
    /// A picture.
    #[error(transparent)]
    Photo(#[from] PhotoError),
    /// A sheet.
    #[error(transparent)]
    Sheet(#[from] SheetError),
    /// A file of the verb's own.
    #[error("{0}")]
    Unwritable(String),
    /// The report itself could not be written.
    #[error("The report could not be written: {0}.")]
    Report(#[from] io::Error),
    /// The window.
    #[error(transparent)]
    Window(#[from] crate::app::AppError),
}

impl From<OpenError> for VerbError {
    fn from(error: OpenError) -> Self {
        match error {
            OpenError::Specimen(error) => error.into(),
            OpenError::Set(error) => error.into(),
        }
    }
}

impl VerbError {
    pub(super) fn exit(&self) -> Exit {
        match self {
            VerbError::Usage(_) => Exit::Usage,
            VerbError::Table(_) | VerbError::Photo(_) => Exit::Unreadable,
            VerbError::Set(error) => match error {
                SetError::Write(_) | SetError::Unwritable(_) | SetError::FolderInUse { .. } => {
                    Exit::Unwritable
                }
                _ => Exit::Unreadable,
            },
            VerbError::Specimen(error) => match error {
                SpecimenError::Write(_)
                | SpecimenError::Unwritable(_)
                | SpecimenError::FolderInUse { .. } => Exit::Unwritable,
                _ => Exit::Unreadable,
            },
            VerbError::Sheet(SheetError::UnknownKind { .. }) => Exit::Usage,
            VerbError::Sheet(_) | VerbError::Unwritable(_) | VerbError::Report(_) => Exit::Unwritable,
            VerbError::Window(_) => Exit::NoWindow,
        }
    }
}
