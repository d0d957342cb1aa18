//! The labels by which a sheet names features: the zone's number, counted over both sides, and a letter where features
//! share a zone.

use crate::reference::{FeatureId, ReferenceSet, Side};
use crate::words;

/// Every feature's label.
pub(super) struct Labels {
    labels: Vec<(Side, FeatureId, String)>,
}

impl Labels {
    pub(super) fn new(set: &ReferenceSet) -> Self {
        let mut labels = Vec::new();
        let mut first_number = 1;
        for side in Side::BOTH {
            let reference = set.side(side);
            for (index, feature) in reference.features.iter().enumerate() {
                let Some(zone) = reference.zones.iter().position(|z| z.id == feature.zone) else {
                    continue;
                };
                let sharing = |f: &&crate::reference::Feature| f.zone == feature.zone;
                let before = reference.features[..index].iter().filter(sharing).count();
                let letter = if reference.features.iter().filter(sharing).count() > 1 {
                    words::letters(before)
                } else {
                    String::new()
                };
                let label = format!("{}{letter}", first_number + zone);
                labels.push((side, feature.id.clone(), label));
            }
            first_number += reference.zones.len();
        }
        Self { labels }
    }

    /// The feature's label; its name in the set where it has no zone to count by.
    pub(super) fn of<'a>(&'a self, side: Side, feature: &'a FeatureId) -> &'a str {
        self.labels
            .iter()
            .find(|(s, f, _)| *s == side && f == feature)
            .map_or(feature.as_str(), |(_, _, label)| label)
    }
}
