//! The shelf: plates of the open set, read through the pipeline's cache when they are looked at.

use std::collections::HashMap;
use std::hash::Hash;
use std::sync::{Arc, Weak};

use super::bench::PlateKey;
use super::picture_slot::PictureSlot;
use crate::align::{AlignError, Alignment};
use crate::photo::{Picture, Watch};
use crate::pipeline::PictureCache;
use crate::problem::Problem;

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

#[derive(Default)]
struct Kept {
    /// Its slot is empty while the plate is put away.
    view: PlateView,
    /// The picture of a plate that is put away, as long as the cache keeps it.
    away: Weak<Picture>,
    /// The last frame in which it was asked for.
    frame: u64,
}

impl Kept {
    fn view(&self) -> PlateView {
        let mut view = self.view.clone();
        if let (PictureSlot::Empty, Some(picture)) = (&view.slot, self.away.upgrade()) {
            view.slot = PictureSlot::Ready(picture);
        }
        view
    }
}

/// The plates by their names `K`. Those in view are held; the others are put away, in the cache alone, which gives up
/// what was looked at longest ago.
pub struct PlateShelf<K = PlateKey> {
    cache: Arc<PictureCache>,
    kept: HashMap<K, Kept>,
    wanted: Vec<(K, Watch)>,
    frame: u64,
}

impl<K: Clone + Eq + Hash> Default for PlateShelf<K> {
    fn default() -> Self {
        Self::new(Arc::default())
    }
}

impl<K: Clone + Eq + Hash> PlateShelf<K> {
    /// Frames after which a plate that nobody looks at any more is not read to its end.
    pub const PATIENCE_FRAMES: u64 = 20;

    /// An empty shelf, its plates read through a cache.
    #[must_use]
    pub fn new(cache: Arc<PictureCache>) -> Self {
        Self {
            cache,
            kept: HashMap::new(),
            wanted: Vec::new(),
            frame: 0,
        }
    }

    /// What its plates are read through.
    #[must_use]
    pub fn cache(&self) -> &Arc<PictureCache> {
        &self.cache
    }

    /// The plate; where it is not there it is asked for and shows as loading.
    pub fn get(&mut self, key: &K) -> PlateView {
        let kept = self.kept.entry(key.clone()).or_default();
        kept.frame = self.frame;
        kept.view = kept.view();
        if let PictureSlot::Empty = kept.view.slot {
            let watch = Watch::default();
            self.wanted.push((key.clone(), watch.clone()));
            kept.view.slot = PictureSlot::Loading(watch);
        }
        kept.view.clone()
    }

    /// The plate as far as it is there, without asking for it.
    #[must_use]
    pub fn peek(&self, key: &K) -> Option<PlateView> {
        let view = self.kept.get(key)?.view();
        (!matches!(view.slot, PictureSlot::Empty)).then_some(view)
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
        for kept in self.kept.values_mut().filter(|kept| kept.frame + 1 < frame) {
            if let PictureSlot::Ready(picture) = &kept.view.slot {
                self.cache.touch(picture);
                kept.away = Arc::downgrade(picture);
                kept.view.slot = PictureSlot::Empty;
            }
        }
        self.wanted.retain(|(_, watch)| !watch.is_cancelled());
        std::mem::take(&mut self.wanted)
    }

    /// Takes a plate in, or why there is none.
    pub fn accept(&mut self, key: K, result: Result<ReadPlate, Problem>) {
        let view = match result {
            Ok((picture, alignment)) => PlateView {
                slot: PictureSlot::Ready(picture),
                alignment,
            },
            Err(problem) => PlateView {
                slot: PictureSlot::Failed(problem),
                alignment: None,
            },
        };
        let kept = Kept {
            view,
            away: Weak::new(),
            frame: self.frame,
        };
        self.kept.insert(key, kept);
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
}

#[cfg(test)]
mod tests {
    use image::RgbImage;

    use super::*;
    use crate::pipeline::PictureKey;
    use crate::reference::Side;

    fn key(n: usize) -> PlateKey {
        (Side::Obverse, "A".into(), n)
    }

    fn plate() -> Arc<Picture> {
        Arc::new(Picture::new(RgbImage::new(10, 10)))
    }

    /// A shelf whose cache has room for so many plates.
    fn shelf(plates: usize) -> PlateShelf {
        let one: usize = plate().levels().iter().map(|level| level.as_raw().len()).sum();
        PlateShelf::new(Arc::new(PictureCache::new(plates * one)))
    }

    /// A plate read through the cache.
    fn accept(shelf: &mut PlateShelf, n: usize) {
        let picture = plate();
        let its_key = PictureKey::Plate("set".into(), n.to_string());
        shelf.cache.keep(its_key, Arc::clone(&picture));
        shelf.accept(key(n), Ok((picture, None)));
    }

    #[test]
    fn the_plate_looked_at_longest_ago_goes_first() {
        let mut shelf = shelf(2);
        for n in 0..2 {
            shelf.get(&key(n));
            accept(&mut shelf, n);
        }
        assert_eq!(shelf.take_wanted().len(), 2);
        for _ in 0..2 {
            shelf.get(&key(0));
            shelf.get(&key(2));
            shelf.take_wanted();
        }
        accept(&mut shelf, 2);
        assert!(shelf.get(&key(0)).slot.picture().is_some());
        assert!(shelf.get(&key(2)).slot.picture().is_some());
        assert!(shelf.get(&key(1)).slot.picture().is_none());
        assert_eq!(shelf.take_wanted().len(), 1);
    }

    #[test]
    fn a_plate_put_away_is_there_again_at_once() {
        let mut shelf = shelf(2);
        accept(&mut shelf, 0);
        accept(&mut shelf, 1);
        for _ in 0..3 {
            shelf.get(&key(1));
            shelf.take_wanted();
        }
        assert!(matches!(shelf.kept[&key(0)].view.slot, PictureSlot::Empty));
        assert!(shelf.peek(&key(0)).is_some());
        assert!(shelf.get(&key(0)).slot.picture().is_some());
        assert!(shelf.take_wanted().is_empty());
        // It is in view again, so that another makes room.
        shelf.get(&key(0));
        shelf.take_wanted();
        accept(&mut shelf, 2);
        let there = [0, 1, 2].map(|n| shelf.peek(&key(n)).is_some());
        assert_eq!(there, [true, false, true]);
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
        let mut shelf = shelf(1);
        for _ in 0..3 {
            for n in 0..4 {
                shelf.get(&key(n));
            }
            shelf.take_wanted();
        }
        for n in 0..4 {
            accept(&mut shelf, n);
        }
        assert!((0..4).all(|n| shelf.peek(&key(n)).is_some()));
        // Once they are out of view they make room.
        for _ in 0..3 {
            shelf.get(&key(9));
            shelf.take_wanted();
        }
        accept(&mut shelf, 9);
        assert!((0..4).all(|n| shelf.peek(&key(n)).is_none()));
    }

    #[test]
    fn a_failed_plate_is_not_asked_for_again_and_again() {
        let mut shelf = PlateShelf::default();
        shelf.get(&key(0));
        shelf.take_wanted();
        shelf.accept(key(0), Err(Problem::new("gone")));
        assert!(matches!(shelf.get(&key(0)).slot, PictureSlot::Failed(_)));
        assert!(shelf.take_wanted().is_empty());
    }
}
