//! What comes back from the workers.

use std::path::PathBuf;
use std::sync::Arc;

use super::bench::PlateKey;
use super::store::{AddedPhoto, CabinetEntry, OpenedSpecimen};
use crate::align::Alignment;
use crate::app::shell::window::Window;
use crate::app::widgets::canvas::{CanvasKey, Drawn};
use crate::photo::Picture;
use crate::reference::Side;

/// Work that may be sent to another thread.
pub type Job<T> = Box<dyn FnOnce() -> T + Send>;

/// What is done with a result on the UI thread; it must be quick.
pub type Then = Box<dyn FnOnce(&mut Window) + Send>;

/// As [`Then`], with the path that the user chose.
pub type ThenPath = Box<dyn FnOnce(&mut Window, PathBuf) + Send>;

/// Names a quick job: a newer one replaces one still waiting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum QuickKey {
    /// A canvas.
    Canvas(CanvasKey),
    /// A page's own work, by a name of the page's choosing.
    Page(String),
}

/// A result.
pub enum Message {
    /// A canvas is drawn.
    Canvas(Box<Drawn>),
    /// A plate is read and aligned, or the sentence why not.
    Plate {
        /// The specimen opened when it was asked for; results for an earlier one are dropped.
        opened: u64,
        /// Which plate.
        key: PlateKey,
        /// Its picture and, where it has landmarks enough, its alignment.
        result: Result<(Arc<Picture>, Option<Arc<Alignment>>), String>,
    },
    /// A photo of the record is read again from the specimen's folder.
    PhotoRead {
        /// As for plates.
        opened: u64,
        /// Its side.
        side: Side,
        /// Its file in the specimen's folder.
        file: String,
        /// The picture, or the sentence why not.
        result: Result<Arc<Picture>, String>,
    },
    /// A new photo is copied into the specimen's folder and read.
    PhotoAdded {
        /// As for plates.
        opened: u64,
        /// Its side.
        side: Side,
        /// What was added, or the sentence why not.
        result: Result<AddedPhoto, String>,
    },
    /// A specimen is opened or made.
    Opened(Result<Box<OpenedSpecimen>, String>),
    /// The record of a revision is saved, or not.
    Saved {
        /// As for plates.
        opened: u64,
        /// The revision saved.
        revision: u64,
        /// What the user should know, or the sentence why it was not saved.
        result: Result<Option<String>, String>,
    },
    /// The cabinet's list is read.
    Cabinet(Result<Vec<CabinetEntry>, String>),
    /// The user chose a path, or cancelled.
    Chosen(Option<PathBuf>, ThenPath),
    /// Anything else a page wants done with its result.
    Then(Then),
}
