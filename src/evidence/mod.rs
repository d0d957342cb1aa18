//! Verdicts and facts to a standing and an outcome. Touches no pixels.

mod cause;
mod caution;
mod kind;
mod next;
mod observation;
mod outcome;
mod recheck;
mod scale;
mod standing;
mod two_coins;
mod weigh;

pub use cause::Cause;
pub use caution::Caution;
pub use kind::OutcomeKind;
pub use next::NextFeature;
pub use outcome::{LEANING_AT, Outcome, SETTLED_AT};
pub use recheck::Recheck;
pub use scale::{LikelihoodRatio, VerbalScale};
pub use standing::{DieStanding, PairingStanding, Prior, Standing, standing};
pub use two_coins::{PairCaution, pair_cautions};

pub(crate) use outcome::sides_checked;
pub(crate) use standing::likeliest_other;
