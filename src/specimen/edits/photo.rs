//! Edits of a side's photo and of what is placed on it.

use super::shared::FINE_SHIFT;
use crate::align::Rim;
use crate::geometry::{Model, PicturePoint};
use crate::reference::{LandmarkName, Side, ZoneId};
use crate::specimen::{FineShift, SidePhoto};

/// A change of a side's photo. Points are upright px of the photo.
#[derive(Debug, Clone, PartialEq)]
pub enum PhotoEdit {
    /// Takes a photo in, in place of the one before and of all that was placed on it.
    Choose(Box<SidePhoto>),
    /// Places a landmark.
    Place(LandmarkName, PicturePoint),
    /// Moves a landmark.
    Move(LandmarkName, PicturePoint),
    /// Moves a landmark to where the plate's relief fits.
    Snap(LandmarkName, PicturePoint),
    /// Places the landmarks that the plate found.
    PlaceTheRest(Vec<(LandmarkName, PicturePoint)>),
    /// Takes a landmark off.
    Remove(LandmarkName),
    /// Holds a model, or lets the evidence choose.
    HoldModel(Option<Model>),
    /// Sets the rim, found or drawn.
    SetRim(Rim),
    /// Removes the rim.
    RemoveRim,
    /// Accepts a zone's fine shift, or removes it.
    FineShift(ZoneId, Option<FineShift>),
}

impl PhotoEdit {
    pub(super) fn apply(self, slot: &mut Option<SidePhoto>) {
        if let Self::Choose(photo) = self {
            *slot = Some(*photo);
        } else if let Some(photo) = slot {
            self.apply_to(photo);
        }
    }

    fn apply_to(self, photo: &mut SidePhoto) {
        match self {
            Self::Choose(chosen) => *photo = *chosen,
            Self::Place(name, at) | Self::Move(name, at) | Self::Snap(name, at) => {
                photo.landmarks.insert(name, at);
            }
            Self::PlaceTheRest(found) => photo.landmarks.extend(found),
            Self::Remove(name) => {
                photo.landmarks.remove(&name);
            }
            Self::HoldModel(model) => photo.held_model = model,
            Self::SetRim(rim) => photo.rim = Some(rim),
            Self::RemoveRim => photo.rim = None,
            Self::FineShift(zone, Some(shift)) => {
                photo.fine_shifts.insert(zone, shift);
            }
            Self::FineShift(zone, None) => {
                photo.fine_shifts.remove(&zone);
            }
        }
    }

    pub(super) fn words(&self, side: Side) -> String {
        match self {
            Self::Choose(_) => format!("choosing the {} photo", side.word()),
            Self::Place(name, _) => format!("placing \u{201c}{name}\u{201d}"),
            Self::Move(name, _) => format!("moving \u{201c}{name}\u{201d}"),
            Self::Snap(name, _) => format!("snapping \u{201c}{name}\u{201d}"),
            Self::PlaceTheRest(_) => "placing the rest".to_owned(),
            Self::Remove(name) => format!("removing \u{201c}{name}\u{201d}"),
            Self::HoldModel(Some(_)) => "holding the model".to_owned(),
            Self::HoldModel(None) => "letting the evidence choose the model".to_owned(),
            Self::SetRim(_) => "marking the rim".to_owned(),
            Self::RemoveRim => "removing the rim".to_owned(),
            Self::FineShift(..) => FINE_SHIFT.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::record;
    use super::*;
    use crate::geometry::SideVector;
    use crate::specimen::Edit;
    use crate::specimen::SpecimenRecord;

    fn photo(file: &str) -> Box<SidePhoto> {
        Box::new(SidePhoto {
            file: file.to_owned(),
            original_name: String::new(),
            sha256: String::new(),
            width_px: 100,
            height_px: 100,
            landmarks: std::collections::BTreeMap::new(),
            held_model: None,
            rim: None,
            fine_shifts: std::collections::BTreeMap::new(),
        })
    }

    fn edit(record: &mut SpecimenRecord, edit: PhotoEdit) {
        Edit::Photo(Side::Obverse, edit).apply(record);
    }

    fn with_photo() -> SpecimenRecord {
        let mut record = record();
        edit(&mut record, PhotoEdit::Choose(photo("a.jpg")));
        record
    }

    #[test]
    fn landmarks_are_placed_moved_and_removed_on_their_own_side() {
        let mut record = with_photo();
        let at = |x: f64| PicturePoint::new(x, 0.0);
        edit(&mut record, PhotoEdit::Place("dot".into(), at(1.0)));
        edit(&mut record, PhotoEdit::Move("dot".into(), at(2.0)));
        edit(
            &mut record,
            PhotoEdit::PlaceTheRest(vec![("leaf".into(), at(5.0)), ("stop".into(), at(6.0))]),
        );
        edit(&mut record, PhotoEdit::Snap("leaf".into(), at(5.5)));
        edit(&mut record, PhotoEdit::Remove("stop".into()));
        let landmarks = &record.obverse.as_ref().unwrap().landmarks;
        let placed: Vec<_> = landmarks.iter().map(|(name, p)| (name.as_str(), p.x)).collect();
        assert_eq!(placed, [("dot", 2.0), ("leaf", 5.5)]);
        // Without a photo there is nothing to place on.
        Edit::Photo(Side::Reverse, PhotoEdit::Place("dot".into(), at(1.0))).apply(&mut record);
        assert!(record.reverse.is_none());
    }

    #[test]
    fn rim_model_and_fine_shift_are_set_and_removed() {
        let mut record = with_photo();
        let rim = Rim {
            centre: PicturePoint::new(50.0, 50.0),
            long_px: 40.0,
            short_px: 39.0,
            turn_deg: 0.0,
            by_hand: true,
        };
        let shift = FineShift {
            shift_mm: SideVector::new(0.01, 0.02),
        };
        edit(&mut record, PhotoEdit::SetRim(rim));
        edit(&mut record, PhotoEdit::HoldModel(Some(Model::Affine)));
        edit(&mut record, PhotoEdit::FineShift("z".into(), Some(shift)));
        let photo = record.obverse.clone().unwrap();
        assert_eq!((photo.rim, photo.held_model), (Some(rim), Some(Model::Affine)));
        assert_eq!(photo.fine_shifts.get(&ZoneId::from("z")), Some(&shift));
        edit(&mut record, PhotoEdit::RemoveRim);
        edit(&mut record, PhotoEdit::HoldModel(None));
        edit(&mut record, PhotoEdit::FineShift("z".into(), None));
        assert_eq!(record, with_photo());
    }

    #[test]
    fn another_photo_begins_without_what_was_placed_on_the_one_before() {
        let mut record = with_photo();
        let at = PicturePoint::new(1.0, 1.0);
        edit(&mut record, PhotoEdit::Place("dot".into(), at));
        let choose = PhotoEdit::Choose(photo("b.jpg"));
        assert_eq!(
            Edit::Photo(Side::Reverse, choose.clone()).words(),
            "choosing the reverse photo"
        );
        edit(&mut record, choose);
        assert_eq!(record.obverse, Some(*photo("b.jpg")));
    }
}
