//! The shelf: plates of the open set, read when looked at and kept in a bounded cache.

use std::collections::HashMap;
use std::hash::Hash;
use std::sync::Arc;

use super::bench::PlateKey;
use super::picture_slot::PictureSlot;
use crate::align::{AlignError, Alignment};
use crate::photo::{Picture, Watch};

/// A plate as far as it is there.
#[derive(Debug, Clone, Default)]
pub struct PlateView {
    /// Its picture.
    pub slot: PictureSlot,
    /// Its alignment by the set's landmarks, or why there is none; none while it loads.
    pub alignment: Option<Result<Arc<Alignment>, AlignError>>,
}

impl PlateView {
    /// Its alignment, where it has one.
    #[must_use]
    pub fn aligned(&self) -> Option<&Arc<Alignment>> {
        self.alignment.as_ref()?.as_ref().ok()
    }
}

/// A plate as it was read: its picture, and its alignment where it was asked for.
pub type ReadPlate = (Arc<Picture>, Option<Result<Arc<Alignment>, AlignError>>);

struct Kept {
    view: PlateView,
    bytes: usize,
    used: u64,
    /// The last frame in which it was asked for.
    frame: u64,
}

/// The plates in memory, by their names `K`, the least lately looked at given up first.
pub struct PlateShelf<K = PlateKey> {
    kept: HashMap<K, Kept>,
    wanted: Vec<(K, Watch)>,
    most_bytes: usize,
    clock: u64,
    frame: u64,
}

impl<K: Clone + Eq + Hash> Default for PlateShelf<K> {
    fn default() -> Self {
        Self::new(Self::MOST_BYTES)
    }
}

impl<K: Clone + Eq + Hash> PlateShelf<K> {
    /// What the plates may take: about a dozen of 12 MP with their pyramids (3 bytes a pixel and a third more).
    pub const MOST_BYTES: usize = 600_000_000;

    /// Frames after which a plate that nobody looks at any more is not read to its end.
    pub const PATIENCE_FRAMES: u64 = 20;

    /// An empty shelf.
    #[must_use]
    pub fn new(most_bytes: usize) -> Self {
        Self {
            kept: HashMap::new(),
            wanted: Vec::new(),
            most_bytes,
            clock: 0,
            frame: 0,
        }
    }

    /// The plate; where it is not there it is asked for and shows as loading.
    pub fn get(&mut self, key: &K) -> PlateView {
        self.clock += 1;
        let kept = self.kept.entry(key.clone()).or_insert_with(|| {
            let watch = Watch::default();
            self.wanted.push((key.clone(), watch.clone()));
            Kept {
                view: PlateView {
                    slot: PictureSlot::Loading(watch),
                    alignment: None,
                },
                bytes: 0,
                used: 0,
                frame: 0,
            }
        });
        kept.used = self.clock;
        kept.frame = self.frame;
        kept.view.clone()
    }

    /// The plate as far as it is there, without asking for it.
    #[must_use]
    pub fn peek(&self, key: &K) -> Option<&PlateView> {
        self.kept.get(key).map(|kept| &kept.view)
    }

    /// The plates asked for since the last call, to hand to the workers; called once a frame. Those that are still being
    /// read and were not looked at for [`PlateShelf::PATIENCE_FRAMES`] are given up, so that flicking through many does
    /// not keep the one at the end waiting. What their workers bring all the same is to be dropped by their watch.
    pub fn take_wanted(&mut self) -> Vec<(K, Watch)> {
        self.frame += 1;
        let frame = self.frame;
        self.kept.retain(|_, kept| match &kept.view.slot {
            PictureSlot::Loading(watch) if frame - kept.frame > Self::PATIENCE_FRAMES => {
                watch.cancel();
                false
            }
            _ => true,
        });
        self.wanted.retain(|(_, watch)| !watch.is_cancelled());
        std::mem::take(&mut self.wanted)
    }

    /// Takes a plate in, or the sentence why there is none.
    pub fn accept(&mut self, key: K, result: Result<ReadPlate, String>) {
        let (view, bytes) = match result {
            Ok((picture, alignment)) => {
                let bytes = bytes_of(&picture);
                let slot = PictureSlot::Ready(picture);
                (PlateView { slot, alignment }, bytes)
            }
            Err(sentence) => (
                PlateView {
                    slot: PictureSlot::Failed(sentence),
                    alignment: None,
                },
                0,
            ),
        };
        let (used, frame) = (self.clock, self.frame);
        let kept = Kept {
            view,
            bytes,
            used,
            frame,
        };
        self.kept.insert(key, kept);
        self.make_room();
    }

    /// Gives all up, for another set.
    pub fn clear(&mut self) {
        for kept in self.kept.values() {
            if let PictureSlot::Loading(watch) = &kept.view.slot {
                watch.cancel();
            }
        }
        self.kept.clear();
        self.wanted.clear();
    }

    fn make_room(&mut self) {
        let mut held: usize = self.kept.values().map(|k| k.bytes).sum();
        while held > self.most_bytes {
            // What is in view together is kept, however much: given up, it would be asked for again at once.
            let frame = self.frame;
            let oldest = self
                .kept
                .iter()
                .filter(|(_, k)| k.bytes > 0 && k.frame + 1 < frame)
                .min_by_key(|(_, k)| k.used)
                .map(|(key, k)| (key.clone(), k.bytes));
            let Some((key, bytes)) = oldest else {
                return;
            };
            // Giving tens of MB back to the system takes some ms, which the window's thread has not.
            let given_up = self.kept.remove(&key);
            rayon::spawn(move || drop(given_up));
            held -= bytes;
        }
    }
}

fn bytes_of(picture: &Picture) -> usize {
    picture.levels().iter().map(|level| level.as_raw().len()).sum()
}

#[cfg(test)]
mod tests {
    use image::RgbImage;

    use super::*;
    use crate::reference::Side;

    fn key(n: usize) -> PlateKey {
        (Side::Obverse, "A".into(), n)
    }

    fn plate() -> Arc<Picture> {
        Arc::new(Picture::new(RgbImage::new(10, 10)))
    }

    #[test]
    fn the_plate_looked_at_longest_ago_goes_first() {
        let one = bytes_of(&plate());
        let mut shelf = PlateShelf::new(2 * one);
        for n in 0..2 {
            shelf.get(&key(n));
            shelf.accept(key(n), Ok((plate(), None)));
        }
        assert_eq!(shelf.take_wanted().len(), 2);
        for _ in 0..2 {
            shelf.get(&key(0));
            shelf.get(&key(2));
            shelf.take_wanted();
        }
        shelf.accept(key(2), Ok((plate(), None)));
        assert!(shelf.get(&key(0)).slot.picture().is_some());
        assert!(shelf.get(&key(2)).slot.picture().is_some());
        assert!(shelf.get(&key(1)).slot.picture().is_none());
        assert_eq!(shelf.take_wanted().len(), 1);
    }

    #[test]
    fn a_plate_flicked_past_is_given_up_and_can_be_asked_for_again() {
        let mut shelf = PlateShelf::default();
        shelf.get(&key(0));
        let (_, watch) = shelf.take_wanted().remove(0);
        for _ in 0..=PlateShelf::<PlateKey>::PATIENCE_FRAMES {
            shelf.get(&key(1));
            shelf.take_wanted();
        }
        assert!(watch.is_cancelled());
        assert!(shelf.peek(&key(0)).is_none());
        assert!(shelf.peek(&key(1)).is_some());
        shelf.get(&key(0));
        assert_eq!(shelf.take_wanted().len(), 1);
    }

    #[test]
    fn plates_in_view_together_stay_however_large() {
        let mut shelf = PlateShelf::new(bytes_of(&plate()));
        for _ in 0..3 {
            for n in 0..4 {
                shelf.get(&key(n));
            }
            shelf.take_wanted();
        }
        for n in 0..4 {
            shelf.accept(key(n), Ok((plate(), None)));
        }
        assert!((0..4).all(|n| shelf.peek(&key(n)).is_some()));
        // Once they are out of view they make room.
        for _ in 0..3 {
            shelf.get(&key(9));
            shelf.take_wanted();
        }
        shelf.accept(key(9), Ok((plate(), None)));
        assert!((0..4).all(|n| shelf.peek(&key(n)).is_none()));
    }

    #[test]
    fn a_failed_plate_is_not_asked_for_again_and_again() {
        let mut shelf = PlateShelf::default();
        shelf.get(&key(0));
        shelf.take_wanted();
        shelf.accept(key(0), Err("gone".to_owned()));
        assert!(matches!(shelf.get(&key(0)).slot, PictureSlot::Failed(_)));
        assert!(shelf.take_wanted().is_empty());
    }
}
