//! A specimen's pictures and its set's plates: read when asked for, kept in one cache bounded in bytes.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::Missing;
use crate::photo::{Picture, ReadLimits, Watch, read_picture, read_picture_file};
use crate::reference::{Plate, SetSource, Side};
use crate::specimen::{OtherSpecimen, SidePhoto, SpecimenFolder};

/// Where a specimen's pictures come from. A picture that is missing is a reason to tell, and none to stop.
pub trait Pictures {
    /// The photo of a side.
    ///
    /// # Errors
    /// [`Missing`].
    fn photo(&self, side: Side, photo: &SidePhoto) -> Result<Arc<Picture>, Missing>;

    /// A plate of the set.
    ///
    /// # Errors
    /// [`Missing`].
    fn plate(&self, plate: &Plate) -> Result<Arc<Picture>, Missing>;

    /// The photo of another coin that a side was compared with.
    ///
    /// # Errors
    /// [`Missing`].
    fn other_photo(&self, side: Side, other: &OtherSpecimen) -> Result<Arc<Picture>, Missing>;
}

/// What a picture in the cache is of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PictureKey {
    /// A photo, by the SHA-256 of its bytes in hexadecimal.
    Photo(String),
    /// A plate: its set's place, and its file as the set names it.
    Plate(PathBuf, String),
}

impl PictureKey {
    /// A photo of a record.
    #[must_use]
    pub fn photo(photo: &SidePhoto) -> Self {
        Self::Photo(photo.sha256.clone())
    }

    /// A plate of a set.
    #[must_use]
    pub fn plate(source: &SetSource, file: &str) -> Self {
        Self::Plate(source.place(), file.to_owned())
    }
}

/// Pictures already read, for all workers. The one used longest ago goes first; one that is in use elsewhere stays, since
/// giving it up would free nothing and have it read twice.
#[derive(Debug)]
pub struct PictureCache {
    /// The last used at the end.
    kept: Mutex<Vec<(PictureKey, Arc<Picture>)>>,
    most_bytes: usize,
}

impl Default for PictureCache {
    fn default() -> Self {
        Self::new(Self::MOST_BYTES)
    }
}

impl PictureCache {
    /// What the pictures may take: some sixteen of 12 MP with their pyramids (4 bytes a pixel), or two of 50 MP and as
    /// much again of plates.
    pub const MOST_BYTES: usize = 800_000_000;

    /// An empty cache of so many bytes.
    #[must_use]
    pub fn new(most_bytes: usize) -> Self {
        Self {
            kept: Mutex::default(),
            most_bytes,
        }
    }

    /// A picture, where it is kept.
    #[must_use]
    pub fn get(&self, key: &PictureKey) -> Option<Arc<Picture>> {
        let mut kept = self.lock();
        let index = kept.iter().position(|(known, _)| known == key)?;
        let found = kept.remove(index);
        let picture = Arc::clone(&found.1);
        kept.push(found);
        Some(picture)
    }

    /// Keeps a picture, in place of an earlier one of the key.
    pub fn keep(&self, key: PictureKey, picture: Arc<Picture>) {
        let mut kept = self.lock();
        kept.retain(|(known, _)| *known != key);
        kept.push((key, picture));
        let mut bytes: usize = kept.iter().map(|(_, picture)| bytes_of(picture)).sum();
        let mut given_up = Vec::new();
        while bytes > self.most_bytes {
            let Some(index) = kept
                .iter()
                .position(|(_, picture)| Arc::strong_count(picture) == 1)
            else {
                break;
            };
            let (_, picture) = kept.remove(index);
            bytes -= bytes_of(&picture);
            given_up.push(picture);
        }
        // Giving tens of MB back to the system takes some ms, in which nobody should wait for the cache.
        drop(kept);
        drop(given_up);
    }

    /// Notes that a picture was in use until now; nothing where it is not kept.
    pub fn touch(&self, picture: &Arc<Picture>) {
        let mut kept = self.lock();
        if let Some(index) = kept.iter().position(|(_, known)| Arc::ptr_eq(known, picture)) {
            let used = kept.remove(index);
            kept.push(used);
        }
    }

    /// Gives all up: files may have changed since they were read.
    pub fn clear(&self) {
        let given_up = std::mem::take(&mut *self.lock());
        drop(given_up);
    }

    fn get_or_read(
        &self,
        key: PictureKey,
        read: impl FnOnce() -> Result<Picture, Missing>,
    ) -> Result<Arc<Picture>, Missing> {
        if let Some(picture) = self.get(&key) {
            return Ok(picture);
        }
        // Not under the lock: two workers may read one picture at once, which costs less than one waiting for another.
        let picture = Arc::new(read()?);
        self.keep(key, Arc::clone(&picture));
        Ok(picture)
    }

    fn lock(&self) -> MutexGuard<'_, Vec<(PictureKey, Arc<Picture>)>> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn bytes_of(picture: &Picture) -> usize {
    picture.levels().iter().map(|level| level.as_raw().len()).sum()
}

/// The files of a specimen and its set, behind a cache. Clones share the cache and what cancels the reading.
#[derive(Debug, Clone)]
pub struct Album {
    /// What is read already.
    pub cache: Arc<PictureCache>,
    /// The specimen's folder; none for one that keeps nothing.
    pub folder: Option<SpecimenFolder>,
    /// Where the plates are; none where the set stands in for one that is gone.
    pub source: Option<SetSource>,
    /// Gets the progress of each reading, and can cancel it.
    pub watch: Watch,
}

impl Pictures for Album {
    fn photo(&self, side: Side, photo: &SidePhoto) -> Result<Arc<Picture>, Missing> {
        self.cache.get_or_read(PictureKey::photo(photo), || {
            let folder = self.folder.as_ref().ok_or(Missing::NoPhoto(side))?;
            let file = folder.check_photo(side, photo)?;
            self.read_file(&file)
        })
    }

    fn plate(&self, plate: &Plate) -> Result<Arc<Picture>, Missing> {
        self.plate_file(&plate.file)
    }

    fn other_photo(&self, side: Side, other: &OtherSpecimen) -> Result<Arc<Picture>, Missing> {
        self.cache
            .get_or_read(PictureKey::Photo(other.sha256.clone()), || {
                let folder = self.folder.as_ref().ok_or(Missing::NoFolder)?;
                self.read_file(&folder.other_photo(side, other)?)
            })
    }
}

impl Album {
    /// A plate by its file, as the set names it.
    ///
    /// # Errors
    /// [`Missing`].
    pub fn plate_file(&self, file: &str) -> Result<Arc<Picture>, Missing> {
        let source = self.source.as_ref().ok_or_else(|| Missing::PlatesGone {
            file: file.to_owned(),
        })?;
        self.cache.get_or_read(PictureKey::plate(source, file), || {
            if self.watch.is_cancelled() {
                return Err(Missing::Stopped);
            }
            let bytes = source.file_bytes(file)?;
            Ok(read_picture(
                Path::new(file),
                &bytes,
                &ReadLimits::default(),
                &self.watch,
            )?)
        })
    }

    fn read_file(&self, file: &Path) -> Result<Picture, Missing> {
        Ok(read_picture_file(file, &ReadLimits::default(), &self.watch)?)
    }
}

#[cfg(test)]
mod tests {
    use image::RgbImage;

    use super::*;

    fn picture() -> Arc<Picture> {
        Arc::new(Picture::new(RgbImage::new(10, 10)))
    }

    fn key(name: &str) -> PictureKey {
        PictureKey::Photo(name.to_owned())
    }

    #[test]
    fn the_picture_used_longest_ago_goes_first() {
        let cache = PictureCache::new(2 * bytes_of(&picture()));
        cache.keep(key("a"), picture());
        cache.keep(key("b"), picture());
        assert!(cache.get(&key("a")).is_some());
        cache.keep(key("c"), picture());
        let there = ["a", "b", "c"].map(|name| cache.get(&key(name)).is_some());
        assert_eq!(there, [true, false, true]);
    }

    #[test]
    fn a_picture_that_was_looked_at_until_now_goes_last() {
        let cache = PictureCache::new(2 * bytes_of(&picture()));
        let looked_at = picture();
        cache.keep(key("a"), Arc::clone(&looked_at));
        cache.keep(key("b"), picture());
        cache.touch(&looked_at);
        drop(looked_at);
        cache.keep(key("c"), picture());
        let there = ["a", "b", "c"].map(|name| cache.get(&key(name)).is_some());
        assert_eq!(there, [true, false, true]);
        cache.clear();
        assert!(cache.get(&key("a")).is_none());
    }

    #[test]
    fn pictures_in_use_stay_however_large() {
        let cache = PictureCache::new(bytes_of(&picture()));
        let in_use: Vec<_> = ["a", "b", "c"].map(|name| (name, picture())).into();
        for (name, picture) in &in_use {
            cache.keep(key(name), Arc::clone(picture));
        }
        assert!(in_use.iter().all(|(name, _)| cache.get(&key(name)).is_some()));
        drop(in_use);
        cache.keep(key("d"), picture());
        let there = ["a", "b", "c", "d"].map(|name| cache.get(&key(name)).is_some());
        assert_eq!(there, [false, false, false, true]);
    }

    #[test]
    fn what_cannot_be_read_is_asked_for_again() {
        let cache = PictureCache::default();
        let failed = cache.get_or_read(key("a"), || Err(Missing::Stopped));
        assert_eq!(failed.err(), Some(Missing::Stopped));
        let read = cache.get_or_read(key("a"), || Ok(Picture::new(RgbImage::new(4, 4))));
        let again = cache.get_or_read(key("a"), || Err(Missing::Stopped));
        assert!(Arc::ptr_eq(&read.unwrap(), &again.unwrap()));
    }
}
