//! What a view asks the window to do. Views borrow state and push actions; the window carries them out after drawing.

use std::path::PathBuf;

use super::bench::Step;
use super::done::{Done, Job};
use super::intake::IntakeAction;
use super::question::{Ask, Purpose};
use super::snapping::Snapping;
use super::ticket::Ticket;
use crate::evidence::Prior;
use crate::reference::{FeatureId, Side};
use crate::specimen::Edit;

/// What a view asks for.
pub enum Action {
    /// Nothing: what is left where an action was taken out.
    Nothing,
    /// Back to the start screen with the cabinet.
    GoToStart,
    /// Open the built-in demo: its set and a specimen of it.
    OpenDemo,
    /// Show the reference sets.
    GoToWorkshop,
    /// Begin a die of a side from the coin on the bench.
    NewDieFromSpecimen(Side),
    /// Begin a new specimen.
    NewSpecimen,
    /// Change the specimen being put together.
    Intake(IntakeAction),
    /// Open a specimen's folder; asks for one where none is given.
    OpenSpecimen(Option<PathBuf>),
    /// Read the cabinet's list anew.
    ReadCabinet,
    /// Compare with another specimen; asks for its folder where none is given.
    CompareWith(Option<PathBuf>),
    /// Compare with the second demo coin, made in the cabinet where it is not there yet.
    CompareWithDemo,
    /// Put the other coin away, or stop opening it.
    PutOtherAway,
    /// Stop reading the other coin's photo of a side.
    CancelOtherPhoto(Side),
    /// Read the other coin's photo of a side again.
    ReadOtherAgain(Side),
    /// Choose the photo of a side; asks for a file where none is given, and first whether placed landmarks may go.
    ChoosePhoto(Side, Option<PathBuf>),
    /// Take a photo in, whatever was placed on the one before.
    TakePhoto(Side, PathBuf),
    /// Snap landmarks of a side to the plate in view.
    Snap(Side, Snapping),
    /// Look for the rim in a side's photo.
    FindRim(Side),
    /// Stop what is being read for a side.
    CancelPhoto(Side),
    /// Show a step.
    GoToStep(Step),
    /// Show a side.
    ShowSide(Side),
    /// Show a feature of a side.
    ShowFeature(Side, FeatureId),
    /// Weigh the pairings before any verdict in this way.
    UsePrior(Prior),
    /// Change the record as one step of undo.
    Edit {
        /// The change.
        edit: Edit,
        /// Edits in a row with the same number are one step.
        gesture: Option<u64>,
    },
    /// Undo.
    Undo,
    /// Redo.
    Redo,
    /// Save now.
    Save,
    /// Close the window, saved or not.
    CloseAnyway,
    /// Keep the settings as they are now.
    KeepSettings,
    /// Use another folder for the cabinet.
    MoveCabinet(PathBuf),
    /// Export the sheet; asks for a file where none is given.
    ExportSheet(Option<PathBuf>),
    /// Say that something went wrong and what to do.
    Complain(String),
    /// A page's own work on the quick lane; a newer one of the same name replaces one still waiting.
    Quick(String, Ticket, Job<Done>),
    /// A page's own work on the slow lane.
    Slow(Ticket, Job<Done>),
    /// Ask the user for a path, with a suggested file name, for a purpose.
    Ask(Ask, String, Purpose),
}

impl Action {
    /// A page's own work on the quick lane.
    #[must_use]
    pub fn quick(
        name: impl Into<String>,
        ticket: Ticket,
        job: impl FnOnce() -> Done + Send + 'static,
    ) -> Self {
        Self::Quick(name.into(), ticket, Box::new(job))
    }

    /// A page's own work on the slow lane.
    #[must_use]
    pub fn slow(ticket: Ticket, job: impl FnOnce() -> Done + Send + 'static) -> Self {
        Self::Slow(ticket, Box::new(job))
    }

    /// An edit that is a step of its own.
    #[must_use]
    pub fn edit(edit: Edit) -> Self {
        Self::Edit { edit, gesture: None }
    }
}
