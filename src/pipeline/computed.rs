//! What follows from a record and its set without looking at a pixel: alignments, uncertainties, standing.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{Missing, align_photo, zone_uncertainty};
use crate::align::{AlignError, Alignment};
use crate::evidence::{Prior, Standing, standing};
use crate::reference::{FactId, ReferenceSet, Side, Sides};
use crate::specimen::{FactAnswer, SidePhoto, SpecimenRecord, Verdict};

/// A side's alignment or why there is none; none where there is no photo.
pub type SideAlignment = Option<Result<Arc<Alignment>, AlignError>>;

/// What follows from a record.
#[derive(Debug, Clone)]
pub struct Computed {
    sources: Sources,
    /// The photos' alignments.
    pub alignments: Sides<SideAlignment>,
    /// How far each zone may be off on the photo alone: 95 % radii in mm, in the set's order; empty without an alignment.
    pub zone_radii_mm: Sides<Arc<[f64]>>,
    /// The standing.
    pub standing: Arc<Standing>,
}

/// The parts of a record that something is computed from.
#[derive(Debug, Clone)]
struct Sources {
    photos: Sides<Option<SidePhoto>>,
    facts: BTreeMap<FactId, FactAnswer>,
    weight_g: Option<f64>,
    verdicts: Vec<Verdict>,
    prior: Prior,
}

impl Sources {
    fn of(record: &SpecimenRecord, prior: Prior) -> Self {
        Self {
            photos: Sides::each(|side| record.photo(side).cloned()),
            facts: record.facts.clone(),
            weight_g: record.weight_g,
            verdicts: record.verdicts.clone(),
            prior,
        }
    }

    fn same_evidence(&self, other: &Self) -> bool {
        self.facts == other.facts
            && self.weight_g == other.weight_g
            && self.verdicts == other.verdicts
            && self.prior == other.prior
    }
}

impl Computed {
    /// Computes all.
    #[must_use]
    pub fn of(set: &ReferenceSet, record: &SpecimenRecord, prior: Prior) -> Self {
        Self::after(None, set, record, prior)
    }

    /// Computes what changed since `before`, which must be of the same set.
    #[must_use]
    pub fn after(before: Option<&Self>, set: &ReferenceSet, record: &SpecimenRecord, prior: Prior) -> Self {
        let sources = Sources::of(record, prior);
        let same_photo = |side| before.filter(|b| b.sources.photos[side] == sources.photos[side]);
        let alignments = Sides::each(|side| match same_photo(side) {
            Some(before) => before.alignments[side].clone(),
            None => (sources.photos[side].as_ref()).map(|photo| align_photo(set, side, photo).map(Arc::new)),
        });
        let zone_radii_mm = Sides::each(|side| match (&alignments[side], same_photo(side)) {
            (_, Some(before)) => Arc::clone(&before.zone_radii_mm[side]),
            (Some(Ok(alignment)), None) => (set.side(side).zones.iter())
                .map(|zone| zone_uncertainty(alignment, None, zone).radius95_mm)
                .collect(),
            _ => Arc::default(),
        });
        let standing = match before.filter(|before| before.sources.same_evidence(&sources)) {
            Some(before) => Arc::clone(&before.standing),
            None => Arc::new(standing(
                set,
                &record.facts,
                record.weight_g,
                &record.verdicts,
                prior,
            )),
        };
        Self {
            sources,
            alignments,
            zone_radii_mm,
            standing,
        }
    }

    /// The alignment of a side's photo.
    ///
    /// # Errors
    /// [`Missing`] without a photo, or where its landmarks do not align it.
    pub fn alignment(&self, side: Side) -> Result<&Arc<Alignment>, Missing> {
        match &self.alignments[side] {
            None => Err(Missing::NoPhoto(side)),
            Some(Err(error)) => Err(error.clone().into()),
            Some(Ok(alignment)) => Ok(alignment),
        }
    }

    /// The prior that the standing starts from.
    #[must_use]
    pub fn prior(&self) -> Prior {
        self.sources.prior
    }
}
