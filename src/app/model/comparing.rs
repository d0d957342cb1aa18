//! What the Compare page looks at, and what workers find of it.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::align::Alignment;
use crate::crop::ZoneQuality;
use crate::geometry::PictureFromSide;
use crate::photo::Picture;
use crate::pipeline::{self, OfferedShift};
use crate::problem::Problem;
use crate::reference::{Side, Zone, ZoneId};
use crate::specimen::{FineShift, WhichCoin};

/// An aligned picture.
#[derive(Debug, Clone)]
pub struct Seen {
    /// The picture.
    pub picture: Arc<Picture>,
    /// Its alignment.
    pub alignment: Arc<Alignment>,
    /// Its transform where it is looked at, an accepted fine shift in it.
    pub from_side: PictureFromSide,
}

impl Seen {
    /// One looked at in a zone, at the zone's height and with an accepted fine shift.
    #[must_use]
    pub fn at(
        picture: &Arc<Picture>,
        alignment: &Arc<Alignment>,
        zone: &Zone,
        shift: Option<&FineShift>,
    ) -> Self {
        Self {
            picture: Arc::clone(picture),
            alignment: Arc::clone(alignment),
            from_side: pipeline::shifted(&alignment.zone_transform(zone), shift),
        }
    }

    /// One looked at as a whole.
    #[must_use]
    pub fn whole(picture: &Arc<Picture>, alignment: &Arc<Alignment>) -> Self {
        Self {
            picture: Arc::clone(picture),
            alignment: Arc::clone(alignment),
            from_side: alignment.picture_from_side,
        }
    }

    /// Its transform from side mm to px by rows, as a record keeps it.
    #[must_use]
    pub fn rows(&self) -> [f64; 9] {
        let matrix = self.from_side.matrix();
        std::array::from_fn(|i| matrix[(i / 3, i % 3)])
    }

    /// Whether both are the same picture, aligned alike.
    #[must_use]
    pub fn is_same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.picture, &other.picture)
            && (Arc::ptr_eq(&self.alignment, &other.alignment) || *self.alignment == *other.alignment)
    }
}

/// Which photo is judged where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Judging {
    /// Your coin's photo of a side at the set's zones.
    Side(Side),
    /// A coin's photo at the spot in view.
    Spot(WhichCoin),
}

/// A fine shift that was looked for in a zone.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// The zone's side.
    pub side: Side,
    /// The zone.
    pub zone: Zone,
    /// What was found.
    pub found: Result<OfferedShift, Problem>,
}

/// What a worker found.
pub enum CompareResult {
    /// What a photo gives: of which photo, at which zone alone, and the zones.
    Zones(Judging, Seen, Option<Zone>, BTreeMap<ZoneId, ZoneQuality>),
    /// How alike the light falls on two coins, 0 to 1; none where it cannot be said.
    Light([Seen; 2], Option<f64>),
    /// A fine shift, or why there is none.
    Shift(Offer),
}
