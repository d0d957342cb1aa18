//! How well a set's features tell its dies apart, as the workshop's checks list it.

use crate::reference::usefulness::{
    Series, SideSeries, Usefulness, series_for_side, shortest_series, usefulness,
};
use crate::reference::{DieId, SideReference};

/// The most pairs of dies listed; beyond it the list helps nobody.
const MOST_PAIRS: usize = 60;

/// What the checks say of a side's features.
#[derive(Debug, Clone)]
pub struct SideUsefulness {
    /// Each feature's, in the set's order.
    pub features: Vec<Usefulness>,
    /// A short series for the whole side.
    pub series: SideSeries,
    /// The first pairs of dies, as many as are listed.
    pub pairs: Vec<PairSeries>,
    /// How many pairs there are beyond these.
    pub further_pairs: usize,
}

/// The shortest series that decides between two dies.
#[derive(Debug, Clone)]
pub struct PairSeries {
    /// The two.
    pub dies: (DieId, DieId),
    /// The series.
    pub series: Series,
}

impl SideUsefulness {
    /// Works it out; takes a while on a large set.
    #[must_use]
    pub fn of(side: &SideReference) -> Self {
        let pairs = side
            .dies
            .iter()
            .enumerate()
            .flat_map(|(i, a)| side.dies[i + 1..].iter().map(move |b| (a, b)));
        Self {
            features: usefulness(side),
            series: series_for_side(side),
            pairs: pairs
                .take(MOST_PAIRS)
                .map(|(a, b)| PairSeries {
                    dies: (a.id.clone(), b.id.clone()),
                    series: shortest_series(side, a, b),
                })
                .collect(),
            further_pairs: (side.dies.len() * side.dies.len().saturating_sub(1) / 2)
                .saturating_sub(MOST_PAIRS),
        }
    }
}
