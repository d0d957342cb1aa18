//! The coin's two sides, and one of something for each.

use std::ops::{Index, IndexMut};

use serde::{Deserialize, Serialize};

/// A side of the coin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Side {
    /// The front.
    Obverse,
    /// The back.
    Reverse,
}

impl Side {
    /// Both, obverse first.
    pub const BOTH: [Side; 2] = [Side::Obverse, Side::Reverse];

    /// The trade's word for it, in lower case.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Side::Obverse => "obverse",
            Side::Reverse => "reverse",
        }
    }

    /// The same with a capital, as a title.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Side::Obverse => "Obverse",
            Side::Reverse => "Reverse",
        }
    }

    /// The coin's other side.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Side::Obverse => Side::Reverse,
            Side::Reverse => Side::Obverse,
        }
    }
}

/// One of something for each side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Sides<T> {
    /// The obverse's.
    pub obverse: T,
    /// The reverse's.
    pub reverse: T,
}

impl<T> Sides<T> {
    /// Makes one for each side, obverse first.
    pub fn each(mut make: impl FnMut(Side) -> T) -> Self {
        Self {
            obverse: make(Side::Obverse),
            reverse: make(Side::Reverse),
        }
    }

    /// Both with their sides, obverse first.
    pub fn iter(&self) -> impl Iterator<Item = (Side, &T)> {
        [(Side::Obverse, &self.obverse), (Side::Reverse, &self.reverse)].into_iter()
    }
}

impl<T> Index<Side> for Sides<T> {
    type Output = T;

    fn index(&self, side: Side) -> &T {
        match side {
            Side::Obverse => &self.obverse,
            Side::Reverse => &self.reverse,
        }
    }
}

impl<T> IndexMut<Side> for Sides<T> {
    fn index_mut(&mut self, side: Side) -> &mut T {
        match side {
            Side::Obverse => &mut self.obverse,
            Side::Reverse => &mut self.reverse,
        }
    }
}
