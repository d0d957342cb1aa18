//! A coin struck from a seeded design on a flan of its own.

use std::sync::{Arc, Mutex, PoisonError};

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::design::Design;
use super::flan::Flan;
use super::sculpture::Sculpture;
use crate::coin::StrikeOptions;

/// One side of a solid coin.
#[derive(Debug, Clone)]
pub struct Struck {
    design: Arc<Design>,
    die: u64,
    flan: Flan,
    options: StrikeOptions,
    solid: Arc<Mutex<Option<Arc<Sculpture>>>>,
}

impl Struck {
    /// Strikes a die of a design on a flan.
    #[must_use]
    pub fn new(design: &Arc<Design>, die: u64, flan: Flan, options: &StrikeOptions) -> Self {
        Self {
            design: Arc::clone(design),
            die,
            flan,
            options: *options,
            solid: Arc::default(),
        }
    }

    /// Strikes a die of a design on a flan that the coin's own seed chooses.
    #[must_use]
    pub fn by_chance(design: &Arc<Design>, die: u64, options: &StrikeOptions) -> Self {
        let mut r = ChaCha8Rng::seed_from_u64(options.seed ^ 0x666c_616e);
        let flan = Flan::by_chance(design.radius_mm, &mut r);
        Self::new(design, die, flan, options)
    }

    /// What is drawn on it.
    #[must_use]
    pub fn design(&self) -> &Design {
        &self.design
    }

    /// What it was struck on.
    #[must_use]
    pub fn flan(&self) -> &Flan {
        &self.flan
    }

    /// How it was struck.
    #[must_use]
    pub fn options(&self) -> &StrikeOptions {
        &self.options
    }

    /// Its solid form at a scale in px/mm; the last one is kept.
    pub(super) fn solid(&self, px_per_mm: f32) -> Arc<Sculpture> {
        let mut kept = self.solid.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = kept.as_ref().filter(|s| s.heights.px_per_mm == px_per_mm) {
            return Arc::clone(found);
        }
        let made = Arc::new(Sculpture::of(
            &self.design,
            self.die,
            &self.flan,
            &self.options,
            px_per_mm,
        ));
        *kept = Some(Arc::clone(&made));
        made
    }
}
