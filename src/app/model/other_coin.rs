//! The other coin: a second specimen of the set that stands beside the one on the bench. One at a time, its photos read
//! when they are looked at, by a worker.

use std::path::{Path, PathBuf};

use super::picture_slot::PictureSlot;
use super::ticket::Ticket;
use crate::evidence::Prior;
use crate::pipeline::{Computed, SideAlignment};
use crate::problem::Problem;
use crate::reference::{ReferenceSet, Side, Sides};
use crate::specimen::{OtherSpecimen, SpecimenFolder, SpecimenRecord};

/// A specimen opened beside the one on the bench. Nothing of it is ever changed.
pub struct OtherCoin {
    /// Its folder.
    pub folder: SpecimenFolder,
    /// Its folder as the record on the bench names it.
    place: String,
    /// Its record.
    pub record: SpecimenRecord,
    /// Its photos' alignments by the bench's set; none where there is no photo.
    pub alignments: Sides<SideAlignment>,
    /// Its photos, as far as they were looked at.
    pub photos: Sides<PictureSlot>,
    /// What the user should know of it, each one sentence.
    pub notes: Vec<String>,
}

/// What stands beside the coin on the bench.
#[derive(Default)]
pub enum OtherSlot {
    /// Nothing chosen.
    #[default]
    None,
    /// Being opened, from its folder.
    Opening(Ticket, PathBuf),
    /// It cannot be compared, and why.
    Failed(Problem),
    /// There.
    Ready(Ticket, Box<OtherCoin>),
}

impl OtherSlot {
    /// The coin, where it is there.
    #[must_use]
    pub fn coin(&self) -> Option<&OtherCoin> {
        match self {
            Self::Ready(_, coin) => Some(coin),
            _ => None,
        }
    }

    /// As [`OtherSlot::coin`].
    pub fn coin_mut(&mut self) -> Option<&mut OtherCoin> {
        match self {
            Self::Ready(_, coin) => Some(coin),
            _ => None,
        }
    }

    /// Which opening of another coin it is.
    #[must_use]
    pub fn ticket(&self) -> Option<&Ticket> {
        match self {
            Self::Opening(ticket, _) | Self::Ready(ticket, _) => Some(ticket),
            Self::None | Self::Failed(_) => None,
        }
    }
}

impl OtherCoin {
    /// Opens a specimen of `set` beside the one in the folder `own`; runs on a worker.
    ///
    /// # Errors
    /// A problem for the user.
    pub fn open(
        set: &ReferenceSet,
        own: Option<&SpecimenFolder>,
        folder: &Path,
    ) -> Result<Box<Self>, Problem> {
        let opened = SpecimenFolder::open(folder)?;
        let notes = opened.notices.iter().map(ToString::to_string).collect();
        let (folder, record) = (opened.folder, opened.record);
        let same = |own: &SpecimenFolder| {
            let real = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_owned());
            real(own.path()) == real(folder.path())
        };
        if own.is_some_and(same) {
            return Err(Problem::new("That is this coin itself: choose another specimen."));
        }
        if record.set.id != set.id {
            return Err(Problem::new(format!(
                "\u{201c}{}\u{201d} is a coin of the set \u{201c}{}\u{201d} and this one of \u{201c}{}\u{201d}: only \
                 coins of one set share the landmarks by which they are laid on each other.",
                record.title, record.set.title, set.title
            )));
        }
        Ok(Box::new(Self {
            place: own.map_or_else(
                || Ok(folder.path().display().to_string()),
                |own| own.place_of(folder.path()),
            )?,
            folder,
            alignments: Computed::of(set, &record, Prior::Equal).alignments,
            record,
            photos: Sides::default(),
            notes,
        }))
    }

    /// Its folder.
    #[must_use]
    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// How a comparison of a side names it.
    #[must_use]
    pub fn named(&self, side: Side) -> OtherSpecimen {
        let photo = self.record.photo(side);
        OtherSpecimen {
            title: self.record.title.clone(),
            place: self.place.clone(),
            photo: photo.map_or_else(String::new, |photo| photo.shown_name().to_owned()),
            sha256: photo.map_or_else(String::new, |photo| photo.sha256.clone()),
        }
    }

    /// Stops what is being read of it.
    pub fn give_up(&self) {
        self.photos.iter().for_each(|(_, slot)| slot.cancel());
    }
}
