//! Finding the set that a specimen was attributed with.

use std::path::{Component, Path, PathBuf};

use super::{SetReference, SpecimenError, SpecimenFolder};
use crate::reference::{OpenSet, SetError, SetSource, open_set};

impl SetReference {
    /// The reference to an open set, for a specimen in a folder. Places below the folder that holds the specimen's
    /// own folder are kept relative, so that both may be moved together.
    ///
    /// # Errors
    /// [`SpecimenError::SetPath`] where the path cannot be written down as text.
    pub fn to(open: &OpenSet, specimen_folder: &Path) -> Result<Self, SpecimenError> {
        let place = match &open.source {
            SetSource::Demo => PathBuf::from(SetSource::DEMO_WORD),
            SetSource::Folder(place) | SetSource::Packed(place) => relative(place, specimen_folder),
        };
        let mut words = as_text(&place)?;
        if !matches!(open.source, SetSource::Demo) && words == SetSource::DEMO_WORD {
            // A folder of that name is not the built-in set.
            words = format!("./{words}");
        }
        Ok(Self {
            id: open.set.id.clone(),
            edition: open.set.edition,
            title: open.set.title.clone(),
            place: words,
        })
    }
}

/// A path as a record keeps it: with `/` between its parts. Where `\` is part of a name it stays.
///
/// # Errors
/// [`SpecimenError::SetPath`] for bytes that are no Unicode text.
pub(super) fn as_text(path: &Path) -> Result<String, SpecimenError> {
    let text = path.to_str().ok_or_else(|| SpecimenError::SetPath {
        path: path.to_owned(),
    })?;
    Ok(if cfg!(windows) {
        text.replace('\\', "/")
    } else {
        text.to_owned()
    })
}

impl SpecimenFolder {
    /// Opens the set that a specimen names, where it was.
    ///
    /// # Errors
    /// [`SetError`] where it is not there any more; the set as it was used can then stand in, without plates.
    pub fn open_reference_set(&self, reference: &SetReference) -> Result<OpenSet, SetError> {
        if reference.place == SetSource::DEMO_WORD {
            return open_set(SetSource::DEMO_WORD);
        }
        // An absolute place stays what it is.
        open_set(self.path().join(&reference.place))
    }
}

/// A path as seen from a folder where both lie in the same parent or below, absolute otherwise.
pub(super) fn relative(path: &Path, folder: &Path) -> PathBuf {
    let (Ok(path), Ok(folder)) = (path.canonicalize(), folder.canonicalize()) else {
        return std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    };
    let shared = path
        .components()
        .zip(folder.components())
        .take_while(|(a, b)| a == b)
        .count();
    let up = folder.components().count() - shared;
    /// Farther apart than this the two are not moved together.
    const MOST_STEPS_UP: usize = 2;
    if up > MOST_STEPS_UP || shared <= 1 {
        return path;
    }
    let mut result: PathBuf = std::iter::repeat_n(Component::ParentDir, up).collect();
    result.extend(path.components().skip(shared));
    if result.as_os_str().is_empty() {
        result.push(Component::CurDir);
    }
    result
}
