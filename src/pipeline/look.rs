//! What a zone looks like: the coin, the plates and another coin, each laid on the side frame.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use super::{Computed, Missing, Pictures, align_plate, shifted, state_views, zone_uncertainty};
use crate::align::{AlignError, Alignment};
use crate::crop::{Crop, CropFrame, ZoneQuality, cut, even_light, zone_quality};
use crate::evidence::Prior;
use crate::geometry::PictureFromSide;
use crate::photo::Picture;
use crate::reference::{DieId, Plate, ReferenceSet, Side, Zone};
use crate::specimen::{FineShift, SpecimenRecord};

/// A picture as it is laid on the side frame at a zone.
#[derive(Debug, Clone)]
pub struct ZoneView {
    /// The picture.
    pub picture: Arc<Picture>,
    /// Its transform for this zone, an accepted fine shift in it.
    pub picture_from_side: PictureFromSide,
    /// The 95 % radius of the zone's position: of a coin by its own alignment, of what stands beside it by both
    /// together, in mm.
    pub radius95_mm: f64,
}

impl ZoneView {
    /// A picture at a zone; `beside` is the alignment of the coin that it stands beside.
    #[must_use]
    pub fn new(
        picture: Arc<Picture>,
        alignment: &Alignment,
        fine_shift: Option<&FineShift>,
        beside: Option<&Alignment>,
        zone: &Zone,
    ) -> Self {
        Self {
            picture,
            picture_from_side: shifted(&alignment.zone_transform(zone), fine_shift),
            radius95_mm: zone_uncertainty(alignment, beside, zone).radius95_mm,
        }
    }

    /// The crop of a frame, its light evened with a strength of 0 (not at all) to 1.
    ///
    /// # Errors
    /// [`Missing::OutsidePhoto`] where the picture does not reach into the frame.
    pub fn crop(&self, frame: &CropFrame, light_evened: f64) -> Result<Crop, Missing> {
        crop(&self.picture, &self.picture_from_side, frame, light_evened)
    }

    /// Whether the picture can show what the zone asks for.
    #[must_use]
    pub fn quality(&self, zone: &Zone) -> ZoneQuality {
        zone_quality(&self.picture, &self.picture_from_side, zone)
    }
}

/// As [`ZoneView::crop`], by a transform that was kept.
///
/// # Errors
/// [`Missing::OutsidePhoto`].
pub fn crop(
    picture: &Picture,
    picture_from_side: &PictureFromSide,
    frame: &CropFrame,
    light_evened: f64,
) -> Result<Crop, Missing> {
    let cut = cut(picture, picture_from_side, frame);
    if cut.pixels.pixels().all(|pixel| pixel.0[3] == 0) {
        return Err(Missing::OutsidePhoto);
    }
    Ok(if light_evened > 0.0 {
        even_light(&cut, light_evened)
    } else {
        cut
    })
}

/// A specimen with its set, what follows from its record, and its pictures: what verbs and sheet look at.
pub struct Study<'a> {
    /// The set.
    pub set: &'a ReferenceSet,
    /// The record.
    pub record: &'a SpecimenRecord,
    /// What follows from it.
    pub computed: Computed,
    /// Its pictures and the set's.
    pub pictures: &'a dyn Pictures,
    /// The plates' alignments: one plate serves many zones.
    plates: RefCell<BTreeMap<PlateKey, Result<Arc<Alignment>, AlignError>>>,
}

/// Names a plate: the side, the die and the plate's number, counted from 0.
pub type PlateKey = (Side, DieId, usize);

impl<'a> Study<'a> {
    /// Computes what follows from the record.
    #[must_use]
    pub fn new(
        set: &'a ReferenceSet,
        record: &'a SpecimenRecord,
        prior: Prior,
        pictures: &'a dyn Pictures,
    ) -> Self {
        Self::with(set, record, Computed::of(set, record, prior), pictures)
    }

    /// As [`Study::new`], with what was computed already.
    #[must_use]
    pub fn with(
        set: &'a ReferenceSet,
        record: &'a SpecimenRecord,
        computed: Computed,
        pictures: &'a dyn Pictures,
    ) -> Self {
        Self {
            set,
            record,
            computed,
            pictures,
            plates: RefCell::default(),
        }
    }

    /// The photo of a side.
    ///
    /// # Errors
    /// [`Missing`].
    pub fn photo(&self, side: Side) -> Result<Arc<Picture>, Missing> {
        let photo = self.record.photo(side).ok_or(Missing::NoPhoto(side))?;
        self.pictures.photo(side, photo)
    }

    /// The coin at a zone.
    ///
    /// # Errors
    /// [`Missing`].
    pub fn coin(&self, side: Side, zone: &Zone) -> Result<ZoneView, Missing> {
        let alignment = self.computed.alignment(side)?;
        let fine_shift = self
            .record
            .photo(side)
            .and_then(|photo| photo.fine_shifts.get(&zone.id));
        Ok(ZoneView::new(
            self.photo(side)?,
            alignment,
            fine_shift,
            None,
            zone,
        ))
    }

    /// A die's plate at a zone, with the radius together with the coin's where that is aligned.
    ///
    /// # Errors
    /// [`Missing`].
    pub fn plate(&self, key: &PlateKey, zone: &Zone) -> Result<ZoneView, Missing> {
        let alignment = self.plate_alignment(key)?;
        let picture = self.pictures.plate(self.listed(key)?)?;
        let beside = self.computed.alignment(key.0).ok().map(Arc::as_ref);
        Ok(ZoneView::new(picture, &alignment, None, beside, zone))
    }

    /// The other coin of a second study at a zone, together with this coin where it is aligned. Fine shifts toward
    /// plates are left out: each coin has its own.
    ///
    /// # Errors
    /// [`Missing`].
    pub fn beside(&self, other: &Study<'_>, side: Side, zone: &Zone) -> Result<ZoneView, Missing> {
        let of_other = |missing| match missing {
            Missing::NoPhoto(side) => Missing::NoOtherPhoto(side),
            missing => missing,
        };
        let alignment = other.computed.alignment(side).map_err(of_other)?;
        let picture = other.photo(side).map_err(of_other)?;
        let beside = self.computed.alignment(side).ok().map(Arc::as_ref);
        Ok(ZoneView::new(picture, alignment, None, beside, zone))
    }

    /// The greatest 95 % radius of a zone between the coin and the plates that are shown beside it, in mm; none without
    /// an aligned plate.
    ///
    /// # Errors
    /// [`Missing`] where the coin is not aligned.
    pub fn radius_with_plates_mm(&self, side: Side, zone: &Zone) -> Result<Option<f64>, Missing> {
        let coin = self.computed.alignment(side)?;
        let reference = self.set.side(side);
        let radii = reference
            .features
            .iter()
            .filter(|feature| feature.zone == zone.id)
            .flat_map(|feature| state_views(reference, feature))
            .filter_map(|view| view.plate)
            .filter_map(|(die, number)| self.plate_alignment(&(side, die, number)).ok())
            .map(|plate| zone_uncertainty(coin, Some(&plate), zone).radius95_mm);
        Ok(radii.reduce(f64::max))
    }

    /// A plate as the set lists it.
    ///
    /// # Errors
    /// [`Missing::NoPlate`].
    pub fn listed(&self, key: &PlateKey) -> Result<&'a Plate, Missing> {
        listed_plate(self.set, key)
    }

    fn plate_alignment(&self, key: &PlateKey) -> Result<Arc<Alignment>, Missing> {
        let plate = self.listed(key)?;
        self.plates
            .borrow_mut()
            .entry(key.clone())
            .or_insert_with(|| align_plate(self.set, key.0, plate).map(Arc::new))
            .clone()
            .map_err(Missing::PlateNotAligned)
    }
}

/// A plate as the set lists it.
///
/// # Errors
/// [`Missing::NoPlate`].
pub fn listed_plate<'a>(set: &'a ReferenceSet, (side, die, number): &PlateKey) -> Result<&'a Plate, Missing> {
    let plate = set.side(*side).die(die).and_then(|die| die.plates.get(*number));
    plate.ok_or_else(|| Missing::NoPlate {
        side: *side,
        die: die.clone(),
        number: *number,
    })
}
