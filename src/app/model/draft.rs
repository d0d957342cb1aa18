//! A specimen being put together: its title, set and photos, read before anything is written.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::bench::{PictureSlot, index};
use super::message::Message;
use super::store;
use crate::app::shell::dialogs::Ask;
use crate::app::shell::window::{Screen, Window};
use crate::photo::{ReadLimits, Watch, read_picture_file};
use crate::reference::{OpenSet, Side};

/// The set of a draft as far as it is open.
#[derive(Debug, Clone, Default)]
pub enum SetSlot {
    /// Being opened.
    #[default]
    Opening,
    /// Open.
    Open(Arc<OpenSet>),
    /// Not to be opened; the sentence for the user.
    Failed(String),
}

/// A photo of a draft.
#[derive(Debug, Clone, Default)]
pub struct DraftPhoto {
    /// Its file, where one is chosen.
    pub file: Option<PathBuf>,
    /// Its picture.
    pub slot: PictureSlot,
}

/// A specimen being put together.
#[derive(Debug, Clone, Default)]
pub struct Draft {
    /// What the user calls it.
    pub title: String,
    /// The set's place: a folder or packed file; the built-in demo set where none.
    pub place: Option<PathBuf>,
    /// The set.
    pub set: SetSlot,
    /// The photos, obverse and reverse.
    pub photos: [DraftPhoto; 2],
    /// Whether it is being written.
    pub beginning: Option<Watch>,
}

/// What is done to a draft.
pub enum DraftAction {
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

impl Draft {
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
            .any(|p| matches!(p.slot, PictureSlot::Loading(_)))
        {
            return Some("The photos are still being read.");
        }
        if self
            .photos
            .iter()
            .any(|p| matches!(p.slot, PictureSlot::Failed(_)))
        {
            return Some("Choose another photo for the one that cannot be read.");
        }
        None
    }
}

impl Window {
    /// Shows an empty draft.
    pub(in crate::app) fn new_draft(&mut self, place: Option<PathBuf>) {
        self.screen = Screen::NewSpecimen(Box::default());
        // The set last used is likely that of the next coin.
        let last = self.settings.recent_sets.first();
        let place = place.or_else(|| last.filter(|place| place.exists()).cloned());
        self.draft(DraftAction::Set(place));
    }

    /// Carries out what is done to the draft.
    pub(in crate::app) fn draft(&mut self, action: DraftAction) {
        match action {
            DraftAction::Set(place) => self.open_draft_set(place),
            DraftAction::AskSet(ask) => {
                self.ask(ask, "", |window, place| {
                    window.draft(DraftAction::Set(Some(place)))
                });
            }
            DraftAction::Photo(side, None) => self.ask(Ask::Photo, "", move |window, file| {
                window.draft(DraftAction::Photo(side, Some(file)));
            }),
            DraftAction::Photo(side, Some(file)) => self.read_draft_photo(side, file),
            DraftAction::NoPhoto(side) => {
                let Screen::NewSpecimen(draft) = &mut self.screen else {
                    return;
                };
                if let PictureSlot::Loading(watch) = &draft.photos[index(side)].slot {
                    watch.cancel();
                }
                draft.photos[index(side)] = DraftPhoto::default();
            }
            DraftAction::Begin => self.begin(),
        }
    }

    fn open_draft_set(&mut self, place: Option<PathBuf>) {
        let Screen::NewSpecimen(draft) = &mut self.screen else {
            return;
        };
        draft.place.clone_from(&place);
        draft.set = SetSlot::Opening;
        self.workers.slow(move || {
            let opened = store::open_set_at(place.as_deref());
            Message::Then(Box::new(move |window| {
                let Screen::NewSpecimen(draft) = &mut window.screen else {
                    return;
                };
                // Another set may have been chosen meanwhile.
                if draft.place == place {
                    draft.set = match opened {
                        Ok(set) => SetSlot::Open(Arc::new(set)),
                        Err(sentence) => SetSlot::Failed(sentence),
                    };
                }
            }))
        });
    }

    fn read_draft_photo(&mut self, side: Side, file: PathBuf) {
        let Screen::NewSpecimen(draft) = &mut self.screen else {
            return;
        };
        if draft.title.is_empty() {
            draft.title = title_from(&file);
        }
        let watch = Watch::default();
        draft.photos[index(side)] = DraftPhoto {
            file: Some(file.clone()),
            slot: PictureSlot::Loading(watch.clone()),
        };
        self.workers.slow(move || {
            let read = read_picture_file(&file, &ReadLimits::default(), &watch);
            Message::Then(Box::new(move |window| {
                let Screen::NewSpecimen(draft) = &mut window.screen else {
                    return;
                };
                let photo = &mut draft.photos[index(side)];
                if photo.file.as_ref() == Some(&file) && !watch.is_cancelled() {
                    photo.slot = match read {
                        Ok(picture) => PictureSlot::Ready(Arc::new(picture)),
                        Err(error) => PictureSlot::Failed(error.to_string()),
                    };
                }
            }))
        });
    }

    fn begin(&mut self) {
        let cabinet = self.cabinet_folder();
        let Screen::NewSpecimen(draft) = &mut self.screen else {
            return;
        };
        if draft.missing().is_some() || draft.beginning.is_some() {
            return;
        }
        let SetSlot::Open(set) = &draft.set else { return };
        let (set, title) = (Arc::clone(set), draft.title.trim().to_owned());
        draft.beginning = Some(Watch::default());
        let photos = draft
            .photos
            .clone()
            .map(|photo| photo.file.zip(photo.slot.picture().cloned()));
        self.workers
            .slow(move || Message::Opened(store::new_specimen(&cabinet, &title, &set, &photos)));
    }
}

/// A first title: the photo's name without its ending.
fn title_from(file: &Path) -> String {
    file.file_stem()
        .map(|stem| stem.to_string_lossy().replace(['_', '-'], " "))
        .unwrap_or_default()
}
