//! Verdicts and facts to a standing and an outcome. Touches no pixels.

mod cause;
mod caution;
mod dies;
mod hinge;
mod kind;
mod logarithms;
mod next;
mod observation;
mod outcome;
mod pairings;
mod reader;
mod recheck;
mod scale;
mod shown;
mod standing;
mod two_coins;
mod validated;
mod wanting;

pub use cause::Cause;
pub use caution::Caution;
pub use hinge::Hinge;
pub use kind::OutcomeKind;
pub use next::NextFeature;
pub use outcome::{LEANING_AT, Outcome, SETTLED_AT};
pub use recheck::Recheck;
pub use scale::{LikelihoodRatio, VerbalScale};
pub use standing::{DieStanding, OpenWorld, PairingStanding, Prior, Standing, standing};
pub use two_coins::{PairCaution, pair_cautions};
pub use validated::VALIDATED_LOG10;
pub use wanting::{DIE_AHEAD_AT, Wanting};
