//! A specimen being put together: its title, set and photos, read before anything is written.

use std::path::PathBuf;
use std::sync::Arc;

use super::picture_slot::PictureSlot;
use super::question::Ask;
use super::ticket::Ticket;
use crate::problem::Problem;
use crate::reference::{OpenSet, Side, Sides};

/// The set of an intake as far as it is open.
#[derive(Debug, Clone, Default)]
pub enum SetSlot {
    /// Being opened.
    #[default]
    Opening,
    /// Open.
    Open(Arc<OpenSet>),
    /// Not to be opened, and why.
    Failed(Problem),
}

/// A photo of an intake.
#[derive(Debug, Clone, Default)]
pub struct IntakePhoto {
    /// Its file, where one is chosen.
    pub file: Option<PathBuf>,
    /// Its picture.
    pub slot: PictureSlot,
}

/// A specimen being put together.
#[derive(Debug, Clone)]
pub struct Intake {
    /// Which intake it is.
    pub ticket: Ticket,
    /// What the user calls it.
    pub title: String,
    /// The set's place: a folder or packed file; the built-in demo set where none.
    pub place: Option<PathBuf>,
    /// The set.
    pub set: SetSlot,
    /// The photos, obverse and reverse.
    pub photos: Sides<IntakePhoto>,
    /// Whether it is being written.
    pub beginning: bool,
}

/// What is done to an intake.
pub enum IntakeAction {
    /// Open a set for it; the built-in demo set where none.
    Set(Option<PathBuf>),
    /// Ask for a set: its folder or its packed file.
    AskSet(Ask),
    /// Choose a photo; asks for a file where none is given.
    Photo(Side, Option<PathBuf>),
    /// Take a photo out again, or stop reading it.
    NoPhoto(Side),
    /// Make the specimen.
    Begin,
}

impl Intake {
    /// An empty one.
    #[must_use]
    pub fn new(ticket: Ticket) -> Self {
        Self {
            ticket,
            title: String::new(),
            place: None,
            set: SetSlot::Opening,
            photos: Sides::default(),
            beginning: false,
        }
    }

    /// What is still missing, in words for the user; none where the specimen can be made.
    #[must_use]
    pub fn missing(&self) -> Option<&'static str> {
        if self.title.trim().is_empty() {
            return Some("Give the coin a title.");
        }
        if !matches!(self.set, SetSlot::Open(_)) {
            return Some("Choose a reference set.");
        }
        if self
            .photos
            .iter()
            .any(|(_, p)| matches!(p.slot, PictureSlot::Loading(_)))
        {
            return Some("The photos are still being read.");
        }
        if self
            .photos
            .iter()
            .any(|(_, p)| matches!(p.slot, PictureSlot::Failed(_)))
        {
            return Some("Choose another photo for the one that cannot be read.");
        }
        None
    }
}
