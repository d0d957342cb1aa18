//! An empty set to begin with.

use std::hash::{BuildHasher, RandomState};

use super::{Measures, ReferenceSet, SideReference, UnlistedShares};

/// Where a new set's diameter starts, in mm; the author gives the true one first of all.
const FIRST_DIAMETER_MM: f64 = 25.0;

/// What stands on every sheet unless the author says otherwise.
const FIRST_CAUTION: &str =
    "An attribution by this set is an opinion from photographs, not an authentication.";

/// An empty set with a lasting id of its own.
#[must_use]
pub fn blank_set(title: &str) -> ReferenceSet {
    ReferenceSet {
        format: ReferenceSet::FORMAT,
        id: lasting_id(),
        edition: 1,
        title: title.to_owned(),
        about: String::new(),
        measures: Measures {
            diameter_mm: FIRST_DIAMETER_MM,
            relief_mm: None,
            weight_g: None,
            weight_tolerance_g: None,
            die_axis_deg: None,
        },
        facts: Vec::new(),
        obverse: SideReference::default(),
        reverse: SideReference::default(),
        pairings: Vec::new(),
        unlisted: UnlistedShares::default(),
        rarity_bands: Vec::new(),
        price_slope: None,
        cautions: vec![FIRST_CAUTION.to_owned()],
    }
}

/// An id that no other set has: 128 bits, each half a hash with a random key of its own.
fn lasting_id() -> String {
    let random = || RandomState::new().hash_one("set");
    format!("set-{:016x}{:016x}", random(), random())
}
