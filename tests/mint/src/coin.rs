//! A struck coin: a die's relief with how it was struck and what became of it since.

use std::sync::{Arc, Mutex, PoisonError};

use super::MintError;
use super::die::{DieDesign, dies};
use super::surface::Surface;
use dietell::reference::{DieId, Side};

/// How a coin was struck and what became of it. All amounts run from 0 (none) to 1 (as much as the mint can do).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrikeOptions {
    /// Flattened high points and softened edges; 0.35 is a coin some years in purses, 0.8 a slug with a legend.
    pub wear: f64,
    /// Bag marks, scratches and nicks in the rim.
    pub marks: f64,
    /// Coloured toning, varying smoothly over the side.
    pub toning: f64,
    /// Dirt in the recesses.
    pub dirt: f64,
    /// How much of the relief a weak strike left out, on one part of the side.
    pub weak_strike: f64,
    /// Chooses where all of it falls.
    pub seed: u64,
}

impl Default for StrikeOptions {
    /// A fine coin: hardly worn, a few marks, a little tone.
    fn default() -> Self {
        Self {
            wear: 0.06,
            marks: 0.08,
            toning: 0.25,
            dirt: 0.2,
            weak_strike: 0.0,
            seed: 1,
        }
    }
}

impl StrikeOptions {
    /// A coin as it left the dies.
    #[must_use]
    pub fn as_struck(seed: u64) -> Self {
        Self {
            wear: 0.0,
            marks: 0.0,
            toning: 0.1,
            dirt: 0.05,
            weak_strike: 0.0,
            seed,
        }
    }

    /// An honest circulated coin.
    #[must_use]
    pub fn circulated(seed: u64) -> Self {
        Self {
            wear: 0.32,
            marks: 0.45,
            toning: 0.5,
            dirt: 0.75,
            weak_strike: 0.0,
            seed,
        }
    }

    /// A coin with much of its life behind it.
    #[must_use]
    pub fn well_worn(seed: u64) -> Self {
        Self {
            wear: 0.62,
            marks: 0.8,
            toning: 0.6,
            dirt: 0.85,
            weak_strike: 0.1,
            seed,
        }
    }
}

/// One side of a struck coin.
#[derive(Debug, Clone)]
pub struct Coin {
    die: DieDesign,
    options: StrikeOptions,
    surface: Arc<Mutex<Option<Arc<Surface>>>>,
}

impl Coin {
    /// The die that struck it.
    #[must_use]
    pub fn die(&self) -> &DieDesign {
        &self.die
    }

    /// How it was struck.
    #[must_use]
    pub fn options(&self) -> &StrikeOptions {
        &self.options
    }

    /// The coin's surface at a scale in px/mm; the last one is kept.
    pub(super) fn surface(&self, px_per_mm: f32) -> Arc<Surface> {
        let mut kept = self.surface.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = kept.as_ref().filter(|s| s.px_per_mm == px_per_mm) {
            return Arc::clone(found);
        }
        let made = Arc::new(Surface::of(&self.die, &self.options, px_per_mm));
        *kept = Some(Arc::clone(&made));
        made
    }
}

/// Strikes one side with a die of the demo set.
///
/// # Errors
/// [`MintError::NoSuchDie`] where the side has no die of that name.
pub fn strike(side: Side, die: &DieId, options: &StrikeOptions) -> Result<Coin, MintError> {
    let found = dies(side).into_iter().find(|d| &d.id == die);
    found
        .map(|d| strike_design(&d, options))
        .ok_or_else(|| MintError::NoSuchDie {
            side,
            die: die.clone(),
        })
}

/// Strikes one side with a die of the caller's own making.
#[must_use]
pub fn strike_design(die: &DieDesign, options: &StrikeOptions) -> Coin {
    Coin {
        die: die.clone(),
        options: *options,
        surface: Arc::default(),
    }
}
