//! What ends a verb before its time.

use std::io;

use super::Exit;
use crate::files::OutError;
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
    Set(SetError),
    /// A specimen's folder.
    #[error(transparent)]
    Specimen(#[from] SpecimenError),
    /// A picture.
    #[error(transparent)]
    Photo(#[from] PhotoError),
    /// A sheet.
    #[error(transparent)]
    Sheet(SheetError),
    /// A file that may not be written.
    #[error("{0}{hint}", hint = hint(.0))]
    Out(#[from] OutError),
    /// A file of the verb's own.
    #[error("{0}")]
    Unwritable(String),
    /// As [`VerbError::Report`], after the verb did what it was asked to.
    #[error("The report could not be written: {0}. {1} saved.")]
    ReportAfter(io::Error, &'static str),
    /// The report itself could not be written.
    #[error("The report could not be written: {0}.")]
    Report(#[from] io::Error),
    /// The window.
    #[error(transparent)]
    Window(#[from] crate::app::AppError),
}

/// How the user may have it written all the same.
fn hint(error: &OutError) -> &'static str {
    if error.may_be_forced() {
        " To write it all the same say --force."
    } else {
        ""
    }
}

impl From<SheetError> for VerbError {
    fn from(error: SheetError) -> Self {
        match error {
            SheetError::Out(error) => Self::Out(error),
            other => Self::Sheet(other),
        }
    }
}

impl From<SetError> for VerbError {
    fn from(error: SetError) -> Self {
        match error {
            SetError::Out(error) => Self::Out(error),
            other => Self::Set(other),
        }
    }
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
    /// The error of a report on something that is done: `what` says it, followed by "saved".
    pub(super) fn after(self, what: &'static str) -> Self {
        match self {
            Self::Report(error) => Self::ReportAfter(error, what),
            other => other,
        }
    }

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
            VerbError::Out(OutError::Ending { .. }) => Exit::Usage,
            VerbError::Sheet(_)
            | VerbError::Out(_)
            | VerbError::Unwritable(_)
            | VerbError::Report(_)
            | VerbError::ReportAfter(..) => Exit::Unwritable,
            VerbError::Window(_) => Exit::NoWindow,
        }
    }
}
