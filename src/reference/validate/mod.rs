//! What is inconsistent or missing in a set, each with the place to mend it.
//!
//! A set grows while it is in use, so only what would mislead or break is an error; what is merely not there yet is a
//! hint.

mod dies;
mod finding;
mod measures;
mod pairings;
mod plates;
mod sides;
mod telling;

pub use finding::{Finding, Place, Severity};
pub use plates::FEWEST_PX_PER_TELLING_DETAIL;

use finding::Findings;

use super::{ReferenceSet, SetSource, Side};

/// Checks a set; `plates` tells where its pictures are, which are then looked for and their headers read. Errors come
/// first, then warnings, then hints, each in the set's own order.
#[must_use]
pub fn validate(set: &ReferenceSet, plates: Option<&SetSource>) -> Vec<Finding> {
    let mut findings = Findings::default();
    let mut files = plates.map(SetSource::files);
    measures::check(set, &mut findings);
    for side in Side::BOTH {
        sides::check(set, side, &mut findings);
        dies::check(set, side, &mut findings);
        plates::check(set, side, files.as_mut(), &mut findings);
        telling::check(set, side, &mut findings);
    }
    pairings::check(set, &mut findings);
    findings.sorted()
}
